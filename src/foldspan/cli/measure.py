"""``foldspan measure``: guide a measuring session on the floor and keep it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from foldspan.cli.options import (
    LANGUAGE_CODES,
    AsJson,
    AsPrinted,
    BookFile,
    LanguageWanted,
    LocalWanted,
    ScaleWanted,
    session_settings,
)
from foldspan.cli.words import one_of
from foldspan.problems import FoldspanError, Problem

if TYPE_CHECKING:
    from foldspan.records.book import Book
    from foldspan.records.visits import KeptVisit


# the repeat rules; protocol/ is not loaded before a session begins
RULES = ("growing", "2mm", "1mm", "10%", "5%", "adaptive")
StepWanted = Annotated[
    float,
    typer.Option(help="Size of one division on the calliper [mm].", show_default="not known"),
]
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
    step: StepWanted = 0.0,
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
    from foldspan.measuring.conducted import ConductedSession, facts_of_now
    from foldspan.practice.settings import site_practice
    from foldspan.records.book import Book
    from foldspan.records.location import book_path

    one_of("--units", units, ("metric", "us"))
    one_of("--rule", rule, RULES)
    one_of("--language", language or "en", LANGUAGE_CODES)
    texts = {"--tester": tester, "--calliper": calliper}
    _check(resume=resume, client=client, step=step, texts=texts)
    options = {"reference_method": reference_method, "as_printed": as_printed}
    chosen_settings = {name: given for name, given in options.items() if given}
    # said before a client is asked anything: a correction or a settings file that cannot be used
    settings, practice = session_settings(chosen_settings, local), site_practice()
    with Book.opened(book_path(book), begins=not resume) as opened:
        opened.must_be_writable()  # said before a client is asked anything
        if resume:  # what was asked for when the session began holds until something else is
            kept = _unfinished(opened, client)
            settings = session_settings({**kept.facts, **chosen_settings}, local)
            session = ConductedSession.taken_up(opened, kept, settings, chooses=False)
        else:
            facts = facts_of_now(
                tester=tester, calliper=calliper, step_mm=step, rule=rule, units=units, blind=blind,
                asked_for=chosen_settings,
            )  # fmt: skip
            session = ConductedSession.begun(opened, facts, settings)
        at_terminal = MeasuringSession(
            session, Screen(), as_json=as_json, practice=practice, language=language
        )
        at_terminal.run(is_resumed=resume)


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


def _unfinished(book: Book, client: str) -> KeptVisit:
    """Return the session that was broken off last, of one client if one is named."""
    from foldspan.measuring.conducted import unfinished_sessions
    from foldspan.session.answers import read_sites

    found = unfinished_sessions(book, client)
    if not found:
        remedy = "Start one with foldspan measure; foldspan records list shows what is kept."
        raise FoldspanError(
            [Problem("E706", book.path, "no unfinished session to continue", remedy)]
        )
    # one in which something was measured goes before an empty one that was begun since
    measured = (kept for kept in found if kept.state and read_sites(kept.state.known))
    return next(measured, found[0])
