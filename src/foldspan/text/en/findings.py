"""Wording of findings: why methods differ and what to measure again, one sentence a code."""

from __future__ import annotations

import re
from collections.abc import Sequence

from foldspan.quantities import BY_NAME
from foldspan.text.en.reconcile import FAMILY_NAMES, SIZE_WORDS, capital, verb

FINDING_SENTENCES = {
    "families_apart": (
        "{First} {read} {points} percentage points more than {second}. In 90% of people this"
        " gap is within {chance:.1f} points of its usual size. Taking all methods together,"
        " {size}."
    ),
    "slip": "Measure again first: {sites}. {kind}, the readings would agree far better.",
    "age_term": "{share}: the equations treat age differently.",
    "usual_gap": "{share}: these equations normally differ this much in people of this size.",
    "more_muscle": (
        "{share}: limb muscle is greater than weight and height predict. BMI-based equations"
        " cannot tell muscle from fat."
    ),
    "less_muscle": (
        "{share}: limb muscle is less than weight and height predict. BMI-based equations"
        " cannot tell muscle from fat."
    ),
    "belly_fat": (
        "{share}: the waist is large for these skinfolds. Skinfolds do not measure fat"
        " inside the abdomen."
    ),
    "fat_under_skin": (
        "{share}: the waist is small for these skinfolds, so more of the fat lies under the skin."
    ),
    "trunk_fat": "{share}: trunk skinfolds are thick compared with limb skinfolds.",
    "limb_fat": "{share}: limb skinfolds are thick compared with trunk skinfolds.",
    "conversion": (
        "{share}: the density-to-fat conversion used was developed for other people ({first} suits"
        " this client)."
    ),
    "bmi_reads_high": (
        "BMI-based equations give {points} percentage points more than the other methods:"
        " they cannot tell muscle from fat, and may overestimate in a muscular build. To"
        " check, measure forearm girth, or arm girth with the triceps skinfold."
    ),
    "bmi_reads_low": (
        "BMI-based equations give {points} percentage points less than the other methods:"
        " they cannot tell muscle from fat, and may underestimate in a light build. To check,"
        " measure forearm girth, or arm girth with the triceps skinfold."
    ),
    "background": (
        "Family background as stated: in the US survey these methods were on average {points}"
        " percentage points too {second} in adults who describe themselves this way, and this"
        " has been corrected. People within the group differ far more than that. If left"
        " blank, the general range is used."
    ),
    "scale_moved": (
        "Some equations were developed against {other}, which usually gives values about 3"
        " percentage points {lower}. They were adjusted {way} to match, which moves the"
        " estimate {points} points {way}."
    ),
    "local_correction": (
        "Your local correction, based on {first} people, moves the estimate {points}"
        " percentage points {second}."
    ),
    "waist_stood_in": (
        "Some equations need the waist at a level that was not measured; it was estimated from"
        " {sites} (± {points} points)."
    ),
    "outside_limits": (
        "Outside the sample of some equations: {limits} (± {points} points in the estimate)."
    ),
    "third_reading_missing": "The two readings differ by more than is allowed: {sites}. Take a third.",
    "unsteady_reading": (
        "The three readings do not agree: {sites}. Re-mark the site and measure again."
    ),
    "scale_end": (
        "Reading at the end of the calliper's scale: {sites}. The skinfold may be thicker"
        " than shown; rely on the girths."
    ),
    "over_clothing": (
        "Measured over one thin layer: {sites}. The published average for clothing was"
        " subtracted and the range widened."
    ),
    "left_side": "Measured on the left; the equations were developed on the right: {sites}.",
    "site_variant": (
        "A skinfold was taken at a different version of its site from the one some equations use."
    ),
    "rarely_together": (
        "Rarely found in the same person: {pair}. Check the site and unit of both. The"
        " values were used as entered."
    ),
    "unusual_value": "Very unusual, but used as entered: {everything}.",
    "single_family": (
        "Only {first} could be used. A second method group would show whether the result holds up."
    ),
}
# where something stands in a visit file: section, key, which reading
_PLACE = re.compile(r".*?\[+(\w+)\]+ (\w+?)(?:, reading (\d))?")
_ON_A_SHEET = {
    "fat_percent": "body fat", "fat_mass_kg": "fat mass", "fat_free_mass_kg": "fat-free mass",
}  # fmt: skip
LIMIT_WORDS = {"age": "age", "size": "body size"}
SLIP_KINDS = {
    "": "If one of them is corrected",
    "unit": "If it was in another unit",
    "decimal": "If the decimal point is moved",
    "digits": "If two digits are swapped",
    "tens": "If the tens digit is different",
    "misread": "If it was misread by one division",
    "exchanged": "If the two are swapped",
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
        First=capital(first),
        read=verb(first),
        second=second,
        chance=ordinary,
        size=SIZE_WORDS.get(verdict, ""),
        other="underwater weighing" if to_dxa else "DXA",
        lower="lower" if to_dxa else "higher",
        way="up" if to_dxa else "down",
        sites="; ".join(labels),
        limits=" and ".join(limits) or "body size",
        pair=" and ".join(labels),
        # a visit that was measured here stands in no file that has such a place
        everything=", ".join(
            place_in_words(place) if place.startswith("this visit: ") else place for place in about
        ),
    )


def _share_of(points: float | None) -> str:
    """How much of the difference a reason makes, in words."""
    if points is None:
        return ""
    if points >= 0.0:
        return f"{points:.1f} points"
    return f"{-points:.1f} points the other way"


def place_in_words(where: str) -> str:
    """Return the place of a value in a visit by its name in words; a page has no sections and keys."""
    found = _PLACE.fullmatch(where)
    if found is None:
        return where
    section, key, reading = found.groups()
    names = (key, f"{key}_{section.rpartition('_')[2]}")
    labels = [BY_NAME[name].label for name in names if name in BY_NAME]
    label = (labels or [_ON_A_SHEET.get(key, key.replace("_", " "))])[0]
    return f"{label} (reading {reading})" if reading else label
