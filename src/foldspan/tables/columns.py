"""Columns: which given column means what, from its name, its unit and what the caller says.

A column is known by its contract name (``triceps_mm``), by the same name with another unit
(``triceps_cm``, ``Weight (lb)``), as one of up to three readings (``triceps_mm_1``), or because the
caller maps it. Whatever is not known stays in the table untouched.
"""

from __future__ import annotations

import difflib
import re
from collections.abc import Container, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Any

from foldspan.problems import FoldspanError, Problem
from foldspan.quantities import (
    BY_NAME,
    CENTIMETRES_PER,
    KILOGRAMS_PER,
    MEASURED,
    MONTHS_PER,
    UNIT_TABLES,
    UNIT_WORDS,
    WAISTS,
)
from foldspan.standards.intake_vocabulary import ALL_WORDS
from foldspan.tables.column_names import (
    NOT_USED,
    added_offer,
    close_offer,
    expecting_name,
    first_line_fault,
    given_twice,
    mapping,
    near_fact,
    other_name,
    quantity_named,
    suprailiac_offer,
    unit_offer,
    waist_offer,
    word_named,
)

FACTS = (
    "sex", "age_years", "birth_date", "ancestry", "family_background", "pregnant", "weeks_pregnant",
    "athlete",
)  # fmt: skip
INTAKE_COLUMNS = (
    "earlier_weight_kg", "weight_lost_kg", "earlier_weight_months_ago", "earlier_weight_date",
    "loss_wanted", "symptoms", "conditions", "medicines", "surgery_months_ago", "birth_months_ago",
    "eating_concern", "periods_stopped", "anabolic_drugs", "grip_kg", "blood_pressure_mmhg",
    "blood_pressure_upper_mmhg", "blood_pressure_lower_mmhg",
)  # fmt: skip
# every word of the intake may have a column of its own, yes or no
WORD_COLUMNS = tuple(ALL_WORDS)
REFERENCE = ("reference_fat_percent", "reference_method")
# a name of schema version 1 → its name now
EARLIER_COLUMNS = {"reference_scale": "reference_method"}
# what names a row: carried into the referral list and the letters
LABELS = ("code", "tester", "date")
KNOWN = (*BY_NAME, *FACTS, *INTAKE_COLUMNS, *WORD_COLUMNS, *REFERENCE, *LABELS)
MOST_READINGS = 3
UNIT_ENDINGS = tuple(f"_{unit}" for unit in ("mm", "cm", "m", "in", "ft", "kg", "g", "lb", "st"))
_SHORT = {quantity.short_name: quantity for quantity in BY_NAME.values()}
# a weight of the intake may come in another unit as well
_MASSES = {
    "earlier_weight": "earlier_weight_kg", "grip": "grip_kg", "weight_lost": "weight_lost_kg",
}  # fmt: skip
_TIMES = ("earlier_weight", "surgery", "birth")


@dataclass(frozen=True, slots=True)
class Column:
    """One given column that is known: its number in the table and the unit of its bare numbers."""

    place: int
    given: str
    unit: str = ""


@dataclass(frozen=True, slots=True)
class Layout:
    """The known columns of a table by contract name: one, or up to three readings in their order."""

    names: tuple[str, ...]
    columns: Mapping[str, tuple[Column, ...]]
    unused: tuple[str, ...] = ()
    passed: tuple[str, ...] = ()

    @property
    def places(self) -> tuple[int, ...]:
        """Numbers of the known columns in the table, rising."""
        return tuple(sorted(column.place for some in self.columns.values() for column in some))


@dataclass(frozen=True, slots=True)
class Wanted:
    """What the caller says: given name → contract name, given name → unit, words and their meaning.

    ``words`` are as ``value_words.meanings`` takes them; ``sheet`` is that of a workbook.
    """

    names: Mapping[str, str] = field(default_factory=dict)
    units: Mapping[str, str] = field(default_factory=dict)
    words: Mapping[str, Any] = field(default_factory=dict)
    sheet: str = ""


def layout_of(names: Sequence[str], wanted: Wanted | None = None) -> Layout:
    """Return what the columns of a table mean.

    Parameters
    ----------
    names : sequence of str
        The names in the table, in its order.
    wanted : Wanted, optional
        Names and units that the caller gives.

    Raises
    ------
    FoldspanError
        E403 a column twice, E401 sex or age missing, E114 a bare ``suprailiac``, E402 a name close to a
        fact, E409 a measurement without its unit, E120 no measured column, E501 for what the caller
        says of columns that are not there or cannot be meant; all at once.
    """
    if wanted is None or not (wanted.names or wanted.units):
        return _as_named(tuple(names))
    return _layout(names, wanted)


@lru_cache(maxsize=256)
def _as_named(names: tuple[str, ...]) -> Layout:
    """What columns mean of which the caller says nothing: the same for every table of these names."""
    return _layout(names, Wanted())


def _layout(names: Sequence[str], wanted: Wanted) -> Layout:
    has_known = any(parsed(name, "") for name in names)
    if (fault := first_line_fault(names, wanted.names, has_known=has_known)) is not None:
        raise FoldspanError([fault])
    twice = dict.fromkeys(name for name in names if names.count(name) > 1)
    found = [given_twice(name, names.index(name)) for name in twice]
    found += check_wanted(names, wanted)
    meant: dict[str, dict[int, Column]] = {}
    unknown = []
    for place, name in enumerate(names):
        meaning = _meaning(name, wanted, found)
        if meaning is None:
            unknown.append(name)
            continue
        ours, unit, reading = meaning
        readings = meant.setdefault(ours, {})
        if reading in readings or (readings and (reading == 0 or 0 in readings)):
            if names.count(name) == 1:
                other = next(iter(readings.values())).given
                what = f"means the same as column {other}"
                found.append(Problem("E403", f"column {name}", what, "Keep one, or number them."))
            continue
        readings[reading] = Column(place, name, unit)
    left = [name for name in unknown if wanted.names.get(name) != NOT_USED]
    found += _missing(meant, left) + _unclear(left, meant)
    likely = [some[0] for name in left if (some := parsed(other_name(name), ""))]
    if not any(name in meant or name in likely for name in MEASURED):
        remedy = "Name columns by quantity and unit, such as weight_kg, height_cm, triceps_mm."
        found.append(Problem("E120", "table", "no column with measurements", remedy))
    if found:
        raise FoldspanError(found)
    columns = {ours: tuple(some[number] for number in sorted(some)) for ours, some in meant.items()}
    unused = unused_names(left)
    passed = tuple(name for name in unknown if name not in unused)
    return Layout(tuple(names), columns, tuple(unused), passed)


def check_wanted(names: Sequence[str], wanted: Wanted) -> list[Problem]:
    """Return problems for columns that the caller names and the table has not, and units not known."""
    found = []
    for option, given in (("--map", wanted.names), ("--unit", wanted.units)):
        for name in given:
            if name not in names:
                near = difflib.get_close_matches(name, names, n=1)
                remedy = (
                    f"Did you mean {near[0]}?" if near else "Check the first line of the table."
                )
                found.append(Problem("E501", f"{option} {name}", "no such column", remedy))
    for name, unit in wanted.units.items():
        if not _is_unit(UNIT_WORDS.get(unit.lower(), unit.lower())):
            remedy = f"Use one of {', '.join((*CENTIMETRES_PER, *KILOGRAMS_PER))}."
            found.append(Problem("E104", f"--unit {name}", "unknown unit", remedy))
    return found


def meaning_of(name: str, unit: str = "") -> tuple[str, str, int] | None:
    """Return the measurement that a name means, the unit of its bare numbers, and its reading, or None.

    The reading is 0 where the name tells none; ``unit`` is what the caller says of it.
    """
    unit = UNIT_WORDS.get(unit.lower(), unit.lower())
    found = parsed(name, unit)
    if found is None or found[0] not in MEASURED:
        return None
    own = BY_NAME[found[0]].unit
    is_alike = found[1] == own or _measures_the_same(found[1], own)
    return found if is_alike else None


def _meaning(name: str, wanted: Wanted, problems: list[Problem]) -> tuple[str, str, int] | None:
    """Contract name, unit of bare numbers and number of the reading (0: the only one), or None."""
    renamed = wanted.names.get(name, name)
    if renamed == NOT_USED and name in wanted.names:
        return None
    unit = wanted.units.get(name, "").lower()
    unit = UNIT_WORDS.get(unit, unit)
    meaning = parsed(renamed, unit)
    if meaning is None and renamed != name:  # their own name may tell the unit
        meaning = parsed(renamed, _unit_in(name))
    if meaning is None and name in wanted.names:
        near = difflib.get_close_matches(renamed, KNOWN, n=1)
        remedy = (
            f"Did you mean {near[0]}?" if near else "See foldspan screen --help and the README."
        )
        problems.append(Problem("E501", f"--map {name}={renamed}", "unknown column name", remedy))
        return None
    if meaning is None and unit:
        remedy = "Also say what the column is, with --map."
        problems.append(Problem("E501", f"--unit {name}", "not a known measurement", remedy))
        return None
    if meaning is None:
        return None
    ours, given, reading = meaning
    own = unit_of(ours)
    # what is no unit at all has been told
    if given != own and _is_unit(given) and not _measures_the_same(given, own):
        remedy = f"Use a unit of {own}."
        problems.append(Problem("E105", f"column {name}", f"{given} does not measure this", remedy))
    return ours, given, reading


def unit_of(name: str) -> str:
    """Return the unit of a contract column, "" where it has none."""
    if name in BY_NAME:
        return BY_NAME[name].unit
    if name.endswith("_mmhg"):
        return "mmHg"
    if name.endswith("_months_ago"):
        return "months"
    if name == "weeks_pregnant":
        return "weeks"
    return "kg" if name in _MASSES.values() else ""


def _measures_the_same(quantity: str, other: str) -> bool:
    return any({quantity, other} <= set(table) for table in UNIT_TABLES)


# what is measured, or told, by another name; a column of it must not pass unseen
_BODY = re.compile(
    r"(?:^|_)(?:weight|height|waist|belly|abdomen|hip|neck|girth|circumference|skinfold|fold|pressure"
    r"|systolic|diastolic|bp|bmi|symptoms?|pregnan\w*)(?:_|$)"
)
_PARTS = re.compile(
    r"(?P<base>.+?)(?:_(?P<first>[1-3]))?(?:_(?P<unit>[a-z]+))?(?:_(?P<last>[1-3]))?"
)


@lru_cache(maxsize=4096)
def _plain(name: str) -> str:
    """A column name in lower case with single underscores, its unit at the end."""
    return re.sub(r"[\s\-_()\[\],;:/.]+", "_", name.strip().lower()).strip("_")


@lru_cache(maxsize=4096)
def parsed(name: str, unit: str) -> tuple[str, str, int] | None:
    """Return the column here that a name is, the unit of its bare numbers, and its reading, or None."""
    plain = re.sub(
        r"_in_(?=(?:kg|lb|lbs|cm|mm|kilograms|pounds|inches|centimetres)$)", "_", _plain(name)
    )
    plain = EARLIER_COLUMNS.get(plain, plain)
    if plain in KNOWN and not (unit and unit != unit_of(plain)):
        return plain, unit_of(plain), 0
    time = re.fullmatch(rf"({'|'.join(_TIMES)})_({'|'.join(MONTHS_PER)})_ago", plain)
    if time:
        return f"{time[1]}_months_ago", unit or time[2], 0
    parts = _PARTS.fullmatch(plain)
    if parts is None:
        return None
    reading = int(parts["first"] or parts["last"] or 0)
    given = UNIT_WORDS.get(parts["unit"] or "", parts["unit"] or "")
    base = parts["base"]
    quantity = _SHORT.get(base)
    if quantity is None and base in _MASSES and given in KILOGRAMS_PER and not reading:
        return _MASSES[base], unit or given, 0
    if quantity is None or (quantity.kind == "age" and (reading or given not in MONTHS_PER)):
        # a short name may itself end like a unit or a number would: try it whole, with the unit told
        whole = _SHORT.get(plain)
        return None if whole is None or not unit else (whole.name, unit, 0)
    if not (unit or given) or (given and not _is_unit(given)):
        return None
    return quantity.name, unit or given, reading


def _unit_in(name: str) -> str:
    """The unit that a name ends with, "" where there is none."""
    last = _plain(name).rsplit("_", 1)[-1]
    unit = UNIT_WORDS.get(last, last)
    return unit if _is_unit(unit) else ""


def _is_unit(text: str) -> bool:
    return any(text in table for table in UNIT_TABLES)


def _missing(meant: Mapping[str, object], unknown: Sequence[str]) -> list[Problem]:
    """Facts that every row needs; an age may be told by the dates of birth and of the visit."""
    found = []
    for name in ("sex", "age_years"):
        if name in meant or (name == "age_years" and {"birth_date", "date"} <= set(meant)):
            continue
        likely = [column for column in unknown if other_name(column) == name]
        remedy = f"Use {mapping(likely[0], name)}." if likely else added_offer(name)
        found.append(Problem("E401", f"column {name}", "missing", remedy))
    return found


def _unclear(names: Iterable[str], meant: Container[str]) -> list[Problem]:
    """Columns that are not known, and too near to something that matters to be passed over."""
    found = []
    for name in map(str, names):
        plain = _plain(name)
        where = f"column {name}"
        if re.fullmatch(r"suprailiac(_[a-z]+)?(_[1-3])?", plain):
            found.append(Problem("E114", where, *suprailiac_offer()))
        elif fact := near_fact(name, FACTS, KNOWN):
            if fact not in meant and other_name(name) == fact and fact in ("sex", "age_years"):
                continue  # named where that column is missed
            found.append(Problem("E402", where, *close_offer(name, fact)))
        elif (quantity := quantity_named(plain)) is not None:
            if quantity.name not in meant:
                remedy = unit_offer(name, quantity)
                found.append(Problem("E409", where, "a measurement without its unit", remedy))
        elif (partner := other_name(name)) in ("sex", "age_years") and partner in meant:
            if "gen" not in plain:  # a gender is another thing
                what, remedy = f"means the same as column {partner}", mapping(name, NOT_USED)
                found.append(Problem("E403", where, what, f"Keep one, or use {remedy}."))
        elif partner.startswith("waist_midpoint_") and _is_wanting(partner, meant):
            found.append(Problem("E114", where, *waist_offer(name, partner)))
        elif partner and _is_wanting(partner, meant):
            found.append(Problem("E402", where, *close_offer(name, partner)))
        elif (word := word_named(name)) and word not in meant:
            found.append(Problem("E402", where, *close_offer(name, word)))
    return found


def _is_wanting(name: str, meant: Container[str]) -> bool:
    """Whether the table has no column yet for what a name may mean; sex and age are asked for apart."""
    found = parsed(name, "")
    ours = found[0] if found else name
    if ours in ("sex", "age_years"):
        return False
    if ours == "waist_midpoint_cm":
        return not any(waist in meant for waist in WAISTS)
    pressures = {"blood_pressure_mmhg", "blood_pressure_upper_mmhg", "blood_pressure_lower_mmhg"}
    if ours == "blood_pressure_mmhg":
        return not any(pressure in meant for pressure in pressures)
    return ours not in meant and not (ours in pressures and "blood_pressure_mmhg" in meant)


# what a measurement or a word of the intake may be called
_NEAR = sorted({*BY_NAME, "waist", *_SHORT, *INTAKE_COLUMNS, *WORD_COLUMNS})


def unused_names(names: Iterable[str]) -> list[str]:
    """Return the names that look like measurements, by unit or name, but are not known.

    Codes, dates and notes may stand in a table; a misspelt quantity must not pass in silence.
    """
    return [name for name in map(str, names) if _looks_measured(name)]


@lru_cache(maxsize=4096)
def _looks_measured(name: str) -> bool:
    return name not in KNOWN and bool(
        name.lower().endswith(UNIT_ENDINGS)
        or _BODY.search(_plain(name))
        or other_name(name)
        or expecting_name(name)
        or difflib.get_close_matches(name.lower(), _NEAR, n=1, cutoff=0.8)
    )
