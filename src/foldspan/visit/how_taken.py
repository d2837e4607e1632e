"""Reading ``[how_taken]``: repeat rules, step of the scale, girths over clothing, sites on the left."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import Any, Protocol

from foldspan.measurement.conditions import HowTaken
from foldspan.protocol.clothing import CORRECTED
from foldspan.protocol.repeat_rules import GIRTH_RULE_BY_KEY, RULE_BY_KEY, USUAL
from foldspan.quantities import BY_NAME, MEASURED
from foldspan.units import plain_number

HOW_TAKEN_KEYS = ("repeat_rule", "girth_rule", "scale_step_mm", "over_clothing", "left_side")
STEPS_MM = (0.1, 2.0)


class Reader(Protocol):
    """What reading needs of the reader of the whole visit; see ``reader``."""

    def note(self, code: str, place: str, what: str, remedy: str, given: object = "") -> None:
        """Add a problem."""

    def section(
        self, tree: Mapping[str, Any], name: str, known: tuple[str, ...]
    ) -> Mapping[str, Any]:
        """Return a section as a mapping, its unknown keys reported."""


def read_how_taken(reader: Reader, tree: Mapping[str, Any], sites: Collection[str]) -> HowTaken:
    """Return the manner of a visit; ``sites`` are the quantities that were read."""
    given = reader.section(tree, "how_taken", HOW_TAKEN_KEYS)
    girths = _names(reader, given, "over_clothing", sites)
    for name in [name for name in girths if name not in CORRECTED]:
        what = f"there is no published correction for {BY_NAME[name].label} over clothing"
        remedy = (
            "Measure on bare skin, or leave it out; only waists and the hip can be listed here."
        )
        reader.note("E113", "[how_taken] over_clothing", what, remedy, name)
    return HowTaken(
        repeat_rule=_rule(reader, given, "repeat_rule", RULE_BY_KEY),
        girth_rule=_rule(reader, given, "girth_rule", GIRTH_RULE_BY_KEY),
        scale_step_mm=_step(reader, given),
        over_clothing=tuple(name for name in girths if name in CORRECTED),
        left_side=_names(reader, given, "left_side", sites),
    )


def _rule(reader: Reader, given: Mapping[str, Any], key: str, known: Collection[str]) -> str:
    rule = given.get(key, USUAL[key])
    if isinstance(rule, str) and rule in known:
        return rule
    remedy = f"Use {', '.join(known)}."
    reader.note("E113", f"[how_taken] {key}", "not one of the repeat rules", remedy, rule)
    return USUAL[key]


def _step(reader: Reader, given: Mapping[str, Any]) -> float:
    if "scale_step_mm" not in given:
        return 0.0
    place, low, high = "[how_taken] scale_step_mm", *STEPS_MM
    shape = f"Write a number of millimetres from {low:g} to {high:g}."
    step = plain_number(reader.note, given["scale_step_mm"], "mm", place, shape=shape, again=shape)
    if step is None:
        return 0.0
    if not low <= step <= high:
        what = f"outside {low:g} to {high:g} mm"
        reader.note("E102", place, what, "Check the size of one division on the calliper.", step)
        return 0.0
    return step


def _names(
    reader: Reader, given: Mapping[str, Any], key: str, sites: Collection[str]
) -> tuple[str, ...]:
    """Quantities of a list of short names; unknown ones, and those without a reading, are told."""
    listed = given.get(key, [])
    listed = [listed] if isinstance(listed, str) else listed
    place = f"[how_taken] {key}"
    if not isinstance(listed, (list, tuple)):
        reader.note("E121", place, "not a list of names", f'Write {key} = ["…"].')
        return ()
    by_short = {BY_NAME[name].short_name: name for name in MEASURED}
    found = []
    for typed in listed:
        name = by_short.get(typed, typed) if isinstance(typed, str) else ""
        if name not in MEASURED:
            reader.note("E115", place, "unknown name", "Use the names of the sites above.", typed)
        elif name in sites:
            found.append(name)
        else:
            what = f"{BY_NAME[name].label} was not measured"
            reader.note("E120", place, what, "Add its readings, or take it off the list.")
    return tuple(dict.fromkeys(found))
