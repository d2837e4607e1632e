"""Visit: one client measured on one day by one tester, read from TOML, JSON or a mapping.

Every fault is reported at once, each with its place, its name, the reason and the remedy. Nothing
is guessed: a doubtful value is asked back, never changed.
"""

from __future__ import annotations

import difflib
import math
from collections.abc import Mapping
from datetime import date, datetime
from functools import cached_property
from typing import Any, Self

from pydantic import BaseModel, ConfigDict

from foldspan.files import read_tree
from foldspan.problems import FoldspanError, Problem
from foldspan.quantities import (
    ANCESTRIES,
    BY_NAME,
    SUPRAILIAC_CHOICES,
    Quantity,
    Sex,
    UnreadableValue,
    read_value,
)
from foldspan.readings import Accepted, accept
from foldspan.slips import fit_problems, span_problem

SECTIONS: dict[str, tuple[str, ...]] = {
    "mass_height": ("weight_kg", "height_cm"),
    "skinfolds_mm": tuple(q.short_name for q in BY_NAME.values() if q.kind == "skinfold"),
    "girths_cm": tuple(q.short_name for q in BY_NAME.values() if q.kind == "girth"),
    "breadths_cm": tuple(q.short_name for q in BY_NAME.values() if q.kind == "breadth"),
}
SECTION_UNIT = {"mass_height": "", "skinfolds_mm": "_mm", "girths_cm": "_cm", "breadths_cm": "_cm"}
CLIENT_KEYS = (
    "code", "sex", "age_years", "birth_date", "ancestry", "pregnant", "athlete",
)  # fmt: skip
VISIT_KEYS = ("date", "tester")
SITE_VARIANTS: dict[str, tuple[str, ...]] = {
    "chest": ("half", "third"),
    "midaxillary": ("vertical", "horizontal"),
    "triceps": ("olecranon", "radiale"),
    "biceps": ("1cm_above", "level"),
    "subscapular": ("below_tip", "2cm_along"),
    "abdominal": ("vertical_2cm", "vertical_5cm", "horizontal_3cm"),
    "thigh": ("standing", "seated"),
}
MOST_READINGS = 3
ADULT_AGE = 18.0


class Site(BaseModel):
    """Readings of one site in its canonical unit, in the order taken."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    readings: tuple[float, ...]
    is_at_least: bool = False


class Client(BaseModel):
    """Who was measured: never a name. ``sex`` is the sex the published equations were built for."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    sex: Sex
    age_years: float
    code: str = ""
    ancestry: str = ""
    pregnant: bool = False
    athlete: bool = False


class Visit(BaseModel):
    """One client measured on one day: the input of the main job.

    ``sites`` maps quantity names such as ``triceps_mm`` to readings; ``site_variants`` maps folds to
    the variant at which they were taken, where that is known.
    """

    model_config = ConfigDict(frozen=True, extra="forbid")

    client: Client
    sites: dict[str, Site]
    day: date | None = None
    tester: str = ""
    site_variants: dict[str, str] = {}
    warnings: tuple[Any, ...] = ()

    @classmethod
    def from_file(cls, path: str, *, accept_unusual: bool = False) -> Self:
        """Read a visit from a ``.toml`` or ``.json`` file, or from standard input for ``-``.

        Raises
        ------
        FoldspanError
            With every problem found in the file.
        """
        where = "standard input" if str(path) == "-" else str(path)
        return cls.from_dict(read_tree(str(path)), where=where, accept_unusual=accept_unusual)

    @classmethod
    def from_dict(
        cls, tree: Mapping[str, Any], *, where: str = "visit", accept_unusual: bool = False
    ) -> Self:
        """Read a visit from a mapping shaped like the file.

        Raises
        ------
        FoldspanError
            With every problem found.
        """
        reader = _Reader(where, accept_unusual)
        parts = reader.read(tree)
        errors = [problem for problem in reader.problems if problem.is_error]
        if errors:
            raise FoldspanError(errors)
        return cls(**parts, warnings=tuple(reader.problems))

    @cached_property
    def accepted(self) -> dict[str, Accepted]:
        """Accepted value of every site, by quantity name."""
        return {
            name: accept(name, site.readings, is_at_least=site.is_at_least)
            for name, site in self.sites.items()
        }


class _Reader:
    """Walks the tree once and collects every problem."""

    def __init__(self, where: str, accept_unusual: bool) -> None:
        self.where = where
        self.accept_unusual = accept_unusual
        self.problems: list[Problem] = []

    def note(self, code: str, place: str, what: str, remedy: str, given: object = "") -> None:
        self.problems.append(Problem(code, f"{self.where}: {place}", what, remedy, str(given)))

    def read(self, tree: Mapping[str, Any]) -> dict[str, Any]:
        known = ("client", "visit", *SECTIONS, "site_variants")
        for name in tree:
            if name not in known:
                self.unknown(f"[{name}]", name, known, "section")
        client = self.section(tree, "client", CLIENT_KEYS)
        visit = self.section(tree, "visit", VISIT_KEYS)
        day = self.day(visit.get("date"), "[visit] date")
        sex = self.choice(client.get("sex"), "[client] sex", ("female", "male"), "E111")
        age = self.age(client, day)
        sites: dict[str, Site] = {}
        for name in SECTIONS:
            sites |= self.measurements(tree, name, sex)
        if not sites and not self.problems:
            self.note(
                "E120",
                "file",
                "nothing was measured",
                "Add [mass_height], [skinfolds_mm] or [girths_cm].",
            )
        if sex and not self.problems:
            values = {name: accept(name, site.readings).value for name, site in sites.items()}
            values |= {} if age is None else {"age_years": age}
            place = f"{self.where}: weight_kg, height_cm"
            self.problems += fit_problems(values, sex, place, accept_unusual=self.accept_unusual)
        ancestry = client.get("ancestry")
        facts = {
            "sex": sex,
            "age_years": age,
            "code": str(client.get("code", "")),
            "ancestry": (
                ancestry and self.choice(ancestry, "[client] ancestry", ANCESTRIES, "E113")
            )
            or "",
            "pregnant": self.truth(client, "pregnant"),
            "athlete": self.truth(client, "athlete"),
        }
        return {
            "client": facts,
            "sites": sites,
            "day": day,
            "tester": str(visit.get("tester", "")),
            "site_variants": self.variants(tree),
        }

    def section(
        self, tree: Mapping[str, Any], name: str, known: tuple[str, ...]
    ) -> Mapping[str, Any]:
        """The section as a mapping, its unknown keys reported; empty where it has another shape."""
        given = tree.get(name, {})
        if not isinstance(given, Mapping):
            self.note("E121", f"[{name}]", "not a section", f"Write [{name}] and its lines below.")
            return {}
        for key in given:
            if known and key not in known:
                self.unknown(f"[{name}] {key}", key, known, "name")
        return given

    def unknown(self, place: str, name: str, known: tuple[str, ...], kind: str) -> None:
        """Report an unknown name with the nearest known ones."""
        if name.removesuffix("_mm") in ("suprailiac", "supra_iliac", "iliac_crest", "suprailium"):
            self.note(
                "E114",
                place,
                "three different sites go by that name",
                f"Write {', '.join(SUPRAILIAC_CHOICES[:2])} or {SUPRAILIAC_CHOICES[2]}.",
            )
            return
        near = difflib.get_close_matches(name, known, n=3, cutoff=0.5)
        near += [other for other in known if name in other and other not in near][:3]
        offer = f"Did you mean {' or '.join(near[:3])}?" if near else f"Known: {', '.join(known)}."
        self.note("E115", place, f"{kind} not known", offer)

    def choice(self, given: Any, place: str, words: tuple[str, ...], missing: str) -> Any:
        """One of the allowed words, or None with a problem."""
        if given is None:
            self.note(missing, place, "missing", f"Add {' or '.join(words)}.")
        elif given not in words:
            self.note(
                "E113", place, "not one of the allowed words", f"Use {', '.join(words)}.", given
            )
        else:
            return given
        return None

    def truth(self, client: Mapping[str, Any], name: str) -> bool:
        given = client.get(name, False)
        if not isinstance(given, bool):
            self.note(
                "E113", f"[client] {name}", "neither true nor false", "Write true or false.", given
            )
            return False
        return given

    def day(self, given: Any, place: str) -> date | None:
        """A date that is not in the future, or None."""
        if given is None:
            return None
        try:
            read = date.fromisoformat(given) if isinstance(given, str) else given
        except ValueError:
            read = None
        if isinstance(read, datetime):
            read = read.date()
        if not isinstance(read, date):
            self.note("E117", place, "not a date", "Write it as 2026-03-04.", given)
            return None
        if read > date.today():
            self.note("E116", place, "in the future", "Check the year.", given)
            return None
        return read

    def age(self, client: Mapping[str, Any], day: date | None) -> float | None:
        """Age in years from the file, or from the two dates."""
        given = client.get("age_years")
        born = self.day(client.get("birth_date"), "[client] birth_date")
        age = None
        if given is not None:
            age = self.number(given, BY_NAME["age_years"], "[client] age_years", None)
        if born is None:
            if given is None and "birth_date" not in client:
                self.note("E112", "[client] age_years", "missing", "Add age_years or birth_date.")
            return age
        if day is None:
            if given is None:
                self.note("E112", "[visit] date", "needed with birth_date", "Add date to [visit].")
            return age
        if born > day:
            self.note("E118", "[client] birth_date", "after the visit", "Check both dates.")
            return age
        computed = (day - born).days / 365.2425
        if age is not None and abs(computed - age) > 1.0:
            self.note(
                "E119", "[client] age_years", "does not match birth_date", "Keep one of them."
            )
        return computed

    def measurements(self, tree: Mapping[str, Any], name: str, sex: Sex | None) -> dict[str, Site]:
        """Sites of one section, by quantity name."""
        known, unit = SECTIONS[name], SECTION_UNIT[name]
        sites: dict[str, Site] = {}
        for key, given in self.section(tree, name, ()).items():
            short = key.removesuffix(unit) if unit else key
            if short not in known and f"{short}_girth" in known and name == "girths_cm":
                short = f"{short}_girth"
            place = f"[{name}] {key}"
            if short not in known:
                self.unknown(place, key, known, "name")
                continue
            quantity = BY_NAME[short + unit]
            if quantity.name in sites:
                self.note("E122", place, "the same quantity is given twice", "Keep one line.")
                continue
            site = self.site(given, quantity, place, sex)
            if site is not None:
                sites[quantity.name] = site
        return sites

    def site(self, given: Any, quantity: Quantity, place: str, sex: Sex | None) -> Site | None:
        """One to three readings; None with a problem if any cannot be used."""
        listed = list(given) if isinstance(given, (list, tuple)) else [given]
        if not listed:
            self.note("E110", place, "no reading given", "Add one, or leave the line out.")
            return None
        if len(listed) > MOST_READINGS:
            remedy = "Keep the two or three of this visit, in the order taken."
            self.note("E109", place, f"{len(listed)} readings, at most three", remedy)
            return None
        at_least = False
        readings: list[float] = []
        for order, one in enumerate(listed, start=1):
            here = place if len(listed) == 1 else f"{place}, reading {order}"
            ended = isinstance(one, str) and one.rstrip().endswith("+")
            if ended and quantity.kind == "skinfold":
                at_least, one = True, one.rstrip()[:-1]
            value = self.number(one, quantity, here, sex, is_at_least=at_least)
            if value is not None:
                readings.append(value)
        if len(readings) < len(listed):
            return None
        return Site(readings=tuple(readings), is_at_least=at_least)

    def number(
        self,
        given: Any,
        quantity: Quantity,
        place: str,
        sex: Sex | None,
        *,
        is_at_least: bool = False,
    ) -> float | None:
        """A number in canonical units inside the quantity's spans, or None with a problem."""
        if isinstance(given, str):
            try:
                value = read_value(given, quantity.unit)
            except UnreadableValue as error:
                self.note(error.code, place, error.what, error.remedy, given)
                return None
        elif isinstance(given, bool) or not isinstance(given, (int, float)):
            remedy = f"Write a number in {quantity.unit}, or a text with its unit."
            self.note("E101", place, "not a number", remedy)
            return None
        else:
            value = float(given)
        if not math.isfinite(value):
            self.note("E106", place, "not a finite number", "Measure again, or leave it out.")
            return None
        problem = span_problem(
            value, quantity, sex, f"{self.where}: {place}", accept_unusual=self.accept_unusual
        )
        if is_at_least and problem is not None and problem.code == "E103":
            problem = None  # whoever writes "60+" has looked at the scale
        if problem is None:
            return value
        self.problems.append(problem)
        return None if problem.is_error else value

    def variants(self, tree: Mapping[str, Any]) -> dict[str, str]:
        """Site variants by quantity name."""
        found: dict[str, str] = {}
        for key, given in self.section(tree, "site_variants", tuple(SITE_VARIANTS)).items():
            if key in SITE_VARIANTS:
                word = self.choice(given, f"[site_variants] {key}", SITE_VARIANTS[key], "E113")
                if word:
                    found[f"{key}_mm"] = word
        return found
