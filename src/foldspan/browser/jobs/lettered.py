"""Lettered: letters to clinicians for everybody who is referred, together in one archive."""

from __future__ import annotations

import shutil
import zipfile
from pathlib import Path
from typing import Any

from foldspan.browser.jobs.bounds import MOST_ROWS
from foldspan.browser.jobs.child import Progress, Say
from foldspan.browser.jobs.job import LETTERS, MADE
from foldspan.browser.jobs.table_request import options_of, practice_of, workers_for

_FOLDER, _AGAIN = f"{MADE}/letters", f"{MADE}/again.parquet"


def work(request: dict[str, Any], say: Say) -> dict[str, Any]:
    """Write the letters, and return how many there are and what is to be known of them."""
    source = request["source"]
    workers = workers_for(source)
    from foldspan.api.screen import screen_table

    shutil.rmtree(_FOLDER, ignore_errors=True)
    screening = screen_table(
        source, _AGAIN, **options_of(request), letters=_FOLDER, practice=practice_of(request),
        workers=workers, replace=True, progress=Progress(source, MOST_ROWS).step,
    )  # fmt: skip
    Path(_AGAIN).unlink()
    written = sorted(Path(_FOLDER).iterdir())
    with zipfile.ZipFile(f"{MADE}/{LETTERS}", "w", zipfile.ZIP_DEFLATED) as archive:
        for letter in written:
            archive.write(letter, f"letters/{letter.name}")
    shutil.rmtree(_FOLDER, ignore_errors=True)
    notes = [note.text for note in screening.coded_notes if note.code == "not_referring"]
    return {"letters": len(written), "letter_notes": [*notes, *filter(None, [screening.held_back])]}
