"""Wording of the pages where a table is screened."""

from __future__ import annotations

# how a table stands, in a list of them
STATES = {
    "looking": "being read",
    "choosing": "columns to confirm",
    "running": "being screened",
    "done": "screened",
    "refused": "cannot be read",
    "stopped": "stopped",
    "failed": "failed",
}
DOING = {
    "look": "Reading the columns",
    "screen": "Screening",
    "letters": "Writing the letters",
}
NOTHING_KEPT = (
    "The table stays on the computer that runs foldspan, in a folder that no other user of that computer"
    " can open. It is deleted when you delete it here, when foldspan stops, two hours after you last"
    " used it, or when you send eight newer tables. It is never added to the record book."
)
AS = {"csv": "CSV", "xlsx": "Workbook (.xlsx)", "parquet": "Parquet"}
FILES = {
    "screened.csv": "Your table with the results (CSV)",
    "screened.xlsx": "Your table with the results (.xlsx workbook)",
    "screened.parquet": "Your table with the results (Parquet)",
    "referrals.csv": "Who to refer, with reasons and sources (CSV)",
    "summary.json": "Summary (JSON)",
    "letters.zip": "Letters to clinicians (PDFs in a ZIP archive)",
}
# tables of the summary that are unfolded: part of their titles, and what is said anyway
FLAGS, EXPECTED, HOW_READ = "Flags", "Expected in each category", "How the table was read"
SMALL_PRINT = "Please note"
ORDERS = {"urgency": "Urgency, most urgent first", "row": "Row", "code": "Client code"}


def progress_words(rows: int, share: float | None, seconds: float | None) -> str:
    """Return how far a table is.

    Examples
    --------
    >>> progress_words(120_000, 0.25, 12.3)
    '120,000 rows, 25%; about 13 seconds left'
    """
    if not rows:
        return "Starting"
    parts = [f"{rows:,} {'row' if rows == 1 else 'rows'}"]
    parts += [f", {100.0 * share:.0f}%"] if share is not None else []
    if seconds is not None:
        left = int(seconds) + 1
        words = f"{left} {'second' if left == 1 else 'seconds'}"
        parts += [f"; about {words if left < 100 else f'{round(left / 60)} minutes'} left"]
    return "".join(parts)
