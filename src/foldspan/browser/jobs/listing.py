"""Listing: those to be referred in a small database, so that a page can filter and sort them.

The file is written by the process that screens, and read by the server a page at a time.
"""

from __future__ import annotations

import contextlib
import sqlite3
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

LISTING = "referrals.sqlite"
# rows of a page
SHOWN = 50
# how a list may be sorted → the columns that it goes by
ORDERS = {
    "urgency": "urgency, row", "row": "row", "code": "code COLLATE NOCASE, row",
}  # fmt: skip
# columns of the list that are shown
_SHOWN = (
    "row", "code", "level", "how_soon", "reasons", "borderline", "in_doubt", "what_to_do", "flags",
    "sources",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class ReferralFilter:
    """Which of those to be referred are looked for."""

    level: str = ""
    """Level, "" for every one."""
    flag: str = ""
    """Code of a rule, "" for every one."""
    code: str = ""
    """Part of the client's code, "" for every one."""
    order: str = "urgency"
    """A key of ``ORDERS``."""
    page: int = 1
    """Page of ``SHOWN`` rows [1, 2, …]."""


def referred(folder: Path, wish: ReferralFilter) -> tuple[list[dict[str, Any]], int]:
    """Return a page of those to be referred, and how many there are in all.

    Numbers of rows count from 1, the first below the names.
    """
    where, values = _where(wish)
    with contextlib.closing(_opened(folder)) as base:
        count = base.execute(f"SELECT count(*) FROM referred{where}", values).fetchone()[0]
        rows = base.execute(
            f"SELECT {', '.join(_SHOWN)} FROM referred{where}"
            f" ORDER BY {ORDERS[wish.order]} LIMIT {SHOWN} OFFSET ?",
            (*values, (wish.page - 1) * SHOWN),
        ).fetchall()
    return [dict(zip(_SHOWN, row, strict=True)) for row in rows], count


def flags_listed(folder: Path) -> list[str]:
    """Return the codes of all rules that refer somebody in the list."""
    with contextlib.closing(_opened(folder)) as base:
        texts = base.execute("SELECT DISTINCT flags FROM referred").fetchall()
    return sorted({code for (text,) in texts for code in text.split("; ") if code})


def _opened(folder: Path) -> sqlite3.Connection:
    return sqlite3.connect(f"{(folder / LISTING).as_uri()}?mode=ro", uri=True)


def _where(wish: ReferralFilter) -> tuple[str, Sequence[str]]:
    parts, values = [], []
    if wish.level:
        parts.append("level = ?")
        values.append(wish.level)
    if wish.flag:
        parts.append("'; ' || flags || ';' LIKE ? ESCAPE '\\'")
        values.append(f"%; {_plain(wish.flag)};%")
    if wish.code:
        parts.append("code LIKE ? ESCAPE '\\'")
        values.append(f"%{_plain(wish.code)}%")
    return (f" WHERE {' AND '.join(parts)}" if parts else ""), values


def _plain(text: str) -> str:
    """A text whose signs mean nothing in a pattern."""
    return text.replace("\\", "\\\\").replace("%", "\\%").replace("_", "\\_")
