"""Wording to be said aloud: one sentence of the trainer for each disagreement of two methods.

A finding of ``explanation/decomposition.py`` that makes most of the difference gives the reason;
the words are for the client who stands beside, short and without blame.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from foldspan.explanation.decomposition import Pair
from foldspan.text.catalogue import ENGLISH, Language, Sentence

# methods that can be spoken of
SPOKEN = ("skinfold", "girth", "mass_height", "waist_height")
# code of a reason → how it is said, by its word in the sentence
BECAUSE: dict[str, str] = {
    "slip": "slip",
    "more_muscle": "more_muscle",
    "less_muscle": "less_muscle",
    "belly_fat": "belly_fat",
    "fat_under_skin": "fat_under_skin",
    "trunk_fat": "one_part",
    "limb_fat": "one_part",
    "bmi_reads_high": "weight_and_height",
    "bmi_reads_low": "weight_and_height",
    "usual_gap": "usual_gap",
    "age_term": "age_term",
    "": "unknown",
}
# beside weight and height the waist has no say
OF_WEIGHT: dict[str, str] = {"belly_fat": "deeper_fat", "fat_under_skin": "under_skin"}
# a reason is named if it makes this share of the difference
MOST_OF_IT = 0.25


def aloud_sentences(
    pairs: Sequence[Pair], estimates: Mapping[str, float], language: Language = ENGLISH
) -> list[str]:
    """Return one sentence for each two methods that are further apart than is ordinary.

    Parameters
    ----------
    pairs : sequence of Pair
        The furthest apart first.
    estimates : mapping
        Method → its fat percentage, as the table beside it shows.
    language : Language
        That of the client.
    """
    return [
        language.say(_aloud(pair, estimates, language))
        for pair in pairs
        if not pair.is_ordinary and set(pair.between) <= set(estimates) & set(SPOKEN)
    ]


def _aloud(pair: Pair, estimates: Mapping[str, float], language: Language) -> Sentence:
    low, high = sorted(pair.between, key=lambda family: estimates[family])
    low_fat, high_fat = (language.number(estimates[family]) for family in (low, high))
    code = _reason(pair)
    of_weight = OF_WEIGHT if "mass_height" in pair.between else {}
    values = {
        "low": low, "low_percent": low_fat, "high": high, "high_percent": high_fat,
        "why": of_weight.get(code, BECAUSE[code]),
    }  # fmt: skip
    return Sentence("aloud.pair", values)


def _reason(pair: Pair) -> str:
    """Return what makes most of the difference, "" where nothing that can be said does."""
    toward = 1.0 if pair.on_reference_method >= 0.0 else -1.0
    causes = [reason for reason in pair.reasons if reason.code in BECAUSE]
    best = max(causes, key=lambda reason: toward * reason.points, default=None)
    if best is None or toward * best.points < MOST_OF_IT * abs(pair.on_reference_method):
        return ""
    return str(best.code)
