"""Session page answers: what a typed line means on a page that asks several things at once."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from typing import Any

from foldspan.intake import NONE
from foldspan.session import State
from foldspan.session_heard import Heard, again
from foldspan.session_known import Prompt, told_last_time
from foldspan.session_pages import LINE_WORDS, WITH_DETAIL
from foldspan.session_plan import asked_for
from foldspan.told_words import says_nothing

YES = ("y", "yes", "all")
NO = ("n", "no", "not")
# Words that change nothing between the lines of a page.
BETWEEN = ("to", "but", "and", "the", "except")


def _those(state: State, prompt: Prompt, text: str, stands: bool) -> Heard:
    """Those that apply, ``none``, or nothing: not asked, or not answered."""
    if not text:
        return _page(prompt, dict.fromkeys(prompt.words))
    if says_nothing(text) and text != "0":
        return _page(prompt, {key: _none(key) for key in prompt.words})
    named, unknown = _named(text, prompt.words)
    if unknown:
        remedy = (
            f"Type {_choices(prompt.words)}, none, or Enter if it was not asked or not answered."
        )
        return again("E113", "not a line of this page", remedy, unknown)
    values = {key: key in named or _none(key) for key in prompt.words}
    # what has a number or a word to it comes next, by itself
    return _page(
        prompt,
        {key: one for key, one in values.items() if not (key in named and key in WITH_DETAIL)},
    )


def _permit(state: State, prompt: Prompt, text: str, stands: bool) -> Heard:
    """Yes to all, no to all, or those that are refused by name: ``no touch, no mark``."""
    example = f"no {LINE_WORDS[prompt.words[0]]}"
    remedy = f"Type y for yes to all, n for no to all, or the lines with a no, such as {example}."
    if not text:
        return again("E101", "nothing was typed", remedy)
    answers: dict[str, bool] = {}
    to_all: bool | None = None  # a yes or no that names no line
    is_yes: bool | None = None
    names_a_line = True
    for word in re.findall(r"[^\s,;]+", text.lower()):
        if word in BETWEEN:
            continue
        if word in YES or word in NO:
            to_all = to_all if names_a_line else is_yes
            is_yes, names_a_line = word in YES, False
            continue
        named, unknown = _named(word, prompt.words)
        if unknown or is_yes is None:
            what = "not a line of this page" if unknown else "neither yes nor no"
            return again("E113", what, remedy, word)
        answers |= dict.fromkeys(named, is_yes)
        names_a_line = True
    to_all = to_all if names_a_line else is_yes
    if to_all is None and not any(answers.values()):
        to_all = True  # "no touch": a yes to the others, as the page says
    missing = [LINE_WORDS[key] for key in prompt.words if key not in answers]
    if to_all is None and missing:
        return again("E113", f"nothing is said to {', '.join(missing)}", remedy, text)
    values = {key: answers.get(key, bool(to_all)) for key in prompt.words}
    return _page(prompt, _unsettled(state, values))


def _unsettled(state: State, values: Mapping[str, bool]) -> dict[str, bool]:
    """Leave out a yes to what a no on the same page has settled: no touch, so no pen."""
    known = replace(state.known, answers={**state.known.answers, **values})
    asked = {f"consent.{item}" for item in asked_for(known)}
    return {
        key: one
        for key, one in values.items()
        if not (key.startswith("consent.") and one and key not in asked)
    }


def _still(state: State, prompt: Prompt, text: str, stands: bool) -> Heard:
    """All still so, or the lines that changed, which are asked anew."""
    told = told_last_time(state.known)
    if text.lower() in ("y", "yes"):
        return _page(prompt, told)
    if text.lower() in ("n", "no"):
        return _page(prompt, {})
    changed, unknown = _named(text, prompt.words)
    if unknown or not text:
        remedy = f"Type y if all is still so, n to ask all anew, or what changed: {_choices(told)}."
        code, what = ("E113", "not a line of this page") if text else ("E101", "nothing was typed")
        return again(code, what, remedy, unknown)
    if "earlier_weight_kg" in changed:
        changed.add("earlier_weight_months_ago")
    return _page(prompt, {key: one for key, one in told.items() if key not in changed})


def _named(text: str, keys: Iterable[str]) -> tuple[set[str], str]:
    """Which lines of a page are named, by word, beginning or number; and the first that is none."""
    lines = {LINE_WORDS[key]: key for key in keys}
    found: set[str] = set()
    for word in re.findall(r"[^\s,;]+", text.lower()):
        if word in BETWEEN:
            continue
        if word.isdigit() and 1 <= int(word) <= len(lines):
            found.add([*lines.values()][int(word) - 1])
            continue
        stem = word if word in lines else word.rstrip("s")
        near = [word] if word in lines else [one for one in lines if one.startswith(stem)]
        if len(near) != 1 or not stem:
            return found, word
        found.add(lines[near[0]])
    return found, ""


def _none(key: str) -> Any:
    """The answer that something was asked and does not apply."""
    return NONE if key in WITH_DETAIL else False


def _choices(keys: Iterable[str]) -> str:
    return ", ".join(LINE_WORDS[key] for key in keys if key in LINE_WORDS)


def _page(prompt: Prompt, values: Mapping[str, Any]) -> Heard:
    return Heard(event="page", body={"key": prompt.key, "values": dict(values)})


PAGE_KINDS: dict[str, Callable[[State, Prompt, str, bool], Heard]] = {
    "those": _those, "permit": _permit, "still": _still,
}  # fmt: skip
