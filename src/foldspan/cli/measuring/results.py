"""The end of a session: the results on the spot, then the offer of a page to take home."""

from __future__ import annotations

import json
import shlex
import sys
from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import typer

from foldspan.api.reconcile import reconcile
from foldspan.cli.lines import bullet, usual_width, wrap
from foldspan.cli.measuring.screen import Screen
from foldspan.cli.measuring.since import SinceLastVisit, aloud_part, since_last, since_part
from foldspan.cli.printed.measure import results_page
from foldspan.files.output import check_outputs, files_of_book, write_private
from foldspan.practice.model import Practice
from foldspan.problems import FoldspanError
from foldspan.records.journal import Keeper
from foldspan.records.tester_error import own_errors_of, repeats_of
from foldspan.records.visits import KeptVisit, visit_of, visits_before
from foldspan.results.joined_flags import joined_flags
from foldspan.results.result import Result
from foldspan.results.spoken import SpokenFlag
from foldspan.session.answers import read_sites, self_reported_flags
from foldspan.session.state import State
from foldspan.session.to_visit import visit_tree
from foldspan.text.catalogue import ENGLISH, Language
from foldspan.text.client_session import flag_sentence
from foldspan.visit.model import Visit

EXIT_NO_ESTIMATE = 1
OFFER = (
    "A page for the client? Type a file name (page.pdf, page.html or page.txt), or press"
    " Enter for none"
)
PICTURED = (".pdf", ".html")
PAGES = (*PICTURED, ".txt")
WHICH_PAGE = "{name} needs an extension that says what kind of page it is: .pdf, .html or .txt."
NO_PAGE = ("", "n", "no", "none", "stop", "end", "help", "y", "yes")
NO_RESULTS = "The client preferred not to see the results today. You can see them with:"
NO_RESULTS_KEPT = "The client preferred not to see the results, and nothing was saved."
OWN_ERRORS = "The range uses the tester's own measurement error, from clients in this book."
NOTHING = "Nothing was measured, so nothing was saved."


def show(
    state: State,
    keeper: Keeper,
    screen: Screen,
    settings: Mapping[str, Any],
    *,
    as_json: bool,
    book: str,
    language: Language = ENGLISH,
    practice: Practice | None = None,
) -> None:
    """Show the results of a session that has come to its end, and offer a page.

    ``settings`` are the scale and the site's own correction, as every other command takes them. What
    the client hears or takes home is in their ``language``, with the ``practice`` that hands it over.

    Whoever should see a clinician is told so at every end, also where nothing was measured or no
    number is wanted.
    """
    if not read_sites(state.known):
        screen.say(NOTHING)
        referring = [
            flag for flag in self_reported_flags(state.known) if flag.level.startswith("refer")
        ]
        _refer([flag_sentence(flag.rule.code, flag.level, language) for flag in referring])
        return
    end = replace(_end_of(state, keeper, screen, settings), language=language, practice=practice)
    shown_by = f"foldspan records show {_named(keeper, state)}{book}"
    if state.known.get("consent.show") is False:
        screen.say(f"{NO_RESULTS} {shown_by}" if keeper.visit else NO_RESULTS_KEPT)
        referring_now = [flag for flag in end.flags if flag.level.startswith("refer")]
        _refer([flag_sentence(flag.code, flag.level, language) for flag in referring_now])
        return
    screen.space()
    if as_json:
        shown = _without_numbers(end.result) if end.is_careful else end.result
        typer.echo(json.dumps(shown.to_dict(), indent=2))
    else:
        explain_by = f"foldspan explain {_named(keeper, state, ':')}{book}" if keeper.visit else ""
        typer.echo(_client_text(end) if end.is_careful else _results(end, explain_by))
        sys.stdout.flush()
        screen.space()
        _offer(end, keeper, screen)
    if keeper.visit:
        screen.say(f"Saved. To see it again: {shown_by}")
    sys.exit(0 if end.result.has_range else EXIT_NO_ESTIMATE)


@dataclass(frozen=True, slots=True, repr=False)
class SessionResults:
    """What a session has come to, with the earlier visits of the client, the earliest first."""

    visit: Visit
    result: Result
    earlier: tuple[Visit, ...]
    since: SinceLastVisit | None
    units: str
    settings: Mapping[str, Any]
    language: Language = ENGLISH
    practice: Practice | None = None

    @property
    def is_careful(self) -> bool:
        """Whether numbers may harm: a worry about eating was told today or at an earlier visit."""
        return any(visit.intake.has_eating_concern for visit in (*self.earlier, self.visit))

    @property
    def flags(self) -> tuple[SpokenFlag, ...]:
        """Flags of the visit, and those of a loss since the last one."""
        return joined_flags(self.result.flags, () if self.since is None else self.since.flags)


def _end_of(
    state: State, keeper: Keeper, screen: Screen, settings: Mapping[str, Any]
) -> SessionResults:
    visit = _visit(state, keeper, screen)
    code = str(state.known.get("code") or "")
    before = visits_before(keeper.book, code, without=keeper.visit) if code else []
    return SessionResults(
        visit,
        reconcile(visit, **settings),
        tuple(before),
        since_last(before, visit, settings),
        str(state.facts.get("units", "metric")),
        settings,
    )


def _results(end: SessionResults, explain_by: str) -> str:
    """Return the results for the trainer, with what can be said aloud and what changed."""
    health = replace(end.result.health, flags=end.flags)
    return results_page(
        replace(end.result, health=health), end.units, explain_by,
        aloud=aloud_part(end.visit, end.result, end.settings, end.language),
        since="" if end.since is None else since_part(end.since, end.units),
    )  # fmt: skip


def _named(keeper: Keeper, state: State, between: str = " --visit ") -> str:
    """Return how the visit is named on the command line: its client's code and number."""
    code = str(state.known.get("code") or "")
    known = keeper.book.visits(code) if keeper.visit else []
    number = f"{between}{known.index(keeper.visit) + 1}" if keeper.visit in known else ""
    return f"{shlex.quote(code)}{number}"


def _client_text(end: SessionResults) -> str:
    """Return the client's page as text."""
    from foldspan.api.explain import explain
    from foldspan.text.client_message import client_words

    explanation = explain(end.visit, **end.settings)
    careful, flags = end.is_careful, end.flags
    return wrap(client_words(explanation, end.language, careful=careful, flags=flags))


def _refer(sentences: list[str]) -> None:
    """Print what cannot go unsaid, without a number."""
    if sentences:
        typer.echo("\n".join(map(bullet, sentences)))


def _visit(state: State, keeper: Keeper, screen: Screen) -> Visit:
    """Return what was measured as a visit, with the tester's own errors where the book has them."""
    tree = visit_tree(state)
    code = str(state.known.get("code") or "")
    kept = KeptVisit(0, code, "", tree, state, row=keeper.visit)
    own = own_errors_of(repeats_of(keeper.book), kept)
    if own:
        screen.say(OWN_ERRORS)
    return visit_of(tree, where="this session", own=own)


def _without_numbers(result: Result) -> Result:
    """Return the flags and cautions of a result alone: numbers are not for this screen."""
    health = replace(result.health, bands=(), contradictions=())
    return Result(result.reference_method, health=health, caution_codes=result.caution_codes)


def write_page(end: SessionResults, name: str) -> None:
    """Write the client's page, with pictures and the trend where the ending asks for it."""
    if not name.lower().endswith(PICTURED):
        with usual_width():  # a file outlives the terminal it was asked for at
            text = _client_text(end)
        write_private(name, f"{text}\n")
        return
    from foldspan.api.report import report

    wanted: dict[str, Any] = {
        "reader": "client", "units": end.units, "careful": end.is_careful, **end.settings,
        "language": end.language.code, "practice": end.practice,
    }  # fmt: skip
    try:
        page = report(*end.earlier, end.visit, **wanted)
    except FoldspanError:  # visits that cannot be of one client are no trend
        page = report(end.visit, **wanted)
    page.write(name)


def _offer(end: SessionResults, keeper: Keeper, screen: Screen) -> None:
    """Write the client's page to a file of their choice, readable by its owner only."""
    while True:
        try:
            name = screen.ask(OFFER)
        except KeyboardInterrupt:
            return
        if name is None or name.strip().lower() in NO_PAGE:
            return
        if Path(name.strip()).suffix.lower() not in PAGES:
            screen.say(WHICH_PAGE.format(name=name.strip()))
            continue
        try:
            read = files_of_book(keeper.book.path)
            check_outputs([name.strip()], read, remedy="Choose a new file name.")
            write_page(end, name.strip())
        except FoldspanError as error:
            for problem in error.problems:
                screen.say(problem.sentence())
            continue
        screen.say(f"Written to {name.strip()}.")
        return
