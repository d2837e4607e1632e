"""Wording of a comparison with an earlier table: why there is none, and what the summary says of it."""

from __future__ import annotations

from foldspan.followup.comparability import FIRST_WEEKS
from foldspan.text.screen import WHY_NO_RANGE

# code → why nothing is said of a change
NOT_COMPARED_WORDS: dict[str, str] = {
    "lost": "nothing in the row can be used; see problems",
    "no_code": "no code",
    "code_twice": "code used more than once in this table",
    "code_twice_before": "code used more than once in the earlier table",
    "only_now": "not in the earlier table",
    "sex_differs": "sex differs between the tables: check the code",
    "dated_earlier": "dated before the earlier table: check the dates",
    "younger": "younger than in the earlier table: check the code and the age",
    "age_and_dates": "the age does not match the dates: check the code and both",
    "height_of_another": "height differs by more than 5 cm: check the code and the height",
    "weight_unit": "a weight may be in another unit: check both weights",
    "careful_words": "a worry about eating is recorded: no change is shown",
    "no_range": "no range in this table",
    "no_range_before": "no range in the earlier table",
    "nothing_in_common": "no equation can be used both times: too little was measured in both tables",
}
# of these the two rows may be of different people
OF_TWO_PEOPLE = ("sex_differs", "younger", "age_and_dates", "height_of_another")
VERDICT_WORDS = {
    "down": "went down by more than measurement error",
    "up": "went up by more than measurement error",
    "unclear": "no clear change",
    "too_soon": f"less than {FIRST_WEEKS:.0f} weeks between: too soon for a change to show",
}
NOTE_WORDS = {
    "loss_undated": "weight was lost, but a date is missing: how fast cannot be judged",
}
TITLES = {
    "matched": "Compared with {table} ({rows})",
    "fat": "Body fat since then",
    "weight": "Weight since then",
    "not": "Change not shown",
}
SUMMARY = {
    "matched": "matched by code",
    "only_now": "only in this table",
    "only_before": "only in the earlier table",
    "no_code_before": "no code in the earlier table",
    "flagged": "flagged because of a loss since then",
    "undated": NOTE_WORDS["loss_undated"],
}
CHECKS = {
    "people": (
        "In {rows}, sex, age or height contradict the earlier table. Have the codes been"
        " given to other people since? Check that before using any change."
    ),
    "swapped": (
        "{rows} are dated before the earlier table. Were the two tables swapped? --before names"
        " the earlier one."
    ),
    "units": (
        "In {rows}, the two weights differ as kilograms and pounds do, or one looks like another"
        " unit. Check the units of both tables."
    ),
    "nearly": (
        "{codes} would match without capitals, spaces, dashes or leading zeros (007 and 7)."
        " Codes are matched as written: use the same spelling in both tables."
    ),
    "nobody": "No code is in both tables. Check that the column code means the same in both.",
    "twice": "Codes used more than once in this table: rows {rows}.",
    "twice_before": "Codes used more than once in the earlier table: rows {rows}.",
}


def why_not_compared(code: str, reason: str = "") -> str:
    """Return why nothing is said of a change; ``reason`` is why there is no range."""
    words = NOT_COMPARED_WORDS[code]
    return f"{words}: {WHY_NO_RANGE[reason]}" if reason else words


def codes_words(codes: int) -> str:
    """Return a number of codes in words."""
    return "1 code" if codes == 1 else f"{codes:,} codes"
