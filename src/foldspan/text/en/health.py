"""Wording of health bands: what a standard says of a client, as chances and in calm words."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from foldspan.quantities import BY_NAME
from foldspan.standards.card import MEASURE_UNITS

MEASURE_NAMES = {
    "fat_percent": "body fat",
    "bmi": "body mass index",
    "waist_cm": "waist",
    "waist_to_height": "waist to height",
    "waist_to_hip": "waist to hip",
    "fat_mass_index": "fat mass index",
    "lean_mass_index": "lean mass index",
}
MEASURE_DIGITS = {"waist_to_height": 2, "waist_to_hip": 2, "fat_percent": 0, "waist_cm": 0}
BAND_WORDS = {
    "severely_low": "severely low for height",
    "clearly_low": "clearly low for height",
    "low": "low for height",
    "usual": "in the usual healthy band",
    "above": "above the usual band",
    "well_above": "well above the usual band",
    "far_above": "far above the usual band",
    "very_far_above": "very far above the usual band",
    "light_for_age": "on the light side for this age",
    "usual_for_age": "in the band of lowest risk at this age",
    "heavy_for_age": "above the band of lowest risk at this age",
    "small_for_height": "small for height",
    "under_half": "under half the height",
    "half_or_more": "half the height or more",
    "six_tenths_or_more": "six-tenths of the height or more",
    "below_raised": "below the raised-risk limit",
    "raised": "in the raised-risk band",
    "high": "in the high-risk band",
    "below_central": "below the central-fat limit",
    "central": "at or above the central-fat limit",
    "below_high_for_class": "below the high limit of the weight class",
    "high_for_class": "high for the weight class",
    "lighter_match": "below what goes with a healthy weight",
    "healthy_match": "what goes with a healthy weight",
    "above_match": "above what goes with a healthy weight",
    "well_above_match": "well above what goes with a healthy weight",
    "no_case_seen": "where the study saw no cases",
    "few_cases": "where the study saw few cases",
    "risk_clusters": "where risk starts to cluster",
    "risk_common": "where risk is common",
    "below_bmi_30_match": "below what goes with a body mass index of 30",
    "bmi_30_match_or_more": "what goes with a body mass index of 30 or more",
    "below_span": "below the span",
    "in_span": "in the span",
    "above_span": "above the span",
    "below_minimum": "below the least that sport certifies",
    "at_or_above_minimum": "at or above the least that sport certifies",
    "severe_shortage": "severe shortage of fat",
    "moderate_shortage": "moderate shortage of fat",
    "mild_shortage": "mild shortage of fat",
    "usual_fat": "usual fat for height",
    "excess": "more fat for height than usual",
    "class_1": "class 1 of fat for height",
    "class_2": "class 2 of fat for height",
    "class_3": "class 3 of fat for height",
    "low_lean": "low lean mass for height",
    "not_low_lean": "lean mass not low for height",
}
SCALE_IN_SHORT = {"density": "underwater weighing", "dxa": "DXA"}
# Standards on the first page, by the start of their keys; the others with --all, or where they say
# something that must not be missed.
MAIN_STANDARDS = (
    "who2000_bmi", "nice2023_bmi", "who2007_growth", "winter2014", "nice2022_waist", "who2008_waist_f",
    "who2008_waist_m", "idf2006", "gallagher2000", "potter2025",
)  # fmt: skip
NOT_TO_MISS = {"below_minimum": 0.05, "low_lean": 0.50, "severe_shortage": 0.50}
STATUS_REMARKS = {
    "not verified in print": "limits not verified in print",
    "disputed": "limits disputed",
    "our proposal": "our proposal",
    "computed from open data": "our computing on open data",
    "common practice, no source": "common practice, no source",
}
BAND_REMARKS = {
    "strong_build": "not for a strong build",
    "stood_in": "reckoned from {quantity}",
    "columns": "no family background stated: mean of its {count} columns",
    "other_columns": "none for this background: mean of its {count} columns",
}
HEALTH_REMARKS = {
    "no_background": (
        "No family background is stated, so the general limits are used; some backgrounds have their own"
        " ([client] family_background, optional)."
    ),
    "which_black": (
        "Lower limits of weight for height are named for Black African and African-Caribbean family"
        " background; family_background in [client] can say which, and is optional."
    ),
    "low_weight": (
        "Weight is low, so limits for too much weight or fat are left out: here they would give false"
        " reassurance."
    ),
    "in_doubt": (
        "One reading may be a slip: take it again before you act on a flag or band that rests on it."
    ),
}
MEASURE_SEES = {
    "bmi": "weight for height cannot tell muscle from fat",
    "waist": "a waist sees the trunk only",
    "fat": "a fat percentage sees all fat, with an error of several points",
}
APART_SENTENCES = {
    "measures": "They look at different things: {sees}.",
    "scale": "Their fat percentages stand on different scales; DXA reads about 3 points higher.",
    "age": "Some go by age and some do not.",
    "population": "They were set on different people.",
}


def chance_words(chance: float) -> str:
    """Return a chance in whole percents, never 0 or 100."""
    if chance > 0.99:
        return "more than 99 %"
    if chance < 0.01:
        return "less than 1 %"
    return f"{100.0 * chance:.0f} %"


def value_words(measure: str, value: float, scale: str) -> str:
    """Return what was measured, with its unit and its scale ("" where it is not about fat)."""
    digits, unit = MEASURE_DIGITS.get(measure, 1), MEASURE_UNITS[measure]
    text = f"{MEASURE_NAMES[measure]} {value:.{digits}f} {unit}".rstrip()
    return f"{text}, {SCALE_IN_SHORT[scale]}" if scale in SCALE_IN_SHORT else text


def is_main(standard: str, probabilities: Mapping[str, float]) -> bool:
    """Whether a standard, by its key, belongs on the first page."""
    return standard.startswith(MAIN_STANDARDS) or any(
        probabilities.get(label, 0.0) >= least for label, least in NOT_TO_MISS.items()
    )


def band_sentence(likely: Sequence[tuple[str, float]], *, is_about_even: bool) -> str:
    """Return which bands are likely.

    Parameters
    ----------
    likely : sequence of (str, float)
        Labels with their chances, the likeliest first; the others are worth telling.
    is_about_even : bool
        Whether no band is clearly the likeliest.
    """
    words, *others = [f"{BAND_WORDS[label]} ({chance_words(chance)})" for label, chance in likely]
    if is_about_even:
        opening = "a coin toss" if len(others) == 1 else "undecided"
        return f"{opening}: {' or '.join([words, *others])}"
    if others:
        return f"most likely {words}, could be {' or '.join(others)}"
    return words if likely[0][1] > 0.99 else f"most likely {words}"


def band_remark(code: str, *, quantity: str = "", count: int = 0) -> str:
    """Return what to know about a standard before going by it: one of ``BAND_REMARKS``."""
    label = BY_NAME[quantity].label if quantity else ""
    return BAND_REMARKS[code].format(quantity=label, count=count)


def apart_sentence(
    way: str,
    saying: Iterable[tuple[str, str]],
    denying: Iterable[tuple[str, str]],
    reasons: Iterable[str],
) -> str:
    """Return which standards contradict each other, and why they can.

    ``saying`` and ``denying`` are how each standard is cited, and its measure; ``reasons`` keys of
    ``APART_SENTENCES``.
    """
    sides = list(saying), list(denying)
    said, denied = (
        ", ".join(f"{name} ({MEASURE_NAMES[measure]})" for name, measure in side) for side in sides
    )
    measures = dict.fromkeys(_seen(measure) for side in sides for _, measure in side)
    sees = "; ".join(MEASURE_SEES[measure] for measure in measures)
    why = " ".join(APART_SENTENCES[code].format(sees=sees) for code in reasons)
    return f"{way.capitalize()} the usual: {said}. Not so: {denied}. {why}"


def _seen(measure: str) -> str:
    if measure == "bmi":
        return "bmi"
    return "waist" if measure.startswith("waist") else "fat"
