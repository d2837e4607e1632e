"""Skinfold equations built on adults in Japan, Thailand, Sri Lanka and Latin America.

Read in abstracts: density in g/cm³ or fat in percent from folds [mm], some with girths [cm], weight
[kg], height [cm] and age [years].
"""

from __future__ import annotations

from foldspan.catalogue.card import Array, Bmi, Checked, Equation, Sum


# Tahara (1990s) [tahara], equation E. folds: triceps + subscapular + abdominal [mm]; age [years]
def tahara_men(folds: Array, age: Array) -> Array:
    """Body density [g/cm³] of Japanese men from three skinfolds and age."""
    return 1.09556 - 0.00062 * folds - 0.00028 * age


TAHARA_MALE_3SITE = Equation(
    key="tahara_male_3site",
    method="skinfold",
    predicts="density",
    reference_method="density",
    sex="male",
    inputs=(Sum("triceps_mm", "subscapular_mm", "abdominal_mm"), "age_years"),
    formula=tahara_men,
    see=0.0087,
    see_unit="density",
    limits={"age_years": (19, 60)},
    n=257,
    population="Japanese men; 45 more for cross-validation (r 0.78)",
    criterion="underwater weighing, Brozek",
    lineage="tahara_male",
    ancestry="japanese",
    source="tahara",
    where="equation E in the abstract",
    status="verified",
    checked=Checked.DOUBLE_ENTRY,
    not_for=("women", "people under 18", "people of other ancestry"),
    note="The authors find it best at 18 to 50 years and 10 to 30% fat, with the Brozek"
    " conversion (brozek1963).",
)


# Kagawa (2004) [kagawa2004]. abdominal, calf: skinfolds [mm]; age [years]
def kagawa2004_men(abdominal: Array, calf: Array, age: Array) -> Array:
    """Body fat [%] of Japanese men in Australia from two skinfolds and age."""
    return 0.376 + 0.402 * abdominal + 0.772 * calf + 0.217 * age


KAGAWA2004_MALE = Equation(
    key="kagawa2004_male_abdominal_calf",
    method="skinfold",
    predicts="fat_percent",
    reference_method="dxa",
    sex="male",
    inputs=("abdominal_mm", "calf_mm", "age_years"),
    formula=kagawa2004_men,
    see=2.691,
    limits={"age_years": (18, 40)},
    n=45,
    population="Japanese men living in Australia",
    criterion="DXA",
    lineage="kagawa2004_male",
    ancestry="japanese",
    source="kagawa2004",
    where="equation in the abstract",
    status="verified",
    checked=Checked.DOUBLE_ENTRY,
    not_for=("women", "people under 18", "people of other ancestry"),
    note="Checked on no other people.",
)


# Aristizábal (2018) [aristizabal2018], first equation. triceps, calf: skinfolds [mm]; abdomen, height
# [cm]; age [years]
def aristizabal2018_women_calf(
    triceps: Array, calf: Array, abdomen: Array, age: Array, height: Array
) -> Array:
    """Body fat [%] of women from two skinfolds, the abdomen, age and height."""
    folds = 0.324 * triceps + 0.133 * calf
    return 11.76 + folds + 0.347 * abdomen + 0.068 * age - 0.135 * height


ARISTIZABAL2018_FEMALE_CALF = Equation(
    key="aristizabal2018_female_triceps_calf",
    method="skinfold",
    predicts="fat_percent",
    reference_method="density",
    sex="female",
    inputs=("triceps_mm", "calf_mm", "abdomen_navel_cm", "age_years", "height_cm"),
    formula=aristizabal2018_women_calf,
    see=None,
    limits={"age_years": (18, 59)},
    n=106,
    population="Latin American women; 45 more for cross-validation",
    criterion="underwater weighing",
    lineage="aristizabal2018_female",
    source="aristizabal2018",
    where="first equation in the abstract",
    status="verified",
    checked=Checked.DOUBLE_ENTRY,
    known_bias=(
        "mean 31.0%, underwater weighing 31.5%, in the women of its own cross-validation, intraclass"
        " correlation 0.77 (authors)",
    ),
    not_for=("men", "people under 18"),
    note="The abstract does not say where the abdomen was measured; the navel is assumed.",
)


# Aristizábal (2018) [aristizabal2018], second equation. triceps, midaxillary: skinfolds [mm]; abdomen,
# height [cm]; age [years]
def aristizabal2018_women_axilla(
    triceps: Array, midaxillary: Array, abdomen: Array, age: Array, height: Array
) -> Array:
    """Body fat [%] of women from two skinfolds, the abdomen, age and height."""
    folds = 0.404 * triceps + 0.153 * midaxillary
    return 11.37 + folds + 0.264 * abdomen + 0.069 * age - 0.099 * height


ARISTIZABAL2018_FEMALE_AXILLA = Equation(
    key="aristizabal2018_female_triceps_midaxillary",
    method="skinfold",
    predicts="fat_percent",
    reference_method="density",
    sex="female",
    inputs=("triceps_mm", "midaxillary_mm", "abdomen_navel_cm", "age_years", "height_cm"),
    formula=aristizabal2018_women_axilla,
    see=None,
    limits={"age_years": (18, 59)},
    n=106,
    population="Latin American women; 45 more for cross-validation",
    criterion="underwater weighing",
    lineage="aristizabal2018_female",
    source="aristizabal2018",
    where="second equation in the abstract",
    status="verified",
    checked=Checked.DOUBLE_ENTRY,
    known_bias=(
        "mean 31.2%, underwater weighing 31.5%, in the women of its own cross-validation, intraclass"
        " correlation 0.76 (authors)",
    ),
    not_for=("men", "people under 18"),
    note="The abstract says axillary skinfold, and not where the abdomen was measured: the"
    " midaxillary skinfold and the navel are assumed.",
)

_THAI_SPREAD = "individual differences from DXA within 9 points either way (authors)"


# Pongchaiyakul (2005) [pongchaiyakul2005], men. subscapular, biceps: skinfolds [mm]; bmi [kg/m²];
# waist [cm]
def pongchaiyakul2005_men(subscapular: Array, bmi: Array, biceps: Array, waist: Array) -> Array:
    """Body fat [%] of Thai men from two skinfolds, body mass index and waist."""
    return 0.42 * subscapular + 0.62 * bmi - 0.28 * biceps + 0.17 * waist - 18.47


PONGCHAIYAKUL2005_MALE = Equation(
    key="pongchaiyakul2005_male_folds_waist",
    method="skinfold",
    predicts="fat_percent",
    reference_method="dxa",
    sex="male",
    inputs=("subscapular_mm", Bmi(), "biceps_mm", "waist_midpoint_cm"),
    formula=pongchaiyakul2005_men,
    see=None,
    limits={"age_years": (20, 84)},
    n=98,
    population="men in rural Thailand; 83 more for cross-validation",
    criterion="DXA",
    lineage="pongchaiyakul2005",
    ancestry="asian",
    source="pongchaiyakul2005",
    where="equation for men in the abstract",
    status="verified",
    checked=Checked.DOUBLE_ENTRY,
    known_bias=(_THAI_SPREAD,),
    not_for=("women", "people under 20", "people of other ancestry"),
    note="The abstract does not say where the waist was taken; midway between rib and crest is assumed.",
)


# Pongchaiyakul (2005) [pongchaiyakul2005], women. hip [cm]; suprailiac: skinfold [mm]; bmi [kg/m²]
def pongchaiyakul2005_women(hip: Array, suprailiac: Array, bmi: Array) -> Array:
    """Body fat [%] of Thai women from hip, one fold and body mass index."""
    return 0.42 * hip + 0.17 * suprailiac + 0.46 * bmi - 23.75


PONGCHAIYAKUL2005_FEMALE = Equation(
    key="pongchaiyakul2005_female_hip_suprailiac",
    method="skinfold",
    predicts="fat_percent",
    reference_method="dxa",
    sex="female",
    inputs=("hip_cm", "suprailiac_midaxillary_mm", Bmi()),
    formula=pongchaiyakul2005_women,
    see=None,
    limits={"age_years": (20, 84)},
    n=125,
    population="women in rural Thailand; 130 more for cross-validation",
    criterion="DXA",
    lineage="pongchaiyakul2005",
    ancestry="asian",
    source="pongchaiyakul2005",
    where="equation for women in the abstract",
    status="verified",
    checked=Checked.DOUBLE_ENTRY,
    known_bias=(_THAI_SPREAD,),
    not_for=("men", "people under 20", "people of other ancestry"),
    note="The abstract does not say which suprailiac skinfold; that in the midaxillary line is assumed.",
)


# Sri Lanka (2016) [sri_lanka2016]. weight [kg]; triceps: skinfold [mm]
def sri_lanka2016_women(weight: Array, triceps: Array) -> Array:
    """Body fat [%] of Sri Lankan women from weight and one skinfold."""
    return 19.621 + 0.237 * weight + 0.259 * triceps


SRI_LANKA2016_FEMALE = Equation(
    key="sri_lanka2016_female_weight_triceps",
    method="skinfold",
    predicts="fat_percent",
    reference_method="density",
    sex="female",
    inputs=("weight_kg", "triceps_mm"),
    formula=sri_lanka2016_women,
    see=None,
    limits={"age_years": (30, 45)},
    n=164,
    population="women in Sri Lanka; one half fitted, one half checked",
    criterion="body water by deuterium dilution",
    lineage="sri_lanka2016_female",
    ancestry="asian",
    source="sri_lanka2016",
    where="equation in the abstract",
    status="verified",
    checked=Checked.DOUBLE_ENTRY,
    not_for=("men", "people under 30", "people of other ancestry"),
    note=(
        "The abstract calls its limits of agreement narrow and prints none. Body water is a"
        " criterion of its own; it is treated like density here (our choice)."
    ),
)


CARDS: tuple[Equation, ...] = (
    TAHARA_MALE_3SITE,
    KAGAWA2004_MALE,
    ARISTIZABAL2018_FEMALE_CALF,
    ARISTIZABAL2018_FEMALE_AXILLA,
    PONGCHAIYAKUL2005_MALE,
    PONGCHAIYAKUL2005_FEMALE,
    SRI_LANKA2016_FEMALE,
)
