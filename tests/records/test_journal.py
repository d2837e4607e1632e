"""The journal of a session: under whose code its visit stands in the book, whatever is taken back."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from foldspan.records.book import Book
from foldspan.records.journal import Keeper
from foldspan.session.state import State

BEGUN: tuple[tuple[str, dict[str, Any]], ...] = (
    ("begun", {"tester": "T-02", "day": "2026-03-04"}),
    ("answer", {"key": "consent.store", "value": True}),
    ("answer", {"key": "code", "value": "K-014"}),
)


def test_a_code_that_is_taken_back_leaves_the_visit_with_the_client_it_was_of(
    tmp_path: Path,
) -> None:
    """A slip of the code, seen at once: no client may be left with another one's visit."""
    with Book.opened(str(tmp_path / "book.sqlite")) as book:
        keeper, state, stands = Keeper(book), State(), []
        for kind, body in (
            *BEGUN,
            ("again", {"key": "code"}),
            ("answer", {"key": "code", "value": "K-015"}),
            ("undo", {}),
            ("undo", {}),
        ):
            state = state.after(kind, body)
            keeper.keep(kind, body, state)
            stands.append([code for _, code in book.all_visits()])
        assert [stands[2], stands[4], stands[6]] == [["K-014"], ["K-015"], ["K-014"]]
        assert state.known.get("code") == "K-014"
