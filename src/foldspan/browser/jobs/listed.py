"""Listed: those to be referred put into a small database, in the process that screened them."""

from __future__ import annotations

import contextlib
import csv
import sqlite3
from pathlib import Path

from foldspan.browser.jobs.listing import LISTING
from foldspan.screening.referrals import NAMES, REFERRING
from foldspan.tables.csv.writer import as_typed

_TEXTS = tuple(name for name in NAMES if name != "row")


def write_listing(referrals: str, folder: str) -> None:
    """Write the database of a list of those to be referred."""
    place = Path(folder) / LISTING
    place.unlink(missing_ok=True)
    urgency: dict[str, int] = {level: order for order, level in enumerate(REFERRING)}
    with contextlib.closing(sqlite3.connect(place)) as base, base:
        base.execute("PRAGMA journal_mode = OFF")
        base.execute(
            f"CREATE TABLE referred (row INTEGER PRIMARY KEY, urgency INTEGER, {', '.join(_TEXTS)})"
        )
        with open(referrals, encoding="utf-8", newline="") as file:
            rows = csv.DictReader(file)
            base.executemany(
                f"INSERT INTO referred VALUES ({', '.join('?' * (len(_TEXTS) + 2))})",
                (
                    (
                        int(row["row"]), urgency[row["level"]],
                        *(as_typed(row[name]) for name in _TEXTS),
                    )
                    for row in rows
                ),
            )  # fmt: skip
