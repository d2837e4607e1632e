"""Column names: what a column by another name is likely to be, where a miss could hurt somebody."""

from __future__ import annotations

import difflib
import re
import unicodedata
from collections.abc import Container, Sequence
from functools import cache, lru_cache

from foldspan.intake.word_search import the_word
from foldspan.measurement.site_names import suprailiac_sites, waist_levels
from foldspan.problems import Problem
from foldspan.quantities import BY_NAME, CENTIMETRES_PER, KILOGRAMS_PER, UNIT_WORDS, Quantity
from foldspan.standards.column_names import EXPECTING, OTHER_NAMES
from foldspan.standards.intake_vocabulary import CONDITIONS, SYMPTOMS

# words of a header that say when and how, not what
FILLERS = frozenset(
    ("today", "now", "current", "currently", "measured", "self", "reported", "visit", "clinic", "client",
     "patient", "value", "mean", "average", "avg", "first", "resting", "at", "in", "of", "the", "my",
     "your", "heute", "aktuell", "gemessen", "wert", "actuel")
)  # fmt: skip
# what a flag or a refusal rests on; a medicine passes with a note, as blood tests go by their names too
_WORDS = frozenset({*SYMPTOMS, *CONDITIONS, "eating_concern", "periods_stopped", "pregnant"})
# a name that the caller gives to a column that is to be passed over
NOT_USED = "not_used"
_CONTROL = re.compile(r"[\x00-\x08\x0e-\x1f\x7f]")
_NUMBER = re.compile(r"\s*[-+]?\d+(?:[.,]\d+)?\s*")


def first_line_fault(
    names: Sequence[str], meant: Container[str], *, has_known: bool
) -> Problem | None:
    """Return why a first line is none of names, without repeating it: it may be a client's row.

    ``meant`` are names that the caller says something of, ``has_known`` whether any is known here.
    """
    numbers = [name for name in names if _NUMBER.fullmatch(name)]
    # where a line's end is lost, the first row stands among the names
    readings = [name for name in numbers if not name.strip().lstrip("+-").isdecimal()]
    if (numbers and not has_known) or any(name not in meant for name in readings):
        what = "the first line contains numbers, not names"
        remedy = "Put the column names in the first line, on a line of their own."
        return Problem("E404", "table", what, remedy)
    if any(_CONTROL.search(name) for name in names):
        what = "the first line contains a control character"
        remedy = "Save the table again, with the column names on a line of their own."
        return Problem("E404", "table", what, remedy)
    if sum(not name.strip() for name in names) > len(names) / 2:
        what = "the first line has no column names"
        return Problem("E404", "table", what, "Delete everything above the column names.")
    return None


def given_twice(name: str, place: int) -> Problem:
    """Return the problem of a name given twice; a number may be that of a client."""
    if name.strip()[:1].isdigit():
        what = f"the name of column number {place + 1} is given twice"
        return Problem("E403", "first line", what, "Keep one.")
    return Problem("E403", f"column {name}", "given twice", "Keep one.")


def plain_letters(name: str) -> str:
    """Return a name in lower case without accents, one underscore between its words.

    Examples
    --------
    >>> plain_letters("Größe (cm)")
    'grosse_cm'
    """
    bare = unicodedata.normalize("NFKD", name.casefold())
    bare = "".join(sign for sign in bare if not unicodedata.combining(sign))
    return re.sub(r"[^a-z0-9]+", "_", bare).strip("_")


@cache
def _patterns() -> tuple[tuple[tuple[str, re.Pattern[str]], ...], ...]:
    return tuple(
        tuple((target, re.compile(pattern)) for target, pattern in table)
        for table in (EXPECTING, OTHER_NAMES)
    )


@lru_cache(maxsize=4096)
def cores_of(name: str) -> tuple[tuple[str, str], ...]:
    """Return a name without number, unit and fillers, in several readings, each with the unit."""
    found = []
    for plain in (plain_letters(name), plain_letters(re.sub(r"[(\[{].*?[)\]}]", " ", name))):
        words = plain.split("_")
        words = words[:-1] if len(words) > 1 and re.fullmatch(r"\d", words[-1]) else words
        unit = unit_anywhere(name)
        if len(words) > 1 and unit_named(words[-1]):
            unit = unit_named(words.pop())
        kept = [word for word in words if word not in FILLERS] or words
        bare = [word for word in kept if not unit_named(word)] or kept
        found += [("_".join(some), unit) for some in (words, kept, bare)]
    return tuple(dict.fromkeys(found))


def unit_named(word: str) -> str:
    """Return the unit that a word names, "" where it names none."""
    unit = UNIT_WORDS.get(word, word)
    known = unit in CENTIMETRES_PER or unit in KILOGRAMS_PER or unit in ("years", "mmHg")
    return unit if known else ""


def unit_anywhere(name: str) -> str:
    """Return the unit that stands anywhere in a name, "" for none; "in" alone may be a mere word."""
    words = [word for word in plain_letters(name).split("_") if word not in ("in", "m", "g", "d")]
    return next(filter(None, map(unit_named, words)), "")


def expecting_name(name: str) -> str:
    """Return the fact about pregnancy or birth that a column may hold, "" for none."""
    return _first(name, 0)


def other_name(name: str) -> str:
    """Return the column here that a name of a form is likely to mean, with its unit, "" for none.

    Examples
    --------
    >>> other_name("Gewicht (kg)"), other_name("Weight today, lbs"), other_name("BP")
    ('weight_kg', 'weight_lb', 'blood_pressure_mmhg')
    """
    return _first(name, 1)


@lru_cache(maxsize=4096)
def _first(name: str, table: int) -> str:
    for core, unit in cores_of(name):
        for target, pattern in _patterns()[table]:
            if pattern.fullmatch(core):
                return _in_its_unit(target, unit)
    return ""


def _in_its_unit(target: str, unit: str) -> str:
    """A column name here with the unit that a header tells, where that can be meant."""
    stem, _, own = target.rpartition("_")
    for table in (CENTIMETRES_PER, KILOGRAMS_PER):
        if own in table and unit in table:
            return f"{stem}_{unit}"
    return target


@lru_cache(maxsize=4096)
def word_named(name: str) -> str:
    """Return the word of the intake that a column by another name may hold, "" for none.

    Examples
    --------
    >>> word_named("Diabetic?"), word_named("Hypertension (y/n)"), word_named("Notes")
    ('diabetes', 'high_blood_pressure', '')
    """
    core = re.sub(r"[(\[{].*?[)\]}]|[?!*]", " ", name).replace("_", " ").strip()
    word = the_word(core, _WORDS)
    return word if word in _WORDS else ""


def near_fact(name: str, facts: Container[str], known: tuple[str, ...]) -> str:
    """Return the fact about a client that a column may mean, or "": a miss here could hurt."""
    plain = name.strip().lower().removeprefix("is_")
    if found := expecting_name(name):
        return found
    if plain in ("age", "ages") or plain.startswith("age_"):
        return "age_years"
    near = _nearest(plain, known)
    return near if near in facts else ""


@lru_cache(maxsize=4096)
def _nearest(name: str, known: tuple[str, ...]) -> str:
    return next(iter(difflib.get_close_matches(name, known, n=1, cutoff=0.8)), "")


def mapping(name: str, target: str) -> str:
    """Return the option that says what a column is, quoted where the name needs it."""
    pair = f"{name}={target}"
    return f'--map "{pair}"' if re.search(r"[\s()\[\]{}&;'$|<>]", pair) else f"--map {pair}"


def unit_offer(name: str, quantity: Quantity) -> str:
    """Return what to write for a measurement without its unit; never what its own header contradicts."""
    units_meant = unit_anywhere(name)
    units = {"kg": ("kg", "lb"), "cm": ("cm", "in"), "mm": ("mm",)}.get(
        quantity.unit, (quantity.unit,)
    )
    if (
        units_meant and _in_its_unit(quantity.name, units_meant) != quantity.name
    ) or units_meant == quantity.unit:
        units = (units_meant,)
    said = " or ".join(f"--unit {name}={unit}" for unit in units)
    return f"Write {_in_its_unit(quantity.name, units[0])}, or use {said}."


def suprailiac_offer() -> tuple[str, str]:
    """Return what is wrong with a fold above the hip of no kind, and what to write."""
    what, choices = suprailiac_sites("_mm")
    return what, f"Use {choices}."


def waist_offer(name: str, target: str) -> tuple[str, str]:
    """Return what is wrong with a waist of no level, and what to say; ``target`` has its unit."""
    what, choices = waist_levels(target.rpartition("_")[2])
    return what, f"Use {mapping(name, 'LEVEL')}: {choices}; or {mapping(name, NOT_USED)}."


def added_offer(name: str) -> str:
    """Return what to do about a column that every row needs and the table has not."""
    dates = ", or birth_date and date" if name == "age_years" else ""
    return (
        f"Add {name}{dates} for every row; if the column has another name, use --map THEIRS={name}."
    )


def close_offer(name: str, target: str) -> tuple[str, str]:
    """Return what a column is close to, and how to say whether it is that."""
    remedy = (
        f"Use {mapping(name, target)}, or {mapping(name, NOT_USED)} if it is something else."
        " From Python, rename the column."
    )
    return f"unknown, but close to {target}", remedy


def quantity_named(name: str) -> Quantity | None:
    """Return the quantity that a name means which tells no unit, or None."""
    bare = re.sub(r"_[1-3]$", "", name)
    return next((quantity for quantity in BY_NAME.values() if quantity.short_name == bare), None)
