"""Screened: a table screened as the command does it, with what its page shows written beside it."""

from __future__ import annotations

import json
import pickle
from typing import Any

from foldspan.browser.jobs.bounds import MOST_ROWS
from foldspan.browser.jobs.child import Progress, Say
from foldspan.browser.jobs.job import MADE
from foldspan.browser.jobs.listed import write_listing
from foldspan.browser.jobs.table_request import options_of, workers_for

# rows with a problem that a page shows; the result names all of them
MOST_PROBLEMS = 1_000
RESULT, REFERRALS, SUMMARY = "screened", "referrals.csv", "summary.json"
# what later actions need of a screening, besides its files
KEPT = "screening.pickle"


def work(request: dict[str, Any], say: Say) -> dict[str, Any]:
    """Screen it, and return what its page shows first."""
    source, ending = request["source"], request["chosen"]["as"]
    workers = workers_for(source)
    from foldspan.api.screen import screen_table

    screening = screen_table(
        source, f"{MADE}/{RESULT}.{ending}", **options_of(request),
        referrals=f"{MADE}/{REFERRALS}", workers=workers, replace=True,
        progress=Progress(source, MOST_ROWS).step, most_problems=MOST_PROBLEMS,
    )  # fmt: skip
    from foldspan.screening.group.grids import are_enough, grids_of
    from foldspan.screening.workbook import summary_rows

    summary = screening.to_dict()
    with open(f"{MADE}/{SUMMARY}", "w", encoding="utf-8", newline="\n") as file:
        json.dump(summary, file, indent=2, ensure_ascii=False)
    with open(f"{MADE}/{KEPT}", "wb") as kept:
        pickle.dump(screening, kept)
    write_listing(f"{MADE}/{REFERRALS}", MADE)
    return {
        "rows": screening.rows, "with_range": screening.with_range, "referred": screening.referred,
        "levels": screening.levels, "lines": list(summary_rows(screening)),
        "problem_rows": screening.problem_rows, "unit_first": screening.unit_first,
        "has_group": are_enough(
            grids_of(screening.tally.counters, screening.reference_method)
        ), "summary": summary,
        "files": [f"{RESULT}.{ending}", REFERRALS, SUMMARY],
    }  # fmt: skip
