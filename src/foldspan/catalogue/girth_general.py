"""Girth equations for civilian adults: obese, general and young or older samples.

An abdomen called "mean" is the mean of the narrowest waist and the girth at the navel.
"""

from __future__ import annotations

from dataclasses import replace

from foldspan.catalogue.card import Array, Checked, Equation


# Weltman (1987) [weltman1987], obese men. waist (narrowest), navel [cm]; weight [kg].
def weltman1987_men(waist: Array, navel: Array, weight: Array) -> Array:
    """Body fat [%] from the mean of two abdomen girths, and weight."""
    return 0.31457 * ((waist + navel) / 2) - 0.10969 * weight + 10.8336


WELTMAN1987_MALE = Equation(
    key="weltman1987_male_obese",
    method="girth",
    predicts="fat_percent",
    reference_method="density",
    sex="male",
    inputs=("waist_narrowest_cm", "abdomen_navel_cm", "weight_kg"),
    formula=weltman1987_men,
    see=4.0,
    see_note="about 3 to 4, not verified in print",
    limits={"age_years": (24, 68), "bmi": (30, 60)},
    n=56,
    population="men with obesity above 30% fat (n and ages not verified in print)",
    criterion="underwater weighing, Siri",
    lineage="weltman1987_male",
    source="weltman1987",
    where="regression equation (page not seen)",
    status="not verified in print",
    checked=Checked.FROM_MEMORY,
    audience="obese",
    known_bias=(
        "overestimates by about 20 points in men below 12% fat against underwater weighing"
        " (own analysis on an open data set of 247 men)",
    ),
    not_for=("people under 18", "men below 30% fat or BMI 30", "women"),
)


# Weltman (1988) [weltman1988], obese women. waist (narrowest), navel, height [cm]; weight [kg].
def weltman1988_women(waist: Array, navel: Array, height: Array, weight: Array) -> Array:
    """Body fat [%] from the mean of two abdomen girths, height and weight."""
    return 0.11077 * ((waist + navel) / 2) - 0.17666 * height + 0.14354 * weight + 51.03301


WELTMAN1988_FEMALE = Equation(
    key="weltman1988_female_obese",
    method="girth",
    predicts="fat_percent",
    reference_method="density",
    sex="female",
    inputs=("waist_narrowest_cm", "abdomen_navel_cm", "height_cm", "weight_kg"),
    formula=weltman1988_women,
    see=3.0,
    see_note="about 3, not verified in print",
    limits={"age_years": (20, 60), "bmi": (30, 60)},
    n=118,
    population="women with obesity above 30% fat (n and ages not verified in print)",
    criterion="underwater weighing, Siri",
    lineage="weltman1988_female",
    source="weltman1988",
    where="regression equation (page not seen)",
    status="not verified in print",
    checked=Checked.FROM_MEMORY,
    audience="obese",
    not_for=("people under 18", "women below BMI 30", "men"),
    note="Height enters in centimetres; metres would give impossible values.",
)


# Tran & Weltman (1988) [tran_weltman1988], men. waist (narrowest), navel, hip, iliac girth at the
# crests [cm]; weight [kg].
def tran_weltman1988_men(
    waist: Array, navel: Array, hip: Array, iliac: Array, weight: Array
) -> Array:
    """Body fat [%] from the mean of two abdomen girths, hip, iliac girth and weight."""
    abdomen = 0.57914807 * ((waist + navel) / 2)
    return -47.371817 + abdomen + 0.25189114 * hip + 0.21366088 * iliac - 0.35595404 * weight


TRAN_WELTMAN1988_MALE = Equation(
    key="tran_weltman1988_male_girths",
    method="girth",
    predicts="fat_percent",
    reference_method="density",
    sex="male",
    inputs=("waist_narrowest_cm", "abdomen_navel_cm", "hip_cm", "waist_iliac_cm", "weight_kg"),
    formula=tran_weltman1988_men,
    see=4.4,
    see_note="not verified in print",
    limits={"age_years": (21, 78)},
    n=462,
    population="men of widely differing fatness (n and ages not verified in print)",
    criterion="underwater weighing, Siri",
    lineage="tran_weltman1988_male",
    source="tran_weltman1988",
    where="regression equation (page not seen)",
    status="not verified in print",
    checked=Checked.FROM_MEMORY,
    not_for=("people under 18", "women"),
)


# Tran & Weltman (1989) [tran_weltman1989], women. waist (narrowest), navel, hip, height [cm];
# age [years].
def tran_weltman1989_women(
    waist: Array, navel: Array, hip: Array, height: Array, age: Array
) -> Array:
    """Body density [g/cm³] from the mean of two abdomen girths, hip, height and age."""
    mean = (waist + navel) / 2
    abdomen = -0.002824 * mean + 0.0000122098 * mean**2
    return 1.168297 + abdomen - 0.000733128 * hip + 0.000510477 * height - 0.000216161 * age


TRAN_WELTMAN1989_FEMALE = Equation(
    key="tran_weltman1989_female_girths",
    method="girth",
    predicts="density",
    reference_method="density",
    sex="female",
    inputs=("waist_narrowest_cm", "abdomen_navel_cm", "hip_cm", "height_cm", "age_years"),
    formula=tran_weltman1989_women,
    see=0.009486784,
    see_unit="density",
    limits={"age_years": (15, 79)},
    n=400,
    population="women with 12.7 to 63.1% fat, weighing 38 to 133 kg; 82 more for cross-validation",
    criterion="underwater weighing, Siri",
    lineage="tran_weltman1989_female",
    source="tran_weltman1989",
    where="abstract",
    status="verified",
    checked=Checked.DOUBLE_ENTRY,
    not_for=("people under 15", "men"),
    note=(
        "The copy we read had lost its plus signs; given the size of the terms, only these signs"
        " are possible."
    ),
)


# Penrose, Nelson & Fisher (1985) [penrose1985], men. weight [kg]; age [years]; height, navel girth,
# wrist [cm]; height enters in metres.
def penrose1985_men(
    weight: Array, age: Array, height: Array, abdomen: Array, wrist: Array
) -> Array:
    """Lean body mass [kg] from weight, age, height and abdomen less wrist."""
    years = -0.2783 * age + 0.002617 * age**2
    return 17.298 + 0.89946 * weight + years + 17.819 * (height / 100) - 0.6798 * (abdomen - wrist)


PENROSE1985_MALE = Equation(
    key="penrose1985_male_girths",
    method="girth",
    predicts="fat_free_mass",
    reference_method="density",
    sex="male",
    inputs=("weight_kg", "age_years", "height_cm", "abdomen_navel_cm", "wrist_girth_cm"),
    formula=penrose1985_men,
    see=3.27,
    see_unit="mass",
    limits={"age_years": (22, 81)},
    n=143,
    population="men in Utah; 109 more for cross-validation",
    criterion="underwater weighing, Siri",
    lineage="penrose1985_male",
    source="penrose1985",
    where="abstract (page not seen)",
    status="not verified in print",
    checked=Checked.FROM_MEMORY,
    known_bias=(
        "overestimates by 0.6 points of fat in 109 men of its cross-validation against underwater"
        " weighing, SD 4.7 (own analysis on the open data set)",
    ),
    not_for=("people under 18", "women"),
    note="The abdomen is at the navel, level with the iliac crest. A refit comes out close.",
)


# Wilmore & Behnke (1969) [wilmore_behnke1969], men. weight [kg]; abdomen at the navel [cm].
def wilmore_behnke1969_men_abdomen(weight: Array, abdomen: Array) -> Array:
    """Lean body mass [kg] from weight and one girth."""
    return 44.636 + 1.0817 * weight - 0.7396 * abdomen


WILMORE_BEHNKE1969_MALE_ABDOMEN = Equation(
    key="wilmore_behnke1969_male_abdomen",
    method="girth",
    predicts="fat_free_mass",
    reference_method="density",
    sex="male",
    inputs=("weight_kg", "abdomen_navel_cm"),
    formula=wilmore_behnke1969_men_abdomen,
    see=2.8,
    see_unit="mass",
    see_note="not verified in print",
    limits={"age_years": (17, 37)},
    n=133,
    population="young men (n and ages not verified in print)",
    criterion="underwater weighing",
    lineage="wilmore_behnke1969_male",
    source="wilmore_behnke1969",
    where="regression equation (page not seen)",
    status="not verified in print",
    checked=Checked.FROM_MEMORY,
    known_bias=(
        "overestimates by 1.4 points of fat in 247 men, underwater weighing (own analysis)",
    ),
    not_for=("people under 17", "women"),
    note="The form in pounds and inches, 98.42 + 1.082 weight - 4.15 waist, was read on a page that"
    " cites no source: 0.1 kg less than here at 80 kg and 90 cm. Its metric form has 44.74 kg, 0.1 more"
    " than here. It names no level.",
)


# Katch & McArdle (1983) [katch_mcardle1983], men 17-26, printed for inches. arm, abdomen, forearm
# girths [cm].
def katch_mcardle1983_men_young(arm: Array, abdomen: Array, forearm: Array) -> Array:
    """Body fat [%] from three girths, turned to inches first."""
    return 3.7 * (arm / 2.54) + 1.31 * (abdomen / 2.54) - 5.43 * (forearm / 2.54) - 10.2


KATCH_MCARDLE1983_MALE_YOUNG = Equation(
    key="katch_mcardle1983_male_young",
    method="girth",
    predicts="fat_percent",
    reference_method="density",
    sex="male",
    inputs=("arm_relaxed_girth_cm", "abdomen_navel_cm", "forearm_girth_cm"),
    formula=katch_mcardle1983_men_young,
    see=4.0,
    see_note="about 2.5 to 4 by the authors, not verified in print",
    limits={"age_years": (17, 26)},
    population="college-age men",
    criterion="underwater weighing",
    lineage="katch_mcardle1983_male_young",
    source="katch_mcardle1983",
    where="table of girth constants (page not seen)",
    status="not verified in print",
    checked=Checked.FROM_MEMORY,
    known_bias=(
        "overestimates by 4.0 points in 247 men aged 22 to 81 years weighed under water, SD"
        " 5.7 (own analysis on an open data set)",
    ),
    not_for=("people under 17", "men outside college age", "women"),
    note="Linear form of printed constants. One centimetre of forearm moves it by 2.1 points. The "
    "abdomen is 2.5 cm above the navel (not verified in print).",
)


# Katch & McArdle (1983), men 27-50, printed for inches. hip, abdomen, forearm girths [cm].
def katch_mcardle1983_men_older(hip: Array, abdomen: Array, forearm: Array) -> Array:
    """Body fat [%] from three girths, turned to inches first."""
    return 1.05 * (hip / 2.54) + 0.9 * (abdomen / 2.54) - 3 * (forearm / 2.54) - 15


KATCH_MCARDLE1983_MALE_OLDER = replace(
    KATCH_MCARDLE1983_MALE_YOUNG,
    key="katch_mcardle1983_male_older",
    inputs=("hip_cm", "abdomen_navel_cm", "forearm_girth_cm"),
    formula=katch_mcardle1983_men_older,
    limits={"age_years": (27, 50)},
    population="men aged 27 to 50 years",
    lineage="katch_mcardle1983_male_older",
    known_bias=(
        "overestimates by 5.9 points in 247 men aged 22 to 81 years weighed under water, SD"
        " 5.6 (own analysis on an open data set)",
    ),
    not_for=("men outside 27 to 50 years", "women"),
    note="Linear form of printed constants. Abdomen 2.5 cm above the navel (not verified in print).",
)


# Katch & McArdle (1983), women 17-26, printed for inches. abdomen, upper thigh, forearm girths
# [cm].
def katch_mcardle1983_women_young(abdomen: Array, thigh: Array, forearm: Array) -> Array:
    """Body fat [%] from three girths, turned to inches first."""
    return 1.34 * (abdomen / 2.54) + 2.08 * (thigh / 2.54) - 4.31 * (forearm / 2.54) - 19.6


KATCH_MCARDLE1983_FEMALE_YOUNG = replace(
    KATCH_MCARDLE1983_MALE_OLDER,
    key="katch_mcardle1983_female_young",
    sex="female",
    inputs=("abdomen_navel_cm", "thigh_upper_girth_cm", "forearm_girth_cm"),
    formula=katch_mcardle1983_women_young,
    limits={"age_years": (17, 26)},
    population="college-age women",
    lineage="katch_mcardle1983_female_young",
    known_bias=(),
    not_for=("people under 17", "women outside college age", "men"),
)


# Katch & McArdle (1983), women 27-50, printed for inches. abdomen, upper thigh, calf girths [cm].
def katch_mcardle1983_women_older(abdomen: Array, thigh: Array, calf: Array) -> Array:
    """Body fat [%] from three girths, turned to inches first."""
    return 1.19 * (abdomen / 2.54) + 1.24 * (thigh / 2.54) - 1.45 * (calf / 2.54) - 18.4


KATCH_MCARDLE1983_FEMALE_OLDER = replace(
    KATCH_MCARDLE1983_FEMALE_YOUNG,
    key="katch_mcardle1983_female_older",
    inputs=("abdomen_navel_cm", "thigh_upper_girth_cm", "calf_girth_cm"),
    formula=katch_mcardle1983_women_older,
    limits={"age_years": (27, 50)},
    population="women aged 27 to 50 years",
    lineage="katch_mcardle1983_female_older",
    not_for=("women outside 27 to 50 years", "men"),
)

CARDS: tuple[Equation, ...] = (
    WELTMAN1987_MALE,
    WELTMAN1988_FEMALE,
    TRAN_WELTMAN1988_MALE,
    TRAN_WELTMAN1989_FEMALE,
    PENROSE1985_MALE,
    WILMORE_BEHNKE1969_MALE_ABDOMEN,
    KATCH_MCARDLE1983_MALE_YOUNG,
    KATCH_MCARDLE1983_MALE_OLDER,
    KATCH_MCARDLE1983_FEMALE_YOUNG,
    KATCH_MCARDLE1983_FEMALE_OLDER,
)
