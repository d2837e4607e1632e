"""Skinfold equations for adults in general, built on underwater weighing.

Density in g/cm³ or fat in percent from folds [mm], girths [cm] and age [years].
"""

from __future__ import annotations

import numpy as np

from foldspan.catalogue.card import Array, Checked, Equation, Sum

# Lean, Han & Deurenberg (1996) and their forms share one sample a sex and one set of sites.
_LEAN_SUM = Sum("biceps_mm", "triceps_mm", "subscapular_mm", "suprailiac_midaxillary_mm")
_LEAN_SITES = {"biceps_mm": "level", "triceps_mm": "olecranon", "subscapular_mm": "below_tip"}
_LEAN_BIAS = (
    "called robust from 20 to 60 years, but too low in older people, above all women (authors,"
    " Lean 1996)",
)
_LEAN_WAIST_NOTE = (
    "Waist half-way between lowest rib and iliac crest; meant to catch deep abdominal fat that"
    " skinfolds miss."
)


# Lean 1996 [lean1996]. waist: midway girth [cm]; triceps: skinfold [mm]; age [years]
def lean1996_men_waist_triceps(waist: Array, triceps: Array, age: Array) -> Array:
    """Body fat [%] of men from waist, one fold and age."""
    return 0.353 * waist + 0.756 * triceps + 0.235 * age - 26.4


LEAN1996_MALE_WAIST_TRICEPS = Equation(
    key="lean1996_male_waist_triceps",
    method="skinfold",
    predicts="fat_percent",
    reference_method="density",
    sex="male",
    inputs=("waist_midpoint_cm", "triceps_mm", "age_years"),
    formula=lean1996_men_waist_triceps,
    see=3.2,
    see_unit="fat_percent",
    limits={"age_years": (17, 65)},
    sites={"triceps_mm": "olecranon"},
    n=63,
    population="men in Glasgow; tried out on 146 Dutch men aged 18-83 years",
    criterion="underwater weighing, two compartments",
    lineage="lean1996_male",
    source="lean1996",
    where="equation in the abstract",
    status="verified",
    checked=Checked.DOUBLE_ENTRY,
    not_for=("people under 17",),
    note=_LEAN_WAIST_NOTE,
)


# Lean 1996 [lean1996]. waist: midway girth [cm]; triceps: skinfold [mm]; age [years]
def lean1996_women_waist_triceps(waist: Array, triceps: Array, age: Array) -> Array:
    """Body fat [%] of women from waist, one fold and age."""
    return 0.232 * waist + 0.657 * triceps + 0.215 * age - 5.5


LEAN1996_FEMALE_WAIST_TRICEPS = Equation(
    key="lean1996_female_waist_triceps",
    method="skinfold",
    predicts="fat_percent",
    reference_method="density",
    sex="female",
    inputs=("waist_midpoint_cm", "triceps_mm", "age_years"),
    formula=lean1996_women_waist_triceps,
    see=4.0,
    see_unit="fat_percent",
    limits={"age_years": (18, 64)},
    sites={"triceps_mm": "olecranon"},
    n=84,
    population="women in Glasgow; tried out on 238 Dutch women aged 18-83 years",
    criterion="underwater weighing, two compartments",
    lineage="lean1996_female",
    source="lean1996",
    where="equation in the abstract",
    status="verified",
    checked=Checked.DOUBLE_ENTRY,
    not_for=("people under 18",),
    note=_LEAN_WAIST_NOTE,
)


# Lean 1996 [lean1996]. folds: biceps + triceps + subscapular + suprailiac [mm]; age [years]
def lean1996_men_log4(folds: Array, age: Array) -> Array:
    """Body fat [%] of men from the logarithm of four skinfolds and age."""
    return 30.9 * np.log10(folds) + 0.271 * age - 39.9


LEAN1996_MALE_LOG4 = Equation(
    key="lean1996_male_log4",
    method="skinfold",
    predicts="fat_percent",
    reference_method="density",
    sex="male",
    inputs=(_LEAN_SUM, "age_years"),
    formula=lean1996_men_log4,
    see=3.8,
    see_unit="fat_percent",
    limits={"age_years": (17, 65), "sum": (15, 150)},
    sites=_LEAN_SITES,
    n=63,
    population="men in Glasgow",
    criterion="underwater weighing, two compartments",
    lineage="lean1996_male",
    source="lean1996",
    where="equation quoted in a textbook chapter (paper page not seen)",
    status="read in a secondary text",
    checked=Checked.DOUBLE_ENTRY,
    known_bias=_LEAN_BIAS,
    not_for=("people under 17", "people over 65"),
)


# Lean 1996 [lean1996]. folds: biceps + triceps + subscapular + suprailiac [mm]; age [years]
def lean1996_women_log4(folds: Array, age: Array) -> Array:
    """Body fat [%] of women from the logarithm of four skinfolds and age."""
    return 30.8 * np.log10(folds) + 0.274 * age - 31.7


LEAN1996_FEMALE_LOG4 = Equation(
    key="lean1996_female_log4",
    method="skinfold",
    predicts="fat_percent",
    reference_method="density",
    sex="female",
    inputs=(_LEAN_SUM, "age_years"),
    formula=lean1996_women_log4,
    see=4.6,
    see_unit="fat_percent",
    limits={"age_years": (17, 65), "sum": (15, 150)},
    sites=_LEAN_SITES,
    n=84,
    population="women in Glasgow",
    criterion="underwater weighing, two compartments",
    lineage="lean1996_female",
    source="lean1996",
    where="equation quoted in a textbook chapter (paper page not seen)",
    status="read in a secondary text",
    checked=Checked.DOUBLE_ENTRY,
    known_bias=_LEAN_BIAS,
    not_for=("people under 17", "people over 65"),
)


# Lean 1996 [lean1996]. triceps: skinfold [mm]; age [years]
def lean1996_men_triceps(triceps: Array, age: Array) -> Array:
    """Body fat [%] of men from one fold and age."""
    return 1.31 * triceps + 0.43 * age - 9.2


LEAN1996_MALE_TRICEPS = Equation(
    key="lean1996_male_triceps",
    method="skinfold",
    predicts="fat_percent",
    reference_method="density",
    sex="male",
    inputs=("triceps_mm", "age_years"),
    formula=lean1996_men_triceps,
    see=None,
    limits={"age_years": (17, 65)},
    sites={"triceps_mm": "olecranon"},
    n=63,
    population="men in Glasgow",
    criterion="underwater weighing, two compartments",
    lineage="lean1996_male",
    source="lean1996",
    where="equation quoted in a textbook chapter (paper page not seen)",
    status="read in a secondary text",
    checked=Checked.DOUBLE_ENTRY,
    not_for=("people under 17",),
)


# Lean 1996 [lean1996]. triceps: skinfold [mm]; age [years]
def lean1996_women_triceps(triceps: Array, age: Array) -> Array:
    """Body fat [%] of women from one fold and age."""
    return 0.944 * triceps + 0.279 * age + 4.6


LEAN1996_FEMALE_TRICEPS = Equation(
    key="lean1996_female_triceps",
    method="skinfold",
    predicts="fat_percent",
    reference_method="density",
    sex="female",
    inputs=("triceps_mm", "age_years"),
    formula=lean1996_women_triceps,
    see=None,
    limits={"age_years": (17, 65)},
    sites={"triceps_mm": "olecranon"},
    n=84,
    population="women in Glasgow",
    criterion="underwater weighing, two compartments",
    lineage="lean1996_female",
    source="lean1996",
    where="equation quoted in a textbook chapter (paper page not seen)",
    status="read in a secondary text",
    checked=Checked.DOUBLE_ENTRY,
    not_for=("people under 17",),
)


# Petroski (1995) [petroski1995]. folds: subscapular + triceps + suprailiac + calf [mm]; age [years]
def petroski1995_men(folds: Array, age: Array) -> Array:
    """Body density [g/cm³] of men from four skinfolds and age."""
    return 1.10726863 - 0.00081201 * folds + 0.00000212 * folds**2 - 0.00041761 * age


PETROSKI1995_MALE = Equation(
    key="petroski1995_male",
    method="skinfold",
    predicts="density",
    reference_method="density",
    sex="male",
    inputs=(
        Sum("subscapular_mm", "triceps_mm", "suprailiac_midaxillary_mm", "calf_mm"),
        "age_years",
    ),
    formula=petroski1995_men,
    see=0.0075,
    see_unit="density",
    limits={"age_years": (18, 66)},
    n=304,
    population="men in southern Brazil, mean 30.2 years",
    criterion="underwater weighing, two compartments",
    lineage="petroski1995_male",
    source="petroski1995",
    where="regression equation (page not seen)",
    status="not verified in print",
    checked=Checked.FROM_MEMORY,
    not_for=("people under 18",),
)


# Petroski (1995) [petroski1995]. folds: midaxillary + suprailiac + thigh + calf [mm]; age [years]
def petroski1995_women(folds: Array, age: Array) -> Array:
    """Body density [g/cm³] of women from the logarithm of four skinfolds and age."""
    return 1.1954713 - 0.07513507 * np.log10(folds) - 0.00041072 * age


PETROSKI1995_FEMALE = Equation(
    key="petroski1995_female",
    method="skinfold",
    predicts="density",
    reference_method="density",
    sex="female",
    inputs=(
        Sum("midaxillary_mm", "suprailiac_midaxillary_mm", "thigh_mm", "calf_mm"),
        "age_years",
    ),
    formula=petroski1995_women,
    see=0.0071,
    see_unit="density",
    limits={"age_years": (18, 51)},
    n=213,
    population="women in southern Brazil",
    criterion="underwater weighing, two compartments",
    lineage="petroski1995_female",
    source="petroski1995",
    where="regression equation (page not seen)",
    status="not verified in print",
    checked=Checked.FROM_MEMORY,
    not_for=("people under 18",),
)


# Hicks & Reano (2004) [hicks_reano2004]. waist: narrowest girth [cm]; subscapular: skinfold [mm]
def hicks2004_american_indian_men(waist: Array, subscapular: Array) -> Array:
    """Body density [g/cm³] of American Indian men from waist and one skinfold."""
    return 1.138117 - 0.000887057 * waist - 0.000415103 * subscapular


HICKS2004_MALE_AMERICAN_INDIAN = Equation(
    key="hicks2004_male_american_indian",
    method="skinfold",
    predicts="density",
    reference_method="density",
    sex="male",
    inputs=("waist_narrowest_cm", "subscapular_mm"),
    formula=hicks2004_american_indian_men,
    see=0.0089,
    see_unit="density",
    limits={"age_years": (18, 62)},
    n=97,
    population="American Indian men",
    criterion="underwater weighing; compared with a four-compartment model",
    lineage="hicks2004_male",
    ancestry="american_indian",
    source="hicks_reano2004",
    where="equation in a meeting abstract",
    status="verified",
    checked=Checked.DOUBLE_ENTRY,
    known_bias=(
        "within 3.5 points of a four-compartment model in 91% of 97 American Indian men (Hicks 2004)",
    ),
    not_for=("people under 18", "people of other ancestry"),
)


# Hicks (1992) [hicks1992]. folds: triceps + midaxillary + suprailiac [mm]; age [years]
def hicks1992_american_indian_women(folds: Array, age: Array) -> Array:
    """Body density [g/cm³] of American Indian women from three skinfolds and age."""
    return 1.06198316 - 0.00038496 * folds - 0.00020362 * age


HICKS1992_FEMALE_AMERICAN_INDIAN = Equation(
    key="hicks1992_female_american_indian",
    method="skinfold",
    predicts="density",
    reference_method="density",
    sex="female",
    inputs=(Sum("triceps_mm", "midaxillary_mm", "suprailiac_anterior_mm"), "age_years"),
    formula=hicks1992_american_indian_women,
    see=None,
    limits={"age_years": (18, 60)},
    n=150,
    population="American Indian women",
    criterion="underwater weighing, two compartments",
    lineage="hicks1992_female",
    ancestry="american_indian",
    source="hicks1992",
    where="regression equation (page not seen)",
    status="not verified in print",
    checked=Checked.FROM_MEMORY,
    not_for=("people under 18", "people of other ancestry"),
)


CARDS: tuple[Equation, ...] = (
    LEAN1996_MALE_WAIST_TRICEPS,
    LEAN1996_FEMALE_WAIST_TRICEPS,
    LEAN1996_MALE_LOG4,
    LEAN1996_FEMALE_LOG4,
    LEAN1996_MALE_TRICEPS,
    LEAN1996_FEMALE_TRICEPS,
    PETROSKI1995_MALE,
    PETROSKI1995_FEMALE,
    HICKS2004_MALE_AMERICAN_INDIAN,
    HICKS1992_FEMALE_AMERICAN_INDIAN,
)
