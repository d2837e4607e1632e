"""Refused: what needs somebody today is said all the same, from whatever could be read of it."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Any

import numpy as np

from foldspan.intake.as_arrays import intake_as_arrays
from foldspan.intake.model import Intake
from foldspan.intake.rules import LISTS, pressure_if_right
from foldspan.intake.word_search import words_in
from foldspan.interpretation.indices import body_mass_index
from foldspan.interpretation.measured import Measured
from foldspan.interpretation.referral import Raised, chances_without_range, raised_flags
from foldspan.measurement.accepted_values import accept
from foldspan.measurement.between_sites import BMI_POSSIBLE, LEAST_BMI
from foldspan.measurement.plausibility import UNUSED_ERROR
from foldspan.problems import Problem
from foldspan.standards.backgrounds import background_of, read_background
from foldspan.text.en.flag_words import FLAG_WORDS

BODY = ("weight_kg", "height_cm")
FIRST = (
    "Stop here: the client needs a doctor today, or the emergency number. Correct the file"
    " afterwards."
)


def cannot_wait(
    tree: Any, parts: Mapping[str, Any], doubted: Mapping[str, float], where: str
) -> list[Problem]:
    """Return what needs somebody today, whatever else is wrong with the file.

    Parameters
    ----------
    tree : object
        The file as it stands.
    parts : mapping
        The parts of a visit that the reader could read; see ``reader``.
    doubted : mapping
        Values that were asked back or not used because they are very unusual, by quantity,
        canonical units.
    where : str
        The name of the file.

    Returns
    -------
    list of Problem
        E127, first what was told in words; none of them holds a value but in ``given``.
    """
    if not parts:
        return []
    intake = _reported_somewhere(tree, parts.get("intake") or Intake())
    raised = [
        raised_flag
        for raised_flag in _raised(parts, intake, doubted)
        if raised_flag.level == "refer_urgently"
    ]
    words = [
        word
        for raised_flag in raised
        for word in raised_flag.rule.intake_words
        if word in intake.words
    ]
    found = []
    if words:
        what, place = "self-reported, and urgent", f"{where}: [intake]"
        found.append(Problem("E127", place, what, FIRST, ", ".join(sorted(words))))
    return found + [
        _problem(raised_flag, where) for raised_flag in raised if not raised_flag.rule.intake_words
    ]


def problem_of_flag(code: str, ladder: str, where: str) -> Problem:
    """Return a flag that needs somebody today as a problem, where there is no room for flags."""
    if ladder == "low_weight":
        return _light_body(code, f"{where}: {', '.join(BODY)}")
    place = f"{where}: [intake]"
    return Problem("E127", place, "self-reported, and urgent", FLAG_WORDS[code][0])


def light_body_cannot_wait(
    client: Mapping[str, Any], intake: Intake, weight: float, height: float, where: str
) -> Problem | None:
    """Return what a weight [kg] and a height [cm] in doubt ask for today, if they are right, else None.

    ``client`` holds ``sex`` ("" where it is not known), ``age_years`` (None where not known) and
    ``pregnant``. A body that nobody can have is a slip and needs nobody.
    """
    if weight <= 0.0 or height <= 0.0:
        return None
    body = [weight, UNUSED_ERROR * weight, height, UNUSED_ERROR * height]
    for raised_flag in _raised_of(client, "", intake, body):
        if raised_flag.level == "refer_urgently" and raised_flag.rule.ladder == "low_weight":
            return _light_body(raised_flag.rule.code, where)
    return None


def _light_body(code: str, where: str) -> Problem:
    what = "urgent if weight and height are correct"
    remedy = f"Check both now. If they are correct: {FLAG_WORDS[code][0]}"
    return Problem("E127", where, what, remedy)


def _problem(raised_flag: Raised, where: str) -> Problem:
    return problem_of_flag(raised_flag.rule.code, raised_flag.rule.ladder, where)


def _reported_somewhere(tree: Any, intake: Intake) -> Intake:
    """The intake with words that stand in another list, and a blood pressure that lacks a number."""
    given = tree.get("intake") if isinstance(tree, Mapping) else None
    if not isinstance(given, Mapping):  # words without the names of their lists
        given = {"symptoms": given}
    words = dict.fromkeys((*intake.words, *_words(given)))
    pressure = intake.pressure_mmhg
    numbers = [
        float(number) for number in re.findall(r"\d{2,3}", str(given.get("blood_pressure_mmhg")))
    ]
    if pressure is None and numbers:
        highest = float(pressure_if_right(max(numbers)))
        pressure = None if np.isnan(highest) else (highest, np.nan)
    return replace(intake, words=tuple(words), pressure_mmhg=pressure)


def _words(given: Mapping[Any, Any]) -> Iterator[str]:
    for name in LISTS:
        listed = given.get(name, ())
        for text in listed if isinstance(listed, (list, tuple)) else [listed]:
            if isinstance(text, str):
                yield from words_in(text).words


def _raised(
    parts: Mapping[str, Any], intake: Intake, doubted: Mapping[str, float]
) -> tuple[Raised, ...]:
    client, sites = parts["client"], parts["sites"]
    body = []
    for name in BODY:
        taken = accept(name, sites[name]["readings"]) if name in sites else None
        value = doubted.get(name, np.nan) if taken is None else taken.value
        body += [value, UNUSED_ERROR * value if taken is None else taken.se]
    stated = read_background(client["family_background"]).word
    return _raised_of(client, background_of(stated, client["ancestry"]), intake, body)


def _raised_of(
    client: Mapping[str, Any], background: str, intake: Intake, body: Sequence[float]
) -> tuple[Raised, ...]:
    """Flags without a range; ``body`` is weight, its error, height, its error, NaN where unknown."""
    bmi = body_mass_index(*(np.array([value], dtype=float) for value in body))
    if not LEAST_BMI <= bmi.value[0] <= BMI_POSSIBLE[1]:  # one of the two is wrong for sure
        bmi = Measured(np.array([np.nan]), np.array([np.nan]))
    weight, weight_se = (None, None) if np.isnan(body[0]) else body[:2]
    age = client["age_years"]
    chances = chances_without_range(
        intake_as_arrays(intake, weight, weight_se),
        client["sex"] or "",
        np.array([np.nan if age is None else age], dtype=float),
        np.array([background]),
        bmi,
        is_expecting=client["pregnant"] or intake.is_after_birth,
    )
    return raised_flags(chances)
