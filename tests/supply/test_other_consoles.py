"""Consoles, homes and clocks of other systems: signs that a console lacks, blanks and umlauts in paths.

The same commands run in this process, whose output is UTF-8, and in one start of the program for each
other console. What is written to files has to be the same bytes, what is printed the same but for signs.
"""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import pytest

from foldspan.cli.signs import alike

Run = Callable[..., tuple[int, str, str]]
ROOT = Path(__file__).parents[2]
EXAMPLES = ROOT / "examples"
NAME = "Łukasz ☺ Müller"
VISIT, TABLE, BOOK = "Größe 1.toml", "Tag ö.csv", "Bücher/mein Buch.sqlite"
# what is printed: text for people, JSON, a file
COMMANDS = (
    ["reconcile", VISIT, "--all"],
    ["--licences"],
    ["equations", "--sex", "female", "--method", "girth", "--json"],
    ["records", "import", VISIT, "--book", BOOK],
    ["records", "name", "K-014", NAME, "--book", BOOK],
    ["records", "list", "--book", BOOK],
    ["records", "show", "K-014", "--book", BOOK],
    ["records", "show", "K-014", "--json", "--book", BOOK],
    ["records", "export", "K-014", "--book", BOOK],
    ["screen", TABLE, "-o", "hinaus ü.csv", "--referrals", "Überweisungen.csv"],
    ["screen", TABLE, "-o", "-"],
    ["report", VISIT, "-o", "Seite ä.html", "--for", "client"],
    ["reconcile", "fehlt ☺.toml"],
)
AT = re.compile(rb'"\d{4}-\d\d-\d\dT[\d:.]+\+00:00"')  # when it was entered
CONSOLES = {
    "cp1252": {"PYTHONIOENCODING": "cp1252", "TZ": "Pacific/Kiritimati", "COLUMNS": "200"},
    "ascii": {"LC_ALL": "C", "PYTHONCOERCECLOCALE": "0", "TZ": "Etc/GMT+12", "COLUMNS": "40"},
}


@dataclass
class Ran:
    """What all commands printed and wrote."""

    encoding: str
    codes: list[int]
    out: list[bytes]
    err: list[bytes]
    files: dict[str, bytes]


def place_in(folder: Path) -> Path:
    """A working folder with blanks and umlauts, with a visit and a table whose names have them too."""
    work = folder / "mein Ordner äöü"
    (work / "Bücher").mkdir(parents=True)
    shutil.copy(EXAMPLES / "visit.toml", work / VISIT)
    shutil.copy(EXAMPLES / "clinic_day.csv", work / TABLE)
    return work


def files_in(work: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in sorted(work.iterdir()) if path.is_file()}


def ran_with(console: str, folder: Path) -> Ran:
    """All commands in one start with another console, home and clock."""
    work, printed, home = place_in(folder), folder / "printed", folder / "Zuhause ß é"
    printed.mkdir(parents=True)
    home.mkdir()
    kept = {key: os.environ[key] for key in ("PATH", "PYTHONPATH") if key in os.environ}
    surroundings = {
        **kept, "HOME": str(home), "USERPROFILE": str(home), "PYTHONUTF8": "0",
        "FOLDSPAN_SETTINGS": "", **CONSOLES[console],
    }  # fmt: skip
    asked = "\n".join(json.dumps(words) for words in COMMANDS)
    ran = subprocess.run(
        [sys.executable, str(Path(__file__).with_name("other_consoles.py")), str(printed)],
        input=asked.encode(), cwd=work, env=surroundings, capture_output=True, timeout=120,
    )  # fmt: skip
    assert ran.returncode == 0, ran.stderr[-2000:]
    codes, encoding = json.loads((printed / "codes").read_text(encoding="utf-8"))
    shown = [[(printed / f"{number}.{kind}").read_bytes() for number in range(len(COMMANDS))]
             for kind in ("out", "err")]  # fmt: skip
    return Ran(encoding, codes, *shown, files_in(work))


@pytest.fixture
def here(run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Ran:
    """The same in this process."""
    work = place_in(tmp_path)
    monkeypatch.chdir(work)
    ran = [run(*words) for words in COMMANDS]
    codes, out, err = map(list, zip(*ran, strict=True))
    texts = [[text.encode() for text in shown] for shown in (out, err)]
    return Ran("utf-8", codes, *texts, files_in(work))


def test_the_same_is_said_and_written(here: Ran, tmp_path: Path) -> None:
    for console in CONSOLES:
        compare(here, ran_with(console, tmp_path / console), console)


def compare(here: Ran, elsewhere: Ran, console: str) -> None:
    assert elsewhere.encoding == console
    assert here.codes == elsewhere.codes
    assert here.files == elsewhere.files
    assert "Seite ä.html" in here.files
    assert "Überweisungen.csv" in here.files
    for words, ours, theirs in zip(COMMANDS, here.out, elsewhere.out, strict=True):
        ours, theirs = AT.sub(b'""', ours), AT.sub(b'""', theirs)
        if "--json" in words:
            assert json.loads(theirs) == json.loads(ours), words
            assert theirs.isascii() or elsewhere.encoding == "ascii", words
        elif "export" in words or "-" in words:
            assert theirs == ours, words
        else:
            assert same(ours, theirs, elsewhere.encoding), words
    for words, ours, theirs in zip(COMMANDS, here.err, elsewhere.err, strict=True):
        assert same(ours, theirs, elsewhere.encoding), words
    shown = json.loads(elsewhere.out[7])
    assert NAME in json.dumps(shown, ensure_ascii=False)


def same(ours: bytes, theirs: bytes, encoding: str) -> bool:
    """Whether both say the same; what an encoding lacks looks alike, and nothing is known of ASCII."""
    if encoding == "ascii":
        return theirs == ours
    return alike(theirs.decode(encoding)) == alike(ours.decode())


SHOWN = [
    ("cp1252", "31 → 40 ≥ 2 · „Müller“ ☺", "31 -> 40 >= 2 · „Müller“ ?"),
    ("cp437", "Größe – 24.3 kg/m³, 10⁻⁶, x₁₂, © ½", "Größe - 24.3 kg/m^3, 10^-6, x12, (c) ½"),
    ("cp866", "Łódź ñ ß œ ± ☑ ☿\u0301 \ud83d", "Lodz n ss oe +- [x] ? ?"),
]


@pytest.mark.parametrize(("encoding", "text", "shown"), SHOWN, ids=[name for name, *_ in SHOWN])
def test_a_sign_that_is_not_there_is_shown_by_a_likeness(
    monkeypatch: pytest.MonkeyPatch, encoding: str, text: str, shown: str
) -> None:
    import io

    from foldspan.cli import signs

    stream = io.TextIOWrapper(io.BytesIO(), encoding=encoding)
    monkeypatch.setattr(sys, "stdout", stream)
    monkeypatch.setattr(sys, "stderr", stream)
    signs.show_likenesses()
    stream.write(text)
    stream.flush()
    assert stream.buffer.getvalue().decode(encoding) == shown  # type: ignore[attr-defined]
