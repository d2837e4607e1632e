"""One row: what a row of a table says of its client, as a visit that pages are made of."""

from __future__ import annotations

from typing import Any

from foldspan.browser.jobs.asked_for import options_of
from foldspan.browser.jobs.child import Say
from foldspan.screening.run.one_row import letter_for_row
from foldspan.tables.columns import Wanted
from foldspan.tables.value_words import meanings
from foldspan.text.screen import mark_words
from foldspan.visit.model import Visit


def work(request: dict[str, Any], say: Say) -> dict[str, Any]:
    """Return the visit of a row, with what is wrong with the row.

    Raises
    ------
    FoldspanError
        E706 for a row that is not there; as ``Visit.from_row`` where no visit can be made of it.
    """
    options = options_of({**request, "before": {}})
    del options["before"]
    wanted = Wanted(options.pop("names"), options.pop("units"), sheet=options.pop("sheet"))
    options["word_meanings"] = meanings(options.pop("words"))
    row = letter_for_row(request["source"], request["row"], wanted, options)
    return {
        "problems_of_row": [mark_words(mark) for mark in row.problems],
        "visit": Visit.from_row(row.client).to_dict(), "code": row.client.code,
    }  # fmt: skip
