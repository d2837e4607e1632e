"""Looked: what the columns of a table are likely to hold, with examples, for somebody to confirm."""

from __future__ import annotations

from typing import Any

import pyarrow as pa
import pyarrow.compute as pc

from foldspan.browser.jobs.bounds import check_bounds
from foldspan.browser.jobs.child import Say
from foldspan.problems import FoldspanError, Problem
from foldspan.quantities import SEXES, UNIT_TABLES
from foldspan.standards.answer_words import SEX_WORDS
from foldspan.tables.column_names import unit_anywhere
from foldspan.tables.columns import parsed, unit_of
from foldspan.tables.guessing.propose import Proposal, propose
from foldspan.tables.guessing.sample import Sample, sample_of
from foldspan.tables.paths import source_kind
from foldspan.text.tables.guessing import REASONS, why_proposed
from foldspan.text.tables.sheets import sheet_sentence

EXAMPLES, LONGEST_EXAMPLE = 3, 40
# more different words than these are not sexes
MOST_WORDS = 8


def work(request: dict[str, Any], say: Say) -> dict[str, Any]:
    """Return the columns of a table, or the sheets of a workbook where one has to be chosen."""
    source, sheet = request["source"], request.get("sheet", "")
    check_bounds(source)
    kind = source_kind(source)
    sheets: tuple[str, ...] = ()
    if kind == "sheet":
        from foldspan.tables.sheets.source import sheets_of

        sheets = sheets_of(source)
        if len(sheets) > 1 and not sheet:
            return {"kind_of_table": kind, "sheets": sheets, "sheet": "", "columns": []}
    sample = sample_of(source, sheet)
    if not sample.names:
        remedy = "The first line names the columns; then comes one line per client."
        raise FoldspanError([Problem("E404", source, "has no columns", remedy)])
    guess = propose(sample.names, sample.columns, sample.rules)
    columns = [_column(place, proposal, sample) for place, proposal in enumerate(guess.proposals)]
    return {
        "kind_of_table": kind, "sheets": sheets, "sheet": sheet, "columns": columns,
        "notes": [sheet_sentence(note) for note in sample.notes if note.code != "sheet"],
    }  # fmt: skip


def _column(place: int, proposal: Proposal, sample: Sample) -> dict[str, Any]:
    known = parsed(proposal.given, "")
    name, unit, turn = known or _proposed(proposal)
    return {
        "given": proposal.given,
        "is_known": known is not None,
        "is_open": known is None and proposal.is_open,
        "name": name, "unit": unit, "reading": turn,
        "why": REASONS["known"] if known is not None else why_proposed(proposal),
        "examples": _examples(sample.columns[place]),
        "sexes": _sexes(sample.columns[place]),
    }  # fmt: skip


def _proposed(proposal: Proposal) -> tuple[str, str, int]:
    """The name here that a proposal comes to, the unit of its bare numbers, and its reading."""
    if not proposal.meant:
        return "", unit_anywhere(proposal.given), 0
    name, unit, turn = parsed(proposal.meant, "") or (proposal.meant, "", 0)
    unit = proposal.unit or unit or unit_of(name)
    return name, unit if any(unit in table for table in UNIT_TABLES) else "", turn


def _sexes(column: pa.Array) -> dict[str, str]:
    """The different words of a column of few, each with the sex that it means; "" for none."""
    if not pa.types.is_string(column.type):
        return {}
    words = pc.unique(pc.utf8_lower(pc.utf8_trim_whitespace(column.drop_null())))
    if not 0 < len(words) <= MOST_WORDS:
        return {}
    meant = {word: sex for sex in SEXES for word in SEX_WORDS[sex]}
    return {word: meant.get(word, "") for word in words.to_pylist() if word and len(word) < 20}


def _examples(column: pa.Array) -> list[str]:
    """The first different entries of a column, as texts."""
    texts = column.cast(pa.string()) if not pa.types.is_string(column.type) else column
    texts = pc.utf8_trim_whitespace(texts.drop_null().slice(0, 200))
    found = pc.unique(texts.filter(pc.not_equal(texts, ""))).slice(0, EXAMPLES).to_pylist()
    return [text[:LONGEST_EXAMPLE] for text in found]
