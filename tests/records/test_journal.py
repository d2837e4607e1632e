"""The journal of a session: under whose code its visit stands in the book, whatever is taken back."""

from __future__ import annotations

import shutil
from contextlib import closing
from pathlib import Path
from typing import Any

from foldspan.records import storage
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


def test_an_answer_costs_no_more_in_a_large_book(tmp_path: Path) -> None:
    """Before, every client was looked for among every visit, 20 ms an answer at 2,000 visits."""
    steps = []
    with Book.opened(str(tmp_path / "book.sqlite")) as book:
        for many in (4, 300):
            for number in range(len(book.all_visits()), many):
                book.begin_with(f"K-{number:03}", BEGUN[:1])
            visit = book.begin_with("K-014", BEGUN)
            taken: list[int] = []
            book._connection.set_progress_handler(lambda to=taken: to.append(1), 10)
            body = {"key": "1.weight_kg", "value": {"typed": "71.3"}}
            book.append(visit, "answer", body, place=4, code="K-014")
            book._connection.set_progress_handler(None, 10)
            steps.append(len(taken))
    few, many_steps = steps
    assert 0 < many_steps < 2 * few


def test_what_a_killed_session_left_in_the_log_is_read(tmp_path: Path) -> None:
    """Where nothing may be written, the log beside the book is not passed over."""
    book, kept = tmp_path / "book.sqlite", tmp_path / "kept"
    kept.mkdir()
    with Book.opened(str(book)) as opened:
        opened.begin("K-014")
        for path in tmp_path.glob("book.sqlite*"):
            shutil.copy(path, kept)
    assert (kept / "book.sqlite-wal").stat().st_size > 0
    with closing(storage.open_to_read(str(kept / book.name))) as connection:
        assert connection.execute("SELECT code FROM client").fetchall() == [("K-014",)]
