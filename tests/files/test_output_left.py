"""What a process that was killed leaves beside an output: gone at the next run, and nothing else is."""

from __future__ import annotations

import fcntl
import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from foldspan.files.output import write_private

KILLED = """
import os, signal, sys
from foldspan.files import output
at, path, replace = sys.argv[1], sys.argv[2], sys.argv[3] == "True"
done = getattr(os, at)

def killed(*given, **more):
    if at == "unlink" or str(given[-1]) == path:  # the step that gives the file its name
        os.kill(os.getpid(), signal.SIGKILL)
    return done(*given, **more)

setattr(os, at, killed)
output.write_private(path, "of the one that was killed", replace=replace)
"""


def left_beside(path: Path) -> list[str]:
    return sorted(path.name for path in path.parent.iterdir() if path.name.endswith(".part"))


@pytest.mark.parametrize(
    ("at", "replace"), [("replace", True), ("link", False), ("unlink", False)]
)  # fmt: skip
def test_what_a_killed_process_left_goes_at_the_next_run(
    tmp_path: Path, at: str, replace: bool
) -> None:
    """Killed when the file is whole and has no name yet, or has just got it."""
    path = tmp_path / "page.html"
    if replace:
        path.write_text("old")
    killed = subprocess.run(
        [sys.executable, "-c", KILLED, at, str(path), str(replace)], check=False
    )
    assert killed.returncode == -signal.SIGKILL
    assert len(left_beside(path)) == 1
    write_private(str(path), "new", replace=True)
    assert path.read_text() == "new"
    assert left_beside(path) == []


def test_only_what_is_our_own_and_of_nobody_goes(tmp_path: Path) -> None:
    """A file somebody writes just now, one of a living process, a link and another output's stay."""
    path = tmp_path / "page.html"
    with subprocess.Popen(["true"]) as gone:
        gone.wait()
    target = tmp_path / "target"
    target.write_text("of somebody")
    alive = tmp_path / f"page.html.{os.getppid()}.part"
    others = tmp_path / f"page.htm.{gone.pid}.part"
    named = tmp_path / "page.html.mine.part"
    for kept in (alive, others, named):
        kept.write_text("stays")
    linked = tmp_path / f"page.html.{gone.pid}.part"
    linked.symlink_to(target)
    write_private(str(path), "new")
    assert {alive.name, others.name, named.name, linked.name} == set(left_beside(path))
    linked.unlink()
    linked.write_text("held")
    with linked.open() as held:
        fcntl.flock(held, fcntl.LOCK_EX)
        write_private(str(path), "newer", replace=True)
        assert linked.exists()
    write_private(str(path), "newest", replace=True)
    assert not linked.exists()
    assert target.read_text() == "of somebody"


def test_a_file_left_by_a_process_of_the_same_number_is_in_nobodys_way(tmp_path: Path) -> None:
    """In a container every run may have the same number: before, E308 for a file that is not there."""
    path = tmp_path / "page.html"
    (tmp_path / f"page.html.{os.getpid()}.part").write_text("left")
    write_private(str(path), "new")
    assert path.read_text() == "new"
    assert left_beside(path) == []
