"""Skinfold equations that turn one sum of folds into fat in percent, from Yuhasz to Carter.

The first was made on young Canadians; its children serve swimmers and Olympic athletes.
"""

from __future__ import annotations

from foldspan.catalogue.card import Array, Checked, Equation, Sum

_SIX = Sum("triceps_mm", "subscapular_mm", "supraspinale_mm", "abdominal_mm", "thigh_mm", "calf_mm")
_ISAK_TRUNK = {
    "triceps_mm": "radiale",
    "subscapular_mm": "2cm_along",
    "abdominal_mm": "vertical_5cm",
}


# Yuhasz (1974) [yuhasz1974]. folds: chest + triceps + subscapular + supraspinale + abdominal
# + thigh [mm]
def yuhasz1974_men(folds: Array) -> Array:
    """Body fat [%] of young men from the sum of six skinfolds."""
    return 3.64 + 0.097 * folds


YUHASZ1974_MALE = Equation(
    key="yuhasz1974_male",
    method="skinfold",
    predicts="fat_percent",
    reference_method="density",
    sex="male",
    inputs=(
        Sum(
            "chest_mm",
            "triceps_mm",
            "subscapular_mm",
            "supraspinale_mm",
            "abdominal_mm",
            "thigh_mm",
        ),
    ),
    formula=yuhasz1974_men,
    see=None,
    limits={"age_years": (18, 30)},
    n=None,
    population="young Canadian men",
    criterion="underwater weighing, two compartments",
    lineage="yuhasz_male",
    source="yuhasz1974",
    where="equation quoted in a secondary source (page not seen)",
    status="read in a secondary text",
    checked=Checked.DOUBLE_ENTRY,
    known_bias=(
        "of 17 equations, ranked 101 combat athletes most like DXA, rank correlation"
        " 0.909 (Dimitrijevic 2022)",
    ),
    not_for=("women", "men over 30"),
    note="The constant also circulates as 3.641. The source says suprailiac; the supraspinale"
    " fold is assumed, as in the sums developed from this one.",
)


# Yuhasz (1974) [yuhasz1974]. folds: triceps + subscapular + supraspinale + abdominal + thigh
# + calf [mm]
def yuhasz1974_women(folds: Array) -> Array:
    """Body fat [%] of young women from the sum of six skinfolds."""
    return 4.56 + 0.143 * folds


YUHASZ1974_FEMALE = Equation(
    key="yuhasz1974_female",
    method="skinfold",
    predicts="fat_percent",
    reference_method="density",
    sex="female",
    inputs=(_SIX,),
    formula=yuhasz1974_women,
    see=None,
    limits={"age_years": (18, 30)},
    n=None,
    population="young Canadian women",
    criterion="underwater weighing, two compartments",
    lineage="yuhasz_female",
    source="yuhasz1974",
    where="equation (page not seen)",
    status="not verified in print",
    checked=Checked.FROM_MEMORY,
    known_bias=(
        "a Yuhasz form had a median of 15.2%, DXA a mean of 23.9%, in 24 professional women"
        " footballers (Gomez 2024)",
    ),
    not_for=("men", "women over 30"),
    note="The source says suprailiac; the supraspinale skinfold is assumed.",
)


# Faulkner (1968) [faulkner1968]. folds: triceps + subscapular + supraspinale + abdominal [mm]
def faulkner1968_four(folds: Array) -> Array:
    """Body fat [%] of swimmers from the sum of four skinfolds."""
    return 5.783 + 0.153 * folds


FAULKNER1968_BOTH = Equation(
    key="faulkner1968_both",
    method="skinfold",
    predicts="fat_percent",
    reference_method="density",
    sex="both",
    inputs=(Sum("triceps_mm", "subscapular_mm", "supraspinale_mm", "abdominal_mm"),),
    formula=faulkner1968_four,
    see=None,
    limits={"age_years": (16, 40)},
    sites=_ISAK_TRUNK,
    n=None,
    population="swimmers; derived on men",
    criterion="underwater weighing, two compartments",
    lineage="faulkner1968",
    audience="athlete",
    source="faulkner1968",
    where="worked example in teaching slides (page not seen)",
    status="read in a secondary text",
    checked=Checked.WORKED_EXAMPLE,
    not_for=("people who do not train",),
    note="Very flat: it rarely leaves 9 to 20%. A women's form with 7.9 and 0.213 also"
    " circulates (not verified in print). The source says suprailiac; the supraspinale"
    " fold is assumed.",
)


# Carter (1982) [carter1982]. folds: triceps + subscapular + supraspinale + abdominal + thigh
# + calf [mm]
def carter1982_men(folds: Array) -> Array:
    """Body fat [%] of male Olympic athletes from the sum of six skinfolds."""
    return 2.585 + 0.1051 * folds


CARTER1982_MALE = Equation(
    key="carter1982_male",
    method="skinfold",
    predicts="fat_percent",
    reference_method="density",
    sex="male",
    inputs=(_SIX,),
    formula=carter1982_men,
    see=None,
    limits={"age_years": (18, 40)},
    sites={**_ISAK_TRUNK, "thigh_mm": "seated"},
    n=None,
    population="male Olympic athletes",
    criterion="underwater weighing, two compartments",
    lineage="carter1982_male",
    audience="athlete",
    source="carter1982",
    where="worked example in teaching slides (page not seen)",
    status="read in a secondary text",
    checked=Checked.WORKED_EXAMPLE,
    not_for=("women", "men who do not train"),
)


# Carter (1982) [carter1982]. folds: triceps + subscapular + supraspinale + abdominal + thigh
# + calf [mm]
def carter1982_women(folds: Array) -> Array:
    """Body fat [%] of female Olympic athletes from the sum of six skinfolds."""
    return 3.58 + 0.1548 * folds


CARTER1982_FEMALE = Equation(
    key="carter1982_female",
    method="skinfold",
    predicts="fat_percent",
    reference_method="density",
    sex="female",
    inputs=(_SIX,),
    formula=carter1982_women,
    see=None,
    limits={"age_years": (18, 40)},
    sites={**_ISAK_TRUNK, "thigh_mm": "seated"},
    n=None,
    population="female Olympic athletes",
    criterion="underwater weighing, two compartments",
    lineage="carter1982_female",
    audience="athlete",
    source="carter1982",
    where="equation (page not seen)",
    status="not verified in print",
    checked=Checked.FROM_MEMORY,
    not_for=("men", "women who do not train"),
)


CARDS: tuple[Equation, ...] = (
    YUHASZ1974_MALE,
    YUHASZ1974_FEMALE,
    FAULKNER1968_BOTH,
    CARTER1982_MALE,
    CARTER1982_FEMALE,
)
