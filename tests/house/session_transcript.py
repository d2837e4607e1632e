"""A measuring session as it runs in a plain terminal, answered from a file of the examples."""

from __future__ import annotations

import os
import re
import sys
import tempfile
from pathlib import Path

import pexpect

ROOT = Path(__file__).parents[2]
ANSWERS = ROOT / "examples" / "session.txt"
MARK = re.compile(r"<!-- session: examples/session.txt -->\n```text\n(.*?)\n```", re.DOTALL)


def until_asked(child: pexpect.spawn) -> str:
    """Return what was written up to a prompt; a colon in the middle of a text is not one."""
    shown = ""
    while True:
        child.expect(": $")
        shown += child.before + child.after
        try:
            shown += child.read_nonblocking(100_000, timeout=0.05)
        except pexpect.TIMEOUT:
            return shown


def transcript() -> str:
    """Return what stands on the screen at the end, answers included."""
    answers = ANSWERS.read_text(encoding="utf-8").splitlines()
    program = str(Path(sys.executable).with_name("foldspan"))
    with tempfile.TemporaryDirectory() as folder:
        child = pexpect.spawn(
            program, ["measure"], dimensions=(50, 80), encoding="utf-8", timeout=30, cwd=str(ROOT),
            env={**os.environ, "TERM": "dumb", "NO_COLOR": "1", "XDG_DATA_HOME": folder},
        )  # fmt: skip
        child.delaybeforesend = None
        shown = ""
        for answer in answers:
            shown += until_asked(child)
            child.sendline(answer)
        child.expect(pexpect.EOF)
        shown += child.before
        child.close()
    assert child.exitstatus == 0, shown[-400:]
    lines = [line.rstrip() for line in shown.replace("\r", "").splitlines()]
    return re.sub(r"\n{3,}", "\n\n", "\n".join(lines)).strip()


if __name__ == "__main__":
    print(transcript())
