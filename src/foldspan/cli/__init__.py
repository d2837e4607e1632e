"""Commands: one file each. Results go to stdout, everything else to stderr."""

from __future__ import annotations

import atexit
import gc
import logging
import os
import sys
import traceback
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from functools import cache
from typing import Annotated, Any

import typer

import foldspan
from foldspan.cli import (
    calibrate,
    change,
    equations,
    explain,
    measure,
    precision,
    reconcile,
    records,
    report,
    screen,
    serve,
)
from foldspan.cli.lines import aside, fit_terminal
from foldspan.cli.parsing.completion import completed
from foldspan.cli.parsing.given_once import OnceCommand
from foldspan.cli.signs import show_likenesses
from foldspan.cli.words import EXIT_INTERRUPTED
from foldspan.problems import FoldspanError, Problem

EXIT_NO_ESTIMATE, EXIT_UNREADABLE = 1, 2
# set where the shell asks what may come next
COMPLETING = "_FOLDSPAN_COMPLETE"
# commands that go through few visits and end: what they leave lying about fits into memory
SHORT = ("reconcile", "explain", "change", "equations")
ROOM = "Free some space there, or write somewhere else; the input is unchanged."

# what the list of commands says of each: short enough for a narrow terminal
COMMANDS = {
    "reconcile": (reconcile, "One range from one visit."),
    "explain": (explain, "Why methods disagree; what to measure next."),
    "measure": (measure, "Guide a measuring session."),
    "serve": (serve, "Measure and hand over in a browser."),
    "report": (report, "Page for client, trainer or clinician."),
    "change": (change, "Whether a change between visits is real."),
    "precision": (precision, "How well testers repeat their readings."),
    "screen": (screen, "Ranges, flags and referrals for a table."),
    "equations": (equations, "List equations, or show one in full."),
    "calibrate": (calibrate, "Compare ranges with reference values."),
    "records": (records, "List, show, export or delete visits."),
}


def _version(wanted: bool) -> None:
    if wanted:
        typer.echo(f"foldspan {foldspan.__version__}")
        raise typer.Exit


def _licences(wanted: bool) -> None:
    if wanted:
        from importlib import resources

        page = resources.files("foldspan").joinpath("THIRD_PARTY.md")
        typer.echo(page.read_text(encoding="utf-8").rstrip())
        raise typer.Exit


def _options(
    context: typer.Context,
    version: Annotated[
        bool, typer.Option("--version", callback=_version, is_eager=True, help="Show the version.")
    ] = False,
    licences: Annotated[
        bool,
        typer.Option(
            "--licences",
            callback=_licences,
            is_eager=True,
            help="Show third-party notices: fonts, codes, data and their terms.",
        ),
    ] = False,
) -> None:
    """One honest body-fat range from skinfolds, girths, BMI and waist-to-height."""
    fit_terminal(sys.stdout)
    if context.invoked_subcommand not in SHORT:
        gc.enable()


def _app_of(names: Iterable[str]) -> typer.Typer:
    """Some of the commands, by their names."""
    made = typer.Typer(
        name="foldspan",
        help=(
            "One body-fat range, with its uncertainty, from skinfolds, girths, BMI and"
            " waist-to-height ratio.\n\nExample: foldspan reconcile examples/visit.toml"
        ),
        no_args_is_help=True,
        pretty_exceptions_enable=False,
        rich_markup_mode=None,  # plain lines: whole names at any width, and no frames to be read aloud
    )
    made.callback()(_options)
    for name in names:
        module, short = COMMANDS[name]
        if module is records:
            made.add_typer(records.app, name=name, short_help=short)
        else:
            made.command(name, cls=OnceCommand, short_help=short)(module.command)
    return made


app = _app_of(COMMANDS)


def tell(error: FoldspanError) -> None:
    """Print every problem to stderr, with the value that was typed, for the person who typed it."""
    for problem in error.problems:
        option = f"--{problem.where.replace('_', '-')}"
        if problem.code == "E501" and option in _option_names():
            problem = replace(problem, where=option)  # as it was typed here
        typer.echo(aside(problem.sentence(show_given=True)), err=True)


def is_fault_of_output(error: Exception) -> bool:
    """Whether standard output could not be written: a full disk, a device that is gone.

    Files have names, and what foldspan itself writes to a file is told as a problem; what is left was
    raised by the library that prints.
    """
    last = traceback.extract_tb(error.__traceback__)[-1]
    is_own = os.path.dirname(foldspan.__file__) in last.filename
    return isinstance(error, OSError) and error.filename is None and not is_own


@cache
def _option_names() -> frozenset[str]:
    """Names of all options of all commands."""
    groups = list(_commands().commands.values())
    groups += [inner for group in groups for inner in getattr(group, "commands", {}).values()]
    return frozenset(name for command in groups for param in command.params for name in param.opts)


@cache
def _commands(alone: str = "") -> Any:
    """All commands with their options, or one of them alone.

    Built once: all of them take as long as a small answer.
    """
    return completed(typer.main.get_command(_app_of([alone]) if alone else app))


def _asked_for() -> Any:
    """The named command alone, where nothing else can be meant; otherwise all of them."""
    named = sys.argv[1] if len(sys.argv) > 1 else ""
    return _commands(named if named in COMMANDS and COMPLETING not in os.environ else "")


@contextmanager
def _without_collecting() -> Iterator[None]:
    """Until a command asks for it, and once more at the end, nothing is looked through for garbage.

    Nearly all that a short command makes stays: libraries, equations, tables. To go through it again and
    again, and a last time before it ends, takes a fifth of its time.
    """
    atexit.unregister(gc.freeze)  # where several commands run in one process
    atexit.register(gc.freeze)
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()


def main() -> None:
    """Run the command line; turn whatever happens into an exit code and calm words.

    Values of a client never reach a log: an unexpected fault prints its kind and its place in the
    program only, unless FOLDSPAN_DEBUG is set.
    """
    show_likenesses()
    # one client needs no threads, and starting them costs more than the whole answer
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    # no add-on of the library that checks visits is to see what a client tells, nor to be looked for
    os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")
    # where it may keep nothing at home, the drawing library works all the same and need not say so
    logging.getLogger("matplotlib").setLevel(logging.ERROR)
    try:
        with _without_collecting():
            _asked_for()()
    except FoldspanError as error:
        tell(error)
        sys.exit(EXIT_UNREADABLE)
    except KeyboardInterrupt:
        typer.echo("Stopped.", err=True)
        sys.exit(EXIT_INTERRUPTED)
    except Exception as error:
        if os.environ.get("FOLDSPAN_DEBUG"):
            raise
        if is_fault_of_output(error):
            why = getattr(error, "strerror", None) or type(error).__name__
            tell(FoldspanError([Problem("E303", "the output", f"cannot be written ({why})", ROOM)]))
            sys.exit(EXIT_UNREADABLE)
        last = traceback.extract_tb(error.__traceback__)[-1]
        place = f"{os.path.basename(last.filename)}:{last.lineno}"
        typer.echo(
            f"foldspan failed ({type(error).__name__} at {place}). Nothing was changed."
            " Please report this; the message contains no client data.",
            err=True,
        )
        sys.exit(EXIT_NO_ESTIMATE)
