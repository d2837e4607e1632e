"""To a visit: what a session measured, as the tree of a visit file."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from foldspan.intake.model import NONE, QUESTIONS
from foldspan.intake.rules import LISTS
from foldspan.intake.word_search import says_nothing, words_in
from foldspan.protocol.repeat_rules import USUAL
from foldspan.quantities import BY_NAME
from foldspan.session.answers import Known, read_sites, rules_of
from foldspan.session.events import Answer
from foldspan.session.sites import guide_of
from foldspan.session.state import State
from foldspan.visit.keys import HOME_OF

INTAKE = (
    "birth_months_ago", "surgery_months_ago", "earlier_weight_kg", "earlier_weight_months_ago",
    "loss_wanted", "eating_concern", "periods_stopped", "anabolic_drugs", "blood_pressure_mmhg",
    "symptoms", "conditions", "medicines",
)  # fmt: skip


# Answers that are never carried over: they held on the day on which they were told.
OF_THEIR_DAY = ("blood_pressure_mmhg", "earlier_weight_kg")


def visit_tree(state: State) -> dict[str, Any]:
    """Return a session as the tree of a visit file.

    Sites that could not be taken are left out; a reading at the end of the scale is written ``"60+"``,
    one that was typed in another unit as it was typed.
    """
    known = state.known
    tree: dict[str, Any] = {"client": _client(known), "visit": _visit(known)}
    for name in read_sites(known):
        section, key = HOME_OF[name]
        tree.setdefault(section, {})[key] = readings_of(known, name)
    variants = {
        BY_NAME[name].short_name: guide_of(known, name).variant
        for name in read_sites(known)
        if guide_of(known, name).variant
    }
    # none and no say something: that it was asked
    reported = {name: value for name in INTAKE if (value := known.get(name)) is not None}
    more = {"site_variants": variants, "how_taken": _manner(known), "intake": reported}
    return tree | {section: lines for section, lines in more.items() if lines}


def reported_before(tree: Mapping[str, Any], months: float | None) -> dict[str, Any]:
    """Return the answers of a kept visit that may still be so, by the keys of their prompts.

    ``months`` have passed since, None where nobody knows: then what was told in months ago is left out.
    A blood pressure, and a weight that nobody dated, hold for their day: None stands for them, so that
    the next visit can tell another. A pregnancy is asked anew, so is what cannot be read.
    """
    client, intake = tree.get("client", {}), tree.get("intake", {})
    reported: dict[str, Any] = {}
    for key in QUESTIONS:
        value = client.get(key, intake.get(key))
        if key in LISTS and value is not None:
            value = _as_words(value, LISTS[key])
        if _is_number(value) and key.endswith("months_ago"):
            value = None if months is None else round(float(value) + months, 1)
        is_of_its_day = key in OF_THEIR_DAY and value not in (None, NONE)
        if value is not None and key != "pregnant":
            reported[key] = None if is_of_its_day else value
    then, ago = intake.get("earlier_weight_kg"), intake.get("earlier_weight_months_ago")
    if months is not None and _is_number(then) and _is_number(ago):
        reported |= {
            "earlier_weight_kg": float(then),
            "earlier_weight_months_ago": round(float(ago) + months, 1),
        }
    calliper = tree.get("visit", {}).get("calliper")
    return reported | ({"calliper": calliper} if calliper else {})


def _is_number(value: Any) -> bool:
    return isinstance(value, (int, float)) and not isinstance(value, bool)


def _as_words(value: Any, known: Mapping[str, str]) -> list[str] | None:
    """A list of the intake in today's words, None where not all of it is understood."""
    listed = [value] if isinstance(value, str) else value
    read = [words_in(str(entry), known) for entry in listed if not says_nothing(str(entry))]
    if not all(words.is_plain for words in read):
        return None
    return [word for words in read for word in words.words]


def readings_of(known: Known, name: str) -> list[float | str]:
    """Return the readings of a site as a visit file holds them, in the order taken."""
    found: list[float | str] = []
    for turn, value in ((turn, known.value(turn, name)) for turn in turns_of(known, name)):
        if value is None:
            continue
        answer = known.reading(turn, name)
        typed = str(answer.get("typed", ""))
        if answer.get("at_least"):
            found.append(typed or f"{value:g}+")
        else:
            found.append(typed if any(sign.isalpha() for sign in typed) else value)
    return found


def turns_of(known: Known, name: str) -> tuple[int, ...]:
    """Return the readings of a site that count: those taken on one side, bare or over a layer.

    Where a consent was taken back or the side changed in mid-session, the larger group counts, the
    later one if they are as large; the other readings stay in the record.
    """
    groups: dict[tuple[str, bool], list[int]] = {}
    for turn in (1, 2, 3):
        if known.value(turn, name) is not None:
            answer = known.reading(turn, name)
            manner = (str(answer.get("side", "right")), bool(answer.get("layer")))
            groups.setdefault(manner, []).append(turn)
    _, _, turns = max((len(turns), turns[-1], turns) for turns in groups.values())
    return tuple(turns)


def has(known: Known, name: str, key: str, value: object) -> bool:
    """Whether the readings of a site that count were taken in this manner."""
    return known.reading(turns_of(known, name)[0], name).get(key) == value


def _client(known: Known) -> dict[str, Any]:
    lines = {key: known.get(key) for key in ("code", "sex", "age_years", "family_background")}
    lines |= {key: known.get(key) for key in ("pregnant", "athlete")}
    return {key: value for key, value in lines.items() if value not in (None, "")}


def _visit(known: Known) -> dict[str, Any]:
    facts: dict[str, Answer] = {"date": known.facts.get("day"), "time": known.facts.get("time")}
    facts |= {key: known.facts.get(key) or known.get(key) for key in ("tester", "calliper")}
    return {key: value for key, value in facts.items() if value not in (None, "")}


def _manner(known: Known) -> dict[str, Any]:
    """What differs from the usual manner of taking."""
    sites = read_sites(known)
    short = {name: BY_NAME[name].short_name for name in sites}
    manner = {
        **{key: rule for key, rule in rules_of(known).items() if rule != USUAL[key]},
        "scale_step_mm": known.facts.get("scale_step_mm"),
        "over_clothing": [short[name] for name in sites if has(known, name, "layer", True)],
        "left_side": [short[name] for name in sites if has(known, name, "side", "left")],
    }
    return {key: value for key, value in manner.items() if value not in (None, 0.0, [], "")}
