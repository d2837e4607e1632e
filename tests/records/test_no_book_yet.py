"""Before the first session: where books are kept there is none, and nothing is wrong."""

from __future__ import annotations

import errno
import json
import os
from pathlib import Path

import pytest

from foldspan.cli.printed.records import clients_page
from foldspan.records import location, storage
from foldspan.records.book import Book
from screen_desk import Run


@pytest.fixture(autouse=True)
def _kept_elsewhere(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setattr(location, "user_data_path", lambda *_, **__: tmp_path / "kept")


def test_the_list_says_how_a_book_begins(run: Run, tmp_path: Path) -> None:
    code, out, err = run("records", "list")
    assert (code, err) == (0, "")
    said = " ".join(out.split())
    for words in ("No records yet", "foldspan measure.", "foldspan records import FILE."):
        assert words in said
    assert not (tmp_path / "kept").exists()  # to look is not to begin one


def test_a_program_reads_that_there_are_no_clients(run: Run) -> None:
    code, out, err = run("records", "list", "--json")
    found = json.loads(out)
    assert (code, err, found["clients"], found["not_ended"]) == (0, "", [], [])


def test_a_book_that_is_named_must_be_there(run: Run, tmp_path: Path) -> None:
    code, out, err = run("records", "list", "--book", str(tmp_path / "clnic.sqlite"))
    assert (code, out) == (2, "")
    assert "clnic.sqlite: there is no record book" in err


def test_a_client_of_a_book_that_is_not_there_is_a_fault(run: Run) -> None:
    for words in (("show", "K-014"), ("erase", "K-014"), ("export", "K-014")):
        code, out, err = run("records", *words)
        assert (code, out, "[E301]" in err) == (2, "", True), words


def test_what_is_no_book_is_a_fault_there_too(run: Run, tmp_path: Path) -> None:
    kept = tmp_path / "kept" / "book.sqlite"
    kept.parent.mkdir()
    kept.write_bytes(b"not a book\n" * 500)
    code, out, err = run("records", "list")
    assert (code, out, "[E701]" in err) == (2, "", True)


def test_an_unfinished_session_is_told_with_no_client_beside_it() -> None:
    assert "measure --resume: no code yet." in clients_page([], ["no code yet"])
    assert clients_page([], []) == "No clients in this book yet."


def test_a_book_begins_on_a_file_system_without_links(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """A shared folder may know none; a book that another program began meanwhile still stays."""

    def refused(*places: object) -> None:
        raise OSError(errno.EPERM, "no links here")

    monkeypatch.setattr(os, "link", refused)
    book = tmp_path / "book.sqlite"
    storage.begin_book(str(book))
    with Book.opened(str(book)) as opened:
        assert opened.clients() == []
    book.write_bytes(b"of another program")
    storage.begin_book(str(book))
    assert book.read_bytes() == b"of another program"
    assert [path.name for path in tmp_path.iterdir()] == [book.name]


def test_a_book_begins_in_a_folder_that_only_its_owner_sees(tmp_path: Path) -> None:
    book = tmp_path / "practice" / "books" / "book.sqlite"
    storage.begin_book(str(book))
    assert book.parent.stat().st_mode & 0o777 == 0o700
    assert book.stat().st_mode & 0o777 == 0o600


def test_only_what_others_may_do_with_a_book_is_taken_away(tmp_path: Path) -> None:
    book = tmp_path / "book.sqlite"
    storage.begin_book(str(book))
    for given, left in ((0o644, 0o600), (0o700, 0o700)):
        book.chmod(given)
        with Book.opened(str(book)):
            assert book.stat().st_mode & 0o777 == left
