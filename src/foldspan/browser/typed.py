"""Typed: the fields of a form as the line that a trainer would type at the same prompt.

So both faces are understood by one parser, and the same answers lead to the same events.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from foldspan.quantities import BY_NAME
from foldspan.session.answers import Prompt
from foldspan.session.pages import LINE_WORDS

Fields = Mapping[str, Sequence[str]]
# what is not ticked and what was pressed without a tick are two things: nothing is answered by silence
NOTHING_TICKED = "nothing ticked"


def first(fields: Fields, name: str) -> str:
    """Return the first value of a field, "" where there is none."""
    values = fields.get(name, ())
    return str(values[0]).strip() if values else ""


def line_of(prompt: Prompt, fields: Fields) -> str:
    """Return what was typed, ticked or pressed as one line.

    Parameters
    ----------
    prompt : Prompt
        What was asked.
    fields : mapping
        Names of the fields with their values: ``line`` for a button or a word as it stands, ``note``,
        ``add``, else those of the kind of prompt (see ``templates/``).

    Returns
    -------
    str
        The line, to be given to ``parse_line``.
    """
    if "line" in fields:
        return first(fields, "line")
    if (
        "say" in fields
    ):  # a command with what belongs to it: note TEXT, back SITE; + SITE stands alone
        command = first(fields, "say")
        behind = first(fields, command)
        return behind if command == "plan" else f"{command} {behind}".strip()
    return _BY_KIND.get(prompt.kind, _typed)(prompt, fields)


def _typed(prompt: Prompt, fields: Fields) -> str:
    return first(fields, "typed")


def _reading(prompt: Prompt, fields: Fields) -> str:
    number = first(fields, "typed")
    if number and "at_least" in fields:
        number = f"{number}+"
    if number[-1:].isdigit() and (unit := first(fields, "unit")):
        number = f"{number} {unit}"
    return f"left {number}" if number and "left" in fields else number


def _words(prompt: Prompt, fields: Fields) -> str:
    words = [*fields.get("word", ()), *filter(None, [first(fields, "typed")])]
    return ", ".join(words) or NOTHING_TICKED


def _those(prompt: Prompt, fields: Fields) -> str:
    """Lines that are ticked, or have something behind them."""
    lines = [_with_detail(key, fields) for key in prompt.words if _is_named(key, fields)]
    return ", ".join(lines) or NOTHING_TICKED


def _still(prompt: Prompt, fields: Fields) -> str:
    return _those(prompt, fields)


def _permit(prompt: Prompt, fields: Fields) -> str:
    """A yes or a no to every line; a line without either is missed by the parser, and named there."""
    given = [(first(fields, LINE_WORDS[key]), LINE_WORDS[key]) for key in prompt.words]
    return ", ".join(f"{answer} {word}" for answer, word in given if answer in ("yes", "no"))


def _plan(prompt: Prompt, fields: Fields) -> str:
    """Plans, or words of one's own, then sites in and out."""
    named = first(fields, "typed") or ", ".join(fields.get("plan", ()))
    return f"{named} {first(fields, 'change')}".strip()


def _sites(prompt: Prompt, fields: Fields) -> str:
    """A distance at one site: which one is the value of the button."""
    site = first(fields, "site")
    if not site:
        return first(fields, "typed")
    return f"{BY_NAME[site].short_name} {first(fields, f'distance {site}')}".strip()


def _is_named(key: str, fields: Fields) -> bool:
    word = LINE_WORDS[key]
    return word in fields or bool(first(fields, f"{word} detail"))


def _with_detail(key: str, fields: Fields) -> str:
    word = LINE_WORDS[key]
    parts = [word, _without_commas(first(fields, f"{word} detail"))]
    if months := first(fields, f"{word} months"):
        parts.append(f"{months} months ago" if months.replace(".", "").isdigit() else months)
    return " ".join(part for part in parts if part)


def _without_commas(text: str) -> str:
    """A detail without what would part it from its line: a comma between words."""
    return text.replace("; ", " ").replace(", ", " ")


_BY_KIND: dict[str, Callable[[Prompt, Fields], str]] = {
    "reading": _reading, "words": _words, "those": _those, "still": _still, "permit": _permit,
    "plan": _plan, "sites": _sites,
}  # fmt: skip
