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
    "sex_differs": "sex differs between the tables: check the code and the sex",
    "dated_earlier": "dated before the earlier table: check the dates",
    "younger": "younger than in the earlier table: check the code and the age",
    "age_and_dates": "age does not match the dates: check the code, the age and the dates",
    "height_of_another": "height differs by more than 5 cm: check the code and both heights",
    "weight_unit": "one weight may be in another unit: check both weights",
    "careful_words": "a worry about eating is recorded: no change is shown",
    "no_range": "no range in this table",
    "no_range_before": "no range in the earlier table",
    "nothing_in_common": "no equation can be used for both tables: too few measurements in common",
}
# of these the two rows may be of different people
OF_TWO_PEOPLE = ("sex_differs", "younger", "age_and_dates", "height_of_another")
VERDICT_WORDS = {
    "down": "went down by more than measurement error",
    "up": "went up by more than measurement error",
    "unclear": "no clear change",
    "too_soon": f"less than {FIRST_WEEKS:.0f} weeks apart: too soon to show a change",
}
NOTE_WORDS = {
    "loss_undated": "weight was lost, but a date is missing: the rate of loss is not known",
}
TITLES = {
    "matched": "Compared with {table} ({rows})",
    "fat": "Change in body fat since then",
    "weight": "Change in weight since then",
    "not": "No change shown, and why",
}
SUMMARY = {
    "matched": "matched by code",
    "only_now": "only in this table",
    "only_before": "only in the earlier table",
    "no_code_before": "no code in the earlier table",
    "flagged": "flagged for weight or height lost since then",
    "undated": NOTE_WORDS["loss_undated"],
}
CHECKS = {
    "people": (
        "In {rows}, the sex, age or height does not match the earlier table. Have codes been given to"
        " other people since then? Check this before you use any of the changes."
    ),
    "swapped": (
        "{rows} are dated before the earlier table. Were the two tables swapped? --before names"
        " the earlier table."
    ),
    "units": (
        "In {rows}, the two weights differ as pounds differ from kilograms, or one of them looks like"
        " another unit. Check the units in both tables."
    ),
    "nearly": (
        "{codes} would match if capitals, spaces, dashes and leading zeros were ignored (as in 007 and"
        " 7). Codes are matched exactly as written: write each code the same way in both tables."
    ),
    "nobody": (
        "The two tables have no client code in common. Check that both use the same codes, and that"
        " the column of codes is right in both."
    ),
    "twice": (
        "Codes used more than once in this table: rows {rows}. No change is shown for them until each"
        " client has one code of their own."
    ),
    "twice_before": (
        "Codes used more than once in the earlier table: rows {rows}. No change is shown for these"
        " clients until the codes are corrected there."
    ),
}


def why_not_compared(code: str, reason: str = "") -> str:
    """Return why nothing is said of a change; ``reason`` is why there is no range."""
    words = NOT_COMPARED_WORDS[code]
    return f"{words}: {WHY_NO_RANGE[reason]}" if reason else words


def codes_words(codes: int) -> str:
    """Return a number of codes in words."""
    return "1 code" if codes == 1 else f"{codes:,} codes"
