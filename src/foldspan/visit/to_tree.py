"""To tree: a visit as the mapping that ``Visit.from_dict`` reads, of plain texts, numbers and lists."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any, Protocol

from foldspan.external.combine import OutsideResult
from foldspan.intake.model import NONE, Intake
from foldspan.intake.rules import LISTS, MARKS
from foldspan.measurement.conditions import HowTaken
from foldspan.quantities import BY_NAME, DAYS_A_MONTH, convert, units_with
from foldspan.visit.keys import HOME_OF
from foldspan.visit.outside_results import MASSES

MOST_DIGITS = 17  # enough for any number of double precision


class SiteRead(Protocol):
    """What a site must have; see ``model.Site``."""

    @property
    def readings(self) -> tuple[float, ...]:
        """Readings in the canonical unit."""

    @property
    def is_at_least(self) -> bool:
        """Whether the fold ran off the scale."""

    @property
    def unit(self) -> str:
        """The unit in which they were typed."""


class ClientRead(Protocol):
    """What a client must have; see ``model.Client``."""

    @property
    def sex(self) -> str:
        """Which equations fit."""

    @property
    def age_years(self) -> float:
        """Age [years]."""


class VisitRead(Protocol):
    """What a visit must have; see ``model.Visit``."""

    @property
    def client(self) -> ClientRead:
        """Who was measured."""

    @property
    def sites(self) -> Mapping[str, SiteRead]:
        """Readings by quantity name."""

    @property
    def day(self) -> date | None:
        """Day of the visit."""

    @property
    def hour(self) -> float | None:
        """Time of the day [h]."""

    @property
    def site_variants(self) -> Mapping[str, str]:
        """Variants by quantity name."""

    @property
    def reference_fat_percent(self) -> float | None:
        """Fat by a reference method [% of weight]."""

    @property
    def outside_results(self) -> tuple[OutsideResult, ...]:
        """What the client was told elsewhere."""

    @property
    def intake(self) -> Intake:
        """What the client told."""

    @property
    def how_taken(self) -> HowTaken:
        """How the readings were taken."""


def tree_of(visit: VisitRead) -> dict[str, Any]:
    """Return a visit as the tree of a visit file; see ``Visit.to_dict``."""
    sections: dict[str, Any] = {
        "client": _client(visit.client, visit.intake),
        "visit": _visit(visit),
    }
    for name, site in visit.sites.items():
        section, short = HOME_OF[name]
        sections.setdefault(section, {})[short] = _readings(name, site)
    short_names = {BY_NAME[name].short_name: word for name, word in visit.site_variants.items()}
    return {
        name: lines
        for name, lines in {
            **sections,
            "site_variants": short_names,
            "how_taken": _how_taken(visit.how_taken),
            "intake": _intake(visit.intake, visit.day),
            "outside_results": [_outside(result) for result in visit.outside_results],
        }.items()
        if lines
    }


def _client(client: ClientRead, intake: Intake) -> dict[str, Any]:
    tree: dict[str, Any] = {"sex": client.sex, "age_years": client.age_years}
    for name in ("code", "ancestry", "family_background"):
        if given := getattr(client, name):
            tree[name] = given
    if "family_background" not in tree and "family_background" in intake.answered_none:
        tree["family_background"] = NONE
    for name in ("pregnant", "athlete"):
        if getattr(client, name) or name in intake.answered_none:
            tree[name] = bool(getattr(client, name))
    return tree


def _visit(visit: VisitRead) -> dict[str, Any]:
    tree: dict[str, Any] = {} if visit.day is None else {"date": visit.day.isoformat()}
    if visit.hour is not None:
        minutes = round(visit.hour * 60.0)
        tree["time"] = f"{minutes // 60:02d}:{minutes % 60:02d}"
    for name in ("tester", "calliper", "reference_method"):
        if given := getattr(visit, name):
            tree[name] = given
    if visit.reference_fat_percent is not None:
        tree["reference_fat_percent"] = visit.reference_fat_percent
    return tree


def _readings(name: str, site: SiteRead) -> list[float | str]:
    """Readings in the unit in which they were typed; a fold that ran off the scale has its sign."""
    most = max(site.readings)
    return [
        _reading(value, name, site.unit, is_end=site.is_at_least and value == most)
        for value in site.readings
    ]


def _reading(value: float, name: str, typed: str, *, is_end: bool) -> float | str:
    unit = BY_NAME[name].unit
    end = "+" if is_end else ""
    if not typed:
        return f"{value!r}{end}" if end else value
    return f"{_in_unit(value, unit, typed)} {typed}{end}"


def _in_unit(value: float, unit: str, typed: str) -> str:
    """Return the shortest number in the typed unit that is read as this value."""
    table = units_with(unit)
    number = value * table[unit] / table[typed]
    for digits in range(1, MOST_DIGITS + 1):
        text = f"{number:.{digits}g}"
        if "e" not in text and convert(float(text), typed, unit) == value:
            return text
    return repr(number)


def _how_taken(taken: HowTaken) -> dict[str, Any]:
    """How it was taken; the repeat rules are always named: the usual ones may change."""
    tree: dict[str, Any] = {"repeat_rule": taken.repeat_rule, "girth_rule": taken.girth_rule}
    if taken.scale_step_mm:
        tree["scale_step_mm"] = taken.scale_step_mm
    for name in ("over_clothing", "left_side"):
        if sites := getattr(taken, name):
            tree[name] = [BY_NAME[site].short_name for site in sites]
    return tree


def _intake(intake: Intake, day: date | None) -> dict[str, Any]:
    none = intake.answered_none
    tree: dict[str, Any] = {}
    for name, known in LISTS.items():
        words = [word for word in intake.words if word in known]
        if words or name in none:
            tree[name] = words
    for mark in MARKS:
        if mark in intake.words or mark in none:
            tree[mark] = mark in intake.words
    numbers: dict[str, Any] = {
        "earlier_weight_kg": intake.earlier_weight_kg,
        "surgery_months_ago": intake.surgery_months_ago,
        "birth_months_ago": intake.birth_months_ago,
        "blood_pressure_mmhg": None if intake.pressure_mmhg is None else [*intake.pressure_mmhg],
    }
    tree |= {name: NONE for name in numbers if name in none}
    numbers |= {"loss_wanted": intake.loss_wanted, "grip_kg": intake.grip_kg}
    tree |= {name: given for name, given in numbers.items() if given is not None}
    return tree | _when(intake.months_ago, day)


def _when(months: float | None, day: date | None) -> dict[str, Any]:
    """When the earlier weight was taken: a date where it was told as one, for it may be days ago."""
    if months is None:
        return {}
    days = round(months * DAYS_A_MONTH)
    if day is not None and 0 < days < day.toordinal() and days / DAYS_A_MONTH == months:
        return {"earlier_weight_date": day.fromordinal(day.toordinal() - days).isoformat()}
    return {"earlier_weight_months_ago": months}


def _outside(result: OutsideResult) -> dict[str, Any]:
    numbers = {"fat_percent": "fat_percent", **MASSES}
    tree: dict[str, Any] = {"method": result.method}
    for key, name in numbers.items():
        if (given := getattr(result.sheet, name)) is not None:
            tree[key] = given
    return tree | ({} if result.day is None else {"date": result.day.isoformat()})
