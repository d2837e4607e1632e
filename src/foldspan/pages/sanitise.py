"""Sanitise: what people typed, made fit to stand on a page; nothing is lost that can be read."""

from __future__ import annotations

import re
import unicodedata

# longest word that is left whole: beyond, it may be broken anywhere; no code in a visit file is so long
LONGEST_WORD = 44
# joiners of emoji and of scripts; every other sign that only steers, such as a turn of direction that
# would reach beyond its text, is left out
JOINERS = "\u200c\u200d"
# marks on one letter beyond this would reach over the lines above
MOST_MARKS = 3
BREAK = "\u200b"
CHANCES = re.compile(r"(?<=\d) (in|von|sur) (?=100\b)")
UNITS_AFTER = re.compile(r"(?<=\d) (?=(?:%|kg|cm|mm|lb|kg/m²)(?:\W|$))")


def as_typed(text: str) -> str:
    r"""Return a typed text as one line without control characters and without direction marks.

    Letters of every script, emoji with their joiners, and signs that mean something to a markup
    language stay as they are: each writer escapes for itself.

    Examples
    --------
    >>> as_typed("T-02\n <b>\u202eabc\x07")
    'T-02 <b>abc'

    A text of joiners alone joins nothing and cannot be seen.

    >>> as_typed("\u200d \u200c")
    ''
    """
    kept, marks = [], 0
    for char in text:
        if char.isspace():
            kept.append(" ")
        elif _can_be_seen(char):
            marks = marks + 1 if unicodedata.combining(char) else 0
            kept += [char] if marks <= MOST_MARKS else []
    line = " ".join("".join(kept).split())
    return line if line.strip(f" {JOINERS}") else ""


def _can_be_seen(char: str) -> bool:
    # Cc control, Cf steering, Cs half of a pair, Cn and Co not assigned
    return char in JOINERS or unicodedata.category(char) not in ("Cc", "Cf", "Cs", "Cn", "Co")


def kept_together(text: str) -> str:
    r"""Return a text in which a number is never parted from its unit, nor a chance from its hundred.

    Examples
    --------
    >>> kept_together("likely 7 in 100, 24 to 37 %").count("\u00a0")
    3
    """
    return UNITS_AFTER.sub("\u00a0", CHANCES.sub("\u00a0\\1\u00a0", text))


def breakable(text: str) -> str:
    r"""Return a text whose very long words may be broken, by signs of no width; no letter is cut.

    Examples
    --------
    >>> breakable("a" * 60).count("\u200b")
    1
    """
    return " ".join(map(_broken, text.split(" ")))


def _broken(word: str) -> str:
    parts, length = [], 0
    for place, char in enumerate(word):
        joins = unicodedata.combining(char) or char in JOINERS or word[place - 1] in JOINERS
        if length >= LONGEST_WORD and not joins:
            parts.append(BREAK)
            length = 0
        parts.append(char)
        length += 1
    return "".join(parts)
