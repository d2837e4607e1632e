"""Equations from weight and height that are not a straight line of the body mass index.

Reciprocal and logarithmic forms level off; quadratics turn over, so their spans matter.
The three that predict a mass in kilograms stand at the end.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from foldspan.catalogue.card import Array, Bmi, Checked, Equation


# Gallagher (2000) [gallagher2000]. bmi [kg/m²]; age [years]; is_male: 1 man, 0 woman.
def gallagher2000_both_bmi(bmi: Array, age: Array, is_male: Array) -> Array:
    """Body fat [%] from the reciprocal of body mass index, age and sex."""
    men = -16.4 * is_male + 0.05 * is_male * age + 39 * is_male / bmi
    return 64.5 - 848 / bmi + 0.079 * age + men


GALLAGHER2000_BOTH_BMI = Equation(
    key="gallagher2000_both_bmi",
    method="mass_height",
    predicts="fat_percent",
    reference_method="density",
    sex="both",
    inputs=(Bmi(), "age_years", "is_male"),
    formula=gallagher2000_both_bmi,
    see=5.4,
    see_note="2.8 to 5.4 across the models in the paper",
    limits={"age_years": (20, 79), "bmi": (17, 35)},
    n=1626,
    population="white and African American adults, US and UK; the n counts Asian adults too",
    criterion="four compartments, and DXA",
    lineage="gallagher2000",
    source="gallagher2000",
    where="reprinted in Krachler 2013, table 1, but for one sign",
    status="not verified in print",
    checked=Checked.FROM_MEMORY,
    known_bias=(
        "underestimates by 4.6 points in overweight men, overestimates by 1.1 in men with"
        " obesity and underestimates by 2.4 in women with obesity against a three-compartment model"
        " (Nickerson 2020)",
        (
            "underestimates by 1.0 points in Finnish women aged 40 to 79 against DXA, SD 4.1"
            " (Krachler 2013)"
        ),
        "underestimates by 3.9 points in US men and 2.3 in women aged 18 to 59 against DXA, SD"
        " 4.5 (own analysis, US survey 2017-18)",
    ),
    not_for=("people under 20", "adults from 80 years", "a BMI above 35"),
    note="Read in a reprint that has -0.05 for men by age and all else as here. Taken as +0.05, which"
    " returns the paper's limits for men (as recalled) and lets men gain fat with age as women do.",
)


# Gallagher (2000) [gallagher2000], with ancestry. bmi [kg/m²]; age [years]; indicators 0 or 1.
def gallagher2000_both_bmi_ancestry(
    bmi: Array, age: Array, is_male: Array, is_asian: Array, is_black: Array
) -> Array:
    """Body fat [%] from the reciprocal of body mass index, age, sex and ancestry."""
    asian = 129 * is_asian / bmi - 0.091 * is_asian * age
    return 63.7 - 864 / bmi - 12.1 * is_male + 0.12 * age + asian - 0.03 * is_black * age


GALLAGHER2000_BOTH_BMI_ANCESTRY = replace(
    GALLAGHER2000_BOTH_BMI,
    key="gallagher2000_both_bmi_ancestry",
    inputs=(Bmi(), "age_years", "is_male", "is_asian", "is_black"),
    formula=gallagher2000_both_bmi_ancestry,
    see=5.0,
    see_note="not verified in print",
    population="white, African American and Japanese adults; US, UK and Japan",
    criterion="four compartments and DXA pooled",
    where="equation (page not seen)",
    status="not verified in print",
    checked=Checked.FROM_MEMORY,
    known_bias=(
        "underestimates by 2.7 points in US men and 2.1 in women aged 18 to 59 against DXA, SD"
        " 4.4; underestimates by 3.4 in Asian men (own analysis, US survey 2017-18)",
    ),
    note="",
)


# Gomez-Ambrosi (2012) [gomez_ambrosi2012]. bmi [kg/m²]; age [years]; is_female: 1 woman, 0 man.
def gomez_ambrosi2012_both_bmi(bmi: Array, age: Array, is_female: Array) -> Array:
    """Body fat [%] from body mass index, its square, age and sex."""
    women = 10.689 * is_female + 0.181 * bmi * is_female - 0.005 * bmi**2 * is_female
    ageing = 0.503 * age - 0.02 * bmi * age + 0.00021 * bmi**2 * age
    return -44.988 + 3.172 * bmi - 0.026 * bmi**2 + women + ageing


GOMEZ_AMBROSI2012_BOTH_BMI = Equation(
    key="gomez_ambrosi2012_both_bmi",
    method="mass_height",
    predicts="fat_percent",
    reference_method="density",
    sex="both",
    inputs=(Bmi(), "age_years", "is_female"),
    formula=gomez_ambrosi2012_both_bmi,
    see=4.66,
    limits={"age_years": (18, 80)},
    n=6510,
    population=("white Spanish adults, two thirds women, mean 39.9% fat; 1149 to cross-validate"),
    criterion="air displacement",
    lineage="gomez_ambrosi2012",
    source="gomez_ambrosi2012",
    where="reprinted in Molina-Luque 2020, table of formulas",
    status="read in a secondary text",
    checked=Checked.DOUBLE_ENTRY,
    known_bias=(
        "underestimates by 2.7 to 3.5 points below BMI 25 and overestimates by 3.9 to 4.4"
        " from 30 in US adults aged 18 to 59 against DXA, SD 5.3 (own analysis, US survey"
        " 2017-18)",
        "overestimates by 2.0 points in Black US men and 2.9 in Black US women against DXA"
        " (own analysis, same survey)",
    ),
    not_for=("people under 18",),
    note="The sex code is printed as 0 = man, 1 = woman.",
)


# Molina-Luque (2019) [molina_luque2019]. bmi [kg/m²]; age [years]; is_female: 1 woman, 0 man.
def molina_luque2019_both_bmi(bmi: Array, age: Array, is_female: Array) -> Array:
    """Body fat [%] from the natural logarithm of body mass index, age and sex."""
    return -97.102 + 0.123 * age + 11.9 * is_female + 35.959 * np.log(bmi)


MOLINA_LUQUE2019_BOTH_BMI = replace(
    GOMEZ_AMBROSI2012_BOTH_BMI,
    key="molina_luque2019_both_bmi",
    formula=molina_luque2019_both_bmi,
    see=None,
    see_note="limits of agreement of 0.97 points are against another equation, not a measurement",
    limits={"age_years": (18, 65)},
    n=906,
    population="Spanish workers, 572 men and 334 women",
    criterion="the estimate of Gomez-Ambrosi 2012, not a measurement",
    source="molina_luque2019",
    where="equation (page not seen)",
    status="not verified in print",
    checked=Checked.FROM_MEMORY,
    known_bias=(
        "overestimates by 0.1 points in US men and 0.7 in women aged 18 to 59 against DXA, SD"
        " 5.0 and 5.5 (own analysis, US survey 2017-18)",
    ),
    note="Fitted to the output of the 2012 equation, so the two count as one.",
)


# Conference paper (2015) [survey2015]. bmi [kg/m²]; age [years]; indicators 0 or 1.
def survey2015_both_inverse_bmi(
    bmi: Array, age: Array, is_male: Array, is_black: Array, is_mexican_american: Array
) -> Array:
    """Body fat [%] from the reciprocal of body mass index, age, sex and ancestry."""
    ancestry = -1.95 * is_black + 0.36 * is_mexican_american
    return 61.93 - 680.06 / bmi - 12.05 * is_male + 0.08 * age + ancestry


SURVEY2015_BOTH_INVERSE_BMI = Equation(
    key="survey2015_both_inverse_bmi",
    method="mass_height",
    predicts="fat_percent",
    reference_method="dxa",
    sex="both",
    inputs=(Bmi(), "age_years", "is_male", "is_black", "is_mexican_american"),
    formula=survey2015_both_inverse_bmi,
    see=3.5,
    limits={"age_years": (20, 99)},
    n=13529,
    population="US national survey 1999-2006; 10,684 fitted and 2,845 checked",
    criterion="DXA",
    lineage="survey2015",
    source="survey2015",
    where="conference abstract",
    status="verified",
    checked=Checked.DOUBLE_ENTRY,
    known_bias=(
        "overestimates by 0.5 points in US men and 1.0 in women aged 18 to 59 against DXA, SD"
        " 4.1 and 3.9 (own analysis, US survey 2017-18)",
    ),
    not_for=("people under 20",),
    note="Not a full reviewed paper. Ancestry is printed as a code of 0, 1 or 2 and read as two "
    "indicators. Same survey years as Lee 2017 and Woolcott 2018.",
)


# Jackson (2002) [jackson2002], men. bmi [kg/m²].
def jackson2002_men(bmi: Array) -> Array:
    """Body fat [%] from body mass index and its square."""
    return 3.76 * bmi - 0.04 * bmi**2 - 47.8


JACKSON2002_MALE_BMI = Equation(
    key="jackson2002_male_bmi",
    method="mass_height",
    predicts="fat_percent",
    reference_method="density",
    sex="male",
    inputs=(Bmi(),),
    formula=jackson2002_men,
    see=None,
    limits={"age_years": (17, 65), "bmi": (17, 42)},
    n=665,
    population="Black and white sedentary adults of a family study; the n counts both sexes",
    criterion="underwater weighing, two compartments by race and sex",
    lineage="jackson2002_male",
    source="jackson2002",
    where="equation (page not seen)",
    status="not verified in print",
    checked=Checked.FROM_MEMORY,
    known_bias=(
        "underestimates by 5.8 points in overweight men against a three-compartment model"
        " (Nickerson 2020)",
        "total error 7.3 points in 130 young adults against a four-compartment model (Nickerson 2018)",
        "underestimates by 1.7 points in US men aged 18 to 59 against DXA, SD 5.2 (own"
        " analysis, US survey 2017-18)",
    ),
    not_for=("people under 17", "women"),
    note="The curve turns over at BMI 47.",
)


# Jackson (2002) [jackson2002], women. bmi [kg/m²].
def jackson2002_women(bmi: Array) -> Array:
    """Body fat [%] from body mass index and its square."""
    return 4.35 * bmi - 0.05 * bmi**2 - 46.24


JACKSON2002_FEMALE_BMI = replace(
    JACKSON2002_MALE_BMI,
    key="jackson2002_female_bmi",
    sex="female",
    formula=jackson2002_women,
    limits={"age_years": (17, 65), "bmi": (17, 40)},
    criterion="underwater weighing",
    lineage="jackson2002_female",
    known_bias=(
        "overestimates by 1.8 points in overweight women against a three-compartment model"
        " (Nickerson 2020)",
        "total error 7.3 points in 130 young adults against a four-compartment model (Nickerson 2018)",
        "underestimates by 3.8 points in US women aged 18 to 59 against DXA, and by"
        " 8.2 below BMI 25 (own analysis, US survey 2017-18)",
    ),
    not_for=("people under 17", "men"),
    note="The curve turns over at BMI 43.5.",
)


# Larsson (2006) [larsson2006], men. weight [kg]; height [cm], entering in metres.
def larsson2006_men(weight: Array, height: Array) -> Array:
    """Fat mass [kg] from weight over height."""
    return -30.84 + 1.12 * weight / (height / 100)


LARSSON2006_MALE_WEIGHT_HEIGHT = Equation(
    key="larsson2006_male_weight_height",
    method="mass_height",
    predicts="fat_mass",
    reference_method="dxa",
    sex="male",
    inputs=("weight_kg", "height_cm"),
    formula=larsson2006_men,
    see=None,
    limits={"age_years": (37, 61)},
    population="Swedish men, reference sample of an obesity study (ages not verified in print)",
    criterion="DXA (not verified in print)",
    lineage="larsson2006_male",
    source="larsson2006",
    where="reprinted in Krachler 2013, table 1",
    status="read in a secondary text",
    checked=Checked.DOUBLE_ENTRY,
    known_bias=(
        "underestimates by 1.3 points in Finnish men aged 40 to 79 against DXA, SD 4.7"
        " (Krachler 2013)",
        "underestimates by 0.2 points in US men aged 18 to 59 against DXA, SD 5.1 (own"
        " analysis, US survey 2017-18)",
    ),
    not_for=("people under 18", "women"),
    note="Negative below 27.5 kg of weight per metre of height.",
)


# Larsson (2006) [larsson2006], women. weight [kg]; height [cm], entering in metres.
def larsson2006_women(weight: Array, height: Array) -> Array:
    """Fat mass [kg] from weight over height."""
    return -24.18 + 1.181 * weight / (height / 100)


LARSSON2006_FEMALE_WEIGHT_HEIGHT = replace(
    LARSSON2006_MALE_WEIGHT_HEIGHT,
    key="larsson2006_female_weight_height",
    sex="female",
    formula=larsson2006_women,
    population="Swedish women, reference sample of an obesity study (ages not verified in print)",
    lineage="larsson2006_female",
    known_bias=(
        "overestimates by 0.1 points in Finnish women aged 40 to 79 against DXA, SD 4.1"
        " (Krachler 2013)",
        "overestimates by 0.3 points in US women aged 18 to 59 against DXA, SD 5.0 (own"
        " analysis, US survey 2017-18)",
    ),
    not_for=("people under 18", "men"),
    note="Negative below 20.5 kg of weight per metre of height.",
)


# Al-Gindan (2015) [al_gindan2015], women. weight [kg]; age [years]; height [cm].
def al_gindan2015_women(weight: Array, age: Array, height: Array) -> Array:
    """Adipose tissue mass [kg] from weight, age and height."""
    return 0.789 * weight + 0.0786 * age - 0.342 * height + 24.5


AL_GINDAN2015_FEMALE_WEIGHT_HEIGHT = Equation(
    key="al_gindan2015_female_weight_height",
    method="mass_height",
    predicts="adipose_mass",
    reference_method="density",
    sex="female",
    inputs=("weight_kg", "age_years", "height_cm"),
    formula=al_gindan2015_women,
    see=3.0,
    see_unit="mass",
    limits={"age_years": (18, 86), "bmi": (15.7, 40.8)},
    n=416,
    population="adults of several ancestries; 222 of the n are women",
    criterion="whole-body MRI",
    lineage="al_gindan2015_female",
    source="al_gindan2015",
    where="abstract",
    status="verified",
    checked=Checked.DOUBLE_ENTRY,
    not_for=("people under 18", "men"),
    note="Adipose tissue is about four fifths fat (not verified in print).",
)

CARDS: tuple[Equation, ...] = (
    GALLAGHER2000_BOTH_BMI_ANCESTRY,  # first: it is used where an ancestry is stated
    GALLAGHER2000_BOTH_BMI,
    GOMEZ_AMBROSI2012_BOTH_BMI,
    MOLINA_LUQUE2019_BOTH_BMI,
    SURVEY2015_BOTH_INVERSE_BMI,
    JACKSON2002_MALE_BMI,
    JACKSON2002_FEMALE_BMI,
    LARSSON2006_MALE_WEIGHT_HEIGHT,
    LARSSON2006_FEMALE_WEIGHT_HEIGHT,
    AL_GINDAN2015_FEMALE_WEIGHT_HEIGHT,
)
