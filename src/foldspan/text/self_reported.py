"""Self-reported: what a client told to each question, in words for the clinician."""

from __future__ import annotations

from collections.abc import Collection, Iterable

from foldspan.display_units import METRIC, ShownUnits
from foldspan.intake.rules import LISTS
from foldspan.results.flag_grounds import day_of_earlier_weight, weight_changed
from foldspan.results.intake_answers import Answer
from foldspan.text.en.grounds import self_reported_words, share_words, when_words
from foldspan.text.en.self_reported import (
    ASKED_NONE,
    LOSS_WORDS,
    NOT_ASKED,
    OWN_WORDS,
    QUESTION_NAMES,
)
from foldspan.visit.model import Visit

MONTHS = {"surgery_months_ago": "operation", "birth_months_ago": "birth"}


def asked_lines(none: Iterable[str], not_asked: Iterable[str]) -> list[str]:
    """Return which questions were answered none, and which were not asked, a sentence each."""
    lines = []
    for sentence, questions in ((ASKED_NONE, none), (NOT_ASKED, not_asked)):
        names = ", ".join(QUESTION_NAMES[question] for question in questions)
        lines += [sentence.format(names=names)] if names else []
    return lines


def answer_words(
    answer: Answer, visit: Visit, units: ShownUnits = METRIC, *, without: Collection[str] = ()
) -> str:
    """Return what was told to one question, in the units of a page; "" where nothing was.

    ``without`` are words of the intake that were told elsewhere on the page.
    """
    question, intake, client = answer.question, visit.intake, visit.client
    if answer.state != "told" or question in without:
        return ""
    if question in LISTS:
        words = [word for word in LISTS[question] if word in intake.words]
        return self_reported_words(word for word in words if word not in without)
    if question == "earlier_weight_kg":
        return weight_words(visit, units)
    if question == "blood_pressure_mmhg":
        return "{:.0f}/{:.0f} mmHg".format(*(intake.pressure_mmhg or ()))
    if question in MONTHS:
        return f"{MONTHS[question]} {getattr(intake, question):g} months ago"
    if question == "grip_kg":
        return _mass(intake.grip_kg or 0.0, units)
    if question == "family_background":
        return client.background.replace("_", " ").title() or OWN_WORDS
    return question if question in ("pregnant", "athlete") else self_reported_words([question])


def weight_words(visit: Visit, units: ShownUnits = METRIC) -> str:
    """Return the earlier weight and that of the visit with when they were, "" where none was told."""
    before, now = visit.intake.earlier_weight_kg, visit.accepted.get("weight_kg")
    if before is None:
        return ""
    when = when_words(visit.intake.months_ago, day_of_earlier_weight(visit))
    text = f"{_mass(before, units)} {when}"
    if now is None:
        return text
    (changed,) = weight_changed(visit)
    share = share_words(changed.numbers["percent"])
    from foldspan.text.catalogue import ENGLISH  # with every language: only where a day is written

    day = "now" if visit.day is None else f"on {ENGLISH.day(visit.day, units.system)}"
    details = "; ".join([share, *(LOSS_WORDS[word] for word in changed.words)])
    return f"{text}, {_mass(now.value, units)} {day}: {details}"


def _mass(kilograms: float, units: ShownUnits) -> str:
    return f"{kilograms / units.per_mass:.1f} {units.mass}"
