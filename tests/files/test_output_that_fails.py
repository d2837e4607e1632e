"""Where the output or the home folder cannot be written: told calmly, and nothing is blamed wrongly."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from example_visits import EXAMPLES
from foldspan.cli import is_fault_of_output

PROGRAM = str(Path(sys.executable).with_name("foldspan"))
VISIT = str(EXAMPLES / "visit.toml")


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="a device that is always full is needed")
@pytest.mark.parametrize("words", [("reconcile", VISIT, "--json"), ("--help",)])
def test_a_full_disk_behind_the_output_is_told(words: tuple[str, ...]) -> None:
    with open("/dev/full", "wb") as full:
        ran = subprocess.run(
            [PROGRAM, *words], stdout=full, stderr=subprocess.PIPE, text=True, check=False
        )
    assert ran.returncode == 2
    assert ran.stderr.startswith("the output: cannot be written (No space left on device)")
    assert ran.stderr.count("\n") == 1
    assert "[E303]" in ran.stderr


def test_a_fault_of_the_program_is_not_laid_on_the_output() -> None:
    for fault in (FileNotFoundError(2, "no such file", "x.toml"), ValueError("of ours")):
        with pytest.raises(type(fault)) as caught:
            raise fault
        assert not is_fault_of_output(caught.value)


def test_a_home_that_cannot_be_written_is_nothing_to_speak_of(tmp_path: Path) -> None:
    out = tmp_path / "bands.svg"
    home = {"HOME": os.devnull, "XDG_CONFIG_HOME": os.devnull, "XDG_CACHE_HOME": os.devnull}
    inherited = {name: value for name, value in os.environ.items() if name != "MPLCONFIGDIR"}
    ran = subprocess.run(
        [PROGRAM, "report", VISIT, "-o", str(out), "--figure", "bands"],
        capture_output=True, text=True, check=False, env=inherited | home,
    )  # fmt: skip
    assert (ran.returncode, ran.stderr) == (0, f"Written to {out}.\n")
    assert out.read_bytes().startswith(b"<?xml")
