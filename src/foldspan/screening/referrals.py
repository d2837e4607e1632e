"""Referrals: who is to see a clinician, how soon, why, and who says so."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import pyarrow as pa
import pyarrow.compute as pc

from foldspan.catalogue.card import Array
from foldspan.screening.letters import SELF_REPORTED_RULES
from foldspan.standards.referral_rules import LEVELS, RULE_BY_CODE, Rule
from foldspan.standards.sources import HEALTH_SOURCE_BY_KEY
from foldspan.tables.columns import LABELS
from foldspan.tables.findings import RowMarks
from foldspan.tables.flags import worst_level
from foldspan.text.en.flag_words import FLAG_WORDS
from foldspan.text.en.notices import HOW_SOON, soonest
from foldspan.text.en.reconcile import capital
from foldspan.text.screen import CONFIRM_UNIT

# the most urgent first
REFERRING = tuple(level for level in reversed(LEVELS) if level.startswith("refer"))
# how the problems of a row say it; see ``letters.unit_in_doubt``
_UNIT_IN_DOUBT = r"looks like [a-z]+\) \[W123\]"
NAMES = (
    "row", *LABELS, "level", "how_soon", "reasons", "borderline", "in_doubt", "what_to_do", "flags",
    "sources",
)  # fmt: skip
_NOBODY = pa.record_batch(
    [pa.array([], pa.int64() if name == "row" else pa.string()) for name in NAMES],
    names=list(NAMES),
)


@dataclass(frozen=True, slots=True)
class Flagged:
    """The flags of N rows, and which of them the measurements leave open."""

    flags: RowMarks[str]
    borderline: RowMarks[str]

    @classmethod
    def from_texts(cls, flags: pa.Array, borderline: pa.Array) -> Flagged:
        """Return the flags of rows as the columns of a result tell them."""
        return cls(_marks_of(flags), _marks_of(borderline))

    @property
    def levels(self) -> list[str]:
        """The most urgent level of every pattern of flags."""
        return [worst_level(pattern) for pattern in self.flags.patterns]

    @property
    def rows(self) -> Array:
        """Numbers of the rows that are to be referred."""
        refers = np.array([level in REFERRING for level in self.levels], dtype=bool)
        return np.flatnonzero(refers[self.flags.places])

    def first(self, most: int) -> Array:
        """Numbers of the first rows of each level that refers, so many of each, in their order."""
        levels, rows = np.array(self.levels, dtype=object), self.rows
        found = [rows[levels[self.flags.places[rows]] == level][:most] for level in REFERRING]
        return np.sort(np.concatenate(found))


def _marks_of(texts: pa.Array) -> RowMarks[str]:
    marks: RowMarks[str] = RowMarks(0)
    coded = texts.dictionary_encode() if not pa.types.is_dictionary(texts.type) else texts
    marks.places = coded.indices.to_numpy(zero_copy_only=False)
    marks.patterns = [
        tuple(text.split("; ")) if text else () for text in coded.dictionary.to_pylist()
    ]
    return marks


def referrals_of(
    flagged: Flagged,
    rows: Array,
    problems: pa.Array,
    labels: dict[str, pa.Array],
    *,
    takes_units: bool = False,
) -> pa.RecordBatch:
    """Return the list of those to be referred, given as the numbers of their rows.

    ``problems`` are the texts of all rows: a value in doubt is worth a second look, but holds nobody
    up who is referred urgently. ``labels`` are the columns that name a row, as texts. Reasons, what to
    do and sources are those of the flags that refer; ``flags`` are all. A row that nothing but a
    weight in a doubtful unit refers says to confirm it first, unless the caller ``takes_units`` as they
    are.
    """
    if not rows.size:
        return _NOBODY
    flags = flagged.flags
    nothing = pa.array([""] * rows.size, pa.string())
    columns: dict[str, pa.Array] = {
        name: labels[name].take(pa.array(rows)) if name in labels else nothing for name in LABELS
    }
    columns["row"] = pa.array(rows, pa.int64())
    columns["in_doubt"] = problems.take(pa.array(rows)).cast(pa.string())
    words = {
        "level": flagged.levels,
        "how_soon": [_how_soon(pattern) for pattern in flags.patterns],
        "reasons": [_each(pattern, _why) for pattern in flags.patterns],
        "what_to_do": [
            _each(pattern, lambda rule: FLAG_WORDS[rule.code][0]) for pattern in flags.patterns
        ],
        "flags": ["; ".join(pattern) for pattern in flags.patterns],
        "sources": [_each(pattern, _source) for pattern in flags.patterns],
    }
    for name, texts in words.items():
        columns[name] = _handed_out(flags, texts, rows)
    if not takes_units:
        confirm_first = pc.binary_join_element_wise(CONFIRM_UNIT, columns["what_to_do"], " ")
        waits = _unit_first(flags, columns["in_doubt"], rows)
        columns["what_to_do"] = pc.if_else(waits, confirm_first, columns["what_to_do"])
    unsure = [
        "; ".join(code for code in pattern if RULE_BY_CODE[code].level in REFERRING)
        for pattern in flagged.borderline.patterns
    ]
    columns["borderline"] = _handed_out(flagged.borderline, unsure, rows)
    return pa.record_batch([columns[name] for name in NAMES], names=list(NAMES))


def _unit_first(flags: RowMarks[str], in_doubt: pa.Array, rows: Array) -> pa.Array:
    """Which rows nothing refers but a weight that looks like another unit."""
    has_answers = np.array([bool(SELF_REPORTED_RULES & set(codes)) for codes in flags.patterns])
    stands = pa.array(has_answers[flags.places[rows]], pa.bool_())
    return pc.and_not(pc.match_substring_regex(in_doubt, _UNIT_IN_DOUBT), stands)


def _handed_out(marks: RowMarks[str], texts: list[str], rows: Array) -> pa.Array:
    return pa.array(texts, pa.string()).take(pa.array(marks.places[rows]))


def _each(codes: tuple[str, ...], words: Callable[[Rule], str]) -> str:
    """What is said of every flag that refers, each sentence once."""
    referring = _referring(codes)
    return " ".join(dict.fromkeys(map(words, referring)))


def _how_soon(codes: tuple[str, ...]) -> str:
    """Within which time somebody is to be seen: that of the soonest flag that refers, "" for none."""
    referring = _referring(codes)
    return HOW_SOON[soonest((rule.code, rule.level) for rule in referring)] if referring else ""


def _referring(codes: tuple[str, ...]) -> list[Rule]:
    return [rule for code in codes if (rule := RULE_BY_CODE[code]).level in REFERRING]


def _why(rule: Rule) -> str:
    words = f"{capital(rule.when)}."
    return f"Self-reported, at least one of: {rule.when}." if len(rule.intake_words) > 1 else words


def _source(rule: Rule) -> str:
    return f"{HEALTH_SOURCE_BY_KEY[rule.source].citation} ({rule.status})."
