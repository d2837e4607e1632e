"""Every command that README.md and docs/ show is run, in the order of its page, as a reader would.

Lines of a ``sh`` block run in a folder that holds the examples, beside a book in which K-014 has three
visits and K-202 one. Lines of a ``bat`` block are for Windows: they are not run here, but each has to be
a line of the page's ``sh`` blocks in the words of that system. What needs another machine is listed in
``NOT_RUN`` with the file that tries it; scripts that learn or measure for minutes are only looked up.
"""

from __future__ import annotations

import itertools
import json
import os
import re
import shlex
import shutil
import subprocess
import sys
from collections.abc import Mapping
from functools import partial
from pathlib import Path

import numpy as np
import pandas as pd
import pytest
import tomli_w
import typer.main
from test_docs import PAGES, ROOT, TRANSCRIPT

import foldspan
import program_starts
from foldspan.cli import app

# any command may be shown: all their libraries are loaded once
run_to_its_end = partial(program_starts.run_to_its_end, more=("everything",))
FENCE = re.compile(r"^```(sh|bat)\n(.*?)^```", re.MULTILINE | re.DOTALL)
INLINE = re.compile(r"`(foldspan [^`]+)`")
# what a line begins with → the file that tries it
NOT_RUN = {
    "python3 -m venv": ".ci/run",
    "source .venv/bin/activate": ".ci/run",
    "pip install 'foldspan[cluster]'": "tests/screening/test_screen_cluster.py",
    "dask": "tests/screening/test_screen_cluster.py",
    "foldspan screen parts/": "tests/screening/test_screen_cluster.py",
}
# lines that are meant to fail, to show how
ENDS = {"reconcile examples/faulty.toml": 2}
ANSWERS = (ROOT / "examples" / "session.txt").read_text(encoding="utf-8").splitlines()
BROKEN_OFF = 40  # lines that were typed before the laptop was closed
TYPED = {
    # the option answers the second question
    "measure": ["K-301", *ANSWERS[1:]],
    "measure --tester T-02": ["K-302", *ANSWERS[2:]],
    "measure --resume": ANSWERS[BROKEN_OFF:],
    "records erase K-202": ["K-202"],
    "records name K-202": ["Client of the mill"],
}


def shown_lines(page: Path, kind: str) -> list[str]:
    """The lines of a page's blocks of one kind, without remarks."""
    blocks = [
        block for found, block in FENCE.findall(page.read_text(encoding="utf-8")) if found == kind
    ]
    lines = [
        re.sub(r"(^|\s+)# .*$", "", line).strip() for block in blocks for line in block.splitlines()
    ]
    return [line for line in lines if line]


def begins(line: str) -> str:
    return next((start for start in NOT_RUN if line.startswith(start)), "")


@pytest.fixture(scope="module")
def home(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A data folder whose book holds three visits of K-014 and the session of the examples, K-202."""
    folder = tmp_path_factory.mktemp("home")
    later = foldspan.Visit.from_file(str(ROOT / "examples" / "visit_later.toml")).to_dict()
    later["visit"]["date"] = "2026-08-19"
    (folder / "third.toml").write_text(tomli_w.dumps(later), encoding="utf-8")
    here = surroundings(folder)
    for visit in ("visit", "visit_later"):
        words = ["records", "import", str(ROOT / "examples" / f"{visit}.toml")]
        assert run_to_its_end(words, folder=folder, environment=here).returncode == 0
    words = ["records", "import", "third.toml"]
    assert run_to_its_end(words, folder=folder, environment=here).returncode == 0
    typed = "\n".join(ANSWERS) + "\n"
    ran = run_to_its_end(["measure"], typed=typed, folder=folder, environment=here)
    assert ran.returncode == 0, ran.stderr
    return folder


def surroundings(folder: Path) -> Mapping[str, str]:
    return {**os.environ, "XDG_DATA_HOME": str(folder), "FOLDSPAN_SETTINGS": ""}


@pytest.fixture
def desk(home: Path, tmp_path: Path) -> Path:
    """A folder as the reader has it: the examples, a table of people with a scan."""
    shutil.copytree(home, tmp_path / "home")
    desk = tmp_path / "desk"
    desk.mkdir()
    (desk / "examples").symlink_to(ROOT / "examples")
    people = pd.DataFrame({
        "sex": np.repeat(["female", "male"], 40), "age_years": 40, "height_cm": 172.0,
        "weight_kg": np.tile(np.linspace(62, 92, 40), 2),
        "reference_fat_percent": np.r_[np.linspace(22, 42, 40), np.linspace(13, 33, 40)],
        "reference_method": "dxa",
    })  # fmt: skip
    people.to_csv(desk / "people.csv", index=False)
    return desk


def typed_for(command: str, source: str, desk: Path) -> str:
    """What is typed while a command runs: from the file it reads, or as a person would."""
    if source.startswith(".venv/bin/python "):
        words = [sys.executable, *source.split()[1:]]
        return subprocess.run(words, cwd=ROOT, text=True, capture_output=True, check=True).stdout
    if source:
        return (desk / source).read_text(encoding="utf-8")
    return "".join(f"{line}\n" for line in TYPED.get(command, ()))


def run(line: str, desk: Path) -> None:
    """Run one line; it ends as told, and every file that it names is there."""
    source, _, piped = line.rpartition("|")
    command, _, read = piped.partition("<")
    command = command.strip().removeprefix(".venv/bin/").removeprefix("foldspan ")
    words, here = shlex.split(command), surroundings(desk.parent / "home")
    if command == "measure --resume":
        begun = "".join(f"{answer}\n" for answer in ["K-303", *ANSWERS[1:BROKEN_OFF]])
        run_to_its_end(["measure"], typed=begun, folder=desk, environment=here)
    typed = typed_for(command, source.strip() or read.strip(), desk)
    ran = run_to_its_end(words, typed=typed, folder=desk, environment=here)
    expected = (ENDS[command],) if command in ENDS else (0, 3)
    assert ran.returncode in expected, f"{line}\n{ran.stderr}"
    for option, file in itertools.pairwise(words):
        if option in ("-o", "--referrals", "--letters", "--fit") and file != "-":
            assert (desk / file).exists(), line


def pages_with(kind: str) -> list[Path]:
    return [page for page in PAGES if shown_lines(page, kind)]


@pytest.mark.parametrize("page", pages_with("sh"), ids=lambda page: page.stem)
def test_every_command_of_a_page_runs(page: Path, desk: Path) -> None:
    tried = {found["arguments"] for found in TRANSCRIPT.finditer(page.read_text(encoding="utf-8"))}
    for line in shown_lines(page, "sh"):
        if begins(line):
            assert (ROOT / NOT_RUN[begins(line)]).is_file()
        elif line.startswith(".venv/bin/python ") and "|" not in line:
            script = (ROOT / line.split()[1]).read_text(encoding="utf-8")
            assert "__main__" in script, line  # minutes of learning or of measuring, by hand
        elif line.removeprefix("foldspan ") not in tried:
            assert re.search(r"(^|/|\| )foldspan ", line), (
                f"{page.name}: {line} is neither run nor listed"
            )
            run(line, desk)


@pytest.mark.parametrize("page", pages_with("bat"), ids=lambda page: page.stem)
def test_a_line_for_windows_is_a_line_of_the_page(page: Path) -> None:
    """Python has another name there, folders another stroke, and only double marks quote."""
    shown = [line.replace("'", '"').removeprefix("source ") for line in shown_lines(page, "sh")]
    for line in shown_lines(page, "bat"):
        here = line.replace(".venv\\Scripts\\", ".venv/bin/").replace("\\", "/")
        assert re.sub(r"^py ", "python3 ", here) in shown, line


def test_the_layout_of_a_screening_days_spreadsheet_can_be_screened(desk: Path) -> None:
    page = (ROOT / "docs" / "screening-day.md").read_text(encoding="utf-8")
    (layout,) = re.findall(r"^```csv\n(.*?)^```", page, re.MULTILINE | re.DOTALL)
    (desk / "layout.csv").write_text(layout, encoding="utf-8")
    words = ["screen", "layout.csv", "-o", "out.csv", "--json"]
    ran = run_to_its_end(words, folder=desk, environment=surroundings(desk.parent / "home"))
    summary = json.loads(ran.stdout)
    assert ran.returncode == 0, ran.stderr
    assert summary["with_range"] == summary["rows"] == layout.count("\n") - 1
    assert (summary["not_used"], summary["problems"]) == ([], {})


def known_options() -> dict[str, set[str]]:
    """Command, with its part where it has parts → the options it knows."""
    program, known = typer.main.get_command(app), {}
    for name, command in program.commands.items():  # type: ignore[attr-defined]
        parts = getattr(command, "commands", {})
        for words, part_command in [
            (name, command),
            *((f"{name} {part}", parts[part]) for part in parts),
        ]:
            known[words] = {
                opt for each in part_command.params for opt in (*each.opts, *each.secondary_opts)
            }
    known[""] = {opt for each in program.params for opt in each.opts}
    return known


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.stem)
def test_commands_named_in_a_sentence_exist_with_their_options(page: Path) -> None:
    known = known_options()
    for said in INLINE.findall(page.read_text(encoding="utf-8")):
        words = said.replace("\n", " ").split()[1:]
        names = [" ".join(words[:2]), words[0] if not words[0].startswith("-") else "", ""]
        name = next(name for name in names if name in known)
        assert name or words[0].startswith("-"), f"{page.name}: {said}"
        options = {word.partition("=")[0] for word in words if re.match(r"--?[a-z]", word)}
        assert options <= known[name] | {"--help"}, f"{page.name}: {said}"
