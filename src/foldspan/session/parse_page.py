"""Parse a page: what a typed line means on a page that asks several things at once."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import takewhile
from typing import Any, NamedTuple

from foldspan.intake.model import NONE
from foldspan.intake.word_search import says_nothing
from foldspan.session.answers import WHO, Prompt, shown_last_time
from foldspan.session.events import PageAnswered
from foldspan.session.pages import LINE_WORDS, UNDER_ANOTHER, WITH_DETAIL, shown_lines
from foldspan.session.parse_client_answers import ANSWER_PARSERS
from foldspan.session.parse_numbers import client_number
from foldspan.session.parsed import ParsedLine, again
from foldspan.session.questions import script
from foldspan.session.sites import asked_for
from foldspan.session.state import State

YES = ("y", "yes")
NO = ("n", "no", "not")
ALL = "all"
# Words behind which the other answer holds.
EXCEPT = ("but", "except")
# Words that change nothing between the lines of a page.
BETWEEN = ("to", "and", "the")
# How what stands behind a line is read: as at the question itself.
DETAIL_KINDS = {**ANSWER_PARSERS, "number": client_number}


def _those(state: State, prompt: Prompt, text: str, stands: bool) -> ParsedLine:
    """Those that apply, ``none``, or nothing: not asked, or not answered."""
    if not text:
        return _page(prompt, dict.fromkeys(prompt.words))
    if says_nothing(text) and text != "0":
        return _page(prompt, {key: _none(key) for key in prompt.words})
    named = lines_named(text, prompt.words)
    if named.unknown:
        remedy = (
            f"Type {_choices(prompt.words)}, none, or Enter if it was not asked or not answered."
        )
        return again("E113", "not a line on this page", remedy, named.unknown)
    reported = _details(state, named.details)
    if isinstance(reported, ParsedLine):
        return reported
    values = {key: key in named.keys or _none(key) for key in prompt.words}
    # what has a number or words to it comes next, by itself
    asked_next = {key for key in named.keys if key in WITH_DETAIL}
    return _page(
        prompt, {key: value for key, value in values.items() if key not in asked_next} | reported
    )


def _permit(state: State, prompt: Prompt, text: str, stands: bool) -> ParsedLine:
    """Yes to all, no to all, or those that are refused by name: ``no touch, no mark``."""
    example = f"no {LINE_WORDS[prompt.words[0]]}"
    remedy = f"Type y for yes to all, n for no to all, or the lines with a no, such as {example}."
    if not text:
        return again("E101", "nothing was typed", remedy)
    answers: dict[str, bool] = {}
    to_all: bool | None = None  # a yes or no that names no line
    is_yes: bool | None = None
    names_a_line, is_open = True, False  # open is an exception that has not been named yet
    for part, word in _words(text):
        if word in YES or word in NO:
            to_all = to_all if names_a_line else is_yes
            is_yes, names_a_line = word in YES, False
            continue
        if word == ALL:  # "no to all" is a no
            is_yes = to_all = is_yes is not False
            names_a_line = True
            continue
        if word in EXCEPT and is_yes is not None:
            to_all = to_all if names_a_line else is_yes
            is_yes, names_a_line, is_open = not is_yes, True, True
            continue
        key = _line(word, prompt.words)
        if not key or is_yes is None:
            what = "neither yes nor no" if key else "not a line on this page"
            return again("E113", what, remedy, part)
        answers[key] = is_yes
        names_a_line, is_open = True, False
    if is_open:
        return again("E113", "an exception without a line", remedy, text)
    to_all = to_all if names_a_line else is_yes
    if to_all is None and not any(answers.values()):
        to_all = True  # "no touch": a yes to the others, as the page says
    missing = [LINE_WORDS[key] for key in prompt.words if key not in answers]
    if to_all is None and missing:
        return again("E113", f"no answer for {', '.join(missing)}", remedy, text)
    values = {key: answers.get(key, bool(to_all)) for key in prompt.words}
    return _page(prompt, _unsettled(state, values))


def _unsettled(state: State, values: Mapping[str, bool]) -> dict[str, bool]:
    """Leave out a yes to what a no on the same page has settled: no touch, so no pen."""
    known = replace(state.known, answers={**state.known.answers, **values})
    open_keys = {f"consent.{item}" for item in asked_for(known)}
    return {
        key: value
        for key, value in values.items()
        if not (key.startswith("consent.") and value and key not in open_keys)
    }


def _still(state: State, prompt: Prompt, text: str, stands: bool) -> ParsedLine:
    """All still so, or the lines that changed: told behind their word, else asked anew."""
    reported = shown_last_time(state.known, prompt.key)
    if text.lower() in ("y", "yes"):
        return _page(prompt, reported)
    if text.lower() in ("n", "no"):
        return _page(prompt, {})
    # "y, pressure 128/82": all is still so, and this beside it
    changed = lines_named(re.sub(r"^(y|yes)\b[\s,;]*", "", text, flags=re.IGNORECASE), prompt.words)
    if changed.unknown or not text:
        remedy = (
            "Type y if nothing has changed, n to ask everything again, or what has changed:"
            f" {_choices(reported)}."
        )
        code, what = ("E113", "not a line on this page") if text else ("E101", "nothing was typed")
        return again(code, what, remedy, changed.unknown)
    details = _details(state, changed.details, stands=stands or prompt.key != WHO)
    if isinstance(details, ParsedLine):
        return details
    gone = {*changed.keys, *changed.details}
    gone |= {key for key, other in UNDER_ANOTHER.items() if other in gone}
    return _page(
        prompt, {key: answer for key, answer in reported.items() if key not in gone} | details
    )


class LinesNamed(NamedTuple):
    """Lines of a page that were typed: by their ``keys``, or with ``details`` behind their word.

    ``unknown`` is the first part that names no line, all of its words; "" where there is none.
    """

    keys: set[str]
    details: dict[str, str]
    unknown: str = ""


def lines_named(text: str, keys: Iterable[str]) -> LinesNamed:
    """Return the lines that are named by word, beginning or number, with what stands behind them.

    >>> lines_named("train, pressure 128/82", ["athlete", "blood_pressure_mmhg"])
    LinesNamed(keys={'athlete'}, details={'blood_pressure_mmhg': '128/82'}, unknown='')
    """
    shown = shown_lines(keys)
    found = LinesNamed(set(), {})
    for part in _parts(text):
        words = part.split()
        at = 0
        while at < len(words):
            word = words[at].lower()
            at += 1
            if word in (*BETWEEN, *EXCEPT):
                continue
            key = _line(word, shown)
            if not key:
                return found._replace(unknown=part)
            behind = _behind(words[at:], shown) if key in WITH_DETAIL and word[0].isalpha() else []
            if behind:
                found.details[key] = " ".join(behind)
            else:
                found.keys.add(key)
            at += len(behind)
    return found


def _behind(words: Sequence[str], keys: Sequence[str]) -> list[str]:
    """The words behind a line that belong to it: up to the next line that is named in full."""
    lines = {LINE_WORDS[key] for key in keys}
    if words and words[0].lower() in (*BETWEEN, *EXCEPT):
        return []
    return [*takewhile(lambda word: word.lower() not in lines, words)]


def _parts(text: str) -> list[str]:
    """What stands between commas; a decimal comma, and months behind a weight, part nothing."""
    months = r"[,;]\s*(?=\d+([.,]\d+)?\s*(days?|weeks?|months?|years?)\b)"
    parts: list[str] = []
    for piece in re.split(r"[,;]", re.sub(months, " ", text)):
        is_decimal = bool(parts) and bool(re.search(r"[^\W\d_].*\d$", parts[-1]))
        if is_decimal and piece[:1].isdigit():
            parts[-1] += f",{piece}"
        else:
            parts.append(piece)
    return [part.strip() for part in parts if part.strip()]


def _words(text: str) -> Iterator[tuple[str, str]]:
    """Every word that means something, with the part between commas that it stands in."""
    for part in re.split(r"[,;]", text):
        for word in part.lower().split():
            if word not in BETWEEN:
                yield part.strip(), word


def _line(word: str, keys: Iterable[str]) -> str:
    """The line that a word, its beginning or a number names, "" where it is none or several."""
    lines = {LINE_WORDS[key]: key for key in keys}
    if word.isdigit() and 1 <= int(word) <= len(lines):
        return [*lines.values()][int(word) - 1]
    stem = word if word in lines else word.rstrip("s")
    near = [word] if word in lines else [line for line in lines if line.startswith(stem)]
    return lines[near[0]] if len(near) == 1 and stem else ""


def _details(
    state: State, typed: Mapping[str, str], *, stands: bool = True
) -> dict[str, Any] | ParsedLine:
    """Answers that were typed behind their lines, or why one of them is none.

    Unless it ``stands``, what cannot be of the same person is asked back.
    """
    prompts = {prompt.key: prompt for prompt in script(state.known)}
    reported: dict[str, Any] = {}
    for key, text in typed.items():
        for name, part in _split(key, text).items():
            prompt = prompts.get(name) or Prompt(name, "number", is_optional=True)
            parsed = DETAIL_KINDS[prompt.kind](state, prompt, part, stands)
            if parsed.body is None:
                return parsed
            reported[name] = parsed.body["value"]
    return reported


def _split(key: str, text: str) -> dict[str, str]:
    """An earlier weight and how long ago that was, in one line: ``74 kg 8 months ago``."""
    times = r"(.*\S)\s+(\d+(?:[.,]\d+)?\s*(?:days?|weeks?|months?|years?)(?: ago)?)"
    if key == "earlier_weight_kg" and (both := re.fullmatch(times, text, re.IGNORECASE)):
        return {key: both.group(1), "earlier_weight_months_ago": both.group(2)}
    return {key: text}


def _none(key: str) -> Any:
    """The answer that something was asked and does not apply."""
    return NONE if key in WITH_DETAIL else False


def _choices(keys: Iterable[str]) -> str:
    return ", ".join(LINE_WORDS[key] for key in shown_lines(keys))


def _page(prompt: Prompt, values: Mapping[str, Any]) -> ParsedLine:
    return ParsedLine(moves=PageAnswered(prompt.key, dict(values)))


PAGE_KINDS: dict[str, Callable[[State, Prompt, str, bool], ParsedLine]] = {
    "those": _those, "permit": _permit, "still": _still,
}  # fmt: skip
