"""Decimal comma: ``18,5`` is read as 18.5, unless the comma could mean something else."""

from __future__ import annotations

import re

# a comma between digits that neither a further comma nor a point stands beside
_COMMA = re.compile(r"(?<![\d.,])(\d*),(\d+)(?![\d.,])")
# Two readings of one site lie closer together than this share of the larger one; folds repeat less well
# than weights and girths. What a pair of two-digit numbers may mean (our choice, no source).
ALIKE = {"mm": 0.30}
ALIKE_OTHERS = 0.10
THOUSANDS = "the comma could mark thousands"
PAIR = "the comma could separate two readings"


class TwoMeanings(ValueError):
    """A comma that could be read in two ways; ``what`` says which, without the number."""

    def __init__(self, what: str) -> None:
        super().__init__("decimal comma")
        self.what = what


def with_point(text: str, unit: str) -> str:
    """Return a text with its decimal commas as points.

    Parameters
    ----------
    text : str
        One number, or a number with its unit or units.
    unit : str
        In which a bare number is taken: folds may repeat less closely than the rest.

    Raises
    ------
    TwoMeanings
        For ``1,234`` (a thousand and more, or one and a bit) and for ``12,13`` (12.13, or a first and a
        second reading). ``0,234``, ``18,5`` and ``18,50`` have one meaning.

    Examples
    --------
    >>> with_point("18,5 mm", "mm")
    '18.5 mm'
    """
    return _COMMA.sub(lambda found: _point(found.group(1), found.group(2), unit), text)


def _point(whole: str, part: str, unit: str) -> str:
    if len(part) == 3 and 0 < len(whole) <= 3 and not whole.startswith("0"):
        raise TwoMeanings(THOUSANDS)
    if len(whole) > 1 and len(part) == len(whole) and _is_alike(int(whole), int(part), unit):
        raise TwoMeanings(PAIR)
    return f"{whole}.{part}"


def _is_alike(first: int, second: int, unit: str) -> bool:
    return abs(first - second) <= ALIKE.get(unit, ALIKE_OTHERS) * max(first, second)
