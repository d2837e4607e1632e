"""Session visit: what a session measured, as the tree of a visit file."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from foldspan.protocol.clothing import CORRECTED
from foldspan.quantities import BY_NAME
from foldspan.session import State
from foldspan.session_script import Known, guide_of, read_sites

SECTIONS = {
    "mass": "mass_height", "height": "mass_height", "skinfold": "skinfolds_mm",
    "girth": "girths_cm", "breadth": "breadths_cm",
}  # fmt: skip
INTAKE = (
    "birth_months_ago", "surgery_months_ago", "earlier_weight_kg", "earlier_weight_months_ago",
    "loss_wanted", "eating_concern", "symptoms", "conditions", "medicines",
)  # fmt: skip


def visit_tree(state: State) -> dict[str, Any]:
    """Return a session as the tree of a visit file.

    Sites that could not be taken are left out; a reading at the end of the scale is written ``"60+"``,
    one that was typed in another unit as it was typed.
    """
    known = state.known
    tree: dict[str, Any] = {"client": _client(known), "visit": _visit(known)}
    for name in read_sites(known):
        quantity = BY_NAME[name]
        section = SECTIONS[quantity.kind]
        key = name if section == "mass_height" else quantity.short_name
        tree.setdefault(section, {})[key] = readings_of(known, name)
    variants = {
        BY_NAME[name].short_name: guide_of(known, name).variant
        for name in read_sites(known)
        if guide_of(known, name).variant
    }
    told = {
        name: known.get(name) for name in INTAKE if known.get(name) not in (None, False, (), [])
    }
    if known.get("loss_wanted") is False:
        told["loss_wanted"] = False
    more = {"site_variants": variants, "how_taken": _manner(known), "intake": told}
    return tree | {section: lines for section, lines in more.items() if lines}


def readings_of(known: Known, name: str) -> list[float | str]:
    """Return the readings of a site as a visit file holds them, in the order taken."""
    found: list[float | str] = []
    for turn in (1, 2, 3):
        value = known.value(turn, name)
        if value is not None:
            answer = known.answers[f"{turn}.{name}"]
            typed = answer.get("typed", "")
            if known.is_at_least(turn, name):
                found.append(typed or f"{value:g}+")
            else:
                found.append(typed if any(sign.isalpha() for sign in typed) else value)
    return found


def _client(known: Known) -> dict[str, Any]:
    lines = {key: known.get(key) for key in ("code", "sex", "age_years")}
    if known.get("pregnant"):
        lines["pregnant"] = True
    return {key: value for key, value in lines.items() if value not in (None, "")}


def _visit(known: Known) -> dict[str, Any]:
    facts = {"date": known.facts.get("day"), "time": known.facts.get("time")}
    facts |= {key: known.facts.get(key) or known.get(key) for key in ("tester", "calliper")}
    return {key: value for key, value in facts.items() if value not in (None, "")}


def _manner(known: Known) -> dict[str, Any]:
    """What differs from the usual manner of taking."""
    sites = read_sites(known)
    short = {name: BY_NAME[name].short_name for name in sites}
    covered = known.get("consent.uncover") is False
    manner: Mapping[str, Any] = {
        "repeat_rule": known.facts.get("repeat_rule", "2mm"),
        "scale_step_mm": known.facts.get("scale_step_mm"),
        "over_clothing": [short[name] for name in sites if covered and name in CORRECTED],
        "left_side": [short[name] for name in sites if _is_left(known, name)],
    }
    return {key: value for key, value in manner.items() if value not in (None, 0.0, [], "", "2mm")}


def _is_left(known: Known, name: str) -> bool:
    answers = (known.get(f"{turn}.{name}") for turn in (1, 2, 3))
    return any(isinstance(one, Mapping) and one.get("side") == "left" for one in answers)
