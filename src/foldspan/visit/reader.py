"""Reading a visit tree: every fault is collected, each with its place, name, reason and remedy.

Nothing is guessed: a doubtful value is asked back, never changed.
"""

from __future__ import annotations

import difflib
from collections.abc import Mapping
from datetime import date, datetime
from typing import Any

from foldspan.intake.from_tree import read_intake
from foldspan.intake.model import NONE, QUESTIONS
from foldspan.intake.word_search import says_none
from foldspan.measurement.accepted_values import middle
from foldspan.measurement.between_sites import fit_problems, pair_problems
from foldspan.measurement.plausibility import range_problem, span_problem
from foldspan.measurement.site_names import suprailiac_sites, waist_levels
from foldspan.problems import WRITE_A_DAY, Problem
from foldspan.quantities import (
    ANCESTRIES,
    BY_NAME,
    WAISTS,
    Quantity,
    Sex,
    typed_unit,
)
from foldspan.standards.referral_rules import ADULT_AGE
from foldspan.units import plain_number
from foldspan.visit.age import read_age
from foldspan.visit.calendar import read_hour
from foldspan.visit.client import (
    KnownSex,
    note_unusual_for_men,
    read_family_background,
    read_sex,
    reported_of_women,
)
from foldspan.visit.how_taken import read_how_taken
from foldspan.visit.keys import (
    CLIENT_KEYS,
    EARLIER_KEYS,
    LONGEST_CODE,
    MOST_READINGS,
    OTHER_NAMES,
    OTHER_SECTIONS,
    OTHER_UNITS,
    SECTION_UNIT,
    SECTIONS,
    SITE_VARIANTS,
    VISIT_KEYS,
)
from foldspan.visit.outside_results import read_outside, read_reference

SiteTree = dict[str, Any]


def _shown(given: object) -> str:
    """What was typed as a short text, or "" where it has another shape."""
    if isinstance(given, bool | float | str | date):
        return "".join(sign for sign in str(given)[:40] if sign.isprintable())
    if isinstance(given, int) and abs(given) < 10**12:
        return str(given)
    return ""


class TreeReader:
    """Walks the tree once and collects every problem.

    Minors and pregnant clients get no range, so nothing is asked back for being unusual: the spans
    were set on adults.
    """

    def __init__(self, where: str, *, accept_unusual: bool = False) -> None:
        self.where = where
        self.accept_unusual = accept_unusual
        self.asks_back = True
        self.problems: list[Problem] = []
        self.doubted: dict[str, float] = {}

    def note(self, code: str, place: str, what: str, remedy: str, given: object = "") -> None:
        """Add a problem; what was typed is kept only if it is a short plain value."""
        self.problems.append(Problem(code, f"{self.where}: {place}", what, remedy, _shown(given)))

    def read(self, tree: Any) -> dict[str, Any]:
        """Return the parts of a visit; meaningless if there are errors among the problems."""
        if not isinstance(tree, Mapping):
            self.note("E121", "file", "not in sections", "Start from examples/visit.toml.")
            return {}
        known = ("client", "visit", *SECTIONS, *OTHER_SECTIONS)
        for name in tree:
            if name not in known:
                self.unknown(f"[{name}]", str(name), known, "section")
        client = self.section(tree, "client", CLIENT_KEYS)
        visit = self.section(tree, "visit", VISIT_KEYS)
        day = self.day(visit.get("date"), "[visit] date")
        sex = read_sex(self, client)
        age = read_age(self, client, day, has_day="date" in visit)
        pregnant = self.truth(client, "pregnant")
        if sex == "male":
            note_unusual_for_men(self, reported_of_women(tree))
        self.asks_of(age, pregnant=pregnant)
        sites: dict[str, SiteTree] = {}
        for name in SECTIONS:
            sites |= self.measurements(tree, name, None if sex == "both" else sex)
        self.asks_for_sites(any(tree.get(name) for name in SECTIONS))
        self.hold_together(sites, sex, age)
        facts = {
            "sex": sex,
            "age_years": age,
            "code": self.text(client.get("code", ""), "[client] code"),
            "ancestry": self.optional(client, "ancestry", ANCESTRIES),
            "family_background": read_family_background(self, client),
            "pregnant": pregnant,
            "athlete": self.truth(client, "athlete"),
        }
        return read_reference(self, visit) | {
            "client": facts,
            "sites": sites,
            "day": day,
            "hour": read_hour(self.note, visit.get("time")),
            "tester": self.text(visit.get("tester", ""), "[visit] tester"),
            "calliper": self.text(visit.get("calliper", ""), "[visit] calliper"),
            "site_variants": self.variants(tree),
            "how_taken": read_how_taken(self, tree, sites),
            "outside_results": read_outside(self, tree),
            "intake": read_intake(self, tree, weight=self.weight(sites), day=day),
        }

    @staticmethod
    def weight(sites: Mapping[str, SiteTree]) -> float | None:
        """The accepted weight [kg], or None."""
        site = sites.get("weight_kg")
        return None if site is None else middle(site["readings"])

    def asks_for_sites(self, is_measured: bool) -> None:
        """Note where nothing was measured."""
        if not is_measured:
            remedy = "Add [mass_height], [skinfolds_mm] or [girths_cm]."
            self.note("E120", "file", "no measurements", remedy)

    def asks_of(self, age: float | None, *, pregnant: bool) -> None:
        """Note whether what is unusual is asked back of such a client; of unknown age too."""
        self.asks_back = not pregnant and (age is None or age >= ADULT_AGE)

    def hold_together(
        self, sites: dict[str, SiteTree], known_sex: KnownSex | None, age: float | None
    ) -> None:
        """Ask back where weight, height and waist do not go together; tell of other odd pairs.

        Where it is open which equations fit, only what both sexes would be asked.
        """
        if known_sex is None:
            return
        sex = None if known_sex == "both" else known_sex
        values = {name: middle(site["readings"]) for name, site in sites.items()}
        known = values | ({} if age is None else {"age_years": age})
        place = f"{self.where}: weight_kg, height_cm"
        asks = {"accept_unusual": self.accept_unusual, "asks_back": self.asks_back}
        self.problems += fit_problems(known, sex, place, **asks)
        if not self.asks_back:
            return
        closed = {name: value for name, value in values.items() if not sites[name]["is_at_least"]}
        self.problems += pair_problems(closed, sex, self.where)

    def section(
        self, tree: Mapping[str, Any], name: str, known: tuple[str, ...]
    ) -> Mapping[str, Any]:
        """The section as a mapping, its unknown keys reported; empty where it has another shape."""
        given = tree.get(name, {})
        if not isinstance(given, Mapping):
            self.note("E121", f"[{name}]", "not a section", f"Write [{name}] and its lines below.")
            return {}
        earlier = EARLIER_KEYS.get(name, {})
        given = {earlier.get(key, key): value for key, value in given.items()}
        for key in given:
            if known and key not in known:
                self.unknown(f"[{name}] {key}", str(key), known, "name")
        return given

    def unknown(self, place: str, name: str, known: tuple[str, ...], kind: str) -> None:
        """Report an unknown name with the nearest known ones."""
        bare = name.removesuffix("_mm")
        if bare in ("suprailiac", "supra_iliac", "suprailium"):
            what, choices = suprailiac_sites()
            self.note("E114", place, what, f"Write {choices}.")
            return
        if bare in ("waist", "waist_cm", "waist_girth") and WAISTS[0].removesuffix("_cm") in known:
            what, choices = waist_levels()
            self.note("E114", place, what, f"Say which one: {choices}.")
            return
        stem, _, unit = name.rpartition("_")
        meant = [key for key in known if key.rpartition("_")[0] == stem or key == stem]
        if unit in OTHER_UNITS and meant:
            self.note("E115", place, f"unknown {kind}", f'Write {meant[0]} = "… {unit}".')
            return
        near = [OTHER_NAMES[bare]] if OTHER_NAMES.get(bare) in known else []
        near += difflib.get_close_matches(name, known, n=3, cutoff=0.5)
        near += [other for other in known if name in other and other not in near][:3]
        offer = f"Did you mean {' or '.join(near[:3])}?" if near else f"Known: {', '.join(known)}."
        self.note("E115", place, f"unknown {kind}", offer)

    def text(self, given: Any, place: str) -> str:
        """A code: a short plain text, or a whole number taken as one."""
        if isinstance(given, int) and not isinstance(given, bool):
            given = _shown(given)
        if not isinstance(given, str) or len(given) > LONGEST_CODE or not given.isprintable():
            remedy = f"Write a text of up to {LONGEST_CODE} plain characters; never a name."
            self.note(
                "E121", place, "too long, or contains characters that cannot be stored", remedy
            )
            return ""
        return given

    def optional(self, client: Mapping[str, Any], name: str, words: tuple[str, ...]) -> str:
        """One of the words that a published rule knows, self-described, or "" where none is given."""
        given = client.get(name, "")
        if isinstance(given, str) and given in ("", NONE):
            return ""
        return self.choice(given, f"[client] {name}", words, "E113") or ""

    def choice(self, given: Any, place: str, words: tuple[str, ...], missing: str) -> Any:
        """One of the allowed words, or None with a problem."""
        if given is None:
            self.note(missing, place, "missing", f"Add {' or '.join(words)}.")
        elif not isinstance(given, str) or given not in words:
            self.note("E113", place, "not an allowed word", f"Use {', '.join(words)}.", given)
        else:
            return given
        return None

    def truth(self, section: Mapping[str, Any], name: str, where: str = "client") -> bool:
        """A yes or no; no where nothing is said."""
        given = section.get(name, False)
        if name in QUESTIONS and says_none(given):
            return False
        if not isinstance(given, bool):
            place, what = f"[{where}] {name}", "neither true nor false"
            self.note("E113", place, what, "Write true or false.", given)
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
        if not isinstance(read, date) or read != read:  # a missing date of a table is not itself
            self.note("E117", place, "not a date", WRITE_A_DAY, given)
            return None
        if read > date.today():
            self.note("E116", place, "in the future", "Check the year.", given)
            return None
        return read

    def measurements(
        self, tree: Mapping[str, Any], name: str, sex: Sex | None
    ) -> dict[str, SiteTree]:
        """Sites of one section, by quantity name."""
        known, unit = SECTIONS[name], SECTION_UNIT[name]
        sites: dict[str, SiteTree] = {}
        for key, given in (
            (str(key), given) for key, given in self.section(tree, name, ()).items()
        ):
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

    def site(self, given: Any, quantity: Quantity, place: str, sex: Sex | None) -> SiteTree | None:
        """One to three readings; None with a problem if any cannot be used."""
        if hasattr(given, "tolist"):  # an array or a column of readings
            given = given.tolist()
        listed = list(given) if isinstance(given, (list, tuple)) else [given]
        if not listed:
            self.note("E110", place, "no reading", ("Add a reading, or leave the line out."))
            return None
        if len(listed) > MOST_READINGS:
            remedy = "Keep the two or three from this visit, in the order taken."
            self.note("E109", place, f"{len(listed)} readings; at most three", remedy)
            return None
        at_least = False
        readings: list[float] = []
        for here, reading in zip(self.places(place, len(listed)), listed, strict=True):
            ended = (
                quantity.kind == "skinfold"
                and isinstance(reading, str)
                and reading.rstrip()[-1:] == "+"
            )
            value = self.number(
                reading.rstrip()[:-1] if ended else reading, quantity, here, sex, is_at_least=ended
            )
            at_least = at_least or ended
            if value is not None:
                readings.append(value)
        if len(readings) < len(listed):
            return None
        unit = typed_unit(listed, quantity.unit)
        return self.site_of(readings, quantity, place, is_at_least=at_least, unit=unit)

    @staticmethod
    def places(place: str, count: int) -> list[str]:
        """Return where each of some readings of a site stands, for a problem."""
        if count == 1:
            return [place]
        return [f"{place}, reading {order}" for order in range(1, count + 1)]

    def site_of(
        self,
        readings: list[float],
        quantity: Quantity,
        place: str,
        *,
        is_at_least: bool,
        unit: str = "",
    ) -> SiteTree:
        """Return a site of readings that are each possible; whether they can be of one is noted."""
        apart = range_problem(
            readings, quantity, f"{self.where}: {place}", accept_unusual=self.accept_unusual
        )
        if apart is not None and self.asks_back:
            self.problems.append(apart)
        return {"readings": tuple(readings), "is_at_least": is_at_least, "unit": unit}

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
        shape = f"Write a number in {quantity.unit}, or a text with its unit."
        again = "Measure again, or leave it out."
        value = plain_number(self.note, given, quantity.unit, place, shape=shape, again=again)
        if value is None:
            return None
        typed = given if isinstance(given, str) else ""
        return self.in_span(value, quantity, place, sex, is_at_least=is_at_least, typed=typed)

    def in_span(
        self,
        value: float,
        quantity: Quantity,
        place: str,
        sex: Sex | None,
        *,
        is_at_least: bool = False,
        typed: str = "",
    ) -> float | None:
        """A value in canonical units inside the quantity's spans, or None with a problem."""
        problem = span_problem(
            value, quantity, sex, f"{self.where}: {place}", accept_unusual=self.accept_unusual,
            typed=typed,
        )  # fmt: skip
        unusual = problem is not None and problem.code in ("E103", "W103")
        if unusual and is_at_least:
            problem = None  # whoever writes "60+" has looked at the scale
        if problem is not None and not self.asks_back and quantity.kind != "age":
            problem = problem if problem.code == "E107" else None  # the spans are those of adults
        if problem is None:
            return value
        self.problems.append(problem)
        if problem.code == "E103" or (problem.code == "E102" and quantity.name == "weight_kg"):
            self.doubted[quantity.name] = value
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
