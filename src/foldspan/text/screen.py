"""Wording of a screened table: what is wrong with a row, why it has no range, what stands out."""

from __future__ import annotations

from functools import cache

from foldspan.intake.refusals import GATES
from foldspan.measurement.plausibility import UNIT_PLURAL
from foldspan.quantities import BY_NAME
from foldspan.standards.intake_vocabulary import ALL_WORDS
from foldspan.standards.referral_rules import REFUSALS
from foldspan.tables.findings import Mark

# code → what is wrong and what to do, for the column ``problems``
ROW_WORDS: dict[str, str] = {
    "E101": "not a number: left out; write a number, or a number with its unit",
    "E102": "impossible value{span}: left out; measure or enter it again",
    "E104": "unknown unit: left out; give the number in the column's own unit",
    "E105": "wrong kind of unit: left out; use one that fits",
    "E106": "not a finite number: left out; measure again",
    "E107": "zero or negative: left out; measure again",
    "E108": "ambiguous comma: left out; write the number with a decimal point",
    "E111": "missing: no range; write female or male",
    "E112": "missing: no range; write the age in years",
    "E113": "not a known word: not used; correct it, or check it by hand",
    "E113 sex": "not understood: no range. The question is which published equations to use,"
    " those for women or for men, not gender; write female, male or both, or"
    " explain your words in [words] of a map file; checks that need no sex are"
    " still made",
    "E113 symptoms": "not understood, and may rule out a range: no range; use the known"
    " words, or explain yours in [words] of a map file (none if it means"
    " nothing)",
    "E113 conditions": "not understood, and may rule out a range: no range; use the known"
    " words, or explain yours in [words] of a map file (none if it means"
    " nothing)",
    "E117": "not a date: left out; write year-month-day, as in 2026-03-04",
    "E117 birth_date": "not a date, and the client may be a child: no range; write"
    " year-month-day, as in 2026-03-04",
    "E118": "after the visit date: no range; check both dates",
    "E119": "does not match birth_date: no range; check both",
    "E120": "not enough information to use; add the missing part",
    "E125": "contradicts the rest of the row; check both",
    "E127": "urgent if weight and height are correct: no range; check both now; if they are"
    " correct, the client should see a doctor today",
    "E201": "under 18: no adult range; use a growth chart, with a parent and a clinician",
    "E202": "pregnant: no range; the midwife or doctor monitors weight",
    "E203": "no suitable equation: no range; add weight and height, a waist, or skinfolds",
    "E204": "within six months of a birth: no range; measure again after that",
    "E205": "limb, or part of one, missing: no range; a clinician has suitable methods",
    "E206": "oedema or dialysis: no range; a doctor should assess the fluid",
    "E207": "both sets of equations chosen: no single range; foldspan reconcile shows both"
    " results; checks that need no sex are still made",
    "E410": "more or fewer cells than columns: nothing in the row is used; look for a stray"
    " comma or a missing cell",
    "E411": "ambiguous quotation mark: nothing in the row is used; remove it, or double it"
    " inside a quoted cell",
    "E501": "the conversion was made for other people: no range; choose one that fits the client",
    "W103": "very unusual{span}: used as entered; check it",
    "W123": "rarely occur together: used as entered; check each value and its unit",
    "W124": "readings too far apart for one site: used as entered; measure again",
    "W126": "family background not used by any published limit: kept, but not used",
    "W127": "unusual with the equations for men: used as entered; check it",
    "W128": "could mean corticosteroids or anabolic drugs: read as corticosteroid tablets; say which",
    "W125": "rarely found in the same person: used as entered; check site and unit of both",
    "W304": "bytes that are not UTF-8, read as Windows-1252; check letters such as é",
}
# why a row has no range, in the order in which it is told
WHY_NO_RANGE: dict[str, str] = {
    "E410": "more or fewer cells than columns",
    "E411": "ambiguous quotation marks",
    "E127": "impossible weight, or a weight that needs a doctor today",
    "E202": "pregnant",
    "E204": "within six months of a birth",
    "E205": "limb, or part of one, missing",
    "E206": "oedema or dialysis",
    "E201": "under 18",
    "E111": "sex missing",
    "E113 sex": "sex not understood",
    "E207": "both sets of equations chosen",
    "E112": "age missing",
    "E119 age_years": "age and birth date disagree",
    "E118 birth_date": "born after the visit",
    "birth_date": "birth date not usable",
    "pregnant": "pregnancy entry unreadable or contradictory",
    "weeks_pregnant": "pregnancy entry unreadable or contradictory",
    "birth_months_ago": "time since birth unreadable or contradictory",
    "conditions": "conditions not understood that may rule out a range",
    "symptoms": "symptoms not understood that may rule out a range",
    "E125 periods_stopped": "periods stopped, but equations for men",
    "told": "an unreadable yes or no that may rule out a range",
    "age_years": "age not usable",
    "E501": "conversion made for other people",
    "E203": "no suitable equation for the measurements",
}
QUALITY_WORDS = {
    "unit": (
        "{column} looks like {unit} in {share:.0%} of its rows. If so, add --unit {given}={short}."
    ),
    "mixed": "{column}: {rows} look like {unit}, the others do not. Mixed units?",
    "weight_column": "{column}: {share:.0%} of its rows look like {unit}, because weight and"
    " height do not match. If so, add --unit {given}={short}. Until then,"
    " ignore flags based on weight.",
    "weight_unit": "Weight: {rows} look like {unit}, because weight and height do not match."
    " Check the unit before anyone is referred for their weight.",
    "recoded": (
        "{rows} with bytes that are not UTF-8, read as Windows-1252: check letters such as é."
    ),
    "round": "Tester {tester}: {share:.0%} of {rows:,} {kind} readings are whole multiples"
    " of 5; one in five or fewer is normal.",
    "impossible": "{rows} with a weight and height that cannot both be correct.",
    "odd": "{rows} with weight, height and waist that rarely occur together.",
    "told": "{rows} with a self-reported answer that contradicts the rest of the row.",
    "twice": "{rows} repeat the sex, age and measurements of an earlier row{which}.",
    "ragged": (
        "{rows} with more or fewer cells than the table has columns; nothing in them is used."
    ),
    "quotes": "{rows} with an ambiguous quotation mark; nothing in them is used.",
}
LOOK_FIRST = "Check this first"
UNREAD = (
    "An entry that matters for referral could not be read in {rows}{which}. Check {them} by"
    " hand: {kinds}."
)
# columns of yes or no that may say that no range holds
GATE_WORDS = frozenset(word for refusal in REFUSALS for word in refusal.intake_words)
# how the summary names rows whose body mass index cannot be known
NO_SIZE = "no weight or height"
# rows that are given up as a whole
LOST_ROWS = ("E410", "E411")
# columns that flags rest on: where one cannot be read, somebody to be referred may be missed
MATTER = (
    "symptoms", "conditions", "medicines", "eating_concern", "periods_stopped", "pregnant",
    "weeks_pregnant", "blood_pressure_mmhg", "blood_pressure_upper_mmhg",
    "blood_pressure_lower_mmhg", "earlier_weight_kg", "weight_lost_kg", "earlier_weight_months_ago",
    "earlier_weight_date", "loss_wanted", "grip_kg", "birth_months_ago", "age_years", "birth_date",
    "sex", "weight_kg", "height_cm", "weight_kg, height_cm", *ALL_WORDS,
)  # fmt: skip
# topic → of whom it was not asked
NOT_ASKED = {
    "symptoms": "symptoms ({rows})",
    "pressure": "blood pressure ({rows})",
    "conditions": "conditions ({rows})",
    "medicines": "medicines ({rows})",
    "earlier_weight": "earlier weight ({rows})",
    "eating": "worry about eating ({rows})",
    "pregnancy": "pregnancy ({rows}, counting only those to whom it applies)",
}
NOT_ASKED_OF = (
    "Not asked, so nobody could be referred for it: {topics}. An empty cell counts as not asked;"
    " none means nothing to report."
)
CONFIRM_UNIT = "Confirm the unit of the weight first."
UNIT_FIRST = (
    "Confirm the unit first in {rows}: the only reason to refer is a weight that looks like"
    " another unit."
)
CHECK_SIZE = "Weight or height may be wrong: check both now."
MEASURE_TITLES = {
    "bmi": "BMI",
    "waist_to_height": "Waist-to-height ratio",
    "fat": "Body fat",
}
NOTES = {
    "cut": "{rows}: text too long for a spreadsheet cell was cut short.",
    "letters": "Letters written for {rows}, in {folder}.",
    "held": "Letters for {rows} were held back: the weight looks like another unit, and"
    " nothing else calls for a referral. Correct the unit and screen again; if the"
    " weights are correct, add --accept-unusual.",
    "read": "Read: {names}.",
    "read_before": "Read from the earlier table: {names}.",
    "unused_before": "Columns of the earlier table not used (unknown names): {names}. [W402]",
    "passed": "Kept but not used: {names}.",
    "no_code": (
        "No column named code: rows are identified by number; --map THEIRS=code names one."
    ),
    "no_size": "No {names}: checks that need BMI are not made.",
    "not_referring": "For {rows} the letter does not refer after all, because it considers"
    " all measurements together.",
    "old": "Its previous result has not been removed: {path}.",
    "stale": "{folder} contains results of parts that are not in the table: {names}.",
    "stopped": "Stopped. No half-written file is left.",
    "stopped_parts": "Stopped. Finished parts are kept; continue with --resume.",
    "unused": "Columns not used (unknown names): {names}. [W402]",
}
SCREENING = (
    "Screening, not diagnosis: a clinician decides what follows from a referral. Local rules"
    " and professional judgement come first."
)


def problem_in_short(key: str) -> str:
    """Return a problem code with its column, and what it means in a few words."""
    words = ROW_WORDS.get(key, ROW_WORDS[key.split(" ")[0]])
    return f"{key}: {words.split(':')[0].split(';')[0].format(span='')}"


def problem_text(marks: tuple[Mark, ...]) -> str:
    """Return what is wrong with a row, one part a problem, each ending in its code."""
    return "; ".join(dict.fromkeys(map(_problem_words, marks)))


@cache
def _problem_words(mark: Mark) -> str:
    return f"{mark_words(mark)} [{mark.code}]"


def mark_words(mark: Mark) -> str:
    """Return what is wrong with a row, where, and what to do."""
    words = ROW_WORDS.get(mark.short, ROW_WORDS[mark.code]).format(span=_span(mark))
    hint = ""
    if mark.looks_like:  # of a value that is only unusual the unit is no more than a guess
        unit = UNIT_PLURAL[mark.looks_like]
        hint = f" ({unit}?)" if mark.code == "W103" else f" (looks like {unit})"
    if mark.code.startswith("E") and mark.name in GATES and "no range" not in words:
        hint += "; no range, because it may rule one out"
    where = f"{mark.name}: " if mark.name else ""
    return f"{where}{words}{hint}"


def _span(mark: Mark) -> str:
    """The span that a value is outside of, both sexes together; "" where several columns are meant."""
    quantity = BY_NAME.get(mark.name)
    if quantity is None:
        return ""
    span = quantity.plausible(None) if mark.code.startswith("W") else quantity.possible(None)
    return f" ({span[0]:g} to {span[1]:g} {quantity.unit})"


def why_no_range(marks: tuple[Mark, ...]) -> str:
    """Return the key in ``WHY_NO_RANGE`` for the problems of a row that has no range."""
    codes = {mark.code for mark in marks} | {mark.short for mark in marks}
    faults = {mark.name for mark in marks if mark.code.startswith("E") and mark.code != "E112"}
    codes |= faults | ({"told"} if faults & GATE_WORDS else set())
    return next((key for key in WHY_NO_RANGE if key in codes), "E203")
