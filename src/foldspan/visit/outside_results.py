"""Reading ``[[outside_results]]``: what the client was told elsewhere, as it stands on the sheet."""

from __future__ import annotations

import math
from collections.abc import Mapping
from datetime import date
from typing import Any, Protocol

from foldspan.external.combine import OutsideResult
from foldspan.external.consistency import Sheet
from foldspan.protocol.outside_methods import OUTSIDE_BY_KEY, SOUND
from foldspan.units import plain_number


class Reader(Protocol):
    """What reading needs of the reader of the whole visit; see ``reader``."""

    def note(self, code: str, place: str, what: str, remedy: str, given: object = "") -> None:
        """Add a problem."""

    def unknown(self, place: str, name: str, known: tuple[str, ...], kind: str) -> None:
        """Report an unknown name."""

    def choice(self, given: Any, place: str, words: tuple[str, ...], missing: str) -> Any:
        """Return one of the words, or None with a problem."""

    def day(self, given: Any, place: str) -> date | None:
        """Return a date, or None."""


MASSES = {"fat_mass_kg": "fat_mass", "fat_free_mass_kg": "fat_free_mass", "weight_kg": "weight"}
# sheets call all but fat by either name; whether bone is in it their sums tell
LEAN_MASS = "lean_mass_kg"
OUTSIDE_KEYS = ("method", "fat_percent", *MASSES, LEAN_MASS, "date")
# slips of the pen beyond these are refused; what is merely unsound is read and said
MOST_KG = 500.0


def read_outside(reader: Reader, tree: Mapping[str, Any]) -> tuple[OutsideResult, ...]:
    """Return the outside results of a visit tree; problems go to the reader."""
    given = tree.get("outside_results", [])
    if isinstance(given, Mapping):
        given = [given]
    if not isinstance(given, (list, tuple)) or not all(isinstance(x, Mapping) for x in given):
        remedy = "Write [[outside_results]] and its lines below, once for each result."
        reader.note("E121", "[[outside_results]]", "not a list of results", remedy)
        return ()
    found = []
    for order, entry in enumerate(given, start=1):
        place = "[[outside_results]]" if len(given) == 1 else f"[[outside_results]] {order}"
        for key in entry:
            if key not in OUTSIDE_KEYS:
                reader.unknown(f"{place} {key}", str(key), OUTSIDE_KEYS, "name")
        entry = _as_fat_free_mass(reader, entry, place)
        method = reader.choice(
            entry.get("method", "unknown"), f"{place} method", tuple(OUTSIDE_BY_KEY), "E113"
        )
        numbers = {
            name: read_number(reader, entry[key], f"{place} {key}", unit)
            for key, name, unit in (
                ("fat_percent", "fat_percent", "%"),
                *((key, name, "kg") for key, name in MASSES.items()),
            )
            if key in entry
        }
        day = reader.day(entry.get("date"), f"{place} date")
        if not numbers:
            remedy = "Add fat_percent, or fat_mass_kg with weight_kg."
            reader.note("E120", place, "no result", remedy)
            continue
        found.append(OutsideResult(method or "unknown", Sheet(**numbers), day))
    return tuple(found)


def _as_fat_free_mass(reader: Reader, entry: Mapping[str, Any], place: str) -> Mapping[str, Any]:
    """A result with all but fat under one name; where both are there the one with bone counts."""
    if LEAN_MASS not in entry:
        return entry
    if "fat_free_mass_kg" in entry:
        remedy = "Keep fat_free_mass_kg, or lean_mass_kg if the sheet gives only that."
        reader.note("E122", f"{place} {LEAN_MASS}", "the same mass twice", remedy)
    renamed = {key: value for key, value in entry.items() if key != LEAN_MASS}
    return {"fat_free_mass_kg": entry[LEAN_MASS]} | renamed


def read_number(reader: Reader, given: Any, place: str, unit: str) -> float | None:
    """Return a percentage or a mass in kilograms, or None with a problem."""
    bare = given
    if isinstance(given, str):
        bare = given.strip().removesuffix("%").strip() if unit == "%" else given
        if bare.lower().lstrip("+-") in ("nan", "inf", "infinity"):
            bare = math.nan
        elif unit == "%" and any(sign.isalpha() for sign in bare):
            reader.note("E101", place, "not a number", "Write a number such as 24.5.", given)
            return None
    shape = "Write a number, or a text with its unit."
    again = "Copy it again, or leave it out."
    # a bare number is itself in any unit, so a percentage may go by kilograms
    value = plain_number(reader.note, bare, "kg", place, shape=shape, again=again)
    if value is None:
        return None
    if value <= 0.0:
        reader.note("E107", place, "zero or negative", "Copy it again, or leave it out.", given)
        return None
    most = 100.0 if unit == "%" else MOST_KG
    if value > most:
        what = f"impossible: more than {most:g} {unit}"
        reader.note("E102", place, what, "Copy it again, and check its unit.", given)
        return None
    return value


def read_reference(reader: Reader, visit: Mapping[str, Any]) -> dict[str, Any]:
    """A measured reference that stands in the file, and what it was measured by."""
    found: dict[str, Any] = {}
    reference_method = visit.get("reference_method")
    if reference_method is not None or "reference_fat_percent" in visit:
        place = "[visit] reference_method"
        found["reference_method"] = (
            reader.choice(reference_method, place, ("density", "dxa"), "E113") or ""
        )
    given = visit.get("reference_fat_percent")
    if given is not None:
        place = "[visit] reference_fat_percent"
        # compared before it is turned: a whole number can be too long for a float
        is_number = isinstance(given, int | float) and not isinstance(given, bool)
        if not is_number or not SOUND[0] <= given <= SOUND[1]:
            remedy = "Write a number from {:g} to {:g}.".format(*SOUND)
            reader.note("E102", place, "not a body-fat percentage", remedy, given)
        else:
            found["reference_fat_percent"] = float(given)
    return found
