"""Intake answers: what was asked before measuring and what came of it, question by question.

Told, asked and answered none, and not asked are three things: a clinician who reads "no chest pain" must
be able to tell it from a question that nobody put.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from foldspan.intake.model import QUESTIONS
from foldspan.intake.rules import LISTS, OF_WOMEN
from foldspan.visit.model import Visit

GRIP = "grip_kg"
State = Literal["told", "none", "not_asked"]


@dataclass(frozen=True, slots=True, repr=False)
class Answer:
    """What came of one question, a key of ``QUESTIONS`` or ``grip_kg``."""

    question: str
    state: State


def answers_of(visit: Visit) -> tuple[Answer, ...]:
    """Return what came of every question that concerns this client, in the order of a visit file."""
    found = []
    for question in (*QUESTIONS, GRIP):
        if _is_reported(question, visit):
            found.append(Answer(question, "told"))
        elif question in visit.intake.answered_none:
            found.append(Answer(question, "none"))
        elif question != GRIP and (visit.client.known_sex != "male" or question not in OF_WOMEN):
            found.append(Answer(question, "not_asked"))
    return tuple(found)


def in_state(answers: Iterable[Answer], state: State) -> tuple[str, ...]:
    """Return the questions of which this came, by their keys."""
    return tuple(answer.question for answer in answers if answer.state == state)


def _is_reported(question: str, visit: Visit) -> bool:
    """Whether anything was told to one question."""
    intake, client = visit.intake, visit.client
    if question in LISTS:
        return bool(set(LISTS[question]) & set(intake.words))
    if question == "blood_pressure_mmhg":
        return intake.pressure_mmhg is not None
    if question in ("earlier_weight_kg", "surgery_months_ago", "birth_months_ago", GRIP):
        return getattr(intake, question) is not None
    if question == "family_background":
        # an ancestry for the equations is no answer to it
        is_known = bool(client.background or client.family_background.strip())
        return is_known and question not in intake.answered_none
    if question in ("pregnant", "athlete"):
        return bool(getattr(client, question))
    return question in intake.words
