"""Equations that join a waist to height, some with weight and ancestry.

Woolcott (2018) and Lee (2017) rest on the same survey years: their errors move together.
"""

from __future__ import annotations

from dataclasses import replace

from foldspan.catalogue.card import Array, Checked, Equation


# Woolcott & Bergman (2018) [woolcott_bergman2018]. height, waist at the iliac crest [cm];
# is_female: 1 woman, 0 man.
def woolcott_bergman2018_both(height: Array, waist: Array, is_female: Array) -> Array:
    """Body fat [%] from height over waist, and sex."""
    return 64 - 20 * height / waist + 12 * is_female


WOOLCOTT_BERGMAN2018_BOTH_WAIST_HEIGHT = Equation(
    key="woolcott_bergman2018_both_waist_height",
    method="waist_height",
    predicts="fat_percent",
    reference_method="dxa",
    sex="both",
    inputs=("height_cm", "waist_iliac_cm", "is_female"),
    formula=woolcott_bergman2018_both,
    see=None,
    see_note="no published error; SD 3.4 points in men, 3.8 in women (own analysis, US survey 2017-18)",
    limits={"age_years": (20, 99)},
    n=12581,
    population="US national survey 1999-2006, three ancestries; 3,456 more for cross-validation",
    criterion="DXA",
    lineage="woolcott_bergman2018",
    source="woolcott_bergman2018",
    where="equation (page not noted)",
    status="verified",
    checked=Checked.DOUBLE_ENTRY,
    known_bias=(
        "overestimates by 2.2 points in overweight women and underestimates by 3.0 in"
        " overweight men against a three-compartment model (Nickerson 2020)",
        "overestimates by about 10 points in 61 Mexican adults aged 20 to 37 against air"
        " displacement, and none against DXA (Guzman-Leon 2019)",
        "overestimates by 0.5 points in US men and 2.3 in women aged 18 to 59 against DXA (own"
        " analysis, US survey 2017-18)",
    ),
    not_for=("people under 15",),
    note="The sex code is printed as 0 = man, 1 = woman. A waist midway between rib and crest "
    "lowers the answer by 0.4 points in men and 1.0 to 1.3 in women. From 15 years on it was found "
    "acceptable in 2019.",
)


# Woolcott & Bergman (2019) [woolcott_bergman2019], children. height, waist at the iliac crest
# [cm]; is_female: 1 girl, 0 boy.
def woolcott_bergman2019_youth(height: Array, waist: Array, is_female: Array) -> Array:
    """Body fat [%] from height over waist, and sex."""
    return 74 - 22 * height / waist + 5 * is_female


WOOLCOTT_BERGMAN2019_YOUTH_WAIST_HEIGHT = replace(
    WOOLCOTT_BERGMAN2018_BOTH_WAIST_HEIGHT,
    key="woolcott_bergman2019_youth_waist_height",
    formula=woolcott_bergman2019_youth,
    see_note="no published error; within a fifth of the measured value in 88% of girls, 83% of boys",
    limits={"age_years": (8, 14)},
    n=10390,
    population="US national survey 1999-2006; the n counts ages 8 to 19",
    lineage="woolcott_bergman2019",
    source="woolcott_bergman2019",
    where="equation in a copy of the paper (page not noted)",
    audience="youth",
    known_bias=(),
    not_for=("adults", "people aged 15 and over"),
    note="",
)


# Lee (2017) [lee2017], men. age [years]; height [cm]; weight [kg]; waist at the iliac crest [cm];
# ancestry indicators 0 or 1, "other" with Asian.
def lee2017_men(
    age: Array,
    height: Array,
    weight: Array,
    waist: Array,
    is_mexican_american: Array,
    is_hispanic: Array,
    is_black: Array,
    is_other: Array,
) -> Array:
    """Fat mass [kg] from age, height, weight, waist and ancestry."""
    body = -18.592 - 0.009 * age - 0.08 * height + 0.226 * weight + 0.387 * waist
    ancestry = 0.08 * is_mexican_american - 0.188 * is_hispanic - 0.483 * is_black
    return body + ancestry + 1.05 * is_other


LEE2017_MALE_WAIST = Equation(
    key="lee2017_male_waist",
    method="waist_height",
    predicts="fat_mass",
    reference_method="dxa",
    sex="male",
    inputs=(
        "age_years",
        "height_cm",
        "weight_kg",
        "waist_iliac_cm",
        "is_mexican_american",
        "is_hispanic",
        "is_black",
        "is_other_ancestry",
    ),
    formula=lee2017_men,
    see=2.6,
    see_unit="mass",
    see_note="not verified in print",
    limits={"age_years": (20, 99)},
    n=7531,
    population="men in a US national survey 1999-2006",
    criterion="DXA",
    lineage="lee2017_male",
    source="lee2017",
    where="fat mass equation with waist (page not seen)",
    status="not verified in print",
    checked=Checked.FROM_MEMORY,
    known_bias=(
        "overestimates by 0.4 kg, and 0.4 points of fat, in 1,168 US men aged 18 to 59 against"
        " DXA, SD 3.0 kg (own analysis, US survey 2017-18)",
    ),
    not_for=("people under 20", "women"),
    note="Other ancestry includes Asian. A refit on the survey of 2017-18 comes out close.",
)


# Lee (2017) [lee2017], women. Arguments as for men.
def lee2017_women(
    age: Array,
    height: Array,
    weight: Array,
    waist: Array,
    is_mexican_american: Array,
    is_hispanic: Array,
    is_black: Array,
    is_other: Array,
) -> Array:
    """Fat mass [kg] from age, height, weight, waist and ancestry."""
    body = 11.817 + 0.041 * age - 0.199 * height + 0.61 * weight + 0.044 * waist
    ancestry = 0.388 * is_mexican_american + 0.073 * is_hispanic - 1.187 * is_black
    return body + ancestry + 0.325 * is_other


LEE2017_FEMALE_WAIST = replace(
    LEE2017_MALE_WAIST,
    key="lee2017_female_waist",
    sex="female",
    formula=lee2017_women,
    see=2.4,
    n=6534,
    population="women in a US national survey 1999-2006",
    lineage="lee2017_female",
    known_bias=(
        "overestimates by 1.2 kg, and 1.5 points of fat, in 1,258 US women aged 18 to 59"
        " against DXA, SD 2.7 kg (own analysis, US survey 2017-18)",
    ),
    not_for=("people under 20", "men"),
)


# Al-Gindan (2015) [al_gindan2015], men. weight [kg]; waist midway rib to crest, height [cm].
def al_gindan2015_men(weight: Array, waist: Array, height: Array) -> Array:
    """Adipose tissue mass [kg] from weight, waist and height."""
    return 0.198 * weight + 0.478 * waist - 0.147 * height - 12.8


AL_GINDAN2015_MALE_WAIST = Equation(
    key="al_gindan2015_male_waist",
    method="waist_height",
    predicts="adipose_mass",
    reference_method="density",
    sex="male",
    inputs=("weight_kg", "waist_midpoint_cm", "height_cm"),
    formula=al_gindan2015_men,
    see=3.8,
    see_unit="mass",
    limits={"age_years": (18, 88), "bmi": (15.7, 40.8)},
    n=416,
    population="adults of several ancestries; 222 of the n are women",
    criterion="whole-body MRI",
    lineage="al_gindan2015_male",
    source="al_gindan2015",
    where="abstract",
    status="verified",
    checked=Checked.DOUBLE_ENTRY,
    not_for=("people under 18", "women"),
    note="Adipose tissue is about four fifths fat (not verified in print). The abstract does not say "
    "where "
    "the waist was taken; midway between rib and crest is assumed.",
)

CARDS: tuple[Equation, ...] = (
    WOOLCOTT_BERGMAN2018_BOTH_WAIST_HEIGHT,
    WOOLCOTT_BERGMAN2019_YOUTH_WAIST_HEIGHT,
    LEE2017_MALE_WAIST,
    LEE2017_FEMALE_WAIST,
    AL_GINDAN2015_MALE_WAIST,
)
