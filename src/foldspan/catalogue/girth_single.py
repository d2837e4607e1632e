"""Equations from one torso girth, with age, height or sex: a waist or the hips."""

from __future__ import annotations

from dataclasses import replace

from foldspan.catalogue.card import Array, Bmi, Checked, Equation


# Lean (1996) [lean1996], men. waist midway rib to crest [cm]; age [years].
def lean1996_men_waist(waist: Array, age: Array) -> Array:
    """Body fat [%] from waist and age."""
    return 0.567 * waist + 0.101 * age - 31.8


LEAN1996_MALE_WAIST = Equation(
    key="lean1996_male_waist",
    method="girth",
    predicts="fat_percent",
    reference_method="density",
    sex="male",
    inputs=("waist_midpoint_cm", "age_years"),
    formula=lean1996_men_waist,
    see=4.1,
    see_note="not verified in print",
    limits={"age_years": (18, 83)},
    n=63,
    population="white Dutch and Scottish men; 146 more for cross-validation",
    criterion="underwater weighing",
    lineage="lean1996_male_waist",
    source="lean1996",
    where="reprinted in a textbook chapter of two of the authors",
    status="read in a secondary text",
    checked=Checked.DOUBLE_ENTRY,
    known_bias=(
        "overestimates by 0.3 points in US men aged 18 to 59 against DXA: underestimates by 3.5"
        " below BMI 25, overestimates by 4.4 from 30 (own analysis, US survey 2017-18, waist"
        " at the iliac crest)",
    ),
    not_for=("people under 18", "women"),
    note="Sample ages 16.8 to 65.4 (not verified in print); the check reached from 18 to 83.",
)


# Lean (1996) [lean1996], women. waist midway rib to crest [cm]; age [years].
def lean1996_women_waist(waist: Array, age: Array) -> Array:
    """Body fat [%] from waist and age."""
    return 0.439 * waist + 0.221 * age - 9.4


LEAN1996_FEMALE_WAIST = replace(
    LEAN1996_MALE_WAIST,
    key="lean1996_female_waist",
    sex="female",
    formula=lean1996_women_waist,
    see=5.1,
    see_note="not verified in print, uncertain",
    n=84,
    population="white Dutch and Scottish women; 238 more for cross-validation",
    lineage="lean1996_female_waist",
    known_bias=(
        "overestimates by 1.9 points in US women aged 18 to 59 against DXA: overestimates by"
        " 0.5 below BMI 25, overestimates by 4.3 from 30 (own analysis, US survey 2017-18,"
        " waist at the iliac crest)",
    ),
    not_for=("people under 18", "men"),
    note="",
)


# Hart (2019) [hart2019]. waist at the iliac crest [cm]; is_male: 1 man, 0 woman.
def hart2019_both_waist(waist: Array, is_male: Array) -> Array:
    """Body fat [%] from waist and sex."""
    return 2.5102 + 0.38914 * waist - 13.34843 * is_male


HART2019_BOTH_WAIST = Equation(
    key="hart2019_both_waist",
    method="girth",
    predicts="fat_percent",
    reference_method="dxa",
    sex="both",
    inputs=("waist_iliac_cm", "is_male"),
    formula=hart2019_both_waist,
    see=3.47,
    see_note="from limits of agreement of 6.8 points either side",
    limits={"age_years": (18, 24)},
    n=684,
    population="young adults of a US national survey; one half fitted, one half checked",
    criterion="DXA",
    lineage="hart2019",
    source="hart2019",
    where="abstract",
    status="verified",
    checked=Checked.DOUBLE_ENTRY,
    known_bias=(
        "shows no error in US men aged 18 to 59 and overestimates by 0.6 in women against DXA,"
        " SD 3.6 and 4.4 (own analysis, US survey 2017-18)",
    ),
    not_for=("people under 18", "adults from 25 years"),
    note=(
        "The sex term is printed without its variable; its sign shows 1 = man. The waist is"
        " assumed to be that of the survey, at the iliac crest; the abstract does not say."
    ),
)


# Bergman (2011) [bergman2011]. hip [cm]; height [cm], entering in metres.
def bergman2011_both_hip_height(hip: Array, height: Array) -> Array:
    """Body fat [%] from hip and height."""
    return hip / (height / 100) ** 1.5 - 18


BERGMAN2011_BOTH_HIP_HEIGHT = Equation(
    key="bergman2011_both_hip_height",
    method="girth",
    predicts="fat_percent",
    reference_method="dxa",
    sex="both",
    inputs=("hip_cm", "height_cm"),
    formula=bergman2011_both_hip_height,
    see=None,
    limits={"age_years": (18, 67)},
    n=1733,
    population="Mexican American adults; 223 African American for cross-validation (n, ages not verified"
    " in print)",
    criterion="DXA",
    lineage="bergman2011",
    source="bergman2011",
    where="abstract",
    status="verified",
    checked=Checked.DOUBLE_ENTRY,
    known_bias=(
        "overestimates by 3.9 points in men and underestimates by 2.5 in women, 1,151"
        " adults, against DXA; another copy of the abstract has the two reversed (Freedman"
        " 2012)",
        "overestimates by 4.7 points in 247 men weighed under water (own analysis, open data set)",
    ),
    not_for=("people under 18", "used as the only estimate"),
    note="Has no sex term. No better than BMI or waist once sex is known.",
)


# El Aarbaoui (2013) [el_aarbaoui2013], children. hip [cm]; height [cm], entering in metres.
def el_aarbaoui2013_youth_hip_height(hip: Array, height: Array) -> Array:
    """Body fat [%] from hip and height."""
    return hip / (height / 100) ** 0.8 - 38


EL_AARBAOUI2013_YOUTH_HIP_HEIGHT = Equation(
    key="el_aarbaoui2013_youth_hip_height",
    method="girth",
    predicts="fat_percent",
    reference_method="density",
    sex="both",
    inputs=("hip_cm", "height_cm"),
    formula=el_aarbaoui2013_youth_hip_height,
    see=None,
    limits={"age_years": (5, 12)},
    n=1615,
    population="French children",
    criterion="foot-to-foot impedance",
    lineage="el_aarbaoui2013",
    source="el_aarbaoui2013",
    where="equation in the abstract",
    status="verified",
    checked=Checked.DOUBLE_ENTRY,
    audience="youth",
    known_bias=("95% limits of -9.1 to +8.8 points against its criterion, r 0.74 (authors)",),
    not_for=("adults", "people over 12"),
    note="The criterion is itself an estimate from impedance, not a reference method.",
)


# Adults in Japan (2010s) [japan2010s]. is_male: 1 man, 0 woman, printed as 1 man, 2 woman; age [years];
# bmi [kg/m²]; abdomen at the navel [cm].
def japan2010s_both_bmi_abdomen(is_male: Array, age: Array, bmi: Array, abdomen: Array) -> Array:
    """Body fat [%] from sex, age, body mass index and the abdomen."""
    return 10.558 * (2 - is_male) + 0.069 * age + 0.667 * bmi + 0.314 * abdomen - 35.881


JAPAN2010S_BOTH_BMI_ABDOMEN = Equation(
    key="japan2010s_both_bmi_abdomen",
    method="girth",
    predicts="fat_percent",
    reference_method="density",
    sex="both",
    inputs=("is_male", "age_years", Bmi(), "abdomen_navel_cm"),
    formula=japan2010s_both_bmi_abdomen,
    see=None,
    limits={"age_years": (18, 59)},
    n=810,
    population="adults in Japan, 283 men and 527 women",
    criterion="underwater weighing",
    lineage="japan2010s_both",
    ancestry="japanese",
    source="japan2010s",
    where="equation in the abstract",
    status="verified",
    checked=Checked.DOUBLE_ENTRY,
    not_for=("people under 18", "people of other ancestry"),
    note="Explains 69% of the variance; no error in points is printed. The abstract does not"
    " say where the abdomen was measured; the navel is assumed.",
)

CARDS: tuple[Equation, ...] = (
    LEAN1996_MALE_WAIST,
    LEAN1996_FEMALE_WAIST,
    HART2019_BOTH_WAIST,
    BERGMAN2011_BOTH_HIP_HEIGHT,
    EL_AARBAOUI2013_YOUTH_HIP_HEIGHT,
    JAPAN2010S_BOTH_BMI_ABDOMEN,
)
