"""Facts: sex, age and pregnancy of every row, and which rows may mean a refusal unread."""

from __future__ import annotations

import re

import numpy as np

from foldspan.catalogue.card import Array
from foldspan.intake.refusals import GATES
from foldspan.intake.word_search import words_in
from foldspan.problems import FoldspanError, Problem
from foldspan.quantities import SEXES
from foldspan.standards.answer_words import (
    EITHER_SEX,
    MAY_BE_MUJER,
    NO,
    NOT_PREGNANT,
    SEX_WORDS,
    SPANISH_SEXES,
    YES,
)
from foldspan.standards.referral_rules import ADULT_AGE
from foldspan.tables.cells import LONGEST, numbers_of
from foldspan.tables.dates import held_against_birth
from foldspan.tables.rows import Rows

# what is wrong with a column of sexes in which M may stand for two words, and what to do
TWO_SENSES = (
    "M appears next to Spanish words: it may mean mujer (woman) or masculino (male)",
    (
        'Explain in [words.sex] of a map file what each means: m = "female" and h = "male";'
        ' or m = "male".'
    ),
)


def withheld(rows: Rows) -> Array:
    """Return the rows in which something that gates a range cannot be read, bool (N,).

    So does a weight that is not used, and would need a doctor the same day if it were right.
    """
    return rows.marks.rows_where(
        lambda mark: mark.code == "E127" or (mark.code.startswith("E") and mark.name in GATES)
    )


def read_sexes(rows: Rows) -> None:
    """Write the sex of every row into ``rows.sexes``; mark where it is missing or not known.

    Raises
    ------
    FoldspanError
        E412 where M may stand for mujer, so that women would be taken for men.
    """
    sex = rows.words("sex")
    used = {*sex.different, *rows.cells.rules.word_meanings.get("sex", ())}
    if used & set(SPANISH_SEXES) and not {*sex.different}.isdisjoint(MAY_BE_MUJER):
        raise FoldspanError([Problem("E412", "column sex", *TWO_SENSES)])
    for place, word in enumerate(SEXES):
        rows.sexes[sex.are(*SEX_WORDS[word])] = place
    is_open = sex.are(*EITHER_SEX)
    rows.mark(sex.are(""), "E111", "sex")
    rows.mark(is_open, "E207", "sex")
    rows.mark((rows.sexes < 0) & ~sex.are("") & ~is_open, "E113", "sex")


def read_age(rows: Rows) -> Array:
    """Return the age [years] of every row, NaN where it is not known; mark who is under 18."""
    given = rows.in_span("age_years")
    age = held_against_birth(rows, given)
    has_dates = rows.marks.rows_where(lambda mark: mark.name in ("age_years", "birth_date"))
    rows.mark(np.isnan(age) & ~has_dates, "E112", "age_years")
    rows.mark(age < ADULT_AGE, "E201")
    return age


def read_pregnant(rows: Rows) -> Array:
    """Return who is told to be pregnant, bool (N,); mark what cannot be read and what contradicts."""
    words = rows.words("pregnant")
    yes, no = words.are(*YES, *filter(_is_pregnant, words.different)), words.are(*NO, *NOT_PREGNANT)
    rows.mark(~yes & ~no, "E113", "pregnant")
    answered_no = no & ~words.are("")
    weeks, in_doubt = _weeks(rows)
    rows.mark(in_doubt, "E113", "weeks_pregnant")
    rows.mark(weeks & answered_no, "E125", "weeks_pregnant")
    return yes | weeks


def _is_pregnant(text: str) -> bool:
    """Whether a text in a column about a pregnancy tells of one: a word for it, or its weeks."""
    if text in NOT_PREGNANT or len(text) > LONGEST:
        return False
    read = words_in(text)
    weeks = re.fullmatch(
        r"(ssw |woche )?\d{1,2}(\+\d)?\.? ?(ssw|weeks?( pregnant)?|wochen?|wks?|sem\.?)?", text
    )
    is_stated = bool(weeks and not text.isdigit()) or "trimest" in text
    return "pregnant" not in read.denied and (is_stated or "pregnant" in read.elsewhere)


def _weeks(rows: Rows) -> tuple[Array, Array]:
    """Who is some weeks or trimesters pregnant, and who may be: the cell holds something else."""
    name = "weeks_pregnant"
    if not rows.has(name):
        return np.zeros(rows.length, dtype=bool), np.zeros(rows.length, dtype=bool)
    words = rows.words(name)
    no = words.are(*NO, *NOT_PREGNANT)
    column, unit = rows.cells.columns[name][0]
    read = numbers_of(column, unit, unit, rows.cells.rules).values
    with np.errstate(invalid="ignore"):
        some = (read > 0.0) & ~no
    some |= words.are(*YES, *filter(_is_pregnant, words.different))
    return some, ~some & ~no
