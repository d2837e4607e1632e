"""``foldspan records …``: list, show, correct, export, import, erase and back up what was kept."""

from __future__ import annotations

import json
import sys
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Annotated, Any

import typer

from foldspan.cli.options import (
    AsJson,
    AsPrinted,
    BookFile,
    Force,
    LocalWanted,
    ScaleWanted,
    reference_and_local,
)
from foldspan.cli.parsing.given_once import OnceCommand
from foldspan.cli.signs import echo_data, echo_json, whole_signs
from foldspan.problems import FoldspanError, Problem

if TYPE_CHECKING:
    from foldspan.measurement.accepted_values import OwnError
    from foldspan.records.book import Book
    from foldspan.records.visits import KeptVisit
    from foldspan.results.change import ChangeResult
    from foldspan.results.result import Result
    from foldspan.visit.model import Visit

AGREED = "Keep only what the client has agreed to."
app = typer.Typer(
    help="List, show, correct, export and delete saved visits.\n\nExample: foldspan records list",
    no_args_is_help=True,
    rich_markup_mode=None,
)
Code = Annotated[
    str, typer.Argument(metavar="CODE", help="The client's code.", callback=whole_signs)
]
VisitNumber = Annotated[
    int,
    typer.Option("--visit", help="Visit number, as shown by records show.", show_default=False),
]


@app.command("list", cls=OnceCommand, short_help="List the clients in the book.")
def list_clients(book: BookFile = "", as_json: AsJson = False) -> None:
    """List the clients in the book.

    Example: foldspan records list
    """
    from foldspan.cli.lines import wrap
    from foldspan.cli.printed.records import NO_BOOK_YET, clients_page
    from foldspan.records.book import Book
    from foldspan.results.result import SCHEMA_VERSION

    clients, waiting, is_there = [], [], True
    try:
        with Book.read(_path(book)) as opened:
            clients = opened.clients()
            waiting = [code or "no code yet" for _, code, _ in opened.unfinished()]
    except FoldspanError as error:
        # before the first session there is none where books are kept; one that is named was mistyped
        if book or [problem.code for problem in error.problems] != ["E301"]:
            raise
        is_there = False
    if as_json:
        keys = ("code", "name", "visits", "last")
        rows = [dict(zip(keys, client, strict=True)) for client in clients]
        typer.echo(
            json.dumps(
                {"schema_version": SCHEMA_VERSION, "clients": rows, "not_ended": waiting}, indent=2
            )
        )
    else:
        typer.echo(clients_page(clients, waiting) if is_there else wrap(NO_BOOK_YET))


@app.command("show", cls=OnceCommand, short_help="Show a client's visits with their ranges.")
def show(
    code: Code,
    book: BookFile = "",
    visit: VisitNumber = 0,
    as_json: AsJson = False,
    reference_method: ScaleWanted = "",
    local: LocalWanted = "",
    as_printed: AsPrinted = False,
) -> None:
    """Show a client's visits with their ranges and trend, or one visit in full.

    Example: foldspan records show K-014
    """
    from foldspan.api.reconcile import reconcile
    from foldspan.cli.printed.records import client_page, visit_page
    from foldspan.records.book import Book
    from foldspan.records.export import client_json
    from foldspan.records.tester_error import own_errors_of, repeats_of

    reference_method, taught = reference_and_local(reference_method, local)
    with Book.read(_path(book)) as opened:
        kept = _kept(opened, code, visit)
        name = opened.name_of(code)
        if as_json:
            echo_json(client_json(code, name, kept, is_whole=not visit))
            return
        repeats = repeats_of(opened)
        read = [_read(visit, own_errors_of(repeats, visit)) for visit in kept]
    settings: dict[str, Any] = {
        "reference_method": reference_method,
        "local": taught,
        "as_printed": as_printed,
    }
    results = [None if visit is None else reconcile(visit, **settings) for visit in read]
    if not visit:
        typer.echo(
            client_page(
                list(zip(kept, results, strict=True)), _change(kept, read, results, settings)
            )
        )
    elif read[0] is None or results[0] is None:
        remedy = "Continue with foldspan measure --resume."
        raise FoldspanError(
            [Problem("E120", f"visit {visit}", "nothing has been measured yet", remedy)]
        )
    else:
        typer.echo(visit_page(kept[0], read[0], results[0]))


@app.command("correct", cls=OnceCommand, short_help="Correct a reading or an answer.")
def correct(
    code: Code,
    name: Annotated[str, typer.Argument(metavar="NAME", help="Site, or sex, date, tester, code …")],
    value: Annotated[
        str,
        typer.Argument(
            metavar="[VALUE]", help="New value; none to remove it. If left out, you are asked."
        ),
    ] = "",
    *,
    visit: Annotated[int, typer.Option("--visit", min=1, help="Number of the visit.")],
    who: Annotated[str, typer.Option(help="Code of the person correcting.")],
    why: Annotated[str, typer.Option(help="Reason, in a few words.")],
    reading: Annotated[
        int, typer.Option(help="Which reading of the site, 1 to 3.", show_default=False)
    ] = 0,
    book: BookFile = "",
) -> None:
    """Correct a reading or an answer; the original entry stays in the book.

    Example: foldspan records correct K-014 triceps 21.5 --visit 1 --reading 2 --who T-02 --why slip
    """
    from foldspan.api.book import Book

    value = value or _asked("New value, or none to remove it: ")
    with Book.open(_path(book), begins=False) as opened:
        opened.correct(code, visit, name, value, who=who, why=why, reading=reading)
    typer.echo("Corrected. The original entry is kept in the book.", err=True)


@app.command("export", cls=OnceCommand, short_help="Export everything saved about a client.")
def export(
    code: Code,
    to: Annotated[
        str,
        typer.Option(
            "-o",
            metavar="FILE",
            help="File: .json or .csv, or .toml for one visit.",
            show_default="standard output",
        ),
    ] = "",
    book: BookFile = "",
    visit: VisitNumber = 0,
    force: Force = False,
) -> None:
    """Export everything saved about a client, or one visit as a visit file.

    Example: foldspan records export K-014 -o client.json
    """
    from pathlib import Path

    from foldspan.files.output import check_outputs, files_of_book, write_private
    from foldspan.records.book import Book
    from foldspan.records.export import client_csv, client_json, visit_toml

    ending = Path(to).suffix.lower() or ".json"
    if ending not in (".json", ".csv", ".toml"):
        raise FoldspanError(
            [Problem("E307", to, "unknown file extension", "Use .json, .csv or .toml.")]
        )
    if ending == ".toml" and not visit:
        remedy = "Add --visit N; foldspan records show lists them."
        raise FoldspanError([Problem("E501", "-o", "a visit file holds one visit", remedy)])
    check_outputs([to], files_of_book(_path(book)), replace=force)
    with Book.read(_path(book)) as opened:
        kept = _kept(opened, code, visit)
        if ending == ".toml":
            text = visit_toml(kept[0])
        elif ending == ".csv":
            text = client_csv(code, kept)
        else:
            text = client_json(code, opened.name_of(code), kept, is_whole=not visit) + "\n"
    if to:
        write_private(to, text, replace=force)
        typer.echo(f"Written to {to}, readable by you only.", err=True)
    else:
        echo_data(text)


@app.command("import", cls=OnceCommand, short_help="Import a visit file or an export.")
def import_visit(
    visit: Annotated[
        str, typer.Argument(help="Visit file, .toml or .json, or the .json of records export.")
    ],
    book: BookFile = "",
    accept_unusual: Annotated[
        bool, typer.Option("--accept-unusual", help="Accept very unusual values.")
    ] = False,
) -> None:
    """Import a visit file, or an exported client, into the book.

    Example: foldspan records import examples/visit.toml
    """
    from foldspan.files.input import read_tree
    from foldspan.records.book import Book
    from foldspan.records.restore import is_client_export
    from foldspan.records.visits import take_in
    from foldspan.visit.model import Visit

    tree = read_tree(visit)
    if is_client_export(tree):
        _take_in_client(tree, visit, book)
        return
    read = Visit.from_dict(tree, where=visit, accept_unusual=accept_unusual)
    with Book.opened(_path(book)) as opened:
        number = take_in(opened, read.client.code, tree, visit)
    typer.echo(f"Saved as visit {number} of {read.client.code}. {AGREED}", err=True)


def _take_in_client(tree: Mapping[str, Any], where: str, book: str) -> None:
    from foldspan.records.book import Book
    from foldspan.records.restore import take_in_client

    with Book.opened(_path(book)) as opened:
        found = take_in_client(opened, tree, where)
    for line in found.remarks:
        typer.echo(line, err=True)
    visits = "1 visit" if found.visits == 1 else f"{found.visits} visits"
    there = f"; {found.there_before} were already there" if found.there_before else ""
    typer.echo(f"Saved: {visits} of {found.code}, unchanged{there}. {AGREED}", err=True)


@app.command("name", cls=OnceCommand, short_help="Record a name for a code.")
def name(
    code: Code,
    text: Annotated[
        str,
        typer.Argument(
            metavar="[NAME]",
            help="A name. If left out, you are asked (Enter for none).",
            callback=whole_signs,
        ),
    ] = "",
    book: BookFile = "",
) -> None:
    """Record a name for a code; the code alone is enough.

    Example: foldspan records name K-014 "the early one"
    """
    from foldspan.records.book import Book

    with Book.opened(_path(book), begins=False) as opened:
        opened.name(code, text or _asked("Name (Enter for none): "))
    typer.echo("Saved.", err=True)


@app.command("erase", cls=OnceCommand, short_help="Erase a client and all visits for good.")
def erase(code: Code, book: BookFile = "") -> None:
    """Erase a client and all visits for good; asks for the code again first.

    Example: foldspan records erase K-014
    """
    from foldspan.records.book import Book

    with Book.opened(_path(book), begins=False) as opened:
        count = len(opened.visits(code))
        visits = "1 visit" if count == 1 else f"{count} visits"
        typer.echo(
            f"This deletes {code} and {visits} permanently; you have to delete backups and"
            f" exports yourself. Type the code to confirm: ",
            err=True,
            nl=False,
        )
        if sys.stdin.readline().strip() != code:
            typer.echo("That is not the code: nothing was deleted.", err=True)
            sys.exit(2)
        opened.erase(code)
    typer.echo("Deleted.", err=True)


@app.command("backup", cls=OnceCommand, short_help="Copy the whole book to another file.")
def backup(
    to: Annotated[str, typer.Argument(metavar="FILE", help="File to copy to.")],
    book: BookFile = "",
    force: Force = False,
) -> None:
    """Copy the whole book to another file.

    Example: foldspan records backup book-copy.sqlite
    """
    from foldspan.files.output import check_outputs, files_of_book
    from foldspan.records.book import Book
    from foldspan.records.visits import kept_visit

    check_outputs([to], files_of_book(_path(book)), replace=force)
    with Book.read(_path(book)) as opened:
        for number, code in opened.all_visits():
            kept_visit(opened, number, code)  # every digest is checked before it is copied
        opened.back_up(to, replace=force)
    typer.echo(f"Copied to {to}, readable by you only.", err=True)


def _asked(question: str) -> str:
    """Return a line from stdin: what is typed as an argument stays in the history of the shell."""
    typer.echo(question, err=True, nl=False)
    return sys.stdin.readline().strip()


def _path(given: str) -> str:
    from foldspan.records.location import book_path

    return book_path(given)


def _kept(book: Book, code: str, visit: int) -> list[KeptVisit]:
    """Return a client's visits, or the one that is named."""
    from foldspan.records.visits import kept_visits

    return kept_visits(book, code, str(visit or ""))


def _read(visit: KeptVisit, own: Mapping[str, OwnError]) -> Visit | None:
    """Return a kept visit with its tester's own errors; None where nothing was read."""
    try:
        return visit.visit(own)
    except FoldspanError:
        return None


def _change(
    kept: Sequence[KeptVisit],
    read: Sequence[Visit | None],
    results: Sequence[Result | None],
    settings: Mapping[str, Any],
) -> ChangeResult | None:
    """Return what changed over the ended visits with a range, None where that cannot be told."""
    from foldspan.api.change import change

    by_day = sorted(zip(kept, read, results, strict=True), key=lambda three: three[0].day)
    visits = [
        visit
        for kept, visit, result in by_day
        if visit is not None
        and result is not None
        and kept.has_ended
        and (result.has_range or result.by_sex)
    ]
    try:
        return change(*visits, **settings) if len(visits) > 1 else None
    except FoldspanError:
        return None
