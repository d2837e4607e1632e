"""Skinfold equations for adults in general, built on four compartments or on DXA.

Fat in percent or kg from folds [mm], girths and breadths [cm], body size and age.
"""

from __future__ import annotations

import numpy as np

from foldspan.catalogue.card import Array, Bmi, Checked, Equation, Sum

_PETERSON_SUM = Sum("triceps_mm", "subscapular_mm", "suprailiac_midaxillary_mm", "thigh_mm")


# Peterson (2003) [peterson2003]. age [years]; height [cm];
# folds: triceps + subscapular + suprailiac + thigh [mm]
def peterson2003_men(age: Array, height: Array, folds: Array) -> Array:
    """Body fat [%] of men from four skinfolds, age and height."""
    return 20.94878 + 0.1166 * age - 0.11666 * height + 0.42696 * folds - 0.00159 * folds**2


PETERSON2003_MALE = Equation(
    key="peterson2003_male",
    method="skinfold",
    predicts="fat_percent",
    reference_method="density",
    sex="male",
    inputs=("age_years", "height_cm", _PETERSON_SUM),
    formula=peterson2003_men,
    see=5.0,
    see_unit="fat_percent",
    see_note="root mean square error recalled as 4 to 5 points; upper end taken (not verified in print)",
    limits={"age_years": (18, 55), "sum": (20, 134)},
    n=681,
    population="healthy white men, Ohio; sample counts both sexes and both halves",
    criterion="four compartments",
    lineage="peterson2003_male",
    source="peterson2003",
    where="regression equation (page not seen)",
    status="not verified in print",
    checked=Checked.FROM_MEMORY,
    known_bias=(
        "mean 22.7% against 22.8% by a four-compartment model in the other half of the men"
        " (Peterson 2003)",
        "underestimates at high fat against a four-compartment model (Peterson 2003)",
    ),
    not_for=("people under 18",),
    note="The thigh skinfold is taken at mid thigh. The curve turns at a skinfold sum of 134 mm.",
)


# Peterson (2003) [peterson2003]. age [years]; bmi [kg/m²]; height [cm];
# folds: triceps + subscapular + suprailiac + thigh [mm]
def peterson2003_women(age: Array, bmi: Array, height: Array, folds: Array) -> Array:
    """Body fat [%] of women from four skinfolds, age, body mass index and height."""
    body = 22.18945 + 0.06368 * age + 0.60404 * bmi - 0.1452 * height
    return body + 0.30919 * folds - 0.00099562 * folds**2


PETERSON2003_FEMALE = Equation(
    key="peterson2003_female",
    method="skinfold",
    predicts="fat_percent",
    reference_method="density",
    sex="female",
    inputs=("age_years", Bmi(), "height_cm", _PETERSON_SUM),
    formula=peterson2003_women,
    see=None,
    limits={"age_years": (18, 55), "sum": (20, 155)},
    n=681,
    population="healthy white women, Ohio; sample counts both sexes and both halves",
    criterion="four compartments",
    lineage="peterson2003_female",
    source="peterson2003",
    where="regression equation (page not seen)",
    status="not verified in print",
    checked=Checked.FROM_MEMORY,
    known_bias=(
        "mean 32.6% against 32.8% by a four-compartment model in the other half of the women"
        " (Peterson 2003)",
        "underestimates at high fat against a four-compartment model (Peterson 2003)",
    ),
    not_for=("people under 18",),
    note="The thigh skinfold is taken at mid thigh.",
)


# Ball, Altena & Swan (2004) [ball_altena_swan2004]. folds: chest + midaxillary + triceps
# + subscapular + abdominal + suprailiac + thigh [mm]; age [years]
def ball2004_men_7site(folds: Array, age: Array) -> Array:
    """Body fat [%] of men from seven skinfolds and age."""
    return 0.465 + 0.18 * folds - 0.0002406 * folds**2 + 0.06619 * age


BALL2004_MALE_7SITE = Equation(
    key="ball2004_male_7site",
    method="skinfold",
    predicts="fat_percent",
    reference_method="dxa",
    sex="male",
    inputs=(
        Sum(
            "chest_mm",
            "midaxillary_mm",
            "triceps_mm",
            "subscapular_mm",
            "abdominal_mm",
            "suprailiac_anterior_mm",
            "thigh_mm",
        ),
        "age_years",
    ),
    formula=ball2004_men_7site,
    see=2.2,
    see_unit="fat_percent",
    see_note="from leave-one-out (PRESS) residuals",
    limits={"age_years": (18, 62)},
    sites={
        "chest_mm": "half",
        "midaxillary_mm": "vertical",
        "triceps_mm": "olecranon",
        "subscapular_mm": "below_tip",
        "abdominal_mm": "vertical_2cm",
        "thigh_mm": "standing",
    },
    n=160,
    population="men aged 18-62 years, Missouri",
    criterion="DXA",
    lineage="ball2004_male",
    source="ball_altena_swan2004",
    where="equation in a record of the paper (page not seen)",
    status="verified",
    checked=Checked.DOUBLE_ENTRY,
    known_bias=(
        "95% limits of -3.4 to +3.1 points against DXA in 131 male soccer players"
        " (Lopez-Taylor 2018)",
    ),
    not_for=("people under 18",),
)


# Ball, Swan & DeSimone (2004) [ball_swan_desimone2004]. folds: triceps + suprailiac + thigh [mm];
# hip: girth [cm]; age [years]
def ball2004_women_3site(folds: Array, hip: Array, age: Array) -> Array:
    """Body fat [%] of women from three skinfolds, hip girth and age."""
    return -6.40665 + 0.41946 * folds - 0.00126 * folds**2 + 0.12515 * hip + 0.06473 * age


BALL2004_FEMALE_3SITE = Equation(
    key="ball2004_female_3site",
    method="skinfold",
    predicts="fat_percent",
    reference_method="dxa",
    sex="female",
    inputs=(Sum("triceps_mm", "suprailiac_anterior_mm", "thigh_mm"), "hip_cm", "age_years"),
    formula=ball2004_women_3site,
    see=2.6,
    see_unit="fat_percent",
    limits={"age_years": (18, 62)},
    sites={"triceps_mm": "olecranon", "thigh_mm": "standing"},
    n=150,
    population="women aged 18-62 years (not verified in print)",
    criterion="DXA",
    lineage="ball2004_female",
    source="ball_swan_desimone2004",
    where="regression equation (page not seen)",
    status="not verified in print",
    checked=Checked.FROM_MEMORY,
    not_for=("people under 18",),
)


# Leahy (2013) [leahy2013]. age [years]; triceps, midaxillary, supraspinale: skinfolds [mm]
def leahy2013_men(age: Array, triceps: Array, midaxillary: Array, supraspinale: Array) -> Array:
    """Body fat [%] of men from the logarithms of three skinfolds and age."""
    upper = 7.6 * np.log10(triceps) + 8.8 * np.log10(midaxillary)
    return 0.1 * age + upper + 11.9 * np.log10(supraspinale) - 11.3


LEAHY2013_MALE = Equation(
    key="leahy2013_male",
    method="skinfold",
    predicts="fat_percent",
    reference_method="dxa",
    sex="male",
    inputs=("age_years", "triceps_mm", "midaxillary_mm", "supraspinale_mm"),
    formula=leahy2013_men,
    see=2.5,
    see_unit="fat_percent",
    limits={"age_years": (18, 81)},
    sites={"triceps_mm": "radiale"},
    n=736,
    population="Irish adults of both sexes, 5.1-56.8% fat",
    criterion="DXA",
    lineage="leahy2013_male",
    source="leahy2013",
    where="equation in the abstract",
    status="verified",
    checked=Checked.DOUBLE_ENTRY,
    known_bias=("95% limits of -4.8 to +4.9 points against DXA in cross-validation (Leahy 2013)",),
    not_for=("people under 18",),
    note="Fitted by quantile regression. Base of the logarithm not stated; only base 10 is"
    " plausible.",
)


# Leahy (2013) [leahy2013]. age [years]; abdomen: girth at the navel [cm];
# midaxillary, biceps, calf: skinfolds [mm]
def leahy2013_women(
    age: Array, abdomen: Array, midaxillary: Array, biceps: Array, calf: Array
) -> Array:
    """Body fat [%] of women from the logarithms of one girth and three skinfolds, and age."""
    trunk = 39.4 * np.log10(abdomen) + 4.9 * np.log10(midaxillary)
    return 0.1 * age + trunk + 11.0 * np.log10(biceps) + 9.1 * np.log10(calf) - 73.5


LEAHY2013_FEMALE = Equation(
    key="leahy2013_female",
    method="skinfold",
    predicts="fat_percent",
    reference_method="dxa",
    sex="female",
    inputs=("age_years", "abdomen_navel_cm", "midaxillary_mm", "biceps_mm", "calf_mm"),
    formula=leahy2013_women,
    see=3.0,
    see_unit="fat_percent",
    limits={"age_years": (18, 81)},
    sites={"biceps_mm": "level"},
    n=736,
    population="Irish adults of both sexes",
    criterion="DXA",
    lineage="leahy2013_female",
    source="leahy2013",
    where="equation in the abstract",
    status="verified",
    checked=Checked.DOUBLE_ENTRY,
    known_bias=("95% limits of -5.7 to +5.9 points against DXA in cross-validation (Leahy 2013)",),
    not_for=("people under 18",),
    note="Fitted by quantile regression. Base of the logarithm not stated; only base 10 is"
    " plausible. The abdominal girth is taken to be at the navel.",
)


# Garcia (2005) [garcia2005]. waist: midway girth [cm]; triceps, subscapular, abdominal:
# skinfolds [mm]
def garcia2005_men(waist: Array, triceps: Array, subscapular: Array, abdominal: Array) -> Array:
    """Fat mass [kg] of men from waist and the logarithms of three skinfolds."""
    logs = np.log10(triceps) + np.log10(subscapular) + np.log10(abdominal)
    return -40.75 + 0.397 * waist + 6.568 * logs


GARCIA2005_MALE = Equation(
    key="garcia2005_male",
    method="skinfold",
    predicts="fat_mass",
    reference_method="dxa",
    sex="male",
    inputs=("waist_midpoint_cm", "triceps_mm", "subscapular_mm", "abdominal_mm"),
    formula=garcia2005_men,
    see=None,
    limits={"age_years": (26, 67)},
    n=46,
    population="healthy German men",
    criterion="DXA",
    lineage="garcia2005_male",
    source="garcia2005",
    where="equation in the abstract",
    status="verified",
    checked=Checked.DOUBLE_ENTRY,
    known_bias=(
        "underestimates less at high fat than the Durnin-Womersley and Peterson equations"
        " (authors, Garcia 2005)",
    ),
    not_for=("people under 26",),
    note="Base of the logarithm not printed; natural logarithms would give impossible masses.",
)


# Garcia (2005) [garcia2005]. hip: girth [cm]; chin, triceps, subscapular: skinfolds [mm];
# knee: breadth [cm]
def garcia2005_women(
    hip: Array, chin: Array, triceps: Array, subscapular: Array, knee: Array
) -> Array:
    """Fat mass [kg] of women from hip, knee and the logarithms of three skinfolds."""
    logs = np.log10(chin) + np.log10(triceps) + np.log10(subscapular)
    return -75.231 + 0.512 * hip + 8.889 * logs + 1.905 * knee


GARCIA2005_FEMALE = Equation(
    key="garcia2005_female",
    method="skinfold",
    predicts="fat_mass",
    reference_method="dxa",
    sex="female",
    inputs=("hip_cm", "chin_mm", "triceps_mm", "subscapular_mm", "knee_breadth_cm"),
    formula=garcia2005_women,
    see=None,
    limits={"age_years": (26, 67)},
    n=71,
    population="healthy German women",
    criterion="DXA",
    lineage="garcia2005_female",
    source="garcia2005",
    where="equation in the abstract",
    status="verified",
    checked=Checked.DOUBLE_ENTRY,
    not_for=("people under 26",),
    note="Base of the logarithm not printed; natural logarithms would give impossible masses.",
)


# Post-menopausal Black women, authors not shown [wright_postmenopausal]. hip: girth [cm];
# wrist: breadth [cm]; biceps: skinfold [mm]; weight [kg]
def wright_postmenopausal_black_women(
    hip: Array, wrist: Array, biceps: Array, weight: Array
) -> Array:
    """Body fat [%] of post-menopausal Black women from hip, wrist, one fold and weight."""
    frame = 58.58 * np.log(hip) - 23.47 * np.log(wrist)
    return -214.28 + frame + 7.24 * np.log(biceps) - 0.00108 * weight**2


WRIGHT_POSTMENOPAUSAL_BLACK_FEMALE = Equation(
    key="wright_postmenopausal_black_female",
    method="skinfold",
    predicts="fat_percent",
    reference_method="dxa",
    sex="female",
    inputs=("hip_cm", "wrist_breadth_cm", "biceps_mm", "weight_kg"),
    formula=wright_postmenopausal_black_women,
    see=1.0,
    see_unit="fat_percent",
    see_note="as printed; implausibly small for this design",
    limits={"age_years": (45, 80)},
    n=72,
    population="post-menopausal Black women",
    criterion="DXA",
    lineage="wright_postmenopausal_female",
    ancestry="black",
    source="wright_postmenopausal",
    where="equation in a repository record",
    status="disputed",
    checked=Checked.FROM_MEMORY,
    not_for=("women before menopause", "people of other ancestry"),
    note="Digits read as printed, but not usable: authors, year and units (cm, cm, mm) are"
    " not shown in the record, and the printed error of 1.0% is implausibly small.",
)


CARDS: tuple[Equation, ...] = (
    PETERSON2003_MALE,
    PETERSON2003_FEMALE,
    BALL2004_MALE_7SITE,
    BALL2004_FEMALE_3SITE,
    LEAHY2013_MALE,
    LEAHY2013_FEMALE,
    GARCIA2005_MALE,
    GARCIA2005_FEMALE,
    WRIGHT_POSTMENOPAUSAL_BLACK_FEMALE,
)
