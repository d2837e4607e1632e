"""Wording to be said aloud: one sentence of the trainer for each disagreement of two methods.

A finding of ``explanation/decomposition.py`` that makes most of the difference gives the reason;
the words are for the client who stands beside, short and without blame.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from foldspan.explanation.decomposition import Pair
from foldspan.text.en.reconcile import capital

# how a method is spoken of
SPOKEN: dict[str, str] = {
    "skinfold": "the skinfolds",
    "girth": "the tape",
    "mass_height": "weight and height",
    "waist_height": "waist and height",
}
SEES_ONE_PART = "each one looks at a different part of the body"
BECAUSE: dict[str, str] = {
    "slip": "one of the numbers may be wrong, so let us measure again",
    "more_muscle": (
        "you have more muscle than most people, and weight alone cannot tell muscle from fat"
    ),
    "less_muscle": "weight alone cannot tell how much of you is muscle",
    "belly_fat": (
        "skinfolds only show the fat just under the skin, but a tape round the waist"
        " picks up deeper fat too"
    ),
    "fat_under_skin": (
        "more of your fat lies just under the skin, and the tape picks up less of that"
    ),
    "trunk_fat": SEES_ONE_PART,
    "limb_fat": SEES_ONE_PART,
    "bmi_reads_high": "weight and height cannot tell muscle from fat",
    "bmi_reads_low": "weight and height cannot tell muscle from fat",
    "usual_gap": "they were made for different groups of people, and often differ this much",
    "age_term": "they allow for age in different ways",
    "": "we do not know the reason yet",
}
# beside weight and height the waist has no say
OF_WEIGHT: dict[str, str] = {
    "belly_fat": (
        "skinfolds only show the fat just under the skin, but your weight includes deeper fat too"
    ),
    "fat_under_skin": "more of your fat lies just under the skin, where skinfolds show it"
    " and weight alone does not",
}
# a reason is named if it makes this share of the difference
MOST_OF_IT = 0.25


def aloud_sentences(pairs: Sequence[Pair], estimates: Mapping[str, float]) -> list[str]:
    """Return one sentence for each two methods that are further apart than is ordinary.

    Parameters
    ----------
    pairs : sequence of Pair
        The furthest apart first.
    estimates : mapping
        Method → its fat percentage, as the table beside it shows.
    """
    return [
        _aloud(pair, estimates)
        for pair in pairs
        if not pair.is_ordinary and set(pair.between) <= set(estimates) & set(SPOKEN)
    ]


def _aloud(pair: Pair, estimates: Mapping[str, float]) -> str:
    low, high = sorted(pair.between, key=lambda family: estimates[family])
    code = _reason(pair)
    of_weight = OF_WEIGHT if "mass_height" in pair.between else {}
    why = of_weight.get(code, BECAUSE[code])
    return (
        f"{capital(SPOKEN[low])} {_gives(low)} about {estimates[low]:.0f}%, {SPOKEN[high]}"
        f" about {estimates[high]:.0f}%: {why}."
    )


def _gives(family: str) -> str:
    return "gives" if family == "girth" else "give"


def _reason(pair: Pair) -> str:
    """Return what makes most of the difference, "" where nothing that can be said does."""
    toward = 1.0 if pair.on_reference_method >= 0.0 else -1.0
    causes = [reason for reason in pair.reasons if reason.code in BECAUSE]
    best = max(causes, key=lambda reason: toward * reason.points, default=None)
    if best is None or toward * best.points < MOST_OF_IT * abs(pair.on_reference_method):
        return ""
    return str(best.code)
