"""The commands of the record, as a person at a terminal and a program behind a pipe meet them.

Some run in this process, for speed; each command is run at least once in a process of its own.
"""

from __future__ import annotations

import csv
import io
import json
import os
import shutil
import sqlite3
import subprocess
import sys
import tempfile
from collections.abc import Callable
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest

from foldspan import Visit
from foldspan.records import storage
from foldspan.records.book import Book
from foldspan.records.journal import Keeper
from foldspan.session.state import State
from program_starts import run_to_its_end

EXAMPLES = Path(__file__).parents[2] / "examples"
VISIT = EXAMPLES / "visit.toml"
SOUND = sorted(path.name for path in EXAMPLES.glob("*.toml") if path.name != "faulty.toml")
NOBODY = 65534
RARE, RARE_READING = "K-0QZ7XW", 13.577321  # nowhere else in a file
Answer = tuple[int, str, str]
Run = Callable[..., Answer]


def installed(*words: object, given: str = "", from_nothing: bool = False) -> Answer:
    """Run the program in a process of its own."""
    how: dict[str, Any] = {"folder": Path.cwd(), "environment": os.environ, "typed": given}
    done = run_to_its_end(["records", *map(str, words)], from_nothing=from_nothing, **how)
    assert "Traceback" not in done.stderr
    return done.returncode, done.stdout, done.stderr


def rare_visit(folder: Path, code: str = RARE, triceps: float = RARE_READING) -> str:
    tree: dict[str, Any] = {
        "client": {"code": code, "sex": "female", "age_years": 41},
        "visit": {"date": "2026-03-04", "tester": "T-02"},
        "mass_height": {"weight_kg": 71.3, "height_cm": 168.2},
        "skinfolds_mm": {"triceps": [triceps, triceps + 0.5]},
    }
    place = folder / f"{code or 'nobody'}.json"
    place.write_text(json.dumps(tree), encoding="utf-8")
    return str(place)


@pytest.fixture(autouse=True)
def _not_the_user_s_own_book(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "home"))


@pytest.fixture
def call(run: Run, tmp_path: Path) -> Run:
    """Run ``foldspan records … --book`` in this process, on a book of the test."""
    book = str(tmp_path / "book.sqlite")
    return lambda *words: run("records", *map(str, words), "--book", book)


@pytest.fixture
def book(call: Run, tmp_path: Path) -> Path:
    """A book with two visits of one client and one of another."""
    for path in (VISIT, EXAMPLES / "visit_later.toml", EXAMPLES / "tape_only.toml"):
        assert call("import", path)[:2] == (0, "")
    return tmp_path / "book.sqlite"


def sites(path: str) -> dict[str, tuple[float, ...]]:
    return {name: site.readings for name, site in Visit.from_file(path).sites.items()}


def test_list_and_show(call: Run, book: Path) -> None:
    code, out, err = installed("list", "--book", book, from_nothing=True)
    assert (code, err) == (0, "")
    assert installed("list", "--book", book) == (code, out, err)
    assert [line.split()[:2] for line in out.splitlines()[1:]] == [["K-014", "2"], ["K-021", "1"]]
    clients = json.loads(call("list", "--json")[1])["clients"]
    assert [(x["code"], x["visits"]) for x in clients] == [("K-014", 2), ("K-021", 1)]
    out = installed("show", "K-014", "--book", book)[1]
    assert all(day in out for day in ("2026-03-04", "2026-05-27", "Trend"))
    out = call("show", "K-014", "--visit", 1)[1]
    assert ("(18, 21, 18.5" in out, "2026-05-27" in out) == (True, False)
    shown = json.loads(call("show", "K-014", "--json")[1])
    assert [visit["visit"] for visit in shown["visits"]] == [1, 2]


@pytest.mark.parametrize(
    "words",
    [("show", "K-099"), ("show", "K-014", "--visit", 3), ("erase", "K-099"), ("name", "K-099", "x"),
     ("export", "K-099"), ("correct", "K-099", "tester", "T-01", "--visit", 1, "--who", "T-01",
                           "--why", "slip")],
)  # fmt: skip
def test_a_client_or_visit_that_is_not_there(
    call: Run, book: Path, words: tuple[object, ...]
) -> None:
    code, out, err = call(*words)
    assert (code, out, "[E706]" in err) == (2, "", True)


def corrected(call: Run, *words: object) -> Answer:
    usual = (("--who", "T-09"), ("--why", "slip"))
    options = [part for option in usual if option[0] not in words for part in option]
    return call("correct", "K-014", "--visit", 1, *options, *words)


def test_a_correction_leaves_what_was_typed_first(call: Run, book: Path) -> None:
    before = json.loads(call("export", "K-014")[1])["visits"]
    assert corrected(call, "triceps", "22.5", "--reading", 2)[:2] == (0, "")
    assert corrected(call, "tester", "T-03")[0] == 0
    words = ("suprailiac_anterior_mm", "none", "--reading", "2", "--visit", "1", "--who", "T-09")
    assert installed("correct", "K-014", *words, "--why", "slip", "--book", book)[:2] == (0, "")
    first, second = json.loads(call("export", "K-014")[1])["visits"]
    assert second == before[1]
    assert first["events"][:1] == before[0]["events"]
    assert before[0]["as_it_stands"]["skinfolds_mm"]["triceps"] == [21.0, 21.5]
    stands = first["as_it_stands"]
    assert stands["skinfolds_mm"]["triceps"] == [21.0, 22.5]
    assert stands["skinfolds_mm"]["suprailiac_anterior"] == [18.0, 18.5]
    assert stands["visit"]["tester"] == "T-03"
    corrections = [event["body"] for event in first["events"][1:]]
    assert [line["value"] for line in corrections] == [22.5, "T-03", None]
    assert all(line["who"] == "T-09" and line["why"] for line in corrections)
    shown = call("show", "K-014", "--visit", 1)[1]
    assert shown.count("T-09") == 3


@pytest.mark.parametrize(
    ("words", "problem"),
    [(("tricips", "22", "--reading", 1), "E115"), (("triceps", "22"), "E120"),
     (("triceps", "22", "--reading", 4), "E706"), (("triceps", "22", "--reading", -1), "E706"),
     (("triceps", "none", "--reading", 3), "E706"), (("triceps", "2150", "--reading", 2), "E102"),
     (("triceps", "thick", "--reading", 2), "E101"), (("sex", "woman"), "E113"),
     (("sex", "none"), "E111"), (("date", "2026-02-30"), "E117"),
     (("tester", "T-03", "--who", ""), "E501"), (("tester", "T-03", "--why", " "), "E120")],
)  # fmt: skip
def test_corrections_that_cannot_be(
    call: Run, book: Path, words: tuple[object, ...], problem: str
) -> None:
    before = call("export", "K-014")[1]
    code, out, err = corrected(call, *words)
    assert (code, out) == (2, "")
    assert f"[{problem}]" in err
    assert call("export", "K-014")[1] == before


@pytest.mark.parametrize("name", SOUND)
def test_a_visit_file_comes_back_as_it_went_in(call: Run, tmp_path: Path, name: str) -> None:
    given, back = str(EXAMPLES / name), str(tmp_path / "back.toml")
    assert call("import", given)[:2] == (0, "")
    code, out, err = call("import", given)
    assert (code, out, "[E122]" in err) == (2, "", True)
    client = Visit.from_file(given).client.code
    assert call("export", client, "--visit", 1, "-o", back)[:2] == (0, "")
    assert Visit.from_file(back) == Visit.from_file(given)
    assert call("export", client, "--visit", 1, "-o", back)[0] == 2  # E308: never written over


def test_exports_are_read_by_others(call: Run, book: Path, tmp_path: Path) -> None:
    code, out, err = installed("export", "K-014", "--book", book)
    assert (code, err) == (0, "")
    tree = json.loads(out)
    assert (tree["code"], [visit["visit"] for visit in tree["visits"]]) == ("K-014", [1, 2])
    place = tmp_path / "out.csv"
    assert call("export", "K-014", "-o", place)[:2] == (0, "")
    rows = list(csv.DictReader(io.StringIO(place.read_text("utf-8"))))
    found: dict[str, dict[str, tuple[float, ...]]] = {"1": {}, "2": {}}
    for row in rows:
        kept = found[row["visit"]]
        kept[row["quantity"]] = (*kept.get(row["quantity"], ()), float(row["value"]))
        assert (row["code"], int(row["reading"])) == ("K-014", len(kept[row["quantity"]]))
    assert found == {"1": sites(str(VISIT)), "2": sites(str(EXAMPLES / "visit_later.toml"))}


@pytest.mark.parametrize(
    ("words", "problem"),
    [(("-o", "out.toml"), "E501"), (("-o", "out.xlsx"), "E307"), (("-o", "no/where.json"), "E303")],
)
def test_exports_that_cannot_be(
    call: Run, book: Path, tmp_path: Path, words: tuple[str, str], problem: str
) -> None:
    code, out, err = call("export", "K-014", words[0], tmp_path / words[1])
    assert (code, out, f"[{problem}]" in err) == (2, "", True)


def test_a_visit_without_a_reading_does_not_hide_the_others(call: Run, book: Path) -> None:
    """The session was ended before anything was measured."""
    answers = (("consent.store", True), ("code", "K-014"))
    with Book.opened(str(book)) as opened:
        visit = opened.begin("K-014")
        opened.append(visit, "begun", {"tester": "T-02", "day": "2026-03-05"}, place=1)
        for place, (key, value) in enumerate(answers, start=2):
            opened.append(visit, "answer", {"key": key, "value": value}, place=place)
        opened.append(visit, "ended", {}, place=4)
    code, out, _ = call("show", "K-014")
    assert (code, "2026-05-27" in out) == (0, True)
    assert call("export", "K-014", "-o", book.with_name("out.csv"))[0] == 0
    assert "[E120]" in call("import", rare_visit(book.parent, code=""))[2]  # a visit of nobody


def holds(folder: Path, *texts: str) -> list[str]:
    """Files of a folder that hold any of the texts, byte for byte."""
    found = [path for path in sorted(folder.iterdir()) for text in texts
             if text.encode() in path.read_bytes()]  # fmt: skip
    return sorted({path.name for path in found})


def test_erase_wants_the_code_and_leaves_no_byte(call: Run, book: Path, tmp_path: Path) -> None:
    others = [call("export", code)[1] for code in ("K-014", "K-021")]
    given = rare_visit(tmp_path)
    assert call("import", given)[0] == 0
    Path(given).unlink()
    assert call("name", RARE, "the rare one")[0] == 0
    marks = (RARE, str(RARE_READING), "the rare one")
    for wrong in ("", "\n", "K-014\n", "yes\n"):
        code, out, _ = installed("erase", RARE, "--book", book, given=wrong)
        assert (code, out) == (2, "")
    assert holds(tmp_path, *marks) == ["book.sqlite"]
    code, out, _ = installed("erase", RARE, "--book", book, given=f"{RARE}\n")
    assert (code, out) == (0, "")
    assert holds(tmp_path, *marks) == []
    assert [call("export", code)[1] for code in ("K-014", "K-021")] == others


@pytest.mark.parametrize("reads_on", [False, True])
def test_erased_is_said_only_where_no_byte_is_left(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, run: Run, *, reads_on: bool
) -> None:
    """Another session that still reads keeps what was erased on the disk: that is said."""
    monkeypatch.setattr(storage, "PATIENCE", 100)
    folder = tmp_path / "kept"
    path = str(folder / "book.sqlite")
    assert run("records", "import", rare_visit(tmp_path), "--book", path)[0] == 0
    with closing(sqlite3.connect(path, isolation_level=None)) as other:
        if reads_on:
            other.execute("BEGIN")
            other.execute("SELECT count(*) FROM event").fetchone()
        monkeypatch.setattr(sys, "stdin", io.StringIO(f"{RARE}\n"))
        code, _, err = run("records", "erase", RARE, "--book", path)
        left = holds(folder, RARE, str(RARE_READING))
    assert (code == 0) == (left == []), err
    assert code == 0 or "[E705]" in err


def test_a_consent_taken_back_leaves_no_byte(tmp_path: Path) -> None:
    with Book.opened(str(tmp_path / "book.sqlite")) as opened:
        keeper, state = Keeper(opened), State()
        answers: list[tuple[str, Any]] = [("consent.store", True), ("code", RARE)]
        events = [("begun", {"tester": "T-02"})]
        events += [("answer", {"key": key, "value": value}) for key, value in answers]
        for kind, body in events:
            state = state.after(kind, body)
            keeper.keep(kind, body, state)
        assert [code for code, *_ in opened.clients()] == [RARE]
        body = {"key": "consent.store", "value": False}
        keeper.keep("amend", body, state.after("amend", body))
        assert opened.clients() == []
        assert holds(tmp_path, RARE) == []


def test_backup(call: Run, book: Path, tmp_path: Path) -> None:
    copy = tmp_path / "copy.sqlite"
    assert installed("backup", copy, "--book", book)[:2] == (0, "")
    assert call("export", "K-014")[1] == installed("export", "K-014", "--book", copy)[1]
    code, _, err = call("backup", copy)
    assert (code, "[E308]" in err) == (2, True)
    bad = book.read_bytes().replace(b"71.3", b"17.3")
    book.write_bytes(bad)
    code, _, err = call("backup", tmp_path / "other.sqlite")
    assert (code, "[E702]" in err) == (2, True)
    assert not (tmp_path / "other.sqlite").exists()
    assert book.read_bytes() == bad


def test_a_name_is_optional(call: Run, book: Path) -> None:
    assert "name" not in json.loads(call("export", "K-014")[1])
    assert installed("name", "K-014", "the early one", "--book", book)[:2] == (0, "")
    assert json.loads(call("export", "K-014")[1])["name"] == "the early one"
    assert "the early one" in call("list")[1]
    assert installed("name", "K-014", "", "--book", book, given="\n")[0] == 0
    assert "name" not in json.loads(call("export", "K-014")[1])


# The file of a book


def test_files_that_are_no_book(call: Run, tmp_path: Path) -> None:
    book, visit = tmp_path / "book.sqlite", rare_visit(tmp_path)
    for words in (("list",), ("name", "K-014", "x"), ("erase", "K-014"), ("show", "K-014")):
        assert "[E301]" in call(*words)[2]
    assert not book.exists()
    with closing(sqlite3.connect(tmp_path / "other")) as other:
        other.execute("CREATE TABLE client (code)")
    for raw in (b"", b"not a book\n" * 500, (tmp_path / "other").read_bytes()):
        book.write_bytes(raw)
        for words in (("list",), ("import", visit), ("backup", tmp_path / "copy")):
            code, out, err = call(*words)
            assert (code, out, "[E701]" in err, book.read_bytes()) == (2, "", True, raw), words
    book.unlink()
    book.mkdir()
    for words in (("list",), ("import", visit)):
        code, _, err = call(*words)
        assert (code, any(f"[{fault}]" in err for fault in ("E301", "E302", "E704"))) == (2, True)


def test_a_name_that_no_file_can_have(run: Run, tmp_path: Path) -> None:
    """And nothing of a visit in the words of an error that a log may hold."""
    book = str(tmp_path / ("long" * 100))
    for words in (("list",), ("show", RARE), ("import", rare_visit(tmp_path))):
        code, _, err = run("records", *words, "--book", book)
        assert (code, "E704" in err or "E301" in err, str(RARE_READING) in err) == (2, True, False)


def test_everything_written_is_the_owner_s_alone(run: Run, tmp_path: Path) -> None:
    folder = tmp_path / "new"
    path, given = str(folder / "book.sqlite"), os.umask(0)
    try:
        with Book.opened(path) as opened:
            opened.begin("K-031")
            assert len(list(folder.iterdir())) == 3  # the book, its log and the log's index
            shown = [path.stat().st_mode & 0o077 for path in (folder, *folder.iterdir())]
        assert run("records", "import", str(VISIT), "--book", path)[0] == 0
        for ending in ("json", "csv", "toml"):
            words = ("K-014", "--visit", "1", "-o", str(folder / f"out.{ending}"), "--book", path)
            assert run("records", "export", *words)[0] == 0
        assert run("records", "backup", str(folder / "copy"), "--book", path)[0] == 0
    finally:
        os.umask(given)
    assert [*shown, *(path.stat().st_mode & 0o077 for path in folder.rglob("*"))] == [0] * 9
    Path(path).chmod(0o644)  # one that was left open to others is narrowed
    assert run("records", "list", "--book", path)[0] == 0
    assert Path(path).stat().st_mode & 0o777 == 0o600


# all is loaded before the process gives up what it may do: others cannot read the interpreter
AS_ANOTHER = """
import contextlib, io, json, os, sys
from foldspan.cli import main
def call(book, *words):
    sys.argv, sys.stdin = ["foldspan", *words, "--book", book], io.StringIO("y\\nK-055\\n")
    out, err = io.StringIO(), io.StringIO()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        try:
            main()
        except SystemExit as end:
            return end.code or 0, out.getvalue(), err.getvalue()
fix = ["--visit", "1", "--who", "T-09", "--why", "x"]
words = [["records", "list"], ["records", "show", "K-014"], ["records", "export", "K-014"],
         ["records", "correct", "K-014", "tester", "T-03", *fix], ["measure"]]
place, warm = sys.argv[1:]
first = [call(warm, *one) for one in words]
if os.geteuid() == 0:
    os.setgroups([]), os.setgid(65534), os.setuid(65534)
print(json.dumps([first, [call(place, *one) for one in words]]))
"""


@pytest.mark.parametrize("closed", ["book", "folder", "both", "folder with a log"])
def test_a_book_that_may_only_be_read(book: Path, tmp_path: Path, closed: str) -> None:
    warm = shutil.copy(book, tmp_path / "warm.sqlite")
    # the folders of pytest are closed to others on their way here
    with tempfile.TemporaryDirectory() as folder:
        with Book.opened(str(book)) as opened:
            if closed.endswith(
                "log"
            ):  # what was kept last stands beside a book whose end was no end
                opened.name("K-014", "the early one")
            some = "book.sqlite*" if closed.endswith("log") else "book.sqlite"
            kept = [Path(shutil.copy(path, folder)) for path in book.parent.glob(some)]
        for path in (Path(folder), *kept):
            os.chown(path, *((NOBODY, NOBODY) if os.geteuid() == 0 else (-1, -1)))
            path.chmod(0o600 if closed == "folder" else 0o400)
        Path(folder).chmod(0o700 if closed == "book" else 0o500)
        place = Path(folder) / book.name
        before = place.read_bytes()
        done = subprocess.run(
            [sys.executable, "-c", AS_ANOTHER, str(place), warm],
            capture_output=True, text=True, timeout=60, check=True,
        )  # fmt: skip
        Path(folder).chmod(0o700)
        assert place.read_bytes() == before
    first, then = json.loads(done.stdout)
    assert [ran[0] for ran in first] == [0, 0, 0, 0, 130]  # nobody goes on with measure
    if closed.endswith("log"):  # shown, or said that it cannot be read: never left out in silence
        assert all("the early one" in out or "[E704]" in err for _, out, err in (then[0], then[2]))
    else:
        assert then[:3] == first[:3]
    for code, _, err in then[3:]:
        assert (code in (2, 130), "[E704]" in err) == (True, True), err
