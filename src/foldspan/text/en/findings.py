"""Wording of findings: why methods differ and what to measure again, one sentence a code."""

from __future__ import annotations

from collections.abc import Sequence

from foldspan.quantities import BY_NAME
from foldspan.text.en.reconcile import FAMILY_NAMES, SIZE_WORDS, verb

FINDING_SENTENCES = {
    "families_apart": (
        "{First} {read} {points} points above {second}; measurement error alone explains up to"
        " {chance:.1f} in 9 cases of 10. All in all, {size}."
    ),
    "slip": "Measure again first: {sites}. {kind}, the visit would fit far better.",
    "age_term": "{share}: their equations reckon differently with age.",
    "usual_gap": "{share}: these equations stand so far apart in usual bodies of this size.",
    "more_muscle": (
        "{share}: lean limbs are larger than weight and height predict, and weight for height cannot"
        " tell muscle from fat."
    ),
    "less_muscle": (
        "{share}: lean limbs are smaller than weight and height predict, and weight for height cannot"
        " tell muscle from fat."
    ),
    "belly_fat": (
        "{share}: the waist is large for the folds, and folds do not see fat inside the belly."
    ),
    "fat_under_skin": "{share}: the waist is small for the folds; fat lies under the skin.",
    "trunk_fat": "{share}: folds of the trunk are thick for those of the limbs.",
    "limb_fat": "{share}: folds of the limbs are thick for those of the trunk.",
    "conversion": "{share}: density was turned to fat as for other people ({first} was made for these).",
    "bmi_reads_high": (
        "Weight for height reads {points} points above the other methods: it cannot tell muscle"
        " from fat, as in a strong build. The girth of a forearm, or of an arm with its triceps fold,"
        " would tell."
    ),
    "bmi_reads_low": (
        "Weight for height reads {points} points below the other methods: it cannot tell muscle"
        " from fat, as in a light build. The girth of a forearm, or of an arm with its triceps fold,"
        " would tell."
    ),
    "background": (
        "Background as stated: in the US survey these methods read {points} points too {second} in"
        " adults who describe themselves so; that is taken off. Within that group people differ far"
        " more than that. Left blank, the range is the one for everybody."
    ),
    "scale_moved": (
        "Some equations were built against {other}, which usually reads about 3 points {lower}."
        " They were moved {way} to match, which takes the answer {points} points {way}."
    ),
    "local_correction": (
        "Your site's own correction, learnt on {first} people, took the answer {points} points"
        " {second}."
    ),
    "waist_stood_in": (
        "The waist that some equations need was not taken; {sites} stood in (± {points})."
    ),
    "outside_limits": (
        "By {limits} some equations are beyond their sample (± {points} in the answer)."
    ),
    "third_reading_missing": (
        "Two readings differ by more than they should: {sites}. Take a third."
    ),
    "unsteady_reading": ("Three readings stay far apart: {sites}. Mark the site again and repeat."),
    "scale_end": (
        "Read at the end of the scale: {sites}. The fold may be thicker; rely on the tape."
    ),
    "over_clothing": (
        "Taken over one thin layer: {sites}. The published mean was taken off, its spread widens the"
        " range."
    ),
    "left_side": "Taken on the left, while the equations were built on the right: {sites}.",
    "site_variant": (
        "A fold was taken at another variant of its site than some equations were built on."
    ),
    "rarely_together": (
        "Rarely seen together in one body: {pair}. Check the site and the unit of both; they are used as"
        " given."
    ),
    "unusual_value": "Used as given although very unusual: {everything}.",
    "single_family": ("Only {first} could be used; another family would tell whether it is right."),
}
LIMIT_WORDS = {"age": "age", "size": "body size"}
SLIP_KINDS = {
    "": "With one of them put right",
    "unit": "In another unit",
    "decimal": "With the decimal point moved",
    "digits": "With two digits swapped",
    "tens": "With another tens digit",
    "misread": "Read a mark further",
    "exchanged": "With the two exchanged",
}


def finding_sentence(
    code: str,
    points: float | None,
    about: Sequence[str],
    *,
    ordinary: float = 0.0,
    verdict: str = "",
) -> str:
    """Return a finding as one sentence for the trainer.

    Parameters
    ----------
    code : str
        Key of ``FINDING_SENTENCES``.
    points : float, optional
        Its size [points of fat]; None where it has none.
    about : sequence of str
        What it concerns: methods, quantities, a scale, and the like.
    ordinary : float
        Up to this much the errors of measurement alone explain in nine cases of ten [points].
    verdict : str
        That on the two methods it is about, "" where it is about none.
    """
    first, second = (*(FAMILY_NAMES.get(name, name) for name in about), "", "")[:2]
    to_dxa = about[:1] == ("dxa",)
    labels = [BY_NAME[name].label for name in about if name in BY_NAME]
    limits = [LIMIT_WORDS[name] for name in about if name in LIMIT_WORDS]
    return FINDING_SENTENCES[code].format(
        points="" if points is None else f"{abs(points):.1f}",
        share=_share_of(points).capitalize(),
        kind=SLIP_KINDS.get(about[0], "") if about else "",
        first=first,
        First=first.capitalize(),
        read=verb(first),
        second=second,
        chance=ordinary,
        size=SIZE_WORDS.get(verdict, ""),
        other="underwater weighing" if to_dxa else "DXA",
        lower="lower" if to_dxa else "higher",
        way="up" if to_dxa else "down",
        sites=", ".join(labels),
        limits=" and ".join(limits) or "body size",
        pair=" and ".join(labels),
        everything=", ".join(about),
    )


def _share_of(points: float | None) -> str:
    """How much of the difference a reason makes, in words."""
    if points is None:
        return ""
    if points >= 0.0:
        return f"{points:.1f} points of the difference"
    return f"{-points:.1f} points the other way"
