"""Cells: Arrow columns as numbers and words, each different text read once.

Columns come as float64 or as text. Texts are few and rows are many: a column is looked at by its
different texts, and the answers are handed out to the rows.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np
import pyarrow as pa
import pyarrow.compute as pc

from foldspan.catalogue.card import Array, BoolArray
from foldspan.numerics.converted import converted
from foldspan.quantities import UnreadableValue, number_and_unit, read_value

# what people write for "not measured" in files, beside an empty cell (common practice, no source)
MISSING_WORDS = frozenset({"na", "n/a", "#n/a", "nan", "null", "none", ".", "-"})
# numbers that need no thought: anything else goes through ``read_value``
_PLAIN = r"^-?(?:\d{1,15}\.?\d{0,15}|\.\d{1,15})$"
_COMMA = re.compile(r"[-+]?\d*,\d+(?![\d,.]*[,.])")
# no number with its unit is longer; what is longer is not looked through
LONGEST = 64


@dataclass(frozen=True, slots=True)
class TextRules:
    """How the texts of a file are meant: words for "not measured", the decimal mark, words of its own.

    ``word_meanings`` maps a column here, or "" for every one, to what its words mean.
    """

    missing: frozenset[str] = frozenset()
    decimal_comma: bool = False
    word_meanings: Mapping[str, Mapping[str, str]] = field(default_factory=dict)

    def meant(self, name: str, word: str) -> str:
        """Return what a word of a column means, itself where nobody said."""
        bare = word.removesuffix(".0")
        for words in (self.word_meanings.get(name, {}), self.word_meanings.get("", {})):
            if bare in words:
                return words[bare]
        return word


@dataclass(frozen=True, slots=True, repr=False)
class Numbers:
    """N numbers, NaN where missing or of no use; ``faults`` are masks by problem code.

    ``own_unit`` are the cells that hold their unit themselves, None where there are none.
    """

    values: Array
    faults: dict[str, Array]
    at_least: BoolArray | None = None
    own_unit: Array | None = None


@dataclass(frozen=True, slots=True, repr=False)
class Words:
    """N words in lower case, "" where empty: ``places`` (N,) into ``different``."""

    places: Array
    different: tuple[str, ...]

    def are(self, *words: str) -> Array:
        """Which rows hold one of the words, bool (N,)."""
        if len(self.different) == 1:
            return np.full(self.places.shape[0], self.different[0] in words)
        return np.asarray(
            np.array([text in words for text in self.different], dtype=bool).take(self.places)
        )

    def only(self, words: Sequence[str]) -> Words:
        """Return the words with "" for every other one: a text of any length names nothing here."""
        known = ("", *words)
        place = {word: at for at, word in enumerate(known)}
        moved = np.array([place.get(word, 0) for word in self.different])
        return Words(moved[self.places], known)

    def each(self) -> Array:
        """Return the words, object (N,)."""
        return np.asarray(np.array(self.different, dtype=object)[self.places])

    def rows_of(self) -> Iterator[tuple[str, Array]]:
        """Yield every different word with the mask of its rows."""
        for place, word in enumerate(self.different):
            yield word, self.places == place


def arrow_column(column: Any) -> pa.Array:
    """Return a column as float64 or text; what is neither becomes a text that no rule can read."""
    if isinstance(column, pa.ChunkedArray):
        column = column.combine_chunks()
    kind = column.type
    if pa.types.is_dictionary(kind):
        return arrow_column(column.cast(kind.value_type))
    if pa.types.is_floating(kind) or pa.types.is_integer(kind) or pa.types.is_null(kind):
        return column.cast(pa.float64(), safe=False)
    if pa.types.is_decimal(kind):
        return column.cast(pa.float64())
    if pa.types.is_string(kind):
        return column
    if pa.types.is_date(kind) or pa.types.is_timestamp(kind):
        return pc.utf8_slice_codeunits(column.cast(pa.string()), 0, len("2026-03-04"))
    if pa.types.is_large_string(kind) or pa.types.is_string_view(kind) or pa.types.is_boolean(kind):
        return column.cast(pa.string())
    return pc.if_else(column.is_null(), pa.scalar(None, pa.string()), pa.scalar("?"))


def numbers_of(column: pa.Array, unit: str, to: str, rules: TextRules) -> Numbers:
    """Read a column of numbers, or of texts with units.

    Parameters
    ----------
    column : Array of N float64 or strings
    unit, to : str
        Unit of a number without one, and the unit that is wanted; "" for a bare number.
    rules : TextRules

    Returns
    -------
    Numbers
        In ``to``. ``at_least`` marks texts such as ``80+``, which only a fold may have.
    """
    if pa.types.is_float64(column.type):
        values = column.to_numpy(zero_copy_only=False)
        return Numbers(converted(values, unit, to), {})
    coded = column.dictionary_encode()
    texts = pc.utf8_trim_whitespace(coded.dictionary)
    plain = pc.match_substring_regex(texts, _PLAIN)
    read = pc.if_else(plain, texts, None).cast(pa.float64()).to_numpy(zero_copy_only=False).copy()
    codes: dict[str, list[int]] = {}
    ended: list[int] = []
    own_unit: list[int] = []
    for place in np.flatnonzero(~plain.to_numpy(zero_copy_only=False)).tolist():
        text = texts[place].as_py()
        if not text or text.lower() in rules.missing:
            continue
        if text.endswith("+") and to == "mm":
            text = text[:-1]
            ended.append(place)
        if rules.decimal_comma:
            text = with_points(text)
        try:
            read[place] = read_value(text, unit) if len(text) <= LONGEST else _stop()
            if _holds_unit(text, unit):
                own_unit.append(place)
        except UnreadableValue as error:
            codes.setdefault(error.code, []).append(place)
    read = np.append(converted(read, unit, to), np.nan)  # the last stands for missing
    places = coded.indices.fill_null(len(texts)).to_numpy(zero_copy_only=False)

    def rows(some: list[int]) -> Array:
        here = np.zeros(read.size, dtype=bool)
        here[some] = True
        return np.asarray(here.take(places))

    faults = {code: rows(some) for code, some in codes.items()}
    found = (rows(some) if some else None for some in (ended, own_unit))
    # ``take`` is quicker than an index
    return Numbers(read.take(places), faults, *found)


def with_points(text: str) -> str:
    """Return a text with a point for the decimal comma, where the file has one meaning for it."""
    return _COMMA.sub(lambda found: found[0].replace(",", "."), text, count=1)


def _holds_unit(text: str, unit: str) -> bool:
    """Whether a text that could be read holds its unit; of two numbers each has one, as in 5 ft 6 in."""
    number, own = number_and_unit(text, unit)
    return bool(own) or math.isnan(number)


def _stop() -> float:
    raise UnreadableValue("E101", "not a number", "")


def as_typed_words(texts: pa.Array) -> Words:
    """Return the words of a column of texts as they were typed, without white space around them."""
    coded = pc.utf8_trim_whitespace(texts).dictionary_encode()
    places = coded.indices.to_numpy(zero_copy_only=False)
    return Words(places, tuple(coded.dictionary.to_pylist()))


def words_of(column: pa.Array, rules: TextRules, name: str = "") -> Words:
    """Return the words of a column, in lower case and without white space around them.

    ``name`` is that of the column here, by which the caller may have said what its words mean.
    """
    if pa.types.is_float64(column.type):  # a yes written as 1
        column = pc.if_else(pc.is_nan(column), None, column).cast(pa.string())
    coded = column.dictionary_encode()
    texts = [text.strip().lower() for text in coded.dictionary.to_pylist()]
    texts = ["" if text in rules.missing else rules.meant(name, text) for text in texts]
    different = dict.fromkeys([*texts, ""])
    number = {word: place for place, word in enumerate(different)}
    moved = np.array([number[word] for word in [*texts, ""]])
    places = coded.indices.fill_null(len(texts)).to_numpy(zero_copy_only=False)
    return Words(moved[places], tuple(different))
