"""``foldspan precision TABLE``: a tester's technical error of measurement from repeats."""

from __future__ import annotations

import json
import sys
from typing import TYPE_CHECKING, Annotated, NoReturn

import typer

from foldspan.cli.lines import aside
from foldspan.cli.options import AsJson, BookFile, Force, Map, MapFile, SheetWanted, Unit
from foldspan.cli.signs import echo_json

if TYPE_CHECKING:
    from foldspan.results.precision import PrecisionResult

NOT_ALL_COUNTED = 3


def command(
    table: Annotated[
        str,
        typer.Argument(
            metavar="[TABLE]",
            help="Table (.csv, .tsv, .csv.gz, .xlsx, .ods or .parquet; - for standard input).",
            show_default="the record book",
        ),
    ] = "",
    map_: Map = [],  # noqa: B006
    map_file: MapFile = "",
    sheet: SheetWanted = "",
    unit: Unit = [],  # noqa: B006
    book: BookFile = "",
    as_json: AsJson = False,
    output: Annotated[
        str,
        typer.Option(
            "-o", "--output", help="Save the JSON to this file, for use with --own-errors."
        ),
    ] = "",
    force: Force = False,
) -> None:
    """Show how well testers repeat their own readings and each other's.

    The table has one row per client and tester: code, tester, and one column per reading, such as
    triceps_mm_1 and triceps_mm_2.

    Example: foldspan precision examples/repeats.csv
    """
    from foldspan.api.precision import precision
    from foldspan.cli.screen_map import mapping_of
    from foldspan.files.output import check_outputs, files_of_book
    from foldspan.records.location import book_path
    from foldspan.tables.repeats import read_repeat_file
    from foldspan.text.precision import counted_sentence
    from foldspan.text.tables.sheets import how_read

    place = "" if table else book_path(book)
    inputs = [table, map_file, *(files_of_book(place) if place else ())]
    check_outputs([output], inputs, replace=force)
    if not table:
        _from_book(place, output, as_json=as_json, force=force)
    where = "standard input" if table == "-" else table
    read = read_repeat_file(table, mapping_of(map_, unit, map_file, sheet))
    for note in how_read(read.how_written, read.notes):
        typer.echo(aside(note), err=True)
    for problem in read.problems:
        typer.echo(aside(problem.sentence(show_given=True)), err=True)
    result = precision(read.repeats)
    _say_alone(result, where)
    counted = (read.rows_counted, read.rows), (read.cells_counted, read.cells)
    typer.echo(aside(counted_sentence(*counted)), err=True)
    _show(result, where, output, as_json=as_json, force=force)
    sys.exit(0 if read.is_complete and not result.alone else NOT_ALL_COUNTED)


def _from_book(path: str, output: str, *, as_json: bool, force: bool) -> NoReturn:
    """Tell the precision of the testers of the book, from every site that was read twice or more."""
    from foldspan.api.precision import precision
    from foldspan.measurement.technical_error import Repeat
    from foldspan.records.book import Book
    from foldspan.records.tester_error import repeats_of

    with Book.read(path) as opened:
        kept = repeats_of(opened)
    result = precision(
        [Repeat(repeat.code, repeat.tester, repeat.quantity, repeat.readings) for repeat in kept]
    )
    _show(result, path, output, as_json=as_json, force=force)
    sys.exit(0)


def _show(result: PrecisionResult, where: str, output: str, *, as_json: bool, force: bool) -> None:
    """Print a result, and write it where that is asked for; exit 1 where nobody was measured twice."""
    from foldspan.cli.printed.precision import page
    from foldspan.files.output import write_private
    from foldspan.problems import Problem

    text = json.dumps(result.to_dict(), indent=2, ensure_ascii=False)
    if result.is_empty:
        remedy = "Take two readings of a site, or have two testers measure the same clients."
        nobody = Problem("E120", where, "no client was measured twice", remedy)
        typer.echo(aside(nobody.sentence()), err=True)
        if as_json:
            echo_json(text)
        sys.exit(1)
    if output:
        write_private(output, f"{text}\n", replace=force)
        typer.echo(aside(_written(result, output)), err=True)
    if as_json:
        echo_json(text)
    else:
        typer.echo(page(result))


def _say_alone(result: PrecisionResult, where: str) -> None:
    """Name every reading that nobody repeated."""
    from foldspan.problems import Problem

    for repeat in result.alone:
        who = f"{repeat.code}, {repeat.tester}" if repeat.tester else repeat.code
        remedy = "It is not used; take a second reading, or have another tester measure the site."
        problem = Problem("E120", f"{where} {who}, {repeat.quantity}", "only one reading", remedy)
        typer.echo(aside(problem.sentence()), err=True)


def _written(result: PrecisionResult, path: str) -> str:
    """Say what the file is good for."""
    if not result.own_errors:
        return f"JSON written to {path}; it contains no tester's own errors, as explained below."
    return f"JSON written to {path}, with own errors of {', '.join(result.own_errors)}."
