"""Skinfold equations for athletes, built on four compartments or on DXA.

Fat in percent, or fat and lean mass in kg, from folds [mm], girths [cm] and weight [kg].
"""

from __future__ import annotations

from foldspan.catalogue.card import Array, Checked, Equation, Sum

_SEVEN = Sum(
    "chest_mm",
    "midaxillary_mm",
    "triceps_mm",
    "subscapular_mm",
    "abdominal_mm",
    "suprailiac_anterior_mm",
    "thigh_mm",
)
_SEVEN_SITES = {
    "midaxillary_mm": "vertical",
    "triceps_mm": "olecranon",
    "subscapular_mm": "below_tip",
    "abdominal_mm": "vertical_2cm",
    "thigh_mm": "standing",
}
_THREE = Sum("abdominal_mm", "thigh_mm", "triceps_mm")
_THREE_SITES = {
    "abdominal_mm": "vertical_2cm",
    "thigh_mm": "standing",
    "triceps_mm": "olecranon",
}
_MEN_NOT_FOR = ("women", "men who do not train")
_EVANS_PEOPLE = "college athletes of both sexes, mean 20.7 years; 78 men (28 Black), 54 women"
_EVANS_SE = "total error in cross-validation"
_EVANS_CHANGE = (
    "followed change without bias in 18 judo athletes, 95% limits of -3.4 to +3.6 points"
    " against a four-compartment model (Silva 2009)",
)


# Evans (2005) [evans2005]. folds: abdominal + thigh + triceps [mm]; black: 0 or 1
def evans2005_men_3site(folds: Array, black: Array) -> Array:
    """Body fat [%] of male athletes from three skinfolds and ancestry."""
    return 8.997 + 0.24658 * folds - 6.343 - 1.998 * black


EVANS2005_MALE_3SITE = Equation(
    key="evans2005_male_3site",
    method="skinfold",
    predicts="fat_percent",
    reference_method="density",
    sex="male",
    inputs=(_THREE, "is_black"),
    formula=evans2005_men_3site,
    see=3.66,
    see_unit="fat_percent",
    see_note=_EVANS_SE,
    athletes_error=3.66,
    limits={"age_years": (18, 26)},
    sites=_THREE_SITES,
    n=132,
    population=_EVANS_PEOPLE,
    criterion="four compartments",
    lineage="evans2005_male",
    audience="athlete",
    source="evans2005",
    where="equation in the abstract",
    status="verified",
    checked=Checked.DOUBLE_ENTRY,
    known_bias=_EVANS_CHANGE,
    not_for=("people who do not train",),
)


# Evans (2005) [evans2005]. folds: abdominal + thigh + triceps [mm]; black: 0 or 1
def evans2005_women_3site(folds: Array, black: Array) -> Array:
    """Body fat [%] of female athletes from three skinfolds and ancestry."""
    return 8.997 + 0.24658 * folds - 1.998 * black


EVANS2005_FEMALE_3SITE = Equation(
    key="evans2005_female_3site",
    method="skinfold",
    predicts="fat_percent",
    reference_method="density",
    sex="female",
    inputs=(_THREE, "is_black"),
    formula=evans2005_women_3site,
    see=3.66,
    see_unit="fat_percent",
    see_note=_EVANS_SE,
    athletes_error=3.66,
    limits={"age_years": (18, 26)},
    sites=_THREE_SITES,
    n=132,
    population=_EVANS_PEOPLE,
    criterion="four compartments",
    lineage="evans2005_female",
    audience="athlete",
    source="evans2005",
    where="equation in the abstract",
    status="verified",
    checked=Checked.DOUBLE_ENTRY,
    known_bias=_EVANS_CHANGE,
    not_for=("people who do not train",),
)


# Evans (2005) [evans2005]. folds: chest + midaxillary + triceps + subscapular + abdominal
# + suprailiac + thigh [mm]; black: 0 or 1
def evans2005_men_7site(folds: Array, black: Array) -> Array:
    """Body fat [%] of male athletes from seven skinfolds and ancestry."""
    return 10.566 + 0.12077 * folds - 8.057 - 2.545 * black


EVANS2005_MALE_7SITE = Equation(
    key="evans2005_male_7site",
    method="skinfold",
    predicts="fat_percent",
    reference_method="density",
    sex="male",
    inputs=(_SEVEN, "is_black"),
    formula=evans2005_men_7site,
    see=3.76,
    see_unit="fat_percent",
    see_note=_EVANS_SE,
    athletes_error=3.76,
    limits={"age_years": (18, 26)},
    sites={"chest_mm": "half", **_SEVEN_SITES},
    n=132,
    population=_EVANS_PEOPLE,
    criterion="four compartments",
    lineage="evans2005_male",
    audience="athlete",
    source="evans2005",
    where="equation in the abstract",
    status="verified",
    checked=Checked.DOUBLE_ENTRY,
    not_for=("people who do not train",),
)


# Evans (2005) [evans2005]. folds: chest + midaxillary + triceps + subscapular + abdominal
# + suprailiac + thigh [mm]; black: 0 or 1
def evans2005_women_7site(folds: Array, black: Array) -> Array:
    """Body fat [%] of female athletes from seven skinfolds and ancestry."""
    return 10.566 + 0.12077 * folds - 2.545 * black


EVANS2005_FEMALE_7SITE = Equation(
    key="evans2005_female_7site",
    method="skinfold",
    predicts="fat_percent",
    reference_method="density",
    sex="female",
    inputs=(_SEVEN, "is_black"),
    formula=evans2005_women_7site,
    see=3.76,
    see_unit="fat_percent",
    see_note=_EVANS_SE,
    athletes_error=3.76,
    limits={"age_years": (18, 26)},
    sites={"chest_mm": "third", **_SEVEN_SITES},
    n=132,
    population=_EVANS_PEOPLE,
    criterion="four compartments",
    lineage="evans2005_female",
    audience="athlete",
    source="evans2005",
    where="equation in the abstract",
    status="verified",
    checked=Checked.DOUBLE_ENTRY,
    not_for=("people who do not train",),
)


# Oliver (2012), model 1 [oliver2012]. hip, abdomen (navel): girths [cm]; folds: chest
# + midaxillary + triceps + subscapular + abdominal + suprailiac + thigh [mm]
def oliver2012_7site_girths(hip: Array, abdomen: Array, folds: Array) -> Array:
    """Body fat [%] of college football players from seven skinfolds and two girths."""
    return 0.178 * hip + 0.097 * abdomen + 0.089 * folds - 19.641


OLIVER2012_MALE_7SITE_GIRTHS = Equation(
    key="oliver2012_male_7site_girths",
    method="skinfold",
    predicts="fat_percent",
    reference_method="dxa",
    sex="male",
    inputs=("hip_cm", "abdomen_navel_cm", _SEVEN),
    formula=oliver2012_7site_girths,
    see=None,
    limits={"age_years": (18, 23)},
    sites={"chest_mm": "half", **_SEVEN_SITES},
    n=157,
    population="top-division college football players, mean 103 kg and 19.5% fat",
    criterion="DXA",
    lineage="oliver2012",
    audience="athlete",
    source="oliver2012",
    where="model 1 (page not seen)",
    status="verified",
    checked=Checked.DOUBLE_ENTRY,
    not_for=_MEN_NOT_FOR,
)


# Oliver (2012), model 2 [oliver2012]. hip, abdomen (navel): girths [cm]; abdominal: skinfold [mm]
def oliver2012_abd_girths(hip: Array, abdomen: Array, abdominal: Array) -> Array:
    """Body fat [%] of college football players from one fold and two girths."""
    return 0.193 * hip + 0.133 * abdomen + 0.371 * abdominal - 23.0523


OLIVER2012_MALE_ABD_GIRTHS = Equation(
    key="oliver2012_male_abd_girths",
    method="skinfold",
    predicts="fat_percent",
    reference_method="dxa",
    sex="male",
    inputs=("hip_cm", "abdomen_navel_cm", "abdominal_mm"),
    formula=oliver2012_abd_girths,
    see=None,
    limits={"age_years": (18, 23)},
    sites={"abdominal_mm": "vertical_2cm"},
    n=157,
    population="top-division college football players, mean 103 kg and 19.5% fat",
    criterion="DXA",
    lineage="oliver2012",
    audience="athlete",
    source="oliver2012",
    where="model 2 (page not seen)",
    status="verified",
    checked=Checked.DOUBLE_ENTRY,
    not_for=_MEN_NOT_FOR,
)


# Oliver (2012), model 3 [oliver2012]. folds: chest + midaxillary + triceps + subscapular
# + abdominal + suprailiac + thigh [mm]
def oliver2012_7site(folds: Array) -> Array:
    """Body fat [%] of college football players from the sum of seven skinfolds."""
    return 0.132 * folds + 3.53


OLIVER2012_MALE_7SITE = Equation(
    key="oliver2012_male_7site",
    method="skinfold",
    predicts="fat_percent",
    reference_method="dxa",
    sex="male",
    inputs=(_SEVEN,),
    formula=oliver2012_7site,
    see=None,
    limits={"age_years": (18, 23)},
    sites={"chest_mm": "half", **_SEVEN_SITES},
    n=157,
    population="top-division college football players, mean 103 kg and 19.5% fat",
    criterion="DXA",
    lineage="oliver2012",
    audience="athlete",
    source="oliver2012",
    where="model 3 (page not seen)",
    status="verified",
    checked=Checked.DOUBLE_ENTRY,
    known_bias=(
        "95% limits of -3.9 to +2.3 points against DXA in 131 male soccer players"
        " (Lopez-Taylor 2018)",
    ),
    not_for=_MEN_NOT_FOR,
)


# Reilly (2009) [reilly2009]. thigh, abdominal, triceps, calf: skinfolds [mm]
def reilly2009_soccer_men(thigh: Array, abdominal: Array, triceps: Array, calf: Array) -> Array:
    """Body fat [%] of male soccer players from four skinfolds."""
    return 5.174 + 0.124 * thigh + 0.147 * abdominal + 0.196 * triceps + 0.13 * calf


REILLY2009_MALE_SOCCER = Equation(
    key="reilly2009_male_soccer",
    method="skinfold",
    predicts="fat_percent",
    reference_method="dxa",
    sex="male",
    inputs=("thigh_mm", "abdominal_mm", "triceps_mm", "calf_mm"),
    formula=reilly2009_soccer_men,
    see=None,
    limits={"age_years": (18, 35)},
    sites={"thigh_mm": "seated", "abdominal_mm": "vertical_5cm", "triceps_mm": "radiale"},
    n=45,
    population="English professional soccer players, mean 24.2 years",
    criterion="DXA",
    lineage="reilly2009_male",
    audience="athlete",
    source="reilly2009",
    where="regression equation (page not seen)",
    status="not verified in print",
    checked=Checked.FROM_MEMORY,
    not_for=_MEN_NOT_FOR,
    note="Constant and thigh coefficient were seen in a later paper's table, sites and n in the"
    " abstract; the other three coefficients are not verified in print.",
)


# Stewart & Hannan (2000) [stewart_hannan2000]. abdominal, thigh: skinfolds [mm]; weight [kg]
def stewart_hannan2000_men(abdominal: Array, thigh: Array, weight: Array) -> Array:
    """Fat mass [kg] of male athletes from two skinfolds and weight; the paper's grams over 1000."""
    return (331.5 * abdominal + 356.2 * thigh + 111.9 * weight - 9108) / 1000


STEWART_HANNAN2000_MALE = Equation(
    key="stewart_hannan2000_male",
    method="skinfold",
    predicts="fat_mass",
    reference_method="dxa",
    sex="male",
    inputs=("abdominal_mm", "thigh_mm", "weight_kg"),
    formula=stewart_hannan2000_men,
    see=1.732,
    see_unit="mass",
    limits={"age_years": (18, 40)},
    sites={"abdominal_mm": "vertical_5cm", "thigh_mm": "seated"},
    n=82,
    population="male athletes, Scotland",
    criterion="DXA",
    lineage="stewart_hannan2000_male",
    audience="athlete",
    source="stewart_hannan2000",
    where="regression equation (page not seen)",
    status="not verified in print",
    checked=Checked.FROM_MEMORY,
    not_for=_MEN_NOT_FOR,
    note="Error (R² 0.81) was seen in an extract of the paper, the first coefficient in a later paper's"
    " table; the other digits are not verified in print.",
)


# Warner (2004) [warner2004]. weight [kg]; abdominal, thigh: skinfolds [mm]
def warner2004_women_ffm(weight: Array, abdominal: Array, thigh: Array) -> Array:
    """Fat-free mass [kg] of female athletes from weight and two skinfolds."""
    return 8.51 + 0.809 * weight - 0.178 * abdominal - 0.225 * thigh


WARNER2004_FEMALE_FFM = Equation(
    key="warner2004_female_ffm",
    method="skinfold",
    predicts="fat_free_mass",
    reference_method="dxa",
    sex="female",
    inputs=("weight_kg", "abdominal_mm", "thigh_mm"),
    formula=warner2004_women_ffm,
    see=1.1,
    see_unit="mass",
    limits={"age_years": (18, 23)},
    sites={"abdominal_mm": "vertical_2cm", "thigh_mm": "standing"},
    n=101,
    population="female college athletes",
    criterion="DXA",
    lineage="warner2004_female",
    audience="athlete",
    source="warner2004",
    where="regression equation (page not seen)",
    status="not verified in print",
    checked=Checked.FROM_MEMORY,
    not_for=("men", "women who do not train"),
)


CARDS: tuple[Equation, ...] = (
    EVANS2005_MALE_3SITE,
    EVANS2005_FEMALE_3SITE,
    EVANS2005_MALE_7SITE,
    EVANS2005_FEMALE_7SITE,
    OLIVER2012_MALE_7SITE_GIRTHS,
    OLIVER2012_MALE_ABD_GIRTHS,
    OLIVER2012_MALE_7SITE,
    REILLY2009_MALE_SOCCER,
    STEWART_HANNAN2000_MALE,
    WARNER2004_FEMALE_FFM,
)
