"""One row: what a row of a table says of its client, as a visit that pages are made of."""

from __future__ import annotations

import os
from contextlib import suppress
from typing import Any

from foldspan.browser.jobs.child import Say
from foldspan.browser.jobs.job import MADE
from foldspan.browser.jobs.table_request import options_of, practice_of
from foldspan.problems import FoldspanError, Problem
from foldspan.results.result import problem_list
from foldspan.screening.letters import SELF_REPORTED_RULES, LetterFor, unit_in_doubt
from foldspan.screening.referrals import REFERRING
from foldspan.screening.run.one_row import letter_for_row
from foldspan.standards.referral_rules import RULE_BY_CODE
from foldspan.tables.columns import Wanted
from foldspan.tables.value_words import meanings
from foldspan.text.screen import mark_words
from foldspan.visit.model import Visit

# settings of an answer, which letters take
_OF_ANSWERS = ("reference_method", "conversion", "with_disputed", "as_printed", "local")


def work(request: dict[str, Any], say: Say) -> dict[str, Any]:
    """Return the visit of a row, what is wrong with the row, and for which rules it is referred.

    ``visit`` is {} where ``unmade`` says why none can be made; ``earlier`` is the visit that the earlier
    table makes, {} for none. With ``letter``, a name, only the letter to a clinician is written, as that
    of the archive, where there is one.

    Raises
    ------
    FoldspanError
        E706 for a row that is not there; E120 for a letter that waits until a unit is confirmed.
    """
    options = options_of(request)
    before = options.pop("before")
    wanted = Wanted(*(options.pop(name) for name in ("names", "units", "words", "sheet")))
    options["word_meanings"] = meanings(wanted.words)
    row = letter_for_row(request["source"], request["row"], wanted, options, before)
    referring = [code for code in row.flags if RULE_BY_CODE[code].level in REFERRING]
    if request.get("letter"):
        settings = {name: options[name] for name in _OF_ANSWERS if name in options}
        return {"letter": _letter(row, request, settings) if referring else ""}
    visit, unmade = {}, []
    try:
        visit = Visit.from_row(row.client).to_dict()
    except FoldspanError as error:
        unmade = problem_list(error.problems)
    return {
        "problems_of_row": [mark_words(mark) for mark in row.problems],
        "visit": visit, "unmade": unmade, "code": row.client.code,
        "earlier": _earlier(row), "referring": referring,
    }  # fmt: skip


def _earlier(row: LetterFor) -> dict[str, Any]:
    if row.earlier is not None:
        with suppress(FoldspanError):
            return Visit.from_row(row.earlier).to_dict()
    return {}


def _letter(row: LetterFor, request: dict[str, Any], settings: dict[str, Any]) -> str:
    """Write the letter of a row into a folder of its own; return where it lies below ``made``."""
    from foldspan.api.letters import Letters

    is_in_doubt = any(map(unit_in_doubt, row.problems)) and not SELF_REPORTED_RULES & {*row.flags}
    if is_in_doubt and not request["chosen"].get("accept_unusual"):
        what = "its letter waits, because its weight may be in another unit"
        remedy = (
            "Correct the unit under “Change the columns”; if the weights are correct, tick that they are"
            " on the page of the table, and write the letters there."
        )
        raise FoldspanError([Problem("E120", f"Row {request['row']}", what, remedy)])
    folder = f"letter-{request['letter']}"
    letters = Letters(f"{MADE}/{folder}", settings, practice=practice_of(request))
    letters.write([row], 0, "")
    return f"{folder}/{os.listdir(f'{MADE}/{folder}')[0]}"
