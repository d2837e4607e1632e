"""Typed text: what people typed, made fit to stand on a page; nothing is lost that can be read."""

from __future__ import annotations

import re
import unicodedata

# longest word that is left whole: beyond, it may be broken anywhere
LONGEST_WORD = 24
# signs that turn the direction of what follows, and would reach beyond the text they stand in
TURNING = {
    *"\u061c\u200e\u200f",
    *map(chr, range(0x202A, 0x202F)),
    *map(chr, range(0x2066, 0x206A)),
}
BREAK = "\u200b"
CHANCES = re.compile(r"(?<=\d) (in|von) (?=100\b)")
UNITS_AFTER = re.compile(r"(?<=\d) (?=(?:%|kg|cm|mm|lb|kg/m²)(?:\W|$))")


def as_typed(text: str) -> str:
    r"""Return a typed text as one line without control characters and without direction marks.

    Letters of every script, emoji with their joiners, and signs that mean something to a markup
    language stay as they are: each writer escapes for itself.

    Examples
    --------
    >>> as_typed("T-02\n <b>\u202eabc\x07")
    'T-02 <b>abc'
    """
    kept = "".join(
        " " if char.isspace() else char
        for char in text
        if char.isspace() or (char not in TURNING and _can_be_seen(char))
    )
    return " ".join(kept.split())


def _can_be_seen(char: str) -> bool:
    # Cc control, Cs half of a pair, Cn and Co not assigned; Cf has the joiners of emoji and scripts
    return unicodedata.category(char) not in ("Cc", "Cs", "Cn", "Co")


def kept_together(text: str) -> str:
    r"""Return a text in which a number is never parted from its unit, nor a chance from its hundred.

    Examples
    --------
    >>> kept_together("likely 7 in 100, 24 to 37 %").count("\u00a0")
    3
    """
    return UNITS_AFTER.sub("\u00a0", CHANCES.sub("\u00a0\\1\u00a0", text))


def breakable(text: str) -> str:
    r"""Return a text whose very long words may be broken, by signs of no width.

    Examples
    --------
    >>> breakable("a" * 30).count("\u200b")
    1
    """
    return " ".join(
        BREAK.join(word[at : at + LONGEST_WORD] for at in range(0, len(word), LONGEST_WORD))
        for word in text.split(" ")
    )
