"""The end of a session: the results on the spot, then the offer of a page to take home."""

from __future__ import annotations

import json
import sys

import typer

from foldspan.cli.measure_screen import Screen
from foldspan.cli.measure_text import results_page
from foldspan.problems import FoldspanError
from foldspan.result import Result
from foldspan.session import State
from foldspan.session_keeper import Keeper
from foldspan.session_script import read_sites

EXIT_NO_ESTIMATE = 1
OFFER = "A page for the client: name a file to write it to (such as page.txt), or Enter for none"
NO_RESULTS = "The client did not want to see the results today; foldspan records show has them."
NO_RESULTS_KEPT = "The client did not want to see the results, and nothing was kept."
OWN_ERRORS = "The tester's own errors, from the clients of this book, stand in the range."
NOTHING = "Nothing was measured."


def show(state: State, keeper: Keeper, screen: Screen, *, as_json: bool = False) -> None:
    """Show the results of a session that has come to its end, and offer a page."""
    if not read_sites(state.known):
        screen.say(NOTHING)
        return
    if state.known.get("consent.show") is False:
        screen.say(NO_RESULTS if keeper.visit else NO_RESULTS_KEPT)
        return
    page, result = _page(state, keeper, screen)
    screen.space()
    typer.echo(json.dumps(result.to_dict(), indent=2) if as_json else page)
    sys.stdout.flush()
    screen.space()
    if not as_json:
        _offer(page, screen)
    if keeper.visit:
        code = state.known.get("code")
        screen.say(f"Kept. See foldspan records show {code} --visit {keeper.visit}.")
    sys.exit(0 if result.has_range else EXIT_NO_ESTIMATE)


def _page(state: State, keeper: Keeper, screen: Screen) -> tuple[str, Result]:
    """Return the page and the result; the page has careful words where eating is a worry."""
    from foldspan.api import reconcile
    from foldspan.api_explain import explain
    from foldspan.cli.explain_text import client_page
    from foldspan.kept_visit import visit_of
    from foldspan.own_errors import own_errors_of
    from foldspan.session_visit import visit_tree

    tree = visit_tree(state)
    own = own_errors_of(keeper.book, str(tree["visit"].get("tester", "")))
    visit = visit_of(tree, where="this session", own=own)
    if state.known.get("eating_concern"):
        explanation = explain(visit)
        return client_page(explanation), explanation.result
    if own:
        screen.say(OWN_ERRORS)
    result = reconcile(visit)
    return results_page(result, str(state.facts.get("units", "metric"))), result


def _offer(page: str, screen: Screen) -> None:
    """Write the page to a file of the client's choice, readable by its owner only."""
    from foldspan.files import write_private

    while True:
        try:
            name = screen.ask(OFFER)
        except KeyboardInterrupt:
            return
        if name is None or not name.strip():
            return
        try:
            write_private(name.strip(), f"{page}\n")
        except FoldspanError as error:
            for problem in error.problems:
                screen.say(problem.sentence())
            continue
        screen.say(f"Written to {name.strip()}.")
        return
