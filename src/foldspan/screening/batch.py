"""Batch: a part of a table to its rows of the result and to what is counted over them.

All that a worker process runs. Nothing here knows of files, of other parts or of other workers, so a
row gets the same answer wherever it is worked on.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, NamedTuple

import numpy as np
import pyarrow as pa
import pyarrow.compute as pc

from foldspan.catalogue.card import Array
from foldspan.estimation.local_correction import LocalCorrection
from foldspan.estimation.settings import Settings, settings_for
from foldspan.screening.collect import SHOWN
from foldspan.screening.counts import Tally, row_hashes, tally_of, unread_in
from foldspan.screening.known_cells import known_cells
from foldspan.screening.letters import LetterFor, SinceEarlier, held_back, letters_for, unit_first
from foldspan.screening.not_asked import not_asked_in
from foldspan.screening.referrals import Flagged, referrals_of
from foldspan.screening.result_columns import problem_column, text_columns, typed_columns
from foldspan.tables.answers import Answers, answer_rows
from foldspan.tables.cells import MISSING_WORDS, TextRules, Words, as_typed_words
from foldspan.tables.columns import LABELS, Layout
from foldspan.tables.csv.blocks import Block, Piece, read_block
from foldspan.tables.csv.rows import Dialect
from foldspan.tables.csv.writer import (
    all_harmless,
    all_quoted,
    harmless,
    is_plain,
    lines_behind,
    lines_of,
    may_hold_formula,
    quoted,
)
from foldspan.tables.findings import Mark
from foldspan.tables.rows import Cells
from foldspan.tables.value_words import WordMeanings

if TYPE_CHECKING:
    from foldspan.screening.before.columns import Changes
    from foldspan.screening.before.earlier import Earlier


@dataclass(frozen=True)
class Plan:
    """How every part of a table is to be worked on: the same for all, and small enough to be sent.

    ``word_meanings`` is what the caller says that words mean.
    ``as_text`` asks for lines of CSV, else for typed columns; ``with_list`` for the list of all who are
    referred, ``with_letters`` for what their letters need, those of a weight in a doubtful unit only
    where ``accept_unusual``. ``most_problems`` is how many rows with a problem are wanted of a part;
    ``earlier`` is the table to compare with, None for none.
    """

    layout: Layout
    dialect: Dialect = field(default_factory=Dialect)
    reference_method: str = ""
    conversion: str = "siri1961"
    with_disputed: bool = False
    as_printed: bool = False
    local: LocalCorrection | None = None
    as_text: bool = True
    with_list: bool = True
    with_letters: bool = False
    accept_unusual: bool = False
    most_problems: int = 0
    word_meanings: WordMeanings = field(default_factory=dict)
    earlier: Earlier | None = None

    @property
    def settings(self) -> Settings:
        """Checked settings; E501 or E601 for options that cannot be meant."""
        return settings_for(
            self.reference_method,
            self.conversion,
            with_disputed=self.with_disputed,
            as_printed=self.as_printed,
            local=self.local,
        )

    @property
    def rules(self) -> TextRules:
        """How texts are meant."""
        return TextRules(MISSING_WORDS, self.dialect.decimal_comma, self.word_meanings)


@dataclass(frozen=True, slots=True, repr=False)
class PartResult:
    """A part that is done: lines of CSV or columns, and what was counted.

    ``given`` holds the part's own columns where the reader took them apart here; ``referred`` is the
    number of people to be referred; ``referrals``, of the first of them or of all, and ``letters`` count
    rows from the start of the part.
    """

    tally: Tally
    hashes: Array
    referred: int
    referrals: pa.RecordBatch
    lines: bytes = b""
    answer_columns: pa.RecordBatch | None = None
    given: tuple[pa.Array, ...] = ()
    letters: tuple[LetterFor, ...] = ()
    unread: tuple[int, ...] = ()
    problem_rows: tuple[tuple[int, str, str], ...] = ()


class PartFacts(NamedTuple):
    """Who measured each row, where the table tells it, and how many rows say nothing of each topic.

    ``changes`` is what changed since the earlier table, where there is one.
    """

    testers: Words | None
    silent: dict[str, int]
    changes: Changes | None


def work_on_csv(plan: Plan, piece: Piece) -> PartResult:
    """Work on some lines; see ``tables.csv.blocks``."""
    block, data = read_block(piece, len(plan.layout.names), plan.dialect), piece.data
    answers, facts, labels = answered(plan, block.columns, block)
    if not plan.as_text:
        return _worked(plan, answers, facts, labels, given=block.columns)
    is_whole = not (block.is_lost.any() or block.was_recoded.any())
    if is_whole and is_plain(data, block.length, plan.dialect):
        return _worked(plan, answers, facts, labels, data=data)
    columns = block.columns
    if may_hold_formula(data, plan.dialect.delimiter):
        columns = all_harmless(columns)
    if b'"' in data or block.is_lost.any():
        columns = all_quoted(columns, plan.dialect.delimiter)
    return _worked(plan, answers, facts, labels, columns)


def work_on_columns(plan: Plan, columns: tuple[pa.Array, ...]) -> PartResult:
    """Work on columns in the order of the table; those that are not known may be None."""
    answers, facts, labels = answered(plan, columns, None)
    if not plan.as_text:
        return _worked(plan, answers, facts, labels)
    delimiter = plan.dialect.delimiter
    texts = [quoted(harmless(as_text(column)), delimiter) for column in columns]
    return _worked(plan, answers, facts, labels, tuple(texts))


def as_text(column: pa.Array) -> pa.Array:
    """Return any column as texts, "" where nothing is."""
    if pa.types.is_dictionary(column.type):
        return as_text(column.cast(column.type.value_type))
    try:
        return column.cast(pa.string()).fill_null("")
    except (pa.ArrowInvalid, pa.ArrowNotImplementedError):
        cells = column.to_pylist()
        return pa.array(["" if cell is None else _shown(cell) for cell in cells], pa.string())


def _shown(cell: object) -> str:
    return cell.decode(errors="replace") if isinstance(cell, bytes) else str(cell)


def answered(
    plan: Plan, columns: tuple[pa.Array, ...], block: Block | None
) -> tuple[Answers, PartFacts, dict[str, pa.Array]]:
    """Return the answers of a part, what was asked by whom, and what names its rows."""
    cells = known_cells(plan.layout, columns, block, plan.rules)
    answers = answer_rows(cells, plan.settings)
    if block is not None:
        answers.problems.only(block.is_ragged, Mark("E410"))
        answers.problems.only(block.is_doubtful, Mark("E411"))
        answers.problems.add(block.was_recoded, Mark("W304"))
    changes = _changes(plan, columns, block, cells, answers)
    labels = {
        name: as_text(columns[plan.layout.columns[name][0].place])
        for name in LABELS
        if name in plan.layout.columns
    }
    testers = None
    if "tester" in plan.layout.columns:
        testers = as_typed_words(labels["tester"])
    clients = answers.clients
    weighed = None if changes is None else changes.losses.judged
    silent = not_asked_in(cells, clients.sexes, clients.age, weighed)
    return answers, PartFacts(testers, silent, changes), labels


def _changes(
    plan: Plan, columns: tuple[pa.Array, ...], block: Block | None, cells: Cells, answers: Answers
) -> Changes | None:
    """What changed since the earlier table, whose losses add to the flags of the answers."""
    if plan.earlier is None:
        return None
    from foldspan.screening.before.changes import changes_of
    from foldspan.screening.before.earlier import codes_of, facts_of
    from foldspan.screening.before.reading import lost_in

    codes = codes_of(plan.layout, columns, lost_in(block, cells.length))
    facts = facts_of(cells, answers.clients, answers.problems)
    return changes_of(
        answers, facts, codes, plan.earlier, plan.settings, takes_units=plan.accept_unusual
    )


def since(
    plan: Plan, answers: Answers, facts: PartFacts, rows: Array
) -> dict[int, SinceEarlier] | None:
    """Return what the earlier table adds to letters of some rows, None without one."""
    if plan.earlier is None or facts.changes is None:
        return None
    from foldspan.screening.before.letters import since_earlier

    return since_earlier(answers, facts.changes, plan.earlier, rows)


def _worked(
    plan: Plan,
    answers: Answers,
    facts: PartFacts,
    labels: dict[str, pa.Array],
    texts: tuple[pa.Array, ...] = (),
    given: tuple[pa.Array, ...] = (),
    data: bytes = b"",
) -> PartResult:
    """Put together what is said of a part; ``data`` are its lines where they stay as they stand."""
    lines, answer_columns = b"", None
    if plan.as_text:
        own = text_columns(answers, plan.dialect, facts.changes)
        lines = _lines(plan.dialect, own, texts, data)
    else:
        answer_columns = typed_columns(answers, facts.changes)
    flagged = Flagged(answers.flags, answers.borderline)
    rows, problems = flagged.rows, problem_column(answers)
    letters: tuple[LetterFor, ...] = ()
    unread = unread_in(answers)
    tally = tally_of(answers, facts.testers, unread)
    tally.counters["not_asked"].update(facts.silent)
    if facts.changes is not None:
        from foldspan.screening.before.counts import count_changes

        tally.counters["changes"].update(count_changes(facts.changes))
    if not plan.accept_unusual:
        sure = int(np.count_nonzero(unit_first(answers)[rows]))
        tally.counters["letters"]["unit_first"] += sure
    if plan.with_letters:
        waits = np.zeros(rows.size, dtype=bool) if plan.accept_unusual else held_back(answers)[rows]
        tally.counters["letters"]["held"] += int(np.count_nonzero(waits))
        letters = letters_for(answers, labels, rows[~waits], since(plan, answers, facts, rows))
    return PartResult(
        tally=tally,
        hashes=row_hashes(answers),
        referred=rows.size,
        referrals=referrals_of(
            flagged,
            rows if plan.with_list else flagged.first(SHOWN),
            problems,
            labels,
            takes_units=plan.accept_unusual,
        ),
        lines=lines,
        answer_columns=answer_columns,
        given=given,
        unread=tuple(np.flatnonzero(unread.referral)[:SHOWN].tolist()),
        letters=letters,
        problem_rows=_with_problems(problems, labels, plan.most_problems),
    )


def _lines(
    dialect: Dialect, own: Sequence[pa.Array], texts: tuple[pa.Array, ...], data: bytes
) -> bytes:
    """Lines of CSV: those given, as they stand or by their cells, with our own columns behind."""
    if data:
        return lines_behind(data, own, dialect.delimiter)
    return lines_of([*texts, *own], dialect.delimiter, dialect.newline)


def _with_problems(
    problems: pa.DictionaryArray, labels: dict[str, pa.Array], most: int
) -> tuple[tuple[int, str, str], ...]:
    """The first rows with a problem: their number from 0, the client's code, and what is wrong."""
    if not most:
        return ()
    has_problem = pc.not_equal(problems.dictionary, "").take(problems.indices)
    rows = pc.indices_nonzero(has_problem).slice(0, most)
    codes = labels["code"].take(rows).to_pylist() if "code" in labels else [""] * len(rows)
    return tuple(zip(rows.to_pylist(), codes, problems.take(rows).to_pylist(), strict=True))
