"""Wording of a summary of the group, without individuals."""

from __future__ import annotations

from foldspan.quantities import SEXES
from foldspan.tables.bands import systems

WITHHELD = "–"
TITLE = "Screening summary of the group"
LEAD = "{people} adults were screened."
INTRO = (
    "These tables identify nobody. A number under {floor} is withheld ({withheld}), and so is every"
    " number from which it could be worked out. Rare categories are counted with their neighbours.",
    "People under 18, and anyone whose sex is not recorded, are not counted. Each person is counted in"
    " their most likely category; people without the measurement are left out of that table.",
)
NOT_FOR = "This summary describes a group. It is not for decisions about individuals."
HEADINGS = {
    "age": "People by age",
    "bmi": "BMI",
    "waist_to_height": "Waist-to-height ratio",
    "fat": "Body fat",
    "level": "What screening suggested",
}
ROWS = {
    "usual_or_less": "up to the usual range",
    "above": "above the usual range",
    "well_above": "well above the usual range, or more",
    "under_half": "less than half the height",
    "half_or_more": "half the height or more",
    "six_tenths_or_more": "60% of the height or more",
    "match_or_less": "up to the range that matches a healthy weight",
    "above_match": "above that range",
    "well_above_match": "well above that range",
    "refer": "to see a clinician",
    "other": "advice or information",
    "none": "nothing",
}
COLUMNS = {"female": "women", "male": "men"}
ALL = "all"


def heading_of(key: str, reference_method: str) -> str:
    """Return the heading of a table, with the standard that it goes by."""
    if key in ("age", "level"):
        return HEADINGS[key]
    method = "dxa" if reference_method == "dxa" else "density"
    return f"{HEADINGS[key]} ({' and '.join(systems(key, method))})"  # type: ignore[arg-type]


def header() -> tuple[str, ...]:
    """Return the names of the columns."""
    return ("", *(COLUMNS[sex] for sex in SEXES), ALL)
