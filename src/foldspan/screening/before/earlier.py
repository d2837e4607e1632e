"""Earlier: what a comparison needs of every client of the earlier table, each in one record.

Records wait in a file that workers share: reading one costs no memory that another does not use too.
Codes and testers stand in them as numbers only.
"""

from __future__ import annotations

import os
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Any, NamedTuple

import numpy as np
import pyarrow as pa
import pyarrow.compute as pc

from foldspan.catalogue.card import Array
from foldspan.estimation.settings import Settings
from foldspan.files.waiting import no_room
from foldspan.intake.as_arrays import SelfReported
from foldspan.measurement.accepted_values import AcceptedColumn
from foldspan.quantities import ANCESTRIES, MEASURED
from foldspan.screening.before.codes import codes_in, keys_of, loosely
from foldspan.screening.before.reading import Part, columns_of, lost_in
from foldspan.screening.known_cells import known_cells
from foldspan.screening.letters import unit_in_doubt
from foldspan.tables.cells import MISSING_WORDS, TextRules, Words
from foldspan.tables.clients import Clients
from foldspan.tables.columns import Layout
from foldspan.tables.csv.rows import Dialect
from foldspan.tables.dates import visit_days
from foldspan.tables.findings import Mark, RowMarks
from foldspan.tables.rows import Cells, Rows
from foldspan.tables.value_words import WordMeanings
from foldspan.text.screen import WHY_NO_RANGE, why_no_range

REASONS = tuple(WHY_NO_RANGE)
KNOWN_ANCESTRIES = ("", *ANCESTRIES)
NO_DAY = np.iinfo(np.int32).min
# with these a weight tells of something else than the body: of a child that was born, of water
WEIGHT_MISLEADS = frozenset({"E202", "E204", "E205", "E206"})
RECORDS, KEYS, ORDER, TWICE_NOW = "clients", "keys.npy", "order.npy", "twice_now.npy"


class Facts(NamedTuple):
    """What else a comparison asks of N rows, now and then, (N,) each.

    ``day`` counts days since 1970, ``NO_DAY`` where none is known; ``tester`` is a number, 0 for nobody.
    """

    day: Array
    tester: Array
    is_careful: Array
    misleads: Array
    is_unit_in_doubt: Array


@dataclass(frozen=True)
class EarlierPlan:
    """How every part of the earlier table is to be read."""

    layout: Layout
    settings: Settings
    dialect: Dialect = field(default_factory=Dialect)
    word_meanings: WordMeanings = field(default_factory=dict)

    @property
    def sites(self) -> tuple[str, ...]:
        """The measured quantities that it has columns of."""
        return tuple(name for name in MEASURED if name in self.layout.columns)


def record_type(sites: int) -> np.dtype[Any]:
    """Return the type of a record: about 50 bytes and 16 for each measurement."""
    return np.dtype(
        [
            ("code", "<u8"), ("proof", "<u8"), ("tester", "<u8"), ("ends", "<u8"), ("age", "<f8"),
            ("day", "<i4"), ("sex", "i1"), ("ancestry", "i1"), ("why", "i1"), ("athlete", "?"),
            ("careful", "?"), ("misleads", "?"), ("doubt", "?"),
            ("value", "<f8", (sites,)), ("se", "<f8", (sites,)),
        ]
    )  # fmt: skip


@np.errstate(over="ignore", invalid="ignore", divide="ignore")
def read_earlier(plan: EarlierPlan, part: Part) -> tuple[Array, Array]:
    """Return the records of a part of the earlier table, and the loose keys of its codes."""
    columns, block = columns_of(part, len(plan.layout.names), plan.dialect)
    rules = TextRules(MISSING_WORDS, plan.dialect.decimal_comma, plan.word_meanings)
    cells = known_cells(plan.layout, columns, block, rules)
    rows = Rows(cells)
    clients = Clients.read(rows)
    clients.leave_out(rows, plan.settings.conversion)
    codes = codes_of(plan.layout, columns, lost_in(block, cells.length))
    found = np.zeros(cells.length, dtype=record_type(len(plan.sites)))
    found["code"], found["proof"] = keys_of(codes)
    facts = facts_of(cells, clients, rows.marks)
    found["day"], found["tester"], found["careful"], found["misleads"], found["doubt"] = facts
    found["age"], found["sex"] = clients.age, clients.sexes
    found["athlete"] = clients.athlete > 0
    known = np.array([_place(word) for word in clients.ancestry.different], dtype=np.int8)
    found["ancestry"] = known[clients.ancestry.places]
    why = np.array([REASONS.index(why_no_range(marks)) for marks in rows.marks.patterns])
    found["why"] = np.where(clients.able, -1, why[rows.marks.places])
    for place, name in enumerate(plan.sites):
        site = clients.sites[name]
        found["value"][:, place], found["se"][:, place] = site.value, site.se
        found["ends"] |= site.at_least.astype(np.uint64) << np.uint64(place)
    return found, keys_of(loosely(codes)).first


def _place(word: str) -> int:
    return KNOWN_ANCESTRIES.index(word) if word in KNOWN_ANCESTRIES else 0


def codes_of(layout: Layout, columns: tuple[pa.Array, ...], lost: Array) -> pa.Array:
    """Return the codes of a part, "" for a row of which nothing can be used."""
    codes = codes_in(columns[layout.columns["code"][0].place])
    if not lost.any():
        return codes
    return pc.if_else(pa.array(lost), "", codes)


def facts_of(cells: Cells, clients: Clients, marks: RowMarks[Mark]) -> Facts:
    """Return what else a comparison asks of some rows; ``marks`` is what is wrong with them."""
    days = visit_days(Rows(cells))
    day = np.where(days.exact, days.first.astype("datetime64[D]").astype(np.int64), NO_DAY)
    tester = np.zeros(cells.length, dtype=np.uint64)
    if "tester" in cells.columns:
        tester = keys_of(codes_in(cells.columns["tester"][0][0])).first
    return Facts(
        day.astype(np.int32),
        tester,
        clients.reported.any_of("eating_concern"),
        marks.rows_where(lambda mark: mark.code in WEIGHT_MISLEADS),
        marks.rows_where(unit_in_doubt),
    )


@dataclass(frozen=True, slots=True)
class Earlier:
    """The earlier table as workers find it: where its records wait, and which sites they hold.

    ``stamp`` is another one for another table, or for other codes that are given twice.
    """

    folder: str
    sites: tuple[str, ...]
    stamp: str

    @property
    def records(self) -> Array:
        """All records, in the order of the table."""
        return _records(self.folder, len(self.sites))

    def found(self, first: Array, second: Array) -> tuple[Array, Array]:
        """Return for codes, by their keys, the number of the record, -1 for none, and who is doubled."""
        keys, order = _index(self.folder)
        start = np.searchsorted(keys, first, side="left")
        times = np.searchsorted(keys, first, side="right") - start
        is_there = (times > 0) & (first != 0)
        rows = np.where(is_there, order[np.minimum(start, keys.size - 1)], 0)
        is_there &= self.records["proof"][rows] == second
        return np.where(is_there, rows, -1), is_there & (times > 1)

    def twice_now(self, first: Array) -> Array:
        """Return which codes, by their keys, are given more than once in the new table."""
        return np.isin(first, _twice(self.folder))

    def clients(self, rows: Array) -> tuple[Array, Clients]:
        """Return the records of some clients, and what the bench needs of them."""
        found = self.records[rows]
        count = rows.size
        sites = {}
        for place, name in enumerate(self.sites):
            ends = (found["ends"] >> np.uint64(place)) & np.uint64(1)
            value, se = found["value"][:, place].copy(), found["se"][:, place].copy()
            sites[name] = AcceptedColumn(value, se, ends.astype(bool))
        nobody, unknown = np.zeros(count, dtype=bool), np.full(count, np.nan)
        return found, Clients(
            found["sex"].astype(np.int64), found["age"].copy(),
            Words(found["ancestry"].astype(np.int64), KNOWN_ANCESTRIES),
            found["athlete"].astype(float), sites, found["why"] < 0, nobody, nobody,
            np.full(count, ""), SelfReported(count), unknown, nobody, nobody,
        )  # fmt: skip


@lru_cache(maxsize=2)
def _records(folder: str, sites: int) -> Array:
    return np.memmap(os.path.join(folder, RECORDS), record_type(sites), mode="r")


@lru_cache(maxsize=2)
def _index(folder: str) -> tuple[Array, Array]:
    keys, order = (np.load(os.path.join(folder, name), mmap_mode="r") for name in (KEYS, ORDER))
    return keys, order


@lru_cache(maxsize=2)
def _twice(folder: str) -> Array:
    return np.asarray(np.load(os.path.join(folder, TWICE_NOW)))


def forget() -> None:
    """Let go of the files of earlier tables, so that they can be removed."""
    for kept in (_records, _index, _twice):
        kept.cache_clear()


def save(folder: str, name: str, values: Array) -> None:
    """Keep an array in the folder; E303 where there is no room."""
    try:
        np.save(os.path.join(folder, name), values)
    except OSError:
        raise no_room() from None
