"""Wording to be said aloud: one sentence of the trainer for each disagreement of two methods.

A finding of ``pairs.py`` that makes most of the difference gives the reason; the words are for the
client who stands beside, short and without blame.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from foldspan.pairs import Pair
from foldspan.wording import capital

# how a method is spoken of
SPOKEN: dict[str, str] = {
    "skinfold": "the skinfolds",
    "girth": "the tape",
    "mass_height": "weight and height",
    "waist_height": "waist and height",
}
SEES_ONE_PART = "each of them looks at another part of the body"
BECAUSE: dict[str, str] = {
    "slip": "one of the numbers may be wrong, so let us take it once more",
    "more_muscle": "you carry strong muscle, and weight alone cannot tell it from fat",
    "less_muscle": "weight alone cannot tell how much of you is muscle",
    "belly_fat": (
        "folds show only what lies just under the skin, the tape at the waist also what lies deeper"
    ),
    "fat_under_skin": "more of the fat lies just under the skin, where the tape sees less of it",
    "trunk_fat": SEES_ONE_PART,
    "limb_fat": SEES_ONE_PART,
    "bmi_reads_high": "weight and height cannot tell muscle from fat",
    "bmi_reads_low": "weight and height cannot tell muscle from fat",
    "usual_gap": "they were tested on other people, and differ like this in many",
    "age_term": "they were tested on people of other ages",
    "": "we have not found the reason yet",
}
# beside weight and height the waist has no say
OF_WEIGHT: dict[str, str] = {
    "belly_fat": "folds show only what lies just under the skin, weight counts what lies deeper too",
    "fat_under_skin": "folds see most of the fat there is, and weight alone tells less",
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
        _aloud(one, estimates)
        for one in pairs
        if not one.is_ordinary and set(one.between) <= set(estimates) & set(SPOKEN)
    ]


def _aloud(pair: Pair, estimates: Mapping[str, float]) -> str:
    low, high = sorted(pair.between, key=lambda one: estimates[one])
    code = _reason(pair)
    of_weight = OF_WEIGHT if "mass_height" in pair.between else {}
    why = of_weight.get(code, BECAUSE[code])
    return (
        f"{capital(SPOKEN[low])} {_gives(low)} about {estimates[low]:.0f} %, {SPOKEN[high]} about"
        f" {estimates[high]:.0f} %: {why}."
    )


def _gives(family: str) -> str:
    return "gives" if family == "girth" else "give"


def _reason(pair: Pair) -> str:
    """Return what makes most of the difference, "" where nothing that can be said does."""
    toward = 1.0 if pair.on_scale >= 0.0 else -1.0
    told = [one for one in pair.reasons if one.code in BECAUSE]
    best = max(told, key=lambda one: toward * one.points, default=None)
    if best is None or toward * best.points < MOST_OF_IT * abs(pair.on_scale):
        return ""
    return str(best.code)
