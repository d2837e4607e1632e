"""Girth equations written for the fitness rules of armed services.

Inputs are metric; forms printed for inches or pounds divide inside the formula.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from foldspan.catalogue.card import Array, Checked, Equation

_NAVY_MEN_BIAS = (
    "underestimates by 4.2 points in servicemen against DXA (Holthaus, J Exerc Nutr)",
    "underestimates by 2.9 points in 31 men against a three-compartment model, SE 4.0 (Moon 2008)",
    "underestimates by 2.6 points in fit Marine men up to 30 years against DXA, SD 3.7"
    " (Potter 2022)",
    "overestimates by 6.8 points below 12% fat and underestimates by 1.8 above 25% against"
    " underwater weighing (own analysis on an open data set of 247 men)",
)


# Hodgdon & Beckett (1984) [hodgdon_beckett1984_men]. abdomen at the navel, neck, height [cm].
def hodgdon_beckett1984_men(abdomen: Array, neck: Array, height: Array) -> Array:
    """Body density [g/cm³] from abdomen less neck, and height."""
    return 1.0324 - 0.19077 * np.log10(abdomen - neck) + 0.15456 * np.log10(height)


HODGDON_BECKETT1984_MALE = Equation(
    key="hodgdon_beckett1984_male_abdomen_neck",
    method="girth",
    predicts="density",
    reference_method="density",
    sex="male",
    inputs=("abdomen_navel_cm", "neck_cm", "height_cm"),
    formula=hodgdon_beckett1984_men,
    see=3.52,
    see_note="not verified in print; a service abstract of 2021 prints 2.7",
    limits={"age_years": (18, 56)},
    n=602,
    population="US Navy men, mostly white (n and ages not verified in print)",
    criterion="underwater weighing, Siri",
    lineage="navy_male",
    source="hodgdon_beckett1984_men",
    where="density equation (page not seen)",
    status="not verified in print",
    checked=Checked.FROM_MEMORY,
    known_bias=_NAVY_MEN_BIAS,
    not_for=("people under 18", "women"),
    note="Abdomen less neck must be above zero. The form rounded to three decimals was read.",
)


# Hodgdon & Beckett (1984), rounded in Moon (2008), tables 2-3. abdomen, neck, height [cm].
def hodgdon_beckett1984_men_rounded(abdomen: Array, neck: Array, height: Array) -> Array:
    """Body density [g/cm³] from abdomen less neck, and height."""
    return 1.032 - 0.191 * np.log10(abdomen - neck) + 0.155 * np.log10(height)


HODGDON_BECKETT1984_MALE_ROUNDED = replace(
    HODGDON_BECKETT1984_MALE,
    key="hodgdon_beckett1984_male_abdomen_neck_rounded",
    formula=hodgdon_beckett1984_men_rounded,
    where="reprinted in Moon 2008, tables 2-3",
    status="read in a secondary text",
    checked=Checked.DOUBLE_ENTRY,
    note="Same equation as the five-decimal form; gives at most 0.1 points less.",
)


# Hodgdon & Beckett (1984) [hodgdon_beckett1984_women]. narrowest waist, hip, neck, height [cm].
def hodgdon_beckett1984_women(waist: Array, hip: Array, neck: Array, height: Array) -> Array:
    """Body density [g/cm³] from waist plus hip less neck, and height."""
    return 1.29579 - 0.35004 * np.log10(waist + hip - neck) + 0.221 * np.log10(height)


HODGDON_BECKETT1984_FEMALE = Equation(
    key="hodgdon_beckett1984_female_waist_hip_neck",
    method="girth",
    predicts="density",
    reference_method="density",
    sex="female",
    inputs=("waist_narrowest_cm", "hip_cm", "neck_cm", "height_cm"),
    formula=hodgdon_beckett1984_women,
    see=3.72,
    see_note="a service abstract of 2021 prints 3.7",
    limits={"age_years": (18, 44)},
    n=214,
    population="US Navy women (n and ages not verified in print)",
    criterion="underwater weighing, Siri",
    lineage="navy_female",
    source="hodgdon_beckett1984_women",
    where="density equation (page not seen)",
    status="not verified in print",
    checked=Checked.FROM_MEMORY,
    known_bias=(
        "underestimates by 0.7 points in servicewomen against DXA (Holthaus, J Exerc Nutr)",
        "overestimates in 179 fit Marine women against DXA, amount not visible (Potter 2022)",
    ),
    not_for=("people under 18", "men", "waists taken at the navel"),
    note="Needs the narrowest waist: a navel girth 6 cm larger adds about 3 points.",
)


# Hodgdon & Friedl (1999) [hodgdon_friedl1999]. abdomen at the navel, neck, height [cm].
def hodgdon_friedl1999_men(abdomen: Array, neck: Array, height: Array) -> Array:
    """Body fat [%] from abdomen less neck, and height, all in centimetres."""
    return 86.01 * np.log10(abdomen - neck) - 70.041 * np.log10(height) + 30.3


HODGDON_FRIEDL1999_MALE = replace(
    HODGDON_BECKETT1984_MALE,
    key="hodgdon_friedl1999_male_abdomen_neck",
    predicts="fat_percent",
    formula=hodgdon_friedl1999_men,
    limits={"age_years": (17, 60)},
    population="US Navy men, the 1984 sample fitted again (n not verified in print)",
    source="hodgdon_friedl1999",
    where="inch equation (page not seen), turned to centimetres",
    note="Abdomen less neck must be above zero. 36.76 - 15.969 log10(2.54) = 30.30: the inch form was"
    " read in a secondary text, the centimetre constant follows from it and was not read.",
)


# Hodgdon & Friedl (1999), as printed for inches. abdomen at the navel, neck, height [cm].
def hodgdon_friedl1999_men_inch(abdomen: Array, neck: Array, height: Array) -> Array:
    """Body fat [%] from abdomen less neck, and height, turned to inches first."""
    return 86.01 * np.log10((abdomen - neck) / 2.54) - 70.041 * np.log10(height / 2.54) + 36.76


HODGDON_FRIEDL1999_MALE_INCH = replace(
    HODGDON_FRIEDL1999_MALE,
    key="hodgdon_friedl1999_male_abdomen_neck_inch",
    formula=hodgdon_friedl1999_men_inch,
    where="quoted from a service regulation (report not seen)",
    status="read in a secondary text",
    checked=Checked.DOUBLE_ENTRY,
    note="The constant 36.76 belongs to inches only: fed with centimetres it overestimates"
    " by 6.5 points. Abdomen less neck must be above zero.",
)


# Hodgdon & Friedl (1999) [hodgdon_friedl1999]. narrowest waist, hip, neck, height [cm].
def hodgdon_friedl1999_women(waist: Array, hip: Array, neck: Array, height: Array) -> Array:
    """Body fat [%] from waist plus hip less neck, and height, all in centimetres."""
    return 163.205 * np.log10(waist + hip - neck) - 97.684 * np.log10(height) - 104.912


HODGDON_FRIEDL1999_FEMALE = replace(
    HODGDON_BECKETT1984_FEMALE,
    key="hodgdon_friedl1999_female_waist_hip_neck",
    predicts="fat_percent",
    formula=hodgdon_friedl1999_women,
    see=3.61,
    see_note="not verified in print",
    limits={"age_years": (17, 60)},
    population="US Navy women, the 1984 sample fitted again (n not verified in print)",
    source="hodgdon_friedl1999",
    where="inch equation (page not seen), turned to centimetres",
    note="Needs the narrowest waist. -78.387 - 65.521 log10(2.54) = -104.912: the inch form was read"
    " in a secondary text, the centimetre constant follows from it and was not read.",
)


# Hodgdon & Friedl (1999), as printed for inches. narrowest waist, hip, neck, height [cm].
def hodgdon_friedl1999_women_inch(waist: Array, hip: Array, neck: Array, height: Array) -> Array:
    """Body fat [%] from waist plus hip less neck, and height, turned to inches first."""
    return (
        163.205 * np.log10((waist + hip - neck) / 2.54) - 97.684 * np.log10(height / 2.54) - 78.387
    )


HODGDON_FRIEDL1999_FEMALE_INCH = replace(
    HODGDON_FRIEDL1999_FEMALE,
    key="hodgdon_friedl1999_female_waist_hip_neck_inch",
    formula=hodgdon_friedl1999_women_inch,
    where="quoted from a service regulation (report not seen)",
    status="read in a secondary text",
    checked=Checked.DOUBLE_ENTRY,
    note="Needs the narrowest waist, as the regulation says too. The constant -78.387"
    " belongs to inches only: fed with centimetres it overestimates by 26.5 points.",
)


# Vogel (1988) [vogel1988], Army men. abdomen at the navel, neck, height [cm].
def vogel1988_men(abdomen: Array, neck: Array, height: Array) -> Array:
    """Body fat [%] from abdomen less neck, and height."""
    return 76.5 * np.log10(abdomen - neck) - 68.7 * np.log10(height) + 43.7


VOGEL1988_MALE = Equation(
    key="vogel1988_male_abdomen_neck",
    method="girth",
    predicts="fat_percent",
    reference_method="density",
    sex="male",
    inputs=("abdomen_navel_cm", "neck_cm", "height_cm"),
    formula=vogel1988_men,
    see=4.02,
    limits={"age_years": (17, 47)},
    n=1126,
    population="US Army men (n, ages and error not verified in print)",
    criterion="underwater weighing",
    lineage="vogel1988_male",
    source="vogel1988",
    where="reprinted in Moon 2008, tables 2-3",
    status="read in a secondary text",
    checked=Checked.DOUBLE_ENTRY,
    known_bias=(
        "underestimates by 2.0 points in 31 college men against a three-compartment model, SE 4.0"
        " (Moon 2008)",
        "underestimates by 1.4 points in the same men against underwater weighing, SE 3.2"
        " (Moon 2008)",
    ),
    not_for=("people under 17", "women"),
    note="43.7 is the centimetre constant; 46.9, also in use, belongs to inches.",
)


# Vogel (1988) [vogel1988], Army women. weight [kg]; wrist, neck, forearm, hip, height [cm].
def vogel1988_women(
    weight: Array, wrist: Array, neck: Array, forearm: Array, hip: Array, height: Array
) -> Array:
    """Body fat [%] from weight, four girths and height."""
    girths = -0.2 * wrist - 0.533 * neck - 1.574 * forearm + 0.173 * hip
    return 105.3 * np.log10(weight) + girths - 0.515 * height - 35.6


VOGEL1988_FEMALE = replace(
    VOGEL1988_MALE,
    key="vogel1988_female_girths",
    sex="female",
    inputs=("weight_kg", "wrist_girth_cm", "neck_cm", "forearm_girth_cm", "hip_cm", "height_cm"),
    formula=vogel1988_women,
    see=3.6,
    n=266,
    population="US Army women (n, ages and error not verified in print)",
    lineage="vogel1988_female",
    where="equation (page not seen)",
    status="not verified in print",
    checked=Checked.FROM_MEMORY,
    known_bias=(),
    not_for=("people under 17", "men"),
    note=(
        "A larger wrist, neck or forearm lowers the answer, so it underestimates in broad-framed"
        " women."
    ),
)


# Wright (1981) [wright1981], Marine men. abdomen at the navel, neck [cm].
def wright1981_men(abdomen: Array, neck: Array) -> Array:
    """Body fat [%] from two girths."""
    return 0.74 * abdomen - 1.249 * neck + 0.528


WRIGHT1981_MALE = replace(
    VOGEL1988_MALE,
    key="wright1981_male_abdomen_neck",
    inputs=("abdomen_navel_cm", "neck_cm"),
    formula=wright1981_men,
    see=3.67,
    limits={"age_years": (17, 46)},
    n=279,
    population="US Marine men (n, ages and error not verified in print)",
    lineage="wright1981_male",
    source="wright1981",
    where="slopes reprinted in Moon 2008, tables 2-3; constant not verified in print",
    status="disputed",
    checked=Checked.FROM_MEMORY,
    known_bias=(
        "with 0.985 underestimates by 2.7 points in 31 men, three-compartment model (Moon 2008)",
    ),
    note="Slopes agree between sources; the constant is 0.528 or 0.985, 0.46 points apart.",
)


# Wright (1980) [wright1980], Marine women. arm, forearm, neck, navel, upper thigh girths [cm].
def wright1980_women(arm: Array, forearm: Array, neck: Array, navel: Array, thigh: Array) -> Array:
    """Body fat [%] from five girths."""
    return 1.051 * arm - 1.522 * forearm - 0.879 * neck + 0.326 * navel + 0.597 * thigh + 0.707


WRIGHT1980_FEMALE = replace(
    VOGEL1988_FEMALE,
    key="wright1980_female_girths",
    inputs=(
        "arm_relaxed_girth_cm",
        "forearm_girth_cm",
        "neck_cm",
        "abdomen_navel_cm",
        "thigh_upper_girth_cm",
    ),
    formula=wright1980_women,
    see=4.11,
    limits={"age_years": (18, 39)},
    n=181,
    population="US Marine women (n, ages and error not verified in print)",
    lineage="wright1980_female",
    source="wright1980",
    note="The arm is held out level, palm up, and measured at its largest.",
)


# Friedl & Vogel (1997) [friedl1997], Army men. abdomen at the navel, neck, height [cm].
def friedl1997_men(abdomen: Array, neck: Array, height: Array) -> Array:
    """Body fat [%] from abdomen less neck, and height."""
    return 0.771 * (abdomen - neck) - 0.132 * height + 4.29


FRIEDL1997_MALE = replace(
    VOGEL1988_MALE,
    key="friedl1997_male_abdomen_neck",
    reference_method="dxa",
    formula=friedl1997_men,
    see=None,
    limits={"age_years": (17, 39)},
    n=496,
    population="US Army men under 40",
    criterion="DXA",
    lineage="friedl1997_male",
    source="friedl1997",
    known_bias=(
        "underestimates by 1.9 points in 31 college men against a three-compartment model, SE 3.9"
        " (Moon 2008)",
        "underestimates by 1.3 points in the same men against underwater weighing, SE 3.2"
        " (Moon 2008)",
    ),
    note="That the equation comes from this paper is not verified in print; its digits were read.",
)


# Taylor (2024) [taylor2024], men, printed for inches and pounds. navel girth [cm], weight [kg].
def taylor2024_men(abdomen: Array, weight: Array) -> Array:
    """Body fat [%] from abdomen and weight, turned to inches and pounds first."""
    return -26.97 - 0.12 * (weight / 0.45359237) + 1.99 * (abdomen / 2.54)


TAYLOR2024_MALE = Equation(
    key="taylor2024_male_abdomen",
    method="girth",
    predicts="fat_percent",
    reference_method="dxa",
    sex="male",
    inputs=("abdomen_navel_cm", "weight_kg"),
    formula=taylor2024_men,
    see=None,
    limits={"age_years": (17, 60)},
    n=1261,
    population="US Army men on active duty",
    criterion="DXA",
    lineage="taylor2024_male",
    source="taylor2024",
    where="equation (page not seen)",
    status="not verified in print",
    checked=Checked.FROM_MEMORY,
    known_bias=(
        "overestimates by 4.9 points in 247 men weighed under water (own analysis, open data set)",
    ),
    not_for=("people under 17", "women"),
    note="Service practice rounds inches, pounds and the answer (not verified in print); not done here.",
)


# Taylor (2024) [taylor2024], women, likewise. navel girth [cm], weight [kg].
def taylor2024_women(abdomen: Array, weight: Array) -> Array:
    """Body fat [%] from abdomen and weight, turned to inches and pounds first."""
    return -9.15 - 0.015 * (weight / 0.45359237) + 1.27 * (abdomen / 2.54)


TAYLOR2024_FEMALE = replace(
    TAYLOR2024_MALE,
    key="taylor2024_female_abdomen",
    sex="female",
    formula=taylor2024_women,
    n=643,
    population="US Army women on active duty",
    lineage="taylor2024_female",
    known_bias=(),
    not_for=("people under 17", "men"),
    note="Taken at the navel, unlike the waist of the 1984 and 1999 forms for women.",
)

CARDS: tuple[Equation, ...] = (
    HODGDON_BECKETT1984_MALE,
    HODGDON_FRIEDL1999_MALE,
    HODGDON_FRIEDL1999_MALE_INCH,
    HODGDON_BECKETT1984_MALE_ROUNDED,
    HODGDON_FRIEDL1999_FEMALE,
    HODGDON_BECKETT1984_FEMALE,
    HODGDON_FRIEDL1999_FEMALE_INCH,
    VOGEL1988_MALE,
    VOGEL1988_FEMALE,
    WRIGHT1981_MALE,
    WRIGHT1980_FEMALE,
    FRIEDL1997_MALE,
    TAYLOR2024_MALE,
    TAYLOR2024_FEMALE,
)
