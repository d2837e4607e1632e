"""Run several commands in one start of the program: ``python other_consoles.py FOLDER < commands``.

Each line of standard input is a list of words in JSON. What each command prints goes to files in FOLDER,
in the encoding of the console; ``codes`` there holds the exit codes, then that encoding.
"""

from __future__ import annotations

import io
import json
import os
import sys
from pathlib import Path

from foldspan.cli import main


def main_of(words: list[str], place: Path, number: int) -> int:
    """Run one command as a console of the encoding of this one would show it."""
    kept = sys.stdout, sys.stderr
    streams = [
        io.TextIOWrapper(
            (place / f"{number}.{kind}").open("wb"), encoding=old.encoding, errors=old.errors
        )
        for kind, old in zip(("out", "err"), kept, strict=True)
    ]
    sys.argv = ["foldspan", *(os.fsdecode(word.encode()) for word in words)]  # as a start gets them
    sys.stdout, sys.stderr = streams
    code = 0
    try:
        main()
    except SystemExit as end:
        code = int(end.code or 0)
    finally:
        sys.stdout, sys.stderr = kept
        for stream in streams:
            stream.close()
    return code


if __name__ == "__main__":
    folder = Path(sys.argv[1])
    lines = sys.stdin.buffer.read().decode("utf-8").splitlines()
    codes = [main_of(json.loads(line), folder, number) for number, line in enumerate(lines)]
    (folder / "codes").write_text(json.dumps([codes, sys.stdout.encoding]), encoding="utf-8")
