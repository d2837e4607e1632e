"""``foldspan measure``: guide a measuring session on the floor and keep it."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import TYPE_CHECKING, Annotated, Any

import typer

from foldspan.cli.options import (
    LANGUAGE_CODES,
    AsJson,
    AsPrinted,
    BookFile,
    LanguageWanted,
    LocalWanted,
    ScaleWanted,
    scale_and_local,
)
from foldspan.cli.words import one_of
from foldspan.problems import FoldspanError, Problem

if TYPE_CHECKING:
    from foldspan.records.book import Book
    from foldspan.records.journal import Keeper
    from foldspan.session.state import State


# the repeat rules; protocol/ is not loaded before a session begins
RULES = ("growing", "2mm", "1mm", "10%", "5%", "adaptive")
RuleWanted = Annotated[
    str,
    typer.Option(
        metavar="|".join(RULES),
        help="Rule for how far two skinfold readings may differ before a third is needed.",
    ),
]
UnitsWanted = Annotated[
    str, typer.Option(metavar="metric|us", help="Units for weight, height and girths.")
]
Blind = Annotated[
    bool, typer.Option("--blind/--no-blind", help="Hide earlier readings of the same site.")
]


def command(
    book: BookFile = "",
    resume: Annotated[bool, typer.Option("--resume", help="Continue a session.")] = False,
    client: Annotated[str, typer.Option(help="With --resume: the client's code.")] = "",
    tester: Annotated[str, typer.Option(help="Code of the tester.")] = "",
    calliper: Annotated[str, typer.Option(help="Your name for the calliper.")] = "",
    step: Annotated[float, typer.Option(help="Size of one division on the calliper \\[mm].")] = 0.0,
    rule: RuleWanted = "growing",
    units: UnitsWanted = "metric",
    language: LanguageWanted = "",
    as_json: AsJson = False,
    reference_method: ScaleWanted = "",
    local: LocalWanted = "",
    as_printed: AsPrinted = False,
    blind: Blind = True,
) -> None:
    """Guide a measuring session, save every reading and show the result at once.

    Example: foldspan measure --tester T-02
    """
    from foldspan.cli.measuring.loop import MeasuringSession
    from foldspan.cli.measuring.screen import Screen
    from foldspan.practice.settings import site_practice
    from foldspan.protocol.repeat_rules import USUAL
    from foldspan.records.book import Book
    from foldspan.records.location import book_path

    one_of("--units", units, ("metric", "us"))
    one_of("--rule", rule, RULES)
    one_of("--language", language or "en", LANGUAGE_CODES)
    texts = {"--tester": tester, "--calliper": calliper}
    _check(resume=resume, client=client, step=step, texts=texts)
    options = {"reference_method": reference_method, "as_printed": as_printed}
    asked = {name: given for name, given in options.items() if given}
    # said before a client is asked anything: a correction or a settings file that cannot be used
    settings, practice = _settings(asked, local), site_practice()
    facts = {
        "tester": tester, "calliper": calliper, "scale_step_mm": step, **USUAL, "repeat_rule": rule,
        "units": units, "blind": blind, **_now(), **asked,
    }  # fmt: skip
    with Book.opened(book_path(book), begins=not resume) as opened:
        opened.must_be_writable()  # said before a client is asked anything
        state, keeper = _taken_up(opened, client) if resume else _begun(opened, facts)
        if resume:  # what was asked for when the session began holds until something else is
            settings = _settings({**state.facts, **asked}, local)
        session = MeasuringSession(
            state, keeper, Screen(), as_json=as_json, settings=settings, practice=practice,
            language=language,
        )  # fmt: skip
        session.run(is_resumed=resume)


def _settings(asked: Mapping[str, Any], local: str) -> dict[str, Any]:
    """Return the settings of every answer of a session; E501 or E601 for those that cannot be meant."""
    from foldspan.estimation.settings import settings_for

    reference_method, taught = scale_and_local(str(asked.get("reference_method") or ""), local)
    as_printed = asked.get("as_printed") is True
    settings_for(reference_method, "siri1961", local=taught, as_printed=as_printed)
    return {"reference_method": reference_method, "local": taught, "as_printed": as_printed}


def _now() -> dict[str, str]:
    now = datetime.now()
    return {"day": now.date().isoformat(), "time": now.strftime("%H:%M")}


def _check(*, resume: bool, client: str, step: float, texts: dict[str, str]) -> None:
    """Raise for options that do not go together, or that a visit could not hold."""
    from foldspan.visit.how_taken import STEPS_MM
    from foldspan.visit.keys import LONGEST_CODE

    low, high = STEPS_MM
    found = [
        Problem("E121", option, "too long", f"Use up to {LONGEST_CODE} plain characters.")
        for option, text in texts.items()
        if len(text) > LONGEST_CODE or not text.isprintable()
    ]
    if client and not resume:
        remedy = "Leave it out: the session asks for the code."
        found.append(Problem("E501", "--client", "works only with --resume", remedy))
    if step and not low <= step <= high:
        found.append(
            Problem(
                "E501",
                "--step",
                f"outside {low:g} to {high:g} mm",
                "Check the scale of the calliper.",
            )
        )
    if found:
        raise FoldspanError(found)


def _begun(book: Book, facts: dict[str, Any]) -> tuple[State, Keeper]:
    from foldspan.records.journal import Keeper
    from foldspan.session.state import State

    keeper = Keeper(book)
    state = State().after("begun", facts)
    keeper.keep("begun", facts, state)
    return state, keeper


def _taken_up(book: Book, client: str) -> tuple[State, Keeper]:
    """Return the session that was broken off last, of one client if one is named."""
    from foldspan.records.journal import Keeper
    from foldspan.records.visits import kept_visit
    from foldspan.session.answers import read_sites

    open_ones = [session for session in book.unfinished() if client in ("", session[1])]
    if not open_ones:
        remedy = "Start one with foldspan measure; foldspan records list shows what is kept."
        raise FoldspanError(
            [Problem("E706", book.path, "no unfinished session to continue", remedy)]
        )
    sessions = [kept_visit(book, number, code) for number, code, _ in open_ones]
    # one in which something was measured goes before an empty one that was begun since
    measured = [
        session for session in sessions if session.state and read_sites(session.state.known)
    ]
    kept = (measured or sessions)[-1]
    assert kept.state is not None
    return kept.state, Keeper(book, kept.row, len(kept.events))
