"""Wording of health bands: what a standard says of a client, as chances and in calm words."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from foldspan.quantities import BY_NAME
from foldspan.standards.card import MEASURE_UNITS

MEASURE_NAMES = {
    "fat_percent": "body fat",
    "bmi": "BMI",
    "waist_cm": "waist",
    "waist_to_height": "waist-to-height ratio",
    "waist_to_hip": "waist-to-hip ratio",
    "fat_mass_index": "fat mass index",
    "fat_free_mass_index": "fat-free mass index",
}
MEASURE_DIGITS = {"waist_to_height": 2, "waist_to_hip": 2, "fat_percent": 0, "waist_cm": 0}
BAND_WORDS = {
    "severely_low": "severely low for height",
    "clearly_low": "clearly low for height",
    "low": "low for height",
    "usual": "in the usual healthy range",
    "above": "above the usual range",
    "well_above": "well above the usual range",
    "far_above": "far above the usual range",
    "very_far_above": "very far above the usual range",
    "light_for_age": "on the light side for this age",
    "usual_for_age": "in the range of lowest risk at this age",
    "heavy_for_age": "above the range of lowest risk at this age",
    "small_for_height": "small for height",
    "under_half": "less than half the height",
    "half_or_more": "half the height or more",
    "six_tenths_or_more": "60% of the height or more",
    "below_raised": "below the limit for raised risk",
    "raised": "in the raised-risk range",
    "high": "in the high-risk range",
    "below_central": "below the limit for central fat",
    "central": "at or above the limit for central fat",
    "below_high_for_class": "not high for this BMI class",
    "high_for_class": "high for this BMI class",
    "lighter_match": "below the range that matches a healthy weight",
    "healthy_match": "in the range that matches a healthy weight",
    "above_match": "above the range that matches a healthy weight",
    "well_above_match": "well above the range that matches a healthy weight",
    "no_case_seen": "where the study found no cases",
    "few_cases": "where cases were rare in the study",
    "risk_clusters": "where cases became more common",
    "risk_common": "where cases were common",
    "below_bmi_30_match": "below the level that matches a BMI of 30",
    "bmi_30_match_or_more": "at or above the level that matches a BMI of 30",
    "below_span": "below the reference range",
    "in_span": "in the reference range",
    "above_span": "above the reference range",
    "below_minimum": "below the minimum certified in sport",
    "at_or_above_minimum": "at or above the minimum certified in sport",
    "severe_shortage": "much less fat for height than usual",
    "moderate_shortage": "less fat for height than usual",
    "mild_shortage": "slightly less fat for height than usual",
    "usual_fat": "usual fat for height",
    "excess": "more fat for height than usual",
    "class_1": "well above usual fat for height (class 1)",
    "class_2": "far above usual fat for height (class 2)",
    "class_3": "very far above usual fat for height (class 3)",
    "low_lean": "low fat-free mass for height",
    "not_low_lean": "fat-free mass not low for height",
}
REFERENCE_IN_SHORT = {"density": "underwater weighing", "dxa": "DXA"}
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
    "limits by expert judgement of the authors": "limits by expert judgement of the authors",
    "computed from open data": "limits calculated by us from open data",
    "common practice, no source": "common practice, no source",
}
BAND_REMARKS = {
    "strong_build": "not reliable for a muscular build",
    "stood_in": "calculated from {quantity}",
    "columns": "family background not stated: average of its {count} groups",
    "other_columns": "no limits for this background: average of its {count} groups",
}
HEALTH_REMARKS = {
    "no_background": (
        "Family background was not stated, so general limits are used. Some backgrounds have"
        " their own limits ([client] family_background, optional)."
    ),
    "which_black": (
        "Lower BMI limits exist for Black African and African-Caribbean family backgrounds;"
        " family_background in [client] can say which (optional)."
    ),
    "low_weight": (
        "Weight is low, so upper limits of weight and fat are not shown: here they would be"
        " false reassurance."
    ),
    "in_doubt": (
        "One reading may be a mistake. Repeat it before you act on a flag or category that"
        " depends on it."
    ),
}
MEASURE_SEES = {
    "bmi": "BMI cannot tell muscle from fat",
    "waist": "waist reflects the trunk only",
    "fat": "body-fat percentage covers all fat, with an error of several percentage points",
}
APART_SENTENCES = {
    "measures": "They measure different things: {sees}.",
    "reference_method": (
        "Their body-fat percentages use different reference methods; DXA gives about 3"
        " percentage points more."
    ),
    "age": "Some depend on age and some do not.",
    "population": "They were developed in different populations.",
}


def chance_words(chance: float) -> str:
    """Return a chance in whole percents, never 0 or 100."""
    if chance > 0.99:
        return "more than 99%"
    if chance < 0.01:
        return "less than 1%"
    return f"{100.0 * chance:.0f}%"


def value_words(measure: str, value: float, reference_method: str) -> str:
    """Return what was measured, with its unit and reference method ("" where it is not about fat)."""
    digits, unit = MEASURE_DIGITS.get(measure, 1), MEASURE_UNITS[measure]
    number = f"{value:.{digits}f}" + (unit if unit == "%" else f" {unit}")
    text = f"{MEASURE_NAMES[measure]} {number}".rstrip()
    return (
        f"{text}, {REFERENCE_IN_SHORT[reference_method]}"
        if reference_method in REFERENCE_IN_SHORT
        else text
    )


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
        opening = "about equally likely" if len(others) == 1 else "unclear"
        return f"{opening}: {', '.join([words, *others[:-1]])} or {others[-1]}"
    if others:
        return f"most likely {words}; could also be {' or '.join(others)}"
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
    return f"{way.capitalize()} the usual range by {said}, but not by {denied}. {why}"


def _seen(measure: str) -> str:
    if measure == "bmi":
        return "bmi"
    return "waist" if measure.startswith("waist") else "fat"
