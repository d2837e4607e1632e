"""Blood pressures as people write them: in a visit file, a cell of a table and at a session alike."""

from __future__ import annotations

import re

# an upper and a lower pressure: 142/91, 142 over 91 mmHg; or the upper alone, 142/
_PRESSURE = re.compile(
    r"(\d{2,3}(?:\.\d+)?)\s*(?:(?:/|\\|-|:|over|auf|zu|sur)\s*(?:(\d{2,3}(?:\.\d+)?)|[?x-]*))?\s*(?:mmhg)?"
)


def pressures_in(text: str) -> list[tuple[float, ...]]:
    """Return both pressures [mmHg] of every reading in a text, or the upper alone, which stands first.

    Readings stand between commas or semicolons. None where the text holds anything else.

    Examples
    --------
    >>> pressures_in("142 over 91; 138/88 mmHg")
    [(142.0, 91.0), (138.0, 88.0)]
    """
    read = [_PRESSURE.fullmatch(part.strip()) for part in re.split(r"[;,]", text.lower())]
    if not all(read):
        return []
    return [tuple(float(number) for number in match.groups() if number) for match in read if match]


def highest_pair(readings: list[tuple[float, ...]]) -> tuple[float, float] | None:
    """Return the highest upper and the highest lower pressure, so that nobody is missed.

    None where there is no reading, or where one of them lacks its lower pressure.
    """
    if not readings or any(len(reading) != 2 for reading in readings):
        return None
    upper, lower = map(max, zip(*readings, strict=True))
    return upper, lower
