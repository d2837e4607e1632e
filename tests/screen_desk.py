"""A folder with a table, and ``foldspan screen`` run on it; for several test files.

Every run checks more than the case at hand: no traceback, no value of a client on stderr, nothing
left in the folder that was not asked for, and files that only their owner can read.
"""

from __future__ import annotations

import csv
import io
import stat
from collections.abc import Callable
from pathlib import Path

import foldspan

Run = Callable[..., tuple[int, str, str]]
HEAD = b"code,sex,age_years,weight_kg,height_cm,note\n"
ANNA = b"K-01,female,41,71.37,168.43,fine\n"
BERT = b"K-02,male,37,80.29,181.61,ok\n"
PERSONAL = ("71.37", "168.43", "80.29", "181.61", "K-01", "K-02", "K-03", "secret")


def read_back(raw: bytes, delimiter: str = ",") -> list[dict[str, str]]:
    csv.field_size_limit(1 << 30)
    text = io.StringIO(raw.decode("utf-8-sig"), newline="")
    rows = list(csv.DictReader(text, delimiter=delimiter, strict=True))
    assert not any(None in row or None in row.values() for row in rows)
    return rows


class Desk:
    """A folder with a table, and the command run on it."""

    def __init__(self, folder: Path, run: Run) -> None:
        self.folder, self._run = folder, run
        self.out = folder / "out.csv"
        self.shown = ""

    def screen(
        self,
        data: bytes,
        *words: str,
        name: str = "table.csv",
        workers: str = "1",
        delimiter: str = ",",
    ) -> tuple[int, list[dict[str, str]]]:
        (self.folder / name).write_bytes(data)
        before = {path.name for path in self.folder.iterdir()}
        command = ("screen", str(self.folder / name), "-o", str(self.out), "--workers", workers)
        code, shown, said = self._run(*command, *words)
        self.shown = said
        assert "Exception ignored" not in said
        assert not [value for value in PERSONAL if value in said + shown]
        left = {path.name for path in self.folder.iterdir()} - before
        if code == 2:
            assert left == set(), "something half-written was left behind"
            return code, []
        assert left == {"out.csv"}
        assert stat.S_IMODE(self.out.stat().st_mode) == 0o600
        return code, read_back(self.out.read_bytes(), delimiter)

    def refused(self, data: bytes, code: str, *words: str, name: str = "table.csv") -> str:
        """Screen what cannot be used; the message names the file or the column, and the code."""
        exit_code, _ = self.screen(data, *words, name=name)
        assert exit_code == 2
        assert f"[{code}]" in self.shown
        return self.shown


def alone_in(folder: Path) -> dict[str, list[str]]:
    """What is said of the two good rows where nothing bad stands beside them."""
    (folder / "in.csv").write_bytes(HEAD + ANNA + BERT)
    foldspan.screen_table(str(folder / "in.csv"), str(folder / "out.csv"))
    rows = read_back((folder / "out.csv").read_bytes())
    assert all(row["fat_percent"] for row in rows)
    return {row["code"]: list(row.values())[6:] for row in rows}


def check_good(rows: list[dict[str, str]], alone: dict[str, list[str]]) -> None:
    """Both good rows are there, with their numbers unchanged."""
    for code, said in alone.items():
        found = [row for row in rows if row["code"] == code]
        assert len(found) == 1, f"{code} was lost, or stands there twice"
        assert list(found[0].values())[6:] == said
