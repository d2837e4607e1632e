"""``foldspan explain VISIT``: why methods disagree, what would make them agree, what to measure."""

from __future__ import annotations

import json
import sys
from typing import TYPE_CHECKING, Annotated, Any

import typer

from foldspan.cli.options import (
    AcceptUnusual,
    AsJson,
    AsPrinted,
    BookFile,
    ConversionWanted,
    IncludeOutside,
    LocalWanted,
    ScaleWanted,
    VisitGiven,
    WithDisputed,
    reference_and_local,
)
from foldspan.cli.words import one_of
from foldspan.problems import FoldspanError, Problem

if TYPE_CHECKING:
    from foldspan.results.explanation import Explanation
    from foldspan.visit.model import Visit


Reader = Annotated[
    str, typer.Option("--for", metavar="trainer|client|clinician", help="Who it is for.")
]

PairWanted = Annotated[
    tuple[str, str],
    typer.Option(
        metavar="FIRST SECOND",
        help="Compare two of skinfold, girth, mass_height, waist_height, or two equation keys.",
    ),
]
FatFreeMass = Annotated[
    str,
    typer.Option(
        "--fat-free-mass", "--lean-mass",
        help='With --sheet: fat-free mass, or lean mass as some sheets call it, kg or "132 lb".',
    ),
]  # fmt: skip


def command(
    visit: VisitGiven = "",
    book: BookFile = "",
    reader: Reader = "trainer",
    as_json: AsJson = False,
    pair: PairWanted = ("", ""),
    include_outside: IncludeOutside = False,
    reference_method: ScaleWanted = "",
    conversion: ConversionWanted = "siri1961",
    with_disputed: WithDisputed = False,
    as_printed: AsPrinted = False,
    local: LocalWanted = "",
    accept_unusual: AcceptUnusual = False,
    sheet: Annotated[
        bool,
        typer.Option(
            "--sheet",
            help="Check whether the numbers on a result sheet add up (no VISIT needed).",
        ),
    ] = False,
    fat_percent: Annotated[str, typer.Option(help="With --sheet: body fat (%).")] = "",
    fat_mass: Annotated[str, typer.Option(help='With --sheet: fat mass, kg or "44 lb".')] = "",
    fat_free_mass: FatFreeMass = "",
    weight: Annotated[str, typer.Option(help='With --sheet: weight, kg or "176 lb".')] = "",
) -> None:
    """Explain why the methods of one visit disagree, and what to measure next.

    Example: foldspan explain examples/disagreement.toml --for client
    """
    one_of("--for", reader, ("trainer", "client", "clinician"))
    numbers = {
        "fat_percent": fat_percent, "fat_mass": fat_mass, "fat_free_mass": fat_free_mass,
        "weight": weight,
    }  # fmt: skip
    if sheet:
        _sheet(numbers, visit, as_json=as_json)
        return
    _require_visit(visit, numbers)
    options = {
        "reference_method": reference_method, "conversion": conversion, "with_disputed": with_disputed,
        "as_printed": as_printed, "pair_of": _pair_asked_for(pair), "include_outside": include_outside,
    }  # fmt: skip
    read, explanation = _explained(
        visit, book, options, local, accept_unusual=accept_unusual, as_json=as_json
    )
    for problem in () if reader == "client" else read.warnings:  # a client reads no spans
        typer.echo(problem.sentence(show_given=True), err=True)
    typer.echo(
        json.dumps(explanation.to_dict(), indent=2) if as_json else _page(reader, read, explanation)
    )
    sys.exit(0 if explanation.result.has_range else 1)


def _explained(
    visit: str,
    book: str,
    options: dict[str, Any],
    local: str,
    *,
    accept_unusual: bool,
    as_json: bool,
) -> tuple[Visit, Explanation]:
    """Read and explain a visit; where that fails, --json still prints its tree."""
    from foldspan.api import explain
    from foldspan.cli.visits_given import visit_given

    try:
        read = visit_given(visit, book, accept_unusual=accept_unusual)
        options["reference_method"], options["local"] = reference_and_local(
            options["reference_method"], local
        )
        return read, explain.explain(read, **options)
    except FoldspanError as error:
        if as_json:
            typer.echo(_nothing_but(str(options["reference_method"]), error))
        raise


def _pair_asked_for(pair: tuple[str, str]) -> tuple[str, str] | None:
    """The two methods asked for; groups go by their printed names too."""
    from foldspan.text.en.reconcile import FAMILY_NAMES

    if not any(pair):
        return None
    codes = {name: code for code, name in FAMILY_NAMES.items()}
    return codes.get(pair[0], pair[0]), codes.get(pair[1], pair[1])


def _nothing_but(reference_method: str, error: FoldspanError) -> str:
    """The JSON tree of an explanation that could not be given."""
    from foldspan.catalogue.card import DEFAULT_REFERENCE
    from foldspan.results.explanation import Explanation
    from foldspan.results.result import Result

    reference_method = reference_method or DEFAULT_REFERENCE
    return json.dumps(
        Explanation(Result(reference_method, problems=error.problems)).to_dict(), indent=2
    )


def _require_visit(visit: str, numbers: dict[str, str]) -> None:
    """Raise E501 where neither a visit nor a sheet is asked about, or both are."""
    if any(numbers.values()):
        remedy = "Add --sheet to check a result sheet, or leave these options out."
        raise FoldspanError(
            [Problem("E501", "numbers of a sheet", "given without --sheet", remedy)]
        )
    if not visit:
        remedy = (
            "Give a visit file, such as examples/visit.toml, or CODE:VISIT; or check a --sheet."
        )
        raise FoldspanError([Problem("E501", "VISIT", "missing", remedy)])


def _page(reader: str, visit: Visit, explanation: Explanation) -> str:
    from foldspan.cli.printed.explain import client_page, clinician_lines, trainer_page

    if reader == "client":
        return client_page(explanation)
    if reader == "clinician":
        return clinician_lines(explanation)
    return trainer_page(visit, explanation)


def _sheet(numbers: dict[str, str], visit: str, *, as_json: bool) -> None:
    """Print whether the numbers of a sheet add up."""
    from foldspan.external.consistency import Sheet, check_sheet
    from foldspan.results.explanation import sheet_tree
    from foldspan.text.explain import sheet_sentences
    from foldspan.visit.outside_results import read_number
    from foldspan.visit.reader import TreeReader

    reader = TreeReader("sheet")
    if visit:
        reader.note("E501", "VISIT", "given with --sheet", "Use only one of them.")
    read = {
        name: read_number(
            reader, given, f"--{name.replace('_', '-')}", "%" if name == "fat_percent" else "kg"
        )
        for name, given in numbers.items()
        if given
    }
    if len(read) < 2:
        remedy = "Give three or four of --fat-percent, --fat-mass, --fat-free-mass, --weight."
        reader.note("E120", "numbers", "one number cannot be checked on its own", remedy)
    if reader.problems:
        raise FoldspanError(reader.problems)
    check = check_sheet(Sheet(**read))
    if as_json:
        typer.echo(json.dumps(sheet_tree(check), indent=2))
    else:
        typer.echo("\n".join(sheet_sentences(check)))
