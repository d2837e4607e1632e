"""``foldspan screen TABLE -o FILE``: one row per client, any number of rows."""

from __future__ import annotations

import json
import os
import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from typing import TYPE_CHECKING, Annotated

import typer

from foldspan.cli.lines import aside
from foldspan.cli.options import (
    AsJson,
    AsPrinted,
    ConversionWanted,
    Force,
    LocalWanted,
    Map,
    MapFile,
    ScaleWanted,
    SheetWanted,
    TableGiven,
    Unit,
    WithDisputed,
    reference_and_local,
)
from foldspan.cli.signs import echo_json
from foldspan.cli.words import EXIT_INTERRUPTED, one_of
from foldspan.extras import require
from foldspan.files.output import check_apart
from foldspan.problems import FoldspanError, Problem

if TYPE_CHECKING:
    from foldspan.cli.progress import Progress
    from foldspan.estimation.local_correction import LocalCorrection
    from foldspan.practice.model import Practice
    from foldspan.screening.summary import Screening

Out = Annotated[
    str,
    typer.Option("--out", "-o", metavar="FILE", help= (
        "Output file (same formats), or - for standard output."
    )),
]  # fmt: skip
Referrals = Annotated[
    str, typer.Option(metavar="FILE", help="List of who to refer (CSV), most urgent first.")
]
Letters = Annotated[
    str,
    typer.Option(
        metavar="DIR",
        help="Folder for letters to a clinician, one for each client to refer (PDF).",
    ),
]
GroupFile = Annotated[
    str,
    typer.Option(
        metavar="FILE",
        help="Anonymous summary of the group, for an employer: .html, .pdf, .xlsx or .json.",
    ),
]
Workers = Annotated[
    int,
    typer.Option(
        metavar="N",
        help="Number of processes; 0 means one per processor (one for a small table).",
    ),
]
Scheduler = Annotated[
    str,
    typer.Option(metavar="ADDRESS", help="Dask scheduler, or local; for folders (foldspan[cluster])."),
]  # fmt: skip
Resume = Annotated[
    bool, typer.Option("--resume", help="Continue a folder that was left unfinished.")
]
Accept = Annotated[
    bool,
    typer.Option(
        "--accept-unusual", help="Write letters even if a weight looks like another unit."
    ),
]
Before = Annotated[
    str,
    typer.Option(
        metavar="FILE",
        help="Earlier table, such as last year's, to see for each client whether a change is real.",
    ),
]
BeforeMap = Annotated[
    list[str],
    typer.Option(metavar="THEIR=OURS", help="--map for the earlier table; can be repeated."),
]
BeforeUnit = Annotated[
    list[str],
    typer.Option(metavar="COLUMN=UNIT", help="--unit for the earlier table; can be repeated."),
]
BeforeMapFile = Annotated[
    str, typer.Option(metavar="FILE", help="--map-file for the earlier table.")
]
BeforeSheet = Annotated[str, typer.Option(metavar="NAME", help="--sheet for the earlier table.")]
Guess = Annotated[
    bool,
    typer.Option(
        "--guess",
        help="Guess what each column means, show the guesses and save them beside the output.",
    ),
]
Quiet = Annotated[bool, typer.Option("--quiet", help="Show no progress.")]


def command(
    table: TableGiven,
    out: Out,
    map_: Map = [],  # noqa: B006
    map_file: MapFile = "",
    sheet: SheetWanted = "",
    unit: Unit = [],  # noqa: B006
    guess: Guess = False,
    before: Before = "",
    before_map: BeforeMap = [],  # noqa: B006
    before_unit: BeforeUnit = [],  # noqa: B006
    before_map_file: BeforeMapFile = "",
    before_sheet: BeforeSheet = "",
    referrals: Referrals = "",
    letters: Letters = "",
    group_summary: GroupFile = "",
    reference_method: ScaleWanted = "",
    conversion: ConversionWanted = "siri1961",
    with_disputed: WithDisputed = False,
    as_printed: AsPrinted = False,
    local: LocalWanted = "",
    workers: Workers = 0,
    scheduler: Scheduler = "",
    resume: Resume = False,
    accept_unusual: Accept = False,
    force: Force = False,
    as_json: AsJson = False,
    quiet: Quiet = False,
) -> None:
    """Screen a table, one row per client: ranges, categories, flags, and who to refer.

    Example: foldspan screen examples/clinic_day.csv -o screened.csv --referrals refer.csv
    """
    _spare([out, referrals, letters, group_summary], (map_file, before_map_file, before), local)
    _check_group(group_summary, [table, out, referrals], force=force)
    reference_method, correction = _reference(reference_method, local)
    workers = _ready(workers, table, scheduler)
    from foldspan.api.screen import screen_table
    from foldspan.cli.screen_map import earlier_of, guessing, mapping_of

    columns = guessing(table, mapping_of(map_, unit, map_file, sheet), out, on=guess, force=force)
    earlier = earlier_of(before, before_map, before_unit, before_map_file, before_sheet)
    with columns as wanted, _reported_interruption(out), _progress(quiet=quiet) as progress:
        screening = screen_table(
            table, out,
            names=wanted.names, units=wanted.units, words=wanted.words, sheet=wanted.sheet,
            before=earlier, reference_method=reference_method, conversion=conversion,
            with_disputed=with_disputed, as_printed=as_printed, local=correction,
            referrals=referrals, letters=letters, practice=_practice(letters),
            workers=workers, scheduler=scheduler, resume=resume, replace=force,
            accept_unusual=accept_unusual, progress=progress.step,
        )  # fmt: skip
    _write_group(screening, group_summary, force=force)
    _tell(screening, as_json=as_json, out=out, referrals=referrals)


def _reference(reference_method: str, local: str) -> tuple[str, LocalCorrection | None]:
    """Return the scale of the answer, which must be a known one, and the site's correction."""
    chosen, correction = reference_and_local(reference_method, local)
    one_of("--reference-method", chosen, ("density", "dxa"))
    return chosen, correction


def _progress(*, quiet: bool) -> Progress:
    """Return how far the work is, shown on a terminal only."""
    from foldspan.cli.progress import Progress

    return Progress(is_shown=not quiet and sys.stderr.isatty())


def _check_group(path: str, others: Sequence[str], *, force: bool) -> None:
    """Raise for a group summary that cannot be written, before the work begins."""
    if not path:
        return
    from foldspan.api.group_summary import ENDINGS, extra_for
    from foldspan.files.output import check_outputs

    if not path.lower().endswith(ENDINGS):
        remedy = f"Give it a name that ends in {', '.join(ENDINGS)}."
        raise FoldspanError([Problem("E307", path, "unknown file extension", remedy)])
    if extra := extra_for(path):
        require(extra)
    check_outputs([path], others, replace=force)


def _write_group(screening: Screening, path: str, *, force: bool) -> None:
    """Write the group summary, where it is asked for; what cannot be is told."""
    if not path:
        return
    from foldspan.api.group_summary import group_summary
    from foldspan.files.output import write_private

    made = group_summary(screening)
    content: str | bytes = made.content(path)
    write_private(path, content, replace=force)
    typer.echo(aside(f"Group summary written to {path}."), err=True)


def _practice(letters: str) -> Practice | None:
    """Return who writes letters, where any are asked for."""
    from foldspan.practice.settings import site_practice

    return site_practice() if letters else None


def _spare(outputs: Sequence[str], given: Sequence[str], local: str) -> None:
    """Raise E308 where an output would be written over a file that is read besides the table."""
    from foldspan.practice.settings import files_of_settings
    from foldspan.validation.correction_file import files_read

    settings = (*given, *files_of_settings(), *files_read(local))
    check_apart([(to, read) for to in outputs for read in settings])


def _ready(workers: int, table: str, scheduler: str) -> int:
    """Return how many processes work; they load what they need while the rest is loaded here."""
    from foldspan.screening.run.processes import get_ready, usual_workers

    workers = _count(workers) or usual_workers(table)
    if not scheduler and (table == "-" or os.path.exists(table)):
        get_ready(workers)
    from foldspan.screening.run.lazy_pyarrow import forgo_pandas

    forgo_pandas()
    return workers


def _count(workers: int) -> int:
    if workers < 0:
        remedy = "Use 1 or more, or 0 for one per processor."
        raise FoldspanError([Problem("E501", "--workers", "below zero", remedy, str(workers))])
    return workers


@contextmanager
def _reported_interruption(out: str) -> Iterator[None]:
    """Say after an interruption what is left of the work, and end with its exit code."""
    try:
        yield
    except KeyboardInterrupt:
        from foldspan.text.screen import NOTES

        typer.echo(NOTES["stopped_parts" if os.path.isdir(out) else "stopped"], err=True)
        sys.exit(EXIT_INTERRUPTED)


def _tell(screening: Screening, *, as_json: bool, out: str, referrals: str) -> None:
    """Say what came of it, and end with its exit code."""
    from foldspan.cli.printed.screen import page

    for note in (*screening.notes, *screening.unreadable_parts):
        typer.echo(aside(note), err=True)
    # the rows themselves may stand on stdout: then the summary may not
    if as_json:
        summary = json.dumps(screening.to_dict(), indent=2, ensure_ascii=False)
        echo_json(summary, err=out == "-")
    else:
        typer.echo(page(screening, out, referrals), err=out == "-")
    if not screening.with_range:
        sys.exit(1)
    is_whole = screening.with_range == screening.rows and not screening.unreadable_parts
    sys.exit(0 if is_whole else 3)
