"""Straight-line equations from weight and height, mostly through the body mass index.

They see no shape at all: muscular people read high, and a change of fat at equal weight is missed.
"""

from __future__ import annotations

from dataclasses import replace

from foldspan.catalogue.card import Array, Bmi, Checked, Equation


# Lean (1996) [lean1996], men. bmi [kg/m²]; age [years].
def lean1996_men_bmi(bmi: Array, age: Array) -> Array:
    """Body fat [%] from body mass index and age."""
    return 1.33 * bmi + 0.236 * age - 20.2


LEAN1996_MALE_BMI = Equation(
    key="lean1996_male_bmi",
    method="mass_height",
    predicts="fat_percent",
    reference_method="density",
    sex="male",
    inputs=(Bmi(), "age_years"),
    formula=lean1996_men_bmi,
    see=None,
    limits={"age_years": (18, 83)},
    n=63,
    population="white men; 146 more for cross-validation",
    criterion="underwater weighing",
    lineage="lean1996_male_bmi",
    source="lean1996",
    where="equation (page not seen)",
    status="not verified in print",
    checked=Checked.FROM_MEMORY,
    known_bias=(
        "underestimates by 0.6 points in US men aged 18 to 59 against DXA, SD 5.9 (own"
        " analysis, US survey 2017-18)",
    ),
    not_for=("people under 18", "women"),
)


# Lean (1996) [lean1996], women. bmi [kg/m²]; age [years].
def lean1996_women_bmi(bmi: Array, age: Array) -> Array:
    """Body fat [%] from body mass index and age."""
    return 1.21 * bmi + 0.262 * age - 6.7


LEAN1996_FEMALE_BMI = replace(
    LEAN1996_MALE_BMI,
    key="lean1996_female_bmi",
    sex="female",
    formula=lean1996_women_bmi,
    n=84,
    population="white women; 238 more for cross-validation",
    lineage="lean1996_female_bmi",
    known_bias=(
        "underestimates by 0.3 points in US women aged 18 to 59 against DXA, SD 6.4 (own"
        " analysis, US survey 2017-18)",
    ),
    not_for=("people under 18", "men"),
)


# Deurenberg (1991) [deurenberg1991], adults. bmi [kg/m²]; age [years]; is_male: 1 man, 0 woman.
def deurenberg1991_both_bmi(bmi: Array, age: Array, is_male: Array) -> Array:
    """Body fat [%] from body mass index, age and sex."""
    return 1.2 * bmi + 0.23 * age - 10.8 * is_male - 5.4


DEURENBERG1991_BOTH_BMI = Equation(
    key="deurenberg1991_both_bmi",
    method="mass_height",
    predicts="fat_percent",
    reference_method="density",
    sex="both",
    inputs=(Bmi(), "age_years", "is_male"),
    formula=deurenberg1991_both_bmi,
    see=4.1,
    limits={"age_years": (16, 83), "bmi": (13.9, 40.9)},
    n=1229,
    population="Dutch, 521 male and 708 female, children included",
    criterion="underwater weighing, Siri",
    lineage="deurenberg1991",
    source="deurenberg1991",
    where="abstract",
    status="verified",
    checked=Checked.DOUBLE_ENTRY,
    known_bias=(
        "overestimates by 1.7 points in Finnish men and 2.3 in women aged 40 to 79 against"
        " DXA, SD 4.9 and 4.8 (Krachler 2013)",
        "overestimates by 3.1 points in overweight women and underestimates by 5.0 in"
        " overweight men against a three-compartment model (Nickerson 2020)",
        "underestimates by 3.3 to 3.5 points below BMI 25 and overestimates by 2.5 to 3.8"
        " from 30 in US adults against DXA (own analysis, US survey 2017-18)",
    ),
    not_for=("people under 16",),
)


# Deurenberg (1991) [deurenberg1991], children. bmi [kg/m²]; age [years]; is_male: 1 boy, 0 girl.
def deurenberg1991_youth_bmi(bmi: Array, age: Array, is_male: Array) -> Array:
    """Body fat [%] from body mass index, age and sex."""
    return 1.51 * bmi - 0.7 * age - 3.6 * is_male + 1.4


DEURENBERG1991_YOUTH_BMI = replace(
    DEURENBERG1991_BOTH_BMI,
    key="deurenberg1991_youth_bmi",
    formula=deurenberg1991_youth_bmi,
    see=4.4,
    limits={"age_years": (7, 15), "bmi": (13.9, 40.9)},
    population="Dutch children, part of the 1,229",
    lineage="deurenberg1991_youth",
    audience="youth",
    known_bias=(),
    not_for=("adults", "people over 15"),
)


# Deurenberg (1998) [deurenberg1998]. bmi [kg/m²]; age [years]; is_male: 1 man, 0 woman.
def deurenberg1998_both_bmi(bmi: Array, age: Array, is_male: Array) -> Array:
    """Body fat [%] from body mass index, age and sex."""
    return 1.294 * bmi + 0.2 * age - 11.4 * is_male - 8


DEURENBERG1998_BOTH_BMI = Equation(
    key="deurenberg1998_both_bmi",
    method="mass_height",
    predicts="fat_percent",
    reference_method="density",
    sex="both",
    inputs=(Bmi(), "age_years", "is_male"),
    formula=deurenberg1998_both_bmi,
    see=None,
    limits={"age_years": (18, 99)},
    population="white reference of a meta-analysis of group means",
    criterion="several criteria pooled",
    lineage="deurenberg1998",
    source="deurenberg1998",
    where="reprinted in Krachler 2013, table 1",
    status="read in a secondary text",
    checked=Checked.DOUBLE_ENTRY,
    known_bias=(
        "underestimates by 2.2 points in US men and 1.6 in women aged 18 to 59 against DXA, SD"
        " 5.6 and 6.6 (own analysis, US survey 2017-18)",
    ),
    not_for=("people under 18",),
    note="At equal body fat, the paper puts BMI lower by 1.9 units in Chinese people, 4.6 in"
    " Ethiopians, 3.2 in Indonesians and 2.9 in Thais; no such shift is applied here.",
)


# Gallagher (1996) [gallagher1996]. bmi [kg/m²]; age [years]; is_male: 1 man, 0 woman.
def gallagher1996_both_bmi(bmi: Array, age: Array, is_male: Array) -> Array:
    """Body fat [%] from body mass index, age and sex."""
    return 1.46 * bmi + 0.14 * age - 11.61 * is_male - 10.02


GALLAGHER1996_BOTH_BMI = replace(
    DEURENBERG1998_BOTH_BMI,
    key="gallagher1996_both_bmi",
    formula=gallagher1996_both_bmi,
    see=5.7,
    see_note="not verified in print",
    limits={"age_years": (20, 94)},
    n=706,
    population="Black and white adults, New York (n not verified in print)",
    criterion="four compartments",
    lineage="gallagher1996",
    source="gallagher1996",
    where="equation (page not seen)",
    status="not verified in print",
    checked=Checked.FROM_MEMORY,
    known_bias=(
        "underestimates by 1.9 points in US men and 1.1 in women aged 18 to 59 against DXA, SD"
        " 6.0 and 7.3 (own analysis, US survey 2017-18)",
        ("overestimates by 5.1 points in obese US women against DXA (own analysis, same survey)"),
    ),
    note="",
)


# Unattributed [linear139]. bmi [kg/m²]; age [years]; is_male: 1 man, 0 woman.
def linear139_both_bmi(bmi: Array, age: Array, is_male: Array) -> Array:
    """Body fat [%] from body mass index, age and sex."""
    return 1.39 * bmi + 0.16 * age - 10.34 * is_male - 9


LINEAR139_BOTH_BMI = Equation(
    key="linear139_both_bmi",
    method="mass_height",
    predicts="fat_percent",
    reference_method="density",
    sex="both",
    inputs=(Bmi(), "age_years", "is_male"),
    formula=linear139_both_bmi,
    see=None,
    limits={"age_years": (18, 99)},
    population="not known",
    criterion="not known",
    lineage="linear139",
    source="linear139",
    where="paper not identified",
    status="disputed",
    checked=Checked.FROM_MEMORY,
    known_bias=(
        "underestimates by 0.9 points in US men and 1.4 in women aged 18 to 59 against DXA, SD"
        " 5.8 and 7.0 (own analysis, US survey 2017-18)",
    ),
    not_for=("people under 18",),
    note="Often credited to Jackson 2002; that was not confirmed.",
)


# Unattributed [linear161]. bmi [kg/m²]; age [years]; is_male: 1 man, 0 woman.
def linear161_both_bmi(bmi: Array, age: Array, is_male: Array) -> Array:
    """Body fat [%] from body mass index, age and sex."""
    return 1.61 * bmi + 0.13 * age - 12.1 * is_male - 13.9


LINEAR161_BOTH_BMI = replace(
    LINEAR139_BOTH_BMI,
    key="linear161_both_bmi",
    formula=linear161_both_bmi,
    lineage="linear161",
    source="linear161",
    known_bias=(
        "scatters by 6.7 points in US men and 8.2 in women aged 18 to 59 against DXA, the"
        " widest of its kind (own analysis, US survey 2017-18)",
    ),
    note="Credited to papers of 1980 and 1984; neither was confirmed. Best avoided.",
)


# Womersley & Durnin (1977) [womersley_durnin1977], men. bmi [kg/m²].
def womersley_durnin1977_men(bmi: Array) -> Array:
    """Body fat [%] from body mass index."""
    return 1.34 * bmi - 12.47


WOMERSLEY_DURNIN1977_MALE_BMI = Equation(
    key="womersley_durnin1977_male_bmi",
    method="mass_height",
    predicts="fat_percent",
    reference_method="density",
    sex="male",
    inputs=(Bmi(),),
    formula=womersley_durnin1977_men,
    see=5.7,
    see_note="not verified in print, uncertain",
    limits={"age_years": (17, 72)},
    n=245,
    population="Scottish men (n not verified in print)",
    criterion="underwater weighing",
    lineage="womersley_durnin1977_male",
    source="womersley_durnin1977",
    where="equation (page not seen)",
    status="not verified in print",
    checked=Checked.FROM_MEMORY,
    known_bias=(
        "underestimates by 4.7 points in overweight men against a three-compartment model"
        " (Nickerson 2020)",
        "underestimates by 1.5 points in US men aged 18 to 59 against DXA, SD 5.3 (own"
        " analysis, US survey 2017-18)",
    ),
    not_for=("people under 17", "women"),
)


# Womersley & Durnin (1977) [womersley_durnin1977], women. bmi [kg/m²].
def womersley_durnin1977_women(bmi: Array) -> Array:
    """Body fat [%] from body mass index."""
    return 1.37 * bmi - 3.47


WOMERSLEY_DURNIN1977_FEMALE_BMI = replace(
    WOMERSLEY_DURNIN1977_MALE_BMI,
    key="womersley_durnin1977_female_bmi",
    sex="female",
    formula=womersley_durnin1977_women,
    see=5.0,
    limits={"age_years": (16, 68)},
    n=324,
    population="Scottish women (n not verified in print)",
    lineage="womersley_durnin1977_female",
    known_bias=(
        "overestimates by 3.0 points in overweight women against a three-compartment model"
        " (Nickerson 2020)",
        "underestimates by 2.6 points in US women aged 18 to 59 against DXA, SD 6.6 (own"
        " analysis, US survey 2017-18)",
    ),
    not_for=("people under 16", "men"),
)


# Hart (2019) [hart2019]. bmi [kg/m²]; is_male: 1 man, 0 woman.
def hart2019_both_bmi(bmi: Array, is_male: Array) -> Array:
    """Body fat [%] from body mass index and sex."""
    return 10.47827 + 0.98342 * bmi - 12.5067 * is_male


HART2019_BOTH_BMI = Equation(
    key="hart2019_both_bmi",
    method="mass_height",
    predicts="fat_percent",
    reference_method="dxa",
    sex="both",
    inputs=(Bmi(), "is_male"),
    formula=hart2019_both_bmi,
    see=3.83,
    see_note="from limits of agreement of 7.5 points either side",
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
        "underestimates by 1.2 points in US men aged 18 to 59 and overestimates by 0.2 in"
        " women against DXA, SD 4.3 and 4.8 (own analysis, US survey 2017-18)",
    ),
    not_for=("people under 18", "adults from 25 years"),
    note="The sex term is printed without its variable; its sign shows 1 = man.",
)


# Pongchaiyakul (2005) [pongchaiyakul2005]. bmi [kg/m²]; age [years]; is_male: 1 man, 0 woman.
def pongchaiyakul2005_both_bmi(bmi: Array, age: Array, is_male: Array) -> Array:
    """Body fat [%] from body mass index, age and sex."""
    return 1.65 * bmi + 0.06 * age - 15.3 * is_male - 10.67


PONGCHAIYAKUL2005_BOTH_BMI = Equation(
    key="pongchaiyakul2005_both_bmi",
    method="mass_height",
    predicts="fat_percent",
    reference_method="dxa",
    sex="both",
    inputs=(Bmi(), "age_years", "is_male"),
    formula=pongchaiyakul2005_both_bmi,
    see=None,
    limits={"age_years": (20, 84)},
    n=223,
    population="adults in rural Thailand; 213 more for cross-validation",
    criterion="DXA",
    lineage="pongchaiyakul2005",
    ancestry="asian",
    source="pongchaiyakul2005",
    where="equation with body mass index in the abstract",
    status="verified",
    checked=Checked.DOUBLE_ENTRY,
    not_for=("people under 20", "people of other ancestry"),
    note="Explains 83% of the variance; no error in points is printed.",
)

CARDS: tuple[Equation, ...] = (
    LEAN1996_MALE_BMI,
    LEAN1996_FEMALE_BMI,
    DEURENBERG1991_BOTH_BMI,
    DEURENBERG1991_YOUTH_BMI,
    DEURENBERG1998_BOTH_BMI,
    GALLAGHER1996_BOTH_BMI,
    WOMERSLEY_DURNIN1977_MALE_BMI,
    WOMERSLEY_DURNIN1977_FEMALE_BMI,
    HART2019_BOTH_BMI,
    PONGCHAIYAKUL2005_BOTH_BMI,
    LINEAR139_BOTH_BMI,
    LINEAR161_BOTH_BMI,
)
