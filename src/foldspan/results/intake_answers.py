"""Intake answers: what was asked before measuring and what came of it, question by question.

Told, asked and answered none, and not asked are three things: a clinician who reads "no chest pain" must
be able to tell it from a question that nobody put.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass
from datetime import timedelta
from typing import Literal

from foldspan.display_units import METRIC, ShownUnits
from foldspan.intake.model import QUESTIONS, Intake
from foldspan.intake.rules import DAYS_A_MONTH, LISTS, OF_WOMEN
from foldspan.text.en.self_reported import (
    ASKED_NONE,
    NOT_ASKED,
    OWN_WORDS,
    QUESTION_NAMES,
    SELF_REPORTED_WORDS,
    WANTED_NOT_NOTED,
    WANTED_WORDS,
    WHEN_NOT_NOTED,
)
from foldspan.visit.model import Visit


@dataclass(frozen=True, slots=True, repr=False)
class Answer:
    """One question, a key of ``QUESTIONS`` or ``grip_kg``: what was told, "" where nothing was."""

    question: str
    state: Literal["told", "none", "not_asked"]
    words: str = ""


def answers_of(visit: Visit, units: ShownUnits = METRIC) -> tuple[Answer, ...]:
    """Return what came of every question that concerns this client, in the order of a visit file.

    ``units`` are those of the page.
    """
    found = []
    for question in (*QUESTIONS, "grip_kg"):
        words = _reported(question, visit, units)
        if words:
            found.append(Answer(question, "told", words))
        elif question in visit.intake.answered_none:
            found.append(Answer(question, "none"))
        elif question != "grip_kg" and (
            visit.client.known_sex != "male" or question not in OF_WOMEN
        ):
            found.append(Answer(question, "not_asked"))
    return tuple(found)


def named(answers: Iterable[Answer], state: str) -> tuple[str, ...]:
    """Return the questions in one state, by their keys."""
    return tuple(answer.question for answer in answers if answer.state == state)


def asked_lines(none: Iterable[str], not_asked: Iterable[str]) -> list[str]:
    """Return which questions were answered none, and which were not asked, a sentence each."""
    lines = []
    for sentence, questions in ((ASKED_NONE, none), (NOT_ASKED, not_asked)):
        names = ", ".join(QUESTION_NAMES[question] for question in questions)
        lines += [sentence.format(names=names)] if names else []
    return lines


def self_reported_words(reported: Collection[str], words: Iterable[str]) -> str:
    """Return which of some words of the intake were told, as a clinician reads them; "" for none."""
    return "; ".join(SELF_REPORTED_WORDS[word] for word in words if word in reported)


def _reported(question: str, visit: Visit, units: ShownUnits) -> str:
    """What was told to one question in words, "" where nothing was."""
    intake, client = visit.intake, visit.client
    if question in LISTS:
        return self_reported_words(intake.words, LISTS[question])
    if question == "earlier_weight_kg":
        return weight_words(visit, units)
    if question == "blood_pressure_mmhg":
        return pressure_words(intake)
    months = {"surgery_months_ago": "operation", "birth_months_ago": "birth"}
    if question in months:
        number = getattr(intake, question)
        return "" if number is None else f"{months[question]} {number:g} months ago"
    if question == "grip_kg":
        return "" if intake.grip_kg is None else _mass(intake.grip_kg, units)
    if question == "family_background":
        if question in intake.answered_none:  # an ancestry for the equations is no answer to it
            return ""
        known = client.background.replace("_", " ").title()
        return known or (OWN_WORDS if client.family_background.strip() else "")
    if question in ("pregnant", "athlete"):
        return question if getattr(client, question) else ""
    return self_reported_words(intake.words, (question,))


def pressure_words(intake: Intake) -> str:
    """Return the blood pressure that was told, "" for none."""
    if intake.pressure_mmhg is None:
        return ""
    return "{:.0f}/{:.0f} mmHg".format(*intake.pressure_mmhg)


def _mass(kilograms: float, units: ShownUnits) -> str:
    return f"{kilograms / units.per_mass:.1f} {units.mass}"


def weight_words(visit: Visit, units: ShownUnits = METRIC) -> str:
    """Return the earlier weight and that of the visit with when they were, "" where none was told."""
    before, now = visit.intake.earlier_weight_kg, visit.accepted.get("weight_kg")
    if before is None:
        return ""
    text = f"{_mass(before, units)} {_when(visit)}"
    if now is None:
        return text
    day = "now" if visit.day is None else f"on {visit.day.isoformat()}"
    return f"{text}, {_mass(now.value, units)} {day}: {_share(visit, before, now.value)}"


def loss_words(visit: Visit) -> str:
    """Return how much the weight changed since one that was told, without a unit; "" for none."""
    before, now = visit.intake.earlier_weight_kg, visit.accepted.get("weight_kg")
    if before is None or now is None:
        return ""
    share, *wanted = _share(visit, before, now.value).split("; ")
    return "; ".join([f"{share} than {_when(visit)}", *wanted])


def _when(visit: Visit) -> str:
    """When the earlier weight was, as near as it was told."""
    months, when = visit.intake.months_ago, WHEN_NOT_NOTED
    if months is not None:
        when = (
            f"about {months:.0f} months earlier" if months >= 1.5 else f"{_weeks(months)} earlier"
        )
        if visit.day is not None:
            then = visit.day - timedelta(days=months * DAYS_A_MONTH)
            when += f" ({then:%B %Y})"
    return when


def _share(visit: Visit, before: float, now: float) -> str:
    """How much was gained or lost, and whether a loss was wanted."""
    share, wanted = 100.0 * (now - before) / before, visit.intake.loss_wanted
    text = f"{abs(share):.1f} % {'more' if share > 0.0 else 'less'}"
    if share >= 0.0:
        return text
    return f"{text}; {WANTED_NOT_NOTED if wanted is None else WANTED_WORDS[wanted]}"


def _weeks(months: float) -> str:
    weeks = max(round(months * DAYS_A_MONTH / 7.0), 1)
    return "about 1 week" if weeks == 1 else f"about {weeks} weeks"
