"""Result columns: what is said of N rows as Arrow columns, typed for Parquet or as texts for CSV."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

import numpy as np
import pyarrow as pa
import pyarrow.compute as pc

from foldspan.catalogue.card import Array
from foldspan.screening.before import columns as of_change
from foldspan.screening.before.columns import Changes
from foldspan.tables.answers import FAMILY_COLUMNS, RANGE, VERDICTS, Answers
from foldspan.tables.bands import MEASURES
from foldspan.tables.csv.rows import Dialect
from foldspan.tables.csv.writer import all_hundredths, quoted
from foldspan.tables.flags import worst_level
from foldspan.text.screen import problem_text

BAND_COLUMNS = tuple(
    name for measure in MEASURES for name in (f"{measure}_band", f"{measure}_band_chance")
)
NAMES = (
    *RANGE, "verdict", *FAMILY_COLUMNS, "equations_used", *BAND_COLUMNS,
    "flags", "worst_flag_level", "borderline_flags", "problems",
)  # fmt: skip
_WORD = pa.dictionary(pa.int32(), pa.string())


def names_of(*, with_change: bool) -> tuple[str, ...]:
    """Return the names of the columns, with those of a change since an earlier table or without."""
    return (*NAMES, *of_change.NAMES) if with_change else NAMES


def schema_of(*, with_change: bool) -> pa.Schema:
    """Return the names and types of the columns."""
    words = ("verdict", "flags", "worst_flag_level", "borderline_flags", "problems")
    kinds = dict.fromkeys((*words, *(f"{measure}_band" for measure in MEASURES)), _WORD)
    kinds |= dict.fromkeys(of_change.WORDS, _WORD) | {"equations_used": pa.int32()}
    names = names_of(with_change=with_change)
    return pa.schema([(name, kinds.get(name, pa.float64())) for name in names])


def _numbers(answers: Answers, changes: Changes | None) -> dict[str, Array]:
    chances = {f"{measure}_band_chance": answers.bands.chances[measure] for measure in MEASURES}
    return answers.numbers | chances | ({} if changes is None else changes.numbers)


def _words(answers: Answers, changes: Changes | None) -> dict[str, tuple[Array, list[str]]]:
    """Columns of few different texts: places (N,) and the texts."""
    flags, unsure = answers.flags, answers.borderline
    found: dict[str, tuple[Array, list[str]]] = {
        "verdict": (answers.verdict, list(VERDICTS)),
        "flags": (flags.places, ["; ".join(pattern) for pattern in flags.patterns]),
        "worst_flag_level": (flags.places, [worst_level(pattern) for pattern in flags.patterns]),
        "borderline_flags": (unsure.places, ["; ".join(pattern) for pattern in unsure.patterns]),
        "problems": _problems(answers),
    }
    for measure in MEASURES:  # the place -1, not known, is the last of the texts
        labels = [*answers.bands.labels(measure), ""]
        places = answers.bands.places[measure]
        found[f"{measure}_band"] = (np.where(places < 0, len(labels) - 1, places), labels)
    return found if changes is None else found | of_change.words_of(changes)


# every part of a table has much the same patterns
_problem_text = lru_cache(maxsize=4096)(problem_text)


def _problems(answers: Answers) -> tuple[Array, list[str]]:
    problems = answers.problems
    return problems.places, list(map(_problem_text, problems.patterns))


def typed_columns(answers: Answers, changes: Changes | None = None) -> pa.RecordBatch:
    """Return the columns with their types; numbers have two decimals, NaN is null."""
    columns: dict[str, pa.Array] = {"equations_used": pa.array(answers.equations_used, pa.int32())}
    for name, values in _numbers(answers, changes).items():
        rounded = values * 100.0
        np.rint(rounded, out=rounded)
        rounded /= 100.0
        rounded += 0.0  # what rounds to nought has no sign
        columns[name] = pa.array(rounded, mask=np.isnan(rounded))
    for name, (places, texts) in _words(answers, changes).items():
        columns[name] = _dictionary(places, texts)
    schema = schema_of(with_change=changes is not None)
    return pa.record_batch([columns[name] for name in schema.names], schema=schema)


def _dictionary(places: Array, texts: list[str]) -> pa.DictionaryArray:
    """Places (N,) into texts as a column; each text once, or equal rows might give other bytes."""
    different = {text: place for place, text in enumerate(dict.fromkeys(texts))}
    if len(different) < len(texts):
        places = np.array([different[text] for text in texts], dtype=np.int32)[places]
    return pa.DictionaryArray.from_arrays(
        pa.array(places.astype(np.int32, copy=False)), pa.array(list(different), pa.string())
    )


def text_columns(
    answers: Answers, dialect: Dialect, changes: Changes | None = None
) -> list[pa.Array]:
    """Return the columns as texts for CSV, written as the table is, quoted where it is needed."""
    delimiter = dialect.delimiter
    numbers = _numbers(answers, changes)
    columns = dict(zip(numbers, all_hundredths(list(numbers.values())), strict=True))
    if dialect.decimal_comma:
        columns = {name: pc.replace_substring(column, ".", ",") for name, column in columns.items()}
    counts = [str(number) for number in range(int(answers.equations_used.max(initial=0)) + 1)]
    words = _words(answers, changes) | {"equations_used": (answers.equations_used, counts)}
    for name, (places, texts) in words.items():
        few = quoted(pa.array(texts, pa.string()), delimiter)
        columns[name] = few.take(pa.array(places, pa.int32()))
    return [columns[name] for name in names_of(with_change=changes is not None)]


def problem_column(answers: Answers) -> pa.DictionaryArray:
    """Return what is wrong with every row, in words."""
    return _dictionary(*_problems(answers))


def taken_names(given: Sequence[str], *, with_change: bool) -> list[str]:
    """Return the given column names that are names of the answer as well."""
    return [name for name in given if name in names_of(with_change=with_change)]
