"""``foldspan report --out-dir``: one page for each visit or client, and nothing lost or written over."""

from __future__ import annotations

import json
import os
import stat
from collections.abc import Callable
from pathlib import Path

import pytest

from foldspan.records import tester_error
from foldspan.records.book import Book

Run = Callable[..., tuple[int, str, str]]
EXAMPLES = Path(__file__).parents[2] / "examples"
VISIT, LATER = str(EXAMPLES / "visit.toml"), str(EXAMPLES / "visit_later.toml")
TAPE, FAULTY = str(EXAMPLES / "tape_only.toml"), str(EXAMPLES / "faulty.toml")
QUICK = ("--for", "client", "--format", "json")


def copy_of(source: str, target: Path, **changed: str) -> str:
    text = Path(source).read_text(encoding="utf-8")
    for old, new in changed.items():
        assert old.replace("_", "-") in text
        text = text.replace(old.replace("_", "-"), new)
    target.write_text(text, encoding="utf-8")
    return str(target)


def test_each_visit_has_its_own_page_and_a_faulty_one_takes_none_away(
    run: Run, tmp_path: Path
) -> None:
    named = copy_of(VISIT, tmp_path / "anna_example.toml")
    folder = tmp_path / "pages"
    given = (VISIT, named, FAULTY, "nowhere.toml", TAPE)
    code, out, err = run("report", *given, "--out-dir", str(folder), *QUICK)
    assert (code, out) == (3, "")
    assert sorted(os.listdir(folder)) == [
        "K-014_2026-03-04_client.json",
        "K-014_2026-03-04_client_2.json",
        "K-021_2026-02-11_client.json",
    ]
    assert {stat.S_IMODE(path.stat().st_mode) for path in folder.iterdir()} == {0o600}
    assert stat.S_IMODE(folder.stat().st_mode) == 0o700
    assert f"{FAULTY}: [mass_height] height_cm: outside the possible range" in err
    assert "nowhere.toml: there is no such file" in err
    assert f"3 of 5 pages written to {folder}." in err


def test_with_nothing_that_can_be_read_nothing_is_made(run: Run, tmp_path: Path) -> None:
    code, _, err = run("report", FAULTY, "nowhere.toml", "--out-dir", str(tmp_path / "x"))
    assert code == 2
    assert "0 of 2 pages" in err
    assert os.listdir(tmp_path) == []


def test_one_file_that_is_there_stops_all_before_the_first(run: Run, tmp_path: Path) -> None:
    there = tmp_path / "K-021_2026-02-11_client.json"
    there.write_text("mine", encoding="utf-8")
    words = ("report", VISIT, TAPE, "--out-dir", str(tmp_path), *QUICK)
    code, _, err = run(*words)
    assert (code, "[E308]" in err, "--force" in err) == (2, True, True)
    assert os.listdir(tmp_path) == [there.name]
    assert there.read_text(encoding="utf-8") == "mine"
    assert run(*words, "--force")[0] == 0
    assert len(os.listdir(tmp_path)) == 2
    assert json.loads(there.read_text(encoding="utf-8"))["for"] == "client"


def test_a_visit_in_the_folder_is_never_written_over(run: Run, tmp_path: Path) -> None:
    who = '"client": {"code": "K-1", "sex": "male", "age_years": 30}'
    text = f'{{{who}, "mass_height": {{"weight_kg": 80}}}}'
    visit = tmp_path / "K-1_client.json"
    visit.write_text(text, encoding="utf-8")
    code, _, err = run("report", str(visit), "--out-dir", str(tmp_path), *QUICK, "--force")
    assert code == 2
    assert "is the same file as" in err
    assert visit.read_text(encoding="utf-8") == text


def test_a_full_disk_says_how_many_pages_are_there(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    real, count = os.fsync, list[int]()

    def room_for_one(handle: int) -> None:
        count.append(handle)
        if len(count) > 1:
            raise OSError(28, "No space left on device")
        real(handle)

    monkeypatch.setattr(os, "fsync", room_for_one)
    code, _, err = run("report", VISIT, TAPE, "--out-dir", str(tmp_path), *QUICK)
    assert code == 2
    assert "the disk is full" in err
    assert "Pages written before this one: 1. [E303]" in err
    assert os.listdir(tmp_path) == ["K-014_2026-03-04_client.json"]


def test_codes_that_a_disk_may_take_for_one_have_two_files(run: Run, tmp_path: Path) -> None:
    for code in ("k-021", "K.021", ""):
        copy_of(TAPE, tmp_path / f"v{code}.toml", K_021=code)
    given = sorted(map(str, tmp_path.glob("*.toml")))
    assert run("report", TAPE, *given, "--out-dir", str(tmp_path / "d"), *QUICK)[0] == 0
    assert sorted(os.listdir(tmp_path / "d")) == [
        "K-021_2026-02-11_client.json",
        "K_021_2026-02-11_client.json",
        "k-021_2026-02-11_client_2.json",
        "visit_2026-02-11_client.json",
    ]


def test_a_worry_told_at_one_visit_counts_for_the_other_file(run: Run, tmp_path: Path) -> None:
    concerned = copy_of(VISIT, tmp_path / "told.toml")
    with open(concerned, "a", encoding="utf-8") as file:
        file.write("\n[intake]\neating_concern = true\n")
    assert run("report", concerned, LATER, TAPE, "--out-dir", str(tmp_path / "d"), *QUICK)[0] == 0
    pages = {path.name: json.loads(path.read_bytes()) for path in (tmp_path / "d").iterdir()}
    assert [name for name, page in sorted(pages.items()) if "reconcile" in page] == [
        "K-021_2026-02-11_client.json"
    ]


@pytest.fixture
def book(run: Run, tmp_path: Path) -> str:
    """A book of two clients, one with two visits and a name beside the code."""
    path = str(tmp_path / "book.db")
    for visit in (VISIT, LATER, TAPE):
        assert run("records", "import", visit, "--book", path)[0] == 0
    assert run("records", "name", "K-014", "Anna Example", "--book", path)[0] == 0
    return path


def test_every_client_of_the_book_has_one_page(
    run: Run, tmp_path: Path, book: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    read: list[Book] = []
    whole = tester_error.repeats_of
    monkeypatch.setattr(tester_error, "repeats_of", lambda book: read.append(book) or whole(book))
    folder = tmp_path / "d"
    words = ("--every-client", "--book", book, "--out-dir", str(folder))
    code, _, err = run("report", *words, *QUICK, "--format", "html")
    assert code == 0
    stems = ("K-014_2026-05-27_client", "K-021_2026-02-11_client")
    expected = [f"{stem}.{ending}" for stem in stems for ending in ("html", "json")]
    assert sorted(os.listdir(folder)) == expected
    assert len(read) == 1  # the whole book is looked through once, not for each client
    assert "Since 4 March 2026" in (folder / expected[0]).read_text(encoding="utf-8")
    assert "Anna" not in err + "".join(map(Path.read_text, folder.iterdir()))


def test_a_client_without_a_visit_to_read_is_named(run: Run, tmp_path: Path, book: str) -> None:
    with Book.opened(book) as opened:
        opened.begin("K-300")
    words = ("--every-client", "--book", book, "--out-dir", str(tmp_path / "d"), *QUICK)
    code, _, err = run("report", *words)
    assert code == 3
    assert "K-300: no finished visit with measurements" in err
    assert "2 of 3 pages written" in err


def test_no_client_at_all_is_said(run: Run, tmp_path: Path) -> None:
    empty = str(tmp_path / "book.db")
    with Book.opened(empty):
        pass
    code, _, err = run("report", "--every-client", "--book", empty, "--out-dir", str(tmp_path))
    assert (code, "[E706]" in err) == (2, True)


@pytest.mark.parametrize(
    ("words", "named"),
    [
        ((), ("--out", "VISIT")),
        ((VISIT,), ("--out",)),
        ((VISIT, "--out-dir", "d", "-o", "x.pdf"), ("--out",)),
        ((VISIT, "--out-dir", "d", "--figure", "dots", "--agreed"), ("--figure", "--agreed")),
        ((VISIT, "-o", "x.pdf", "--format", "html"), ("--format",)),
        ((VISIT, "--out-dir", "d", "--every-client"), ("--every-client",)),
        (("--every-client", "-o", "x.pdf"), ("--every-client",)),
        ((VISIT, "--out-dir", "d", "--format", "docx"), ("--format",)),
        ((VISIT, "--out-dir", "d", "--with-patient"), ("--with-patient",)),
        (("-", "-", "--out-dir", "d"), ("VISIT",)),
    ],
)
def test_options_of_one_page_and_of_many_do_not_mix(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, words: tuple[str, ...],
    named: tuple[str, ...],
) -> None:  # fmt: skip
    monkeypatch.chdir(tmp_path)
    code, _, err = run("report", *words)
    assert code == 2
    assert [line.split(":")[0] for line in err.splitlines()] == list(named)
    assert "[E501]" in err
    assert os.listdir(tmp_path) == []
