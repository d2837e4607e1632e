"""Wording of what one equation gives for one client."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from foldspan.catalogue.card import Equation
from foldspan.text.cards.words import PREDICTS, limit, listed
from foldspan.text.en.reconcile import LEFT_OUT_WORDS, REFERENCE_NAMES, capital

NOT_FOR_WHOM = (
    "Not for anyone under 18, in pregnancy or in the six months after a birth, with a limb or part of"
    " one missing, with oedema or fluid in the abdomen, or on dialysis. Show no numbers to a client"
    " who worries about eating, weight or being measured."
)
ONE_EQUATION = (
    "A single equation can be several points out for any one person. A full measurement gives a range"
    " that shows how far."
)
NOT_KEPT = "The numbers you type are used for this result only; they are not saved."
CONFIRM = "If the numbers are correct, press “The numbers are correct” below."
NOTHING_FOUND = (
    "No equation matches everything you chose. Remove a word, set one of the lists back to Any, or"
    " show all equations."
)
NOT_IN_THE_LIST = (
    "This address asks for something that is not in the lists below. Please choose again."
)
ASKED_BACK = ("E103", "E123", "E124")
"""Codes of values that are used once somebody says that they are correct."""
_ABOUT_THE_CLIENT = (
    "youth_only", "athletes_only", "obesity_only", "clinical_only", "other_ancestry",
)  # fmt: skip


def as_published(value: float, see: float | None, span: tuple[float, float] | None) -> list[str]:
    """Return the result of an equation with its published standard error."""
    lines = [f"Body fat as published: {value:.1f}%"]
    if see is None or span is None:
        return [*lines, "No standard error is published for this equation."]
    low, high = span
    return [
        *lines,
        f"Published standard error: {see:.1f} percentage points. In about two in three people with"
        f" this result, the reference method gives between {low:.1f}% and {high:.1f}%, if they are"
        " like those the equation was developed on.",
    ]


def output_sentence(card: Equation, output: float, conversion: str) -> str:
    """Return what the formula itself gives where that is not a percentage, "" where it is."""
    if card.predicts == "fat_percent":
        return ""
    words, _, unit = PREDICTS[card.predicts].partition(" [")
    a = "" if card.predicts == "adipose_mass" else "a "
    digits = 4 if card.predicts == "density" else 1
    by = f", converted to body fat with the equation of {conversion}" if conversion else ""
    return f"The formula gives {a}{words} of {output:.{digits}f} {unit.rstrip(']')}{by}."


def sample_sentences(
    card: Equation, codes: Sequence[str], beyond: Mapping[str, float]
) -> list[str]:
    """Return whether the client is like the people an equation was developed on."""
    about = [code for code in _ABOUT_THE_CLIENT if code in codes]
    if not card.ancestry:  # a term for ancestry that nothing was stated for is no other sample
        about = [code for code in about if code != "other_ancestry"]
    against = [f"it was {LEFT_OUT_WORDS[code]}" for code in about]
    if beyond:
        spans = listed([limit(name, card.limits[name]) for name in beyond])
        against.append(f"it covers {spans}")
    if against:
        return [f"Outside its sample: {', and '.join(against)}."]
    if not card.limits:
        return ["The ages and body sizes for which this equation holds are not known."]
    spans = "; ".join(limit(name, span) for name, span in card.limits.items())
    return [f"Within the limits of its sample, as far as these are known: {spans}."]


def in_the_answer(
    estimate: float | None,
    reference_method: str,
    moved: float,
    levelled: float,
    left_out: Sequence[str],
) -> list[str]:
    """Return what becomes of the result in the answer by all methods."""
    lines = []
    if estimate is not None and (abs(moved) >= 0.05 or abs(levelled) >= 0.05):
        steps = []
        if abs(moved) >= 0.05:
            steps.append(f"{_points(moved)} for the difference between the reference methods")
        if abs(levelled) >= 0.05:
            steps.append(f"{_points(levelled)} for its known average error")
        counts = "this would count" if left_out else "this counts"
        lines.append(
            f"In a range with {REFERENCE_NAMES[reference_method]} as the reference method, {counts} as"
            f" {estimate:.1f}%: {' and '.join(steps)}."
        )
    reasons = [LEFT_OUT_WORDS[code] for code in left_out if code != "on_request"]
    if reasons:
        lines.append(capital(f"not part of the range: {'; '.join(reasons)}."))
    return lines


def _points(step: float) -> str:
    return f"{abs(step):.1f} points {'added' if step > 0 else 'subtracted'}"
