"""Signs that the output cannot show: consoles and pipes that are not UTF-8, as on Windows.

What people read gets the nearest likeness in plain letters. What programs read keeps every sign: JSON
by its escapes, other data as UTF-8, which is what foldspan writes to files.
"""

from __future__ import annotations

import codecs
import io
import re
import sys
from typing import TextIO

import typer

ALIKE = {
    "→": "->", "…": "...", "−": "-", "–": "-", "—": "-", "“": '"', "”": '"', "„": '"', "’": "'",
    "‘": "'", "′": "'", "″": '"', "≤": "<=", "≥": ">=", "×": "x", "÷": "/", "·": "*", "±": "+-",
    "☐": "[ ]", "□": "[ ]", "☑": "[x]", "✓": "[x]", "✔": "[x]", "Σ": "sum", "χ": "chi", "ν": "nu",
    "«": '"', "»": '"', "œ": "oe", "Œ": "OE", "æ": "ae", "Æ": "AE", "ß": "ss", "ø": "o", "Ø": "O",
    "ł": "l", "Ł": "L", "©": "(c)", "®": "(R)", "½": "1/2", "¿": "?", "\u200b": "", "\u200c": "",
    "\u200d": "",
}  # fmt: skip
_POWER = re.compile("[⁻⁰¹²³⁴-⁹ᵀᵏ]+")
_HANDLER = "foldspan.alike"


def alike(text: str) -> str:
    """Return the nearest likeness of a text in plain letters; "?" for a sign that has none."""
    return "".join(map(_alike, _POWER.sub(r"^\g<0>", text)))


def _alike(sign: str) -> str:
    if sign.isascii() or sign in ALIKE:
        return ALIKE.get(sign, sign)
    import unicodedata  # only where it is needed

    parts = unicodedata.normalize("NFKD", sign).replace("\u2212", "-")
    return "".join(part for part in parts if part.isascii()) or (
        "" if unicodedata.combining(sign) else "?"
    )


def _replaced(error: UnicodeError) -> tuple[str, int]:
    if not isinstance(error, UnicodeEncodeError):
        raise error
    return alike(error.object[error.start : error.end]), error.end


def whole_signs(typed: str) -> str:
    """Return words as they were typed, where the system hands them over as single bytes."""
    if typed.isprintable():  # halves of signs are not
        return typed
    return typed.encode("utf-8", "surrogateescape").decode("utf-8", "replace")


def shows_all(stream: TextIO) -> bool:
    """Whether a stream can show every sign."""
    return codecs.lookup(stream.encoding or "utf-8").name == "utf-8"


def show_likenesses() -> None:
    """From now on nothing that is printed fails because of a sign.

    ASCII means that nobody has said what the terminal can show: it gets UTF-8, as from Python itself
    where no language is set.
    """
    codecs.register_error(_HANDLER, _replaced)
    for stream in (sys.stdin, sys.stdout, sys.stderr):
        if not isinstance(stream, io.TextIOWrapper):
            continue
        if codecs.lookup(stream.encoding).name == "ascii":
            stream.reconfigure(encoding="utf-8", errors="surrogateescape")
        elif stream is not sys.stdin and not shows_all(stream):
            stream.reconfigure(errors=_HANDLER)


def echo_json(text: str, *, err: bool = False) -> None:
    """Print JSON, with escapes where the stream cannot show every sign."""
    if not shows_all(sys.stderr if err else sys.stdout):
        units = re.compile(r"[^\x00-\x7f]")
        text = units.sub(lambda found: _escaped(found[0]), text)
    typer.echo(text, err=err)


def _escaped(sign: str) -> str:
    pair = sign.encode("utf-16-be", "surrogatepass").hex()
    return "".join(f"\\u{pair[at : at + 4]}" for at in range(0, len(pair), 4))


def echo_data(text: str) -> None:
    """Print a file that programs read, as it would be written to a disk."""
    if shows_all(sys.stdout):
        typer.echo(text, nl=False)
        return
    sys.stdout.flush()
    sys.stdout.buffer.write(text.encode())
    sys.stdout.buffer.flush()
