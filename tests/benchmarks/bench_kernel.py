"""What a person costs between accepted values and range, and what the formulas alone do.

Processor time, the least of several runs, so that it says something on a busy machine too. Part of
``bench_screen.py``; alone:

python tests/benchmarks/bench_kernel.py
"""

from __future__ import annotations

import tempfile
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pyarrow.csv as arrow_csv
from bench_screen import PLAIN, SEVENTEEN, invented_table

from foldspan.catalogue.card import Equation
from foldspan.estimation.batch import People
from foldspan.estimation.evaluate import traced
from foldspan.estimation.pipeline import reconcile_people
from foldspan.estimation.select_equations import Selection
from foldspan.estimation.settings import Settings
from foldspan.measurement.waist_conversion import bridge_waists
from foldspan.screening.batch import Plan, work_on_csv
from foldspan.screening.known_cells import known_cells
from foldspan.tables.clients import Clients
from foldspan.tables.columns import layout_of
from foldspan.tables.csv.blocks import CsvSource, Piece, read_block
from foldspan.tables.rows import Rows

ROWS, RUNS = 60_000, 7


def first_part(folder: Path, columns: list[str] | None) -> tuple[Plan, Piece]:
    """Return the first part of an invented table, as a worker gets it."""
    table = invented_table(ROWS)
    path = folder / "part.csv"
    arrow_csv.write_csv(table if columns is None else table.select(columns), path, PLAIN)
    with path.open("rb") as file:
        source = CsvSource(file, path.name)
        return Plan(layout_of(source.names), source.dialect), next(iter(source.blocks()))


def people_of(plan: Plan, piece: Piece) -> list[People]:
    """Return the people of a part as they are reconciled."""
    block = read_block(piece, len(plan.layout.names), plan.dialect)
    rows = Rows(known_cells(plan.layout, tuple(block.columns), block, plan.rules))
    return [people for _, people, _ in Clients.read(rows).answers(plan.settings)]


def spent(work: Callable[[], object]) -> float:
    """Return the least processor time of several calls [s]."""
    work()
    seconds = []
    for _ in range(RUNS):
        start = time.process_time()
        work()
        seconds.append(time.process_time() - start)
    return min(seconds)


def kernel(settings: Settings, people: People, *, both_references: bool) -> float:
    """Return what people cost [s]."""
    cards = settings.cards_for(people.sex)
    return spent(
        lambda: reconcile_people(
            cards, people, settings, every=False, both_references=both_references
        )
    )


def formulas(settings: Settings, people: People) -> float:
    """Return what their equations cost, values and slopes, without all that is made of them [s]."""
    bridged = bridge_waists(people.columns, people.sex)
    selection = Selection(settings.cards_for(people.sex), people, settings, bridged)
    with np.errstate(all="ignore"):
        used: list[Equation] = [
            found.card for found in selection.evaluated(every=False) if found.traced is not None
        ]

        def work() -> None:
            inputs = type(selection.inputs)(bridged.columns)
            for card in used:
                traced(card, inputs, settings.conversion)

        return spent(work)


def main(folder: Path) -> None:
    """Print (g): microseconds of one processor a person."""
    print("\n| columns | whole part | one reference method | both | formulas alone |")
    print("|---|---|---|---|---|")
    for columns in (SEVENTEEN, None):
        plan, piece = first_part(folder, columns)
        rows = work_on_csv(plan, piece).tally.rows
        whole = spent(lambda plan=plan, piece=piece: work_on_csv(plan, piece)) / rows
        groups = people_of(plan, piece)
        count = sum(people.ancestry.size for people in groups)
        parts = [
            sum(kernel(plan.settings, people, both_references=both) for people in groups) / count
            for both in (False, True)
        ]
        parts.append(sum(formulas(plan.settings, people) for people in groups) / count)
        shown = " | ".join(f"{1e6 * seconds:.2f} µs" for seconds in (whole, *parts))
        print(f"| {len(plan.layout.names)} | {shown} |", flush=True)


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as name:
        main(Path(name))
