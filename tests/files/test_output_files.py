"""Whatever a command writes: never over what it reads, never unasked over what is there, never half."""

from __future__ import annotations

import os
import shutil
import stat
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
import typer.main

from foldspan.cli import app
from foldspan.files import output
from foldspan.files.output import (
    Outputs,
    are_same,
    check_outputs,
    files_of_book,
    renew_page,
    write_private,
)
from foldspan.problems import FoldspanError, Problem
from screen_desk import Run

EXAMPLES = Path(__file__).parents[2] / "examples"
# what stands at an option of text: a file that is written, one that is read, or no file at all
WRITES = {
    "calibrate --fit", "calibrate --output", "precision --output", "records backup to",
    "records export -o", "report --out", "report --out-dir", "screen --group-summary",
    "screen --letters", "screen --out", "screen --referrals",
}  # fmt: skip
READS = {"table", "visit", "visits", "--book", "--local", "--own-errors", "--map-file", "--site",
         "--before", "--before-map-file"}  # fmt: skip
NO_FILES = {
    "--reference-method", "--conversion", "--units", "--language", "--paper", "--for", "--figure",
    "--map", "--unit", "--scheduler", "--method", "--sex", "key", "--pair", "--fat-percent",
    "--fat-mass", "--fat-free-mass", "--lean-mass", "--weight", "--client", "--tester",
    "--calliper", "--rule", "code", "name", "value", "text", "--who", "--why", "--workers",
    "--step", "--visit", "--reading", "number", "--format", "--port", "--address", "--token-for",
    "--sheet", "--before-map", "--before-unit", "--before-sheet",
}  # fmt: skip


def commands() -> Iterator[tuple[str, Any]]:
    """Every command with its name as it is typed."""

    def below(group: Any, before: str) -> Iterator[tuple[str, Any]]:
        for name, command in group.commands.items():
            if hasattr(command, "commands"):
                yield from below(command, f"{before}{name} ")
            else:
                yield f"{before}{name}", command

    return below(typer.main.get_command(app), "")


def test_every_option_with_a_value_is_known_as_written_read_or_no_file() -> None:
    """An option that writes and is not tried below is found here."""
    found = set()
    for command, definition in commands():
        for param in definition.params:
            if getattr(param, "is_flag", False):
                continue
            long = max(param.opts, key=len)
            name = f"{command} {long}"
            if name in WRITES:
                found.add(name)
            else:
                assert long in READS | NO_FILES, f"does {name} write a file?"
    assert found == WRITES


class Place:
    """A folder with one file of every kind that a command reads, and how each writer is called."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        for name in ("clinic_day.csv", "repeats.csv", "visit.toml", "visit_later.toml"):
            shutil.copy(EXAMPLES / name, folder / name)
        head = "sex,age_years,weight_kg,height_cm,waist_iliac_cm,reference_fat_percent\n"
        rows = [f"male,{30 + n},{70 + n}.5,{170 + n % 9},{80 + n},{15 + n % 9}" for n in range(40)]
        (folder / "men.csv").write_text(head + "\n".join(rows) + "\n", encoding="utf-8")
        (folder / "map.toml").write_text('[columns]\n"note" = "note"\n', encoding="utf-8")

    def path(self, name: str) -> str:
        return str(self.folder / name)

    def words(self, writer: str, out: str) -> list[str]:
        men, day = self.path("men.csv"), self.path("clinic_day.csv")
        book = ["--book", self.path("book.db")]
        return {
            "calibrate --fit": ["calibrate", men, "--reference-method", "density", "--fit", out],
            "calibrate --output": ["calibrate", men, "--reference-method", "density", "-o", out],
            "precision --output": ["precision", self.path("repeats.csv"), "-o", out],
            "records backup to": ["records", "backup", out, *book],
            "records export -o": ["records", "export", "K-014", "-o", out, *book],
            "report --out": ["report", self.path("visit.toml"), "-o", out],
            "screen --group-summary": [
                "screen", day, "-o", self.path("o.csv"), "--group-summary", out, "--workers", "1"
            ],
            "screen --letters": [
                "screen", day, "-o", self.path("o.csv"), "--letters", out, "--workers", "1"
            ],
            "screen --out": ["screen", day, "-o", out, "--workers", "1"],
            "screen --referrals": [
                "screen", day, "-o", self.path("o.csv"), "--referrals", out, "--workers", "1"
            ],
        }[writer]  # fmt: skip


# a writer → a name of a new file, and what it reads
TRIED = {
    "calibrate --fit": ("new.toml", "men.csv"),
    "calibrate --output": ("new.svg", "men.csv"),
    "precision --output": ("new.json", "repeats.csv"),
    "records backup to": ("new.db", "book.db"),
    "records export -o": ("new.json", "book.db"),
    "report --out": ("new.json", "visit.toml"),
    "screen --group-summary": ("new.html", "clinic_day.csv"),
    "screen --out": ("new.csv", "clinic_day.csv"),
    "screen --referrals": ("new.csv", "clinic_day.csv"),
}


@pytest.fixture
def place(tmp_path: Path, run: Run) -> Place:
    """A folder with everything that is read."""
    found = Place(tmp_path)
    assert (
        run("records", "import", found.path("visit.toml"), "--book", found.path("book.db"))[0] == 0
    )
    return found


def contents(folder: Path) -> dict[str, bytes]:
    # a book that is looked at may get its log
    return {
        path.name: path.read_bytes()
        for path in folder.iterdir()
        if path.is_file() and not path.name.endswith(("-wal", "-shm"))
    }


def test_every_writer_is_tried() -> None:
    folders = {
        "screen --letters",
        "report --out-dir",
    }  # the latter in tests/cli/test_report_many.py
    assert TRIED.keys() | folders == WRITES


def _as_link(folder: Path, name: str) -> str:
    (folder / f"link.{name}").symlink_to(folder / name)
    return str(folder / f"link.{name}")


def _as_hard_link(folder: Path, name: str) -> str:
    os.link(folder / name, folder / f"hard.{name}")
    return str(folder / f"hard.{name}")


def _through_a_folder(folder: Path, name: str) -> str:
    (folder / "sub").symlink_to(folder)
    return str(folder / "sub" / ".." / folder.name / "sub" / name)


WAYS: dict[str, Callable[[Path, str], str]] = {
    "itself": lambda folder, name: str(folder / name),
    "link": _as_link,
    "hard link": _as_hard_link,
    "other spelling": _through_a_folder,
    "capitals": lambda folder, name: str(folder / name.upper()),
}


@pytest.mark.parametrize("writer", TRIED)
def test_what_is_read_is_never_written_over(place: Place, run: Run, writer: str) -> None:
    """By any way that leads to it, with ``--force`` too."""
    new, read = TRIED[writer]
    for way in WAYS.values():
        out = way(place.folder, read)
        before = contents(place.folder)
        for words in ([], ["--force"]):
            code, _, said = run(*place.words(writer, out), *words)
            assert code == 2, (out, said)
            assert "[E308]" in said or ("[E307]" in said and not read.endswith(Path(new).suffix))
            assert contents(place.folder) == before


@pytest.mark.parametrize("writer", TRIED)
def test_what_is_there_stays_unless_force_is_said(place: Place, run: Run, writer: str) -> None:
    new, _ = TRIED[writer]
    out = place.folder / new
    out.write_bytes(b"mine")
    before = contents(place.folder)
    code, _, said = run(*place.words(writer, str(out)))
    assert (code, "[E308]" in said, "--force" in said) == (2, True, True)
    assert contents(place.folder) == before
    link = place.folder / f"link.{new}"
    link.symlink_to(out)
    code, _, said = run(*place.words(writer, str(link)), "--force")
    assert (code, "is a link" in said) == (2, True)
    assert contents(place.folder)[new] == b"mine"
    assert run(*place.words(writer, str(out)), "--force")[0] in (0, 3)
    assert b"mine" != out.read_bytes() != b""
    assert stat.S_IMODE(out.stat().st_mode) == 0o600


@pytest.mark.parametrize("writer", TRIED)
def test_a_full_disk_leaves_what_was_there(
    place: Place, run: Run, writer: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    def no_room(_: int) -> None:
        raise OSError(28, "No space left on device")

    new, _ = TRIED[writer]
    out = place.folder / new
    out.write_bytes(b"mine")
    before = contents(place.folder)
    monkeypatch.setattr(output.os, "fsync", no_room)
    code, _, said = run(*place.words(writer, str(out)), "--force")
    assert (code, "the disk is full" in said) == (2, True)
    assert contents(place.folder) == before


@pytest.mark.parametrize("writer", TRIED)
def test_a_folder_that_is_not_there_is_told(place: Place, run: Run, writer: str) -> None:
    out = place.folder / "no" / TRIED[writer][0]
    code, _, said = run(*place.words(writer, str(out)))
    assert (code, "no such folder" in said, "[E303]" in said) == (2, True, True)
    # a folder where a file should be
    (place.folder / "no").mkdir()
    out.mkdir()
    code, _, said = run(*place.words(writer, str(out)), "--force")
    assert (code, "[E302]" in said) == (2, True)


@pytest.mark.parametrize("option", ["--map-file", "--local"])
def test_a_file_of_settings_is_not_written_over(place: Place, run: Run, option: str) -> None:
    taught = place.folder / "set.csv"
    taught.write_bytes(b"made with care")
    for to in (["-o", str(taught)], ["-o", place.path("o.csv"), "--referrals", str(taught)]):
        words = ["screen", place.path("clinic_day.csv"), *to, option, str(taught), "--force"]
        code, _, said = run(*words)
        assert (code, "[E308]" in said) == (2, True)
        assert taught.read_bytes() == b"made with care"


def test_calibrate_never_judges_with_what_it_writes(place: Place, run: Run) -> None:
    """``--local`` is read, and ``--fit`` may not take its place; both outputs are two files."""
    taught = place.path("site.toml")
    assert (
        run("calibrate", place.path("men.csv"), "--reference-method", "density", "--fit", taught)[0]
        == 0
    )
    before = Path(taught).read_bytes()
    words = ["calibrate", place.path("men.csv"), "--reference-method", "density", "--force"]
    code, _, said = run(*words, "--local", taught, "--fit", taught)
    assert (code, "[E308]" in said) == (2, True)
    assert Path(taught).read_bytes() == before
    code, _, said = run(*words, "-o", place.path("x.svg"), "--fit", place.path("x.svg"))
    assert (code, "[E308]" in said) == (2, True)


def test_what_was_written_is_named_where_a_later_file_fails(
    place: Place, run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The result of a screening stands when the list of who to refer finds no room."""
    real, count = os.fsync, []

    def room_for_one(handle: int) -> None:
        count.append(handle)
        if len(count) > 1:
            raise OSError(28, "No space left on device")
        real(handle)

    monkeypatch.setattr(output.os, "fsync", room_for_one)
    out, listed = place.path("o.csv"), place.path("refer.csv")
    code, _, said = run(*place.words("screen --referrals", listed))
    assert code == 2
    assert f"{listed}: the disk is full." in said
    assert f"Still written: {out}." in said
    assert (os.path.exists(out), os.path.exists(listed)) == (True, False)
    count.clear()
    figure, fit = place.path("c.svg"), place.path("c.toml")
    words = [
        "calibrate",
        place.path("men.csv"),
        "--reference-method",
        "density",
        "-o",
        figure,
        "--fit",
        fit,
    ]
    code, _, said = run(*words)
    assert code == 2
    assert f"{fit}: the disk is full" in said
    assert f"Still written: {figure}." in said


def test_a_folder_of_letters_is_not_the_table_nor_filled_twice(place: Place, run: Run) -> None:
    letters = place.folder / "letters"
    letters.mkdir()
    (letters / "row000001.pdf").write_bytes(b"mine")
    code, _, said = run(*place.words("screen --letters", str(letters)))
    assert (code, "[E308]" in said) == (2, True)
    assert (letters / "row000001.pdf").read_bytes() == b"mine"
    code, _, said = run(*place.words("screen --letters", place.path("clinic_day.csv")), "--force")
    assert code == 2
    assert not (place.folder / "o.csv").exists()


def test_capitals_and_composed_letters_do_not_make_another_file(tmp_path: Path) -> None:
    assert are_same(str(tmp_path / "Table.csv"), str(tmp_path / "tABLE.CSV"))
    assert are_same(str(tmp_path / "é.csv"), str(tmp_path / "e\u0301.csv"))
    assert not are_same(str(tmp_path / "a.csv"), str(tmp_path / "b.csv"))
    assert not are_same("nul\0", "nul")


def test_all_faults_of_all_outputs_are_told_at_once(tmp_path: Path) -> None:
    read = tmp_path / "in.csv"
    read.write_bytes(b"x")
    outs = [str(read), str(tmp_path / "no" / "a"), str(tmp_path), "", "-"]
    with pytest.raises(FoldspanError) as caught:
        check_outputs(outs, [str(read), "", "-"], replace=True)
    assert [problem.code for problem in caught.value.problems] == ["E308", "E303", "E302"]
    check_outputs([str(tmp_path / "new")], files_of_book(str(read)))


def test_a_dash_is_no_name_of_a_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    with pytest.raises(FoldspanError, match="E302"):
        write_private("-", "x")
    assert not os.listdir(tmp_path)


def test_a_page_of_the_documents_is_renewed_and_nothing_else_is(tmp_path: Path) -> None:
    page, other = tmp_path / "page.md", tmp_path / "other.md"
    renew_page(str(page), "# Catalogue\n\nold\n")
    renew_page(str(page), "# Catalogue\n\nnew\n")
    assert page.read_text(encoding="utf-8") == "# Catalogue\n\nnew\n"
    assert stat.S_IMODE(page.stat().st_mode) == 0o644
    other.write_text("# Mine\n", encoding="utf-8")
    with pytest.raises(FoldspanError, match="E308"):
        renew_page(str(other), "# Catalogue\n")
    assert other.read_text(encoding="utf-8") == "# Mine\n"


def test_nothing_is_added_where_nothing_was_written() -> None:
    fault = FoldspanError([Problem("E303", "x", "cannot be written", "Check it.")])
    with pytest.raises(FoldspanError) as caught, Outputs().named():
        raise fault
    assert caught.value is fault
