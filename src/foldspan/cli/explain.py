"""``foldspan explain VISIT``: why methods disagree, what would make them agree, what to measure."""

from __future__ import annotations

import json
import sys
from typing import Annotated

import typer

from foldspan.cli.words import one_of
from foldspan.problems import FoldspanError, Problem


def command(
    visit: Annotated[
        str, typer.Argument(help="Visit file, .toml or .json; - for standard input.")
    ] = "",
    reader: Annotated[
        str, typer.Option("--for", metavar="trainer|client|clinician", help="Who reads it.")
    ] = "trainer",
    as_json: Annotated[bool, typer.Option("--json", help="Print JSON (schema version 1).")] = False,
    pair: Annotated[
        tuple[str, str],
        typer.Option(help="Two families, or keys of two equations, to take apart."),
    ] = ("", ""),
    include_outside: Annotated[
        bool, typer.Option("--include-outside", help="Take outside results into the range.")
    ] = False,
    scale: Annotated[
        str, typer.Option(metavar="density|dxa", help="Criterion the answer is stated on.")
    ] = "density",
    conversion: Annotated[
        str, typer.Option(help="Density-to-fat conversion (foldspan equations --conversions).")
    ] = "siri1961",
    with_disputed: Annotated[
        bool, typer.Option("--with-disputed", help="Use equations whose digits are disputed.")
    ] = False,
    accept_unusual: Annotated[
        bool, typer.Option("--accept-unusual", help="Use very unusual values as they are.")
    ] = False,
    sheet: Annotated[
        bool,
        typer.Option("--sheet", help="Check that the numbers of a result sheet add up; no VISIT."),
    ] = False,
    fat_percent: Annotated[str, typer.Option(help="With --sheet: fat [%].")] = "",
    fat_mass: Annotated[str, typer.Option(help='With --sheet: fat mass, kg or "44 lb".')] = "",
    lean_mass: Annotated[str, typer.Option(help='With --sheet: lean mass, kg or "132 lb".')] = "",
    weight: Annotated[str, typer.Option(help='With --sheet: weight, kg or "176 lb".')] = "",
) -> None:
    """Explain why the methods of one visit disagree, and what to measure next.

    Example: foldspan explain examples/disagreement.toml --for client
    """
    one_of("--for", reader, ("trainer", "client", "clinician"))
    numbers = {
        "fat_percent": fat_percent, "fat_mass": fat_mass, "lean_mass": lean_mass, "weight": weight,
    }  # fmt: skip
    if sheet:
        _sheet(numbers, visit, as_json=as_json)
        return
    if any(numbers.values()):
        remedy = "Add --sheet to check a result sheet, or leave these options out."
        raise FoldspanError([Problem("E501", "numbers of a sheet", "given without --sheet", remedy)])
    if not visit:
        remedy = "Name a visit file, such as examples/visit.toml, or check a sheet with --sheet."
        raise FoldspanError([Problem("E501", "VISIT", "missing", remedy)])
    from foldspan import api_explain
    from foldspan.visit import Visit
    from foldspan.wording_explain import client_words

    read = Visit.from_file(visit, accept_unusual=accept_unusual)
    explanation = api_explain.explain(
        read,
        scale=scale,
        conversion=conversion,
        with_disputed=with_disputed,
        pair_of=pair if any(pair) else None,
        include_outside=include_outside,
    )
    for problem in read.warnings:
        typer.echo(problem.sentence(show_given=True), err=True)
    if as_json:
        typer.echo(json.dumps(explanation.to_dict(), indent=2))
    elif reader == "client":
        import textwrap

        typer.echo(textwrap.fill(client_words(explanation), 80))
    else:
        from foldspan.cli.explain_text import clinician_lines, trainer_page

        typer.echo(
            clinician_lines(explanation)
            if reader == "clinician"
            else trainer_page(read, explanation)
        )
    sys.exit(0 if explanation.result.has_range else 1)


def _sheet(numbers: dict[str, str], visit: str, *, as_json: bool) -> None:
    """Print whether the numbers of a sheet add up."""
    from foldspan.explanation import sheet_tree
    from foldspan.outside_reader import read_number
    from foldspan.outside_results import Sheet, check_sheet
    from foldspan.visit_reader import TreeReader
    from foldspan.wording_explain import sheet_sentences

    reader = TreeReader("sheet")
    if visit:
        reader.note("E501", "VISIT", "given with --sheet", "Leave one of the two out.")
    read = {
        name: read_number(
            reader, given, f"--{name.replace('_', '-')}", "%" if name == "fat_percent" else "kg"
        )
        for name, given in numbers.items()
        if given
    }
    if len(read) < 2:
        remedy = "Give at least three of --fat-percent, --fat-mass, --lean-mass, --weight."
        reader.note("E120", "numbers", "fewer than two given", remedy)
    if reader.problems:
        raise FoldspanError(reader.problems)
    check = check_sheet(Sheet(**read))
    if as_json:
        typer.echo(json.dumps(sheet_tree(check), indent=2))
    else:
        typer.echo("\n".join(sheet_sentences(check)))
