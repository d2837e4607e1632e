"""Parse numbers: what a typed number means at a question about the client, and in which unit."""

from __future__ import annotations

import re
from dataclasses import replace

from foldspan.intake.model import NONE
from foldspan.intake.rules import EARLIER_WEIGHTS, SPANS
from foldspan.intake.word_search import says_nothing
from foldspan.quantities import BY_NAME, KILOGRAMS_PER, UnreadableValue, read_value
from foldspan.session.answers import Prompt
from foldspan.session.checks import earlier_weight_objection, not_the_same
from foldspan.session.parsed import ParsedLine, again, answer
from foldspan.session.state import State

YOUNGEST, OLDEST = 5.0, 110.0


def unit_at(state: State, prompt: Prompt) -> str:
    """Return the unit in which a bare number is read at a prompt, "" where it has none."""
    is_us = state.facts.get("units") == "us"
    if prompt.kind == "reading" or prompt.key.startswith("mark."):
        kind = BY_NAME[prompt.quantity].kind
        if prompt.key.startswith("mark."):
            return "in" if is_us else "cm"
        if is_us and kind != "skinfold":
            return "lb" if kind == "mass" else "in"
        return BY_NAME[prompt.quantity].unit
    if prompt.key == "earlier_weight_kg":
        return "lb" if is_us else "kg"
    return {"age_years": "years"}.get(prompt.key, "months" if "months" in prompt.key else "")


def client_number(state: State, prompt: Prompt, text: str, stands: bool) -> ParsedLine:
    """Return what a number means: an age, months ago, an earlier weight."""
    if prompt.is_optional and text != "0" and says_nothing(text):
        # a time that nobody knows was not told; a weight or an event may be told to be none
        return answer(prompt, None if prompt.key == "earlier_weight_months_ago" else NONE)
    unit = unit_at(state, prompt)
    shown: tuple[float, ...] = ()
    try:
        if prompt.key == "earlier_weight_kg":
            low, high = EARLIER_WEIGHTS
            value = read_value(with_unit(text, unit), "kg")
            shown = tuple(float(f"{bound / KILOGRAMS_PER[unit]:.3g}") for bound in (low, high))
        elif prompt.key == "age_years":
            low, high = YOUNGEST, OLDEST
            value = read_value(text, "years")
        else:
            low, high = SPANS[prompt.key]
            value = read_value(text.removesuffix(" ago"), "months" if unit == "months" else "")
    except UnreadableValue as error:
        return again(error.code, error.what, error.remedy, text)
    except ValueError:
        return again("E101", "not a number", f"Type a number of {unit}.", text)
    if not low <= value <= high:
        low, high = shown or (low, high)
        return again("E102", f"outside {low:g} to {high:g} {unit}", "Check and type again.", text)
    if prompt.key == "earlier_weight_kg" and (
        wrong := earlier_weight_objection(state.known, value)
    ):
        return ParsedLine(problem=replace(wrong, given=text))
    other = None if stands else not_the_same(state.known, prompt.key, value)
    return answer(prompt, value) if other is None else ParsedLine(problem=other, asks_back=True)


def with_unit(text: str, unit: str) -> str:
    """Return a bare number with the unit of its prompt written out."""
    return f"{text} {unit}" if unit and re.fullmatch(r"[\d.,\s/]+", text) else text
