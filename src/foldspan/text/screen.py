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
    "E102": "outside what is possible{span}: left out; measure or type it again",
    "E104": "unit not known: left out; write the number in the unit of the name before it",
    "E105": "the unit measures something else: left out; use one that fits",
    "E106": "not a finite number: left out; measure again",
    "E107": "zero or negative: left out; measure again",
    "E108": "a comma that could be read in two ways: left out; write the number with a point",
    "E111": "missing: no range; write female or male",
    "E112": "missing: no range; write the age in years",
    "E113": "not one of the known words: not looked at; mend it, or read it yourself",
    "E113 sex": "not understood: the question is which published equations fit, those for women or"
    " those for men, not gender: no range; write female, male or both, or say in [words] of a map file"
    " what yours mean; what needs no sex is judged",
    "E113 symptoms": "not understood, and it may mean that no range holds: no range; use the known"
    " words, or say in [words] of a map file what it means, none if nothing",
    "E113 conditions": "not understood, and it may mean that no range holds: no range; use the known"
    " words, or say in [words] of a map file what it means, none if nothing",
    "E117": "not a date: left out; write year, month, day, as in 2026-03-04",
    "E117 birth_date": "not a date: no range, as it may be a child's; write year, month, day,"
    " as in 2026-03-04",
    "E118": "after the visit: no range; check both dates",
    "E119": "does not match birth_date: no range; check both",
    "E120": "too little given to be used; add what belongs to it",
    "E125": "contradicts the rest of the row; check both",
    "E127": "if weight and height are right, this cannot wait: no range; check both now; if they are"
    " right, a doctor the same day",
    "E201": "under 18: no adult range; a growth chart with a parent and a clinician",
    "E202": "pregnant: no range; the midwife or doctor follows weight",
    "E203": "no usable equation: no range; add weight and height, a waist, or folds",
    "E204": "within six months after a birth: no range; measure again later",
    "E205": "a limb, or part of one, is missing: no range; a clinician has methods that hold",
    "E206": "fluid in the tissues or dialysis: no range; a doctor judges fluid",
    "E207": "which equations fit is left open: no single range; foldspan reconcile shows both answers"
    " side by side; what needs no sex is judged",
    "E410": "the row has more or fewer cells than the table has columns: nothing of it is used; check"
    " for a comma in a cell, or a cell left out",
    "E411": "a quotation mark that can be read in two ways: nothing of the row is used; take it out, or"
    " double it inside a cell in quotes",
    "E501": "the conversion was made for others: no range; choose one that fits",
    "W103": "very unusual{span}: used as given; check it",
    "W123": "rarely go together: used as given; check each and its unit",
    "W124": "readings too far apart to be of one site: used as given; measure again",
    "W126": "family background in words that no published limit goes by: kept, and not used",
    "W127": "rarely goes with the equations for men: counts as told; check that it is meant",
    "W128": "may mean cortisone or anabolic drugs: read as cortisone tablets; say which",
    "W125": "rarely seen together in one body: used as given; check the site and the unit of both",
    "W304": "bytes that are not UTF-8, read as Windows-1252; check letters such as é",
}
# why a row has no range, in the order in which it is told
WHY_NO_RANGE: dict[str, str] = {
    "E410": "more or fewer cells than columns",
    "E411": "quotation marks that can be read in two ways",
    "E127": "a weight that cannot be, or needs a doctor the same day",
    "E202": "pregnant",
    "E204": "within six months after a birth",
    "E205": "a limb, or part of one, is missing",
    "E206": "fluid in the tissues or dialysis",
    "E201": "under 18",
    "E111": "sex missing",
    "E113 sex": "sex is not a known word",
    "E207": "which equations fit is left open",
    "E112": "age missing",
    "E119 age_years": "age and birth date contradict each other",
    "E118 birth_date": "born after the visit",
    "birth_date": "the birth date cannot be used",
    "pregnant": "what is said about pregnancy cannot be read, or contradicts the rest",
    "weeks_pregnant": "what is said about pregnancy cannot be read, or contradicts the rest",
    "birth_months_ago": "the time since a birth cannot be read, or contradicts the rest",
    "conditions": "conditions that may rule out a range, and are not understood",
    "symptoms": "symptoms that may rule out a range, and are not understood",
    "E125 periods_stopped": "periods that stopped do not go with the sex",
    "told": "a yes or no that may rule out a range cannot be read",
    "age_years": "the age cannot be used",
    "E501": "the conversion was made for others",
    "E203": "no usable equation for what was measured",
}
QUALITY_WORDS = {
    "unit": "{column} looks like {unit} in {share:.0%} of its rows: if so, say --unit {given}={short}.",
    "mixed": "{column}: {rows} in what looks like {unit}, others not. Mixed units?",
    "weight_column": "{column}: {share:.0%} of its rows look like {unit}, as weight and height do not go"
    " together: if so, say --unit {given}={short}. Until then flags for weight are of no use.",
    "weight_unit": "Weight: {rows} in what looks like {unit}, as weight and height do not go together."
    " Look at the unit before anybody is referred for their weight.",
    "recoded": "{rows} with bytes that are not UTF-8, read as Windows-1252: look at letters such as é.",
    "round": "Tester {tester}: {share:.0%} of {rows:,} {kind} readings end on whole fives; one in five"
    " at most is usual.",
    "impossible": "{rows} with a weight and a height that cannot both be right.",
    "odd": "{rows} with weight, height and waist that rarely go together.",
    "told": "{rows} with something told that contradicts the rest of the row.",
    "twice": "{rows} with the sex, age and measurements of an earlier row{which}.",
    "ragged": "{rows} with more or fewer cells than the table has columns; nothing of them is used.",
    "quotes": "{rows} with a quotation mark that can be read in two ways; nothing of them is used.",
}
LOOK_FIRST = "Look at this first"
UNREAD = (
    "Something that matters for a referral could not be read in {rows}{which}. Read {them} yourself:"
    " {kinds}."
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
CHECK_SIZE = "Weight or height may be wrong: check both now."
MEASURE_TITLES = {
    "bmi": "Body mass index",
    "waist_to_height": "Waist to height",
    "fat": "Body fat",
}
NOTES = {
    "letters": "Letters written for {rows}, in {folder}.",
    "held": "Letters for {rows} held back: their weight looks like another unit, and nothing else refers"
    " them. Put the unit right and screen again; if the weights are right, say --accept-unusual.",
    "read": "Read: {names}.",
    "passed": "Not looked at, passed through: {names}.",
    "no_code": "No column code: rows are named by their number; --map THEIRS=code names them.",
    "no_size": "No {names}: whatever rests on body mass index is not looked at.",
    "not_referring": "In {rows} the letter refers no longer, now that all measurements were looked at"
    " together.",
    "old": "Its old result is still there: {path}.",
    "stale": "{folder} holds results of parts that the table does not have: {names}.",
    "stopped": "Stopped. No half-written file is left.",
    "stopped_parts": "Stopped. Finished parts stay; with --resume the others are made.",
    "unused": "Columns not used, their names are not known: {names}. [W402]",
}
SCREENING = (
    "Screening, not diagnosis: a clinician judges what a referral comes to. Local rules and licensed"
    " practice come first."
)


def rows_words(rows: int) -> str:
    """Return ``1 row`` or ``12 rows``."""
    return "1 row" if rows == 1 else f"{rows:,} rows"


def problem_text(marks: tuple[Mark, ...]) -> str:
    """Return what is wrong with a row, one part a problem, each ending in its code."""
    return "; ".join(dict.fromkeys(map(_one_problem, marks)))


@cache
def _one_problem(mark: Mark) -> str:
    return f"{mark_words(mark)} [{mark.code}]"


def mark_words(mark: Mark) -> str:
    """Return what is wrong with a row, where, and what to do."""
    words = ROW_WORDS.get(mark.short, ROW_WORDS[mark.code]).format(span=_span(mark))
    hint = ""
    if mark.looks_like:  # of a value that is only unusual the unit is no more than a guess
        unit = UNIT_PLURAL[mark.looks_like]
        hint = f" ({unit}?)" if mark.code == "W103" else f" (looks like {unit})"
    if mark.code.startswith("E") and mark.name in GATES and "no range" not in words:
        hint += "; no range, as it may mean that none holds"
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
