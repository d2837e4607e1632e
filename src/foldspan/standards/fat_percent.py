"""Body fat [%]: bands by sex and age. Every one of them stands on the scale it was built on."""

from __future__ import annotations

from foldspan.standards.backgrounds import ASIAN_BACKGROUNDS, BLACK_BACKGROUNDS
from foldspan.standards.card import Kind, Standard

_MATCHED = ("lighter_match", "healthy_match", "above_match", "well_above_match")
_SPAN = ("below_span", "in_span", "above_span")
_Three = tuple[float, float, float]

# Gallagher (2000) [gallagher2000]: sex, first and last age, then the fat percentage predicted at a
# body mass index of 18.5, 25 and 30 for African American, Asian and white adults.
_GALLAGHER: tuple[tuple[Kind, int, int, _Three, _Three, _Three], ...] = (
    ("female", 20, 39, (20, 32, 38), (25, 35, 40), (21, 33, 39)),
    ("female", 40, 59, (21, 34, 39), (25, 36, 41), (23, 35, 41)),
    ("female", 60, 79, (23, 35, 41), (26, 36, 41), (25, 38, 43)),
    ("male", 20, 39, (8, 20, 26), (13, 23, 28), (8, 21, 26)),
    ("male", 40, 59, (9, 22, 27), (13, 24, 29), (11, 23, 29)),
    ("male", 60, 79, (11, 23, 29), (14, 24, 29), (13, 25, 31)),
)
_GROUPS: tuple[tuple[str, str, tuple[str, ...]], ...] = (
    ("african_american", "African American adults", BLACK_BACKGROUNDS),
    ("asian", "Asian adults (Japan)", ASIAN_BACKGROUNDS),
    ("white", "white adults (US and UK)", ("white",)),
)
# NHANES 2017-18 [nhanes2017], 20 to 59 years, unweighted: fat [%] by DXA at a body mass index of
# 18.5, 25 and 30, by least squares of fat on 1/BMI in each group; tests/open_data computes them again.
_SURVEY: tuple[tuple[Kind, int, int, _Three], ...] = (
    ("female", 20, 39, (27.0, 36.0, 40.3)),
    ("female", 40, 59, (29.6, 37.5, 41.2)),
    ("male", 20, 39, (15.3, 24.4, 28.7)),
    ("male", 40, 59, (17.4, 25.8, 29.8)),
)
# Potter (2025) [potter2025]: sex; no case below, risk clusters from, is common from [%, DXA].
_POTTER: tuple[tuple[Kind, _Three], ...] = (
    ("female", (30.0, 36.0, 42.0)),
    ("male", (18.0, 25.0, 30.0)),
)
# Pasco (Geelong) [pasco2014]: fat [%, DXA] at a body mass index of 30, by decade of age from 20 on.
_PASCO: tuple[tuple[Kind, tuple[float, ...]], ...] = (
    ("female", (43.4, 43.6, 43.8, 44.0, 44.2, 44.4, 44.6)),
    ("male", (27.5, 28.1, 28.7, 29.3, 29.9, 30.5, 31.1)),
)
# Heo (2012) [heo2012]: lowest to highest over three ages and three groups, at a body mass index of
# 18.5, 25, 30, 35, 40 [%, DXA]. Cells by age and group were not read, so these are spans, no limits:
# shown on docs/health-tables.md, no band is made of them.
HEO_SPANS: dict[str, dict[float, tuple[float, float]]] = {
    "female": {
        18.5: (24.6, 32.3), 25.0: (35.0, 40.2), 30.0: (39.9, 44.1), 35.0: (43.4, 47.1),
        40.0: (46.1, 49.4),
    },
    "male": {
        18.5: (12.2, 19.0), 25.0: (22.6, 28.0), 30.0: (27.5, 32.3), 35.0: (31.0, 35.3),
        40.0: (33.6, 37.6),
    },
}  # fmt: skip
# Spans for both sexes that are carried to be compared: Kyle (2003) [kyle2003], bioimpedance, and the
# common gym band [gym_band], which no text of the body it is credited to could confirm.
_KYLE: tuple[tuple[Kind, tuple[float, float]], ...] = (
    ("female", (24.6, 33.2)),
    ("male", (13.4, 21.7)),
)
_GYM: tuple[tuple[Kind, tuple[float, float]], ...] = (
    ("female", (20.0, 32.0)),
    ("male", (10.0, 22.0)),
)
# Least fat that sports bodies certify [roberts1998, jagim2024]: 12 % women, 5 % men.
_LEAST: tuple[tuple[Kind, float, str], ...] = (
    ("female", 12.0, "jagim2024"),
    ("male", 5.0, "roberts1998"),
)
LEAST_FAT: dict[str, float] = {sex: limit for sex, limit, _ in _LEAST}

_GALLAGHER_ROWS = tuple(
    Standard(
        key=f"gallagher2000_{sex}_{first}_{last}_{group}",
        name="Body fat matching a healthy weight",
        year=2000,
        measure="fat_percent",
        limits=tuple(map(float, limits)),
        labels=_MATCHED,
        source="gallagher2000",
        status="not verified in print",
        population=population,
        sex=sex,
        ages=(first, last),
        reference_method="density",
        backgrounds=backgrounds,
        is_averaged=True,
        note="Predicted by regression at a BMI of 18.5, 25 and 30 (four compartments and"
        " DXA; standard error 2.8-5.4 points). The authors call it provisional. Charts"
        " that merge the groups disagree and are not used. Who belongs to which group is"
        " our choice.",
    )
    for sex, first, last, *columns in _GALLAGHER
    for (group, population, backgrounds), limits in zip(_GROUPS, columns, strict=True)
)
_SURVEY_ROWS = tuple(
    Standard(
        key=f"nhanes2017_{sex}_{first}_{last}",
        name="Body fat matching a healthy weight, DXA",
        year=2018,
        measure="fat_percent",
        limits=limits,
        labels=_MATCHED,
        source="nhanes2017",
        status="computed from open data",
        population="US adults of the survey, unweighted",
        sex=sex,
        ages=(first, last),
        reference_method="dxa",
        note="Body fat predicted at a BMI of 18.5, 25 and 30: least squares on 1/BMI (our"
        " calculation; scatter 3.7-4.2 points).",
    )
    for sex, first, last, limits in _SURVEY
)
_PASCO_ROWS = tuple(
    Standard(
        key=f"pasco2014_{sex}_{first}",
        name="Body fat matching a BMI of 30",
        year=2014,
        measure="fat_percent",
        limits=(limit,),
        labels=("below_bmi_30_match", "bmi_30_match_or_more"),
        source="pasco2014",
        status="verified, primary",
        population="white Australians",
        sex=sex,
        ages=(first, None if first == 80 else first + 9),
        reference_method="dxa",
        note=(
            "The body fat that matches a BMI of 30. Counting a limit as part of the"
            " category above it is our choice."
        ),
    )
    for sex, limits in _PASCO
    for first, limit in zip(range(20, 90, 10), limits, strict=True)
)

STANDARDS: tuple[Standard, ...] = (
    *_GALLAGHER_ROWS,
    *_SURVEY_ROWS,
    *(
        Standard(
            key=f"potter2025_{sex}",
            name="Metabolic syndrome by body fat",
            year=2025,
            measure="fat_percent",
            limits=limits,
            labels=("no_case_seen", "few_cases", "risk_clusters", "risk_common"),
            source="potter2025",
            status="verified, primary",
            population="16,918 US adults",
            sex=sex,
            reference_method="dxa",
            note="One cross-sectional study, no age groups; whether a limit belongs above or"
            " below is not stated (ours: above). Says nothing about too little fat.",
        )
        for sex, limits in _POTTER
    ),
    *_PASCO_ROWS,
    *(
        Standard(
            key=f"sport_minimum_{sex}",
            name="Minimum fat certified in sport",
            year=1998 if sex == "male" else 2024,
            measure="fat_percent",
            limits=(limit,),
            labels=("below_minimum", "at_or_above_minimum"),
            source=source,
            status="verified, primary",
            population="wrestlers",
            sex=sex,
            reference_method="density",
            note="Not a goal. 5% for men is called theoretical; healthy men at their minimum"
            " had 4% to 6% (Friedl 1994). 12% for women is in force but thought too low.",
        )
        for sex, limit, source in _LEAST
    ),
    Standard(
        key="rule_of_thumb_male",
        name="Common-practice range",
        year=0,
        measure="fat_percent",
        limits=(15.0, 25.0),
        labels=_SPAN,
        limit_belongs=("above", "below"),
        source="practice",
        status="common practice, no source",
        population="men",
        sex="male",
        reference_method="density",
        note=(
            "A range called heart-healthy for men in the fitness trade. No source; reference"
            " method not stated."
        ),
    ),
    *(
        Standard(
            key=f"kyle2003_percent_{sex}",
            name="Body fat matching a healthy weight, Switzerland",
            year=2003,
            measure="fat_percent",
            limits=limits,
            labels=_SPAN,
            limit_belongs=("above", "below"),
            source="kyle2003",
            status="verified, primary",
            population="white Swiss with a body mass index of 18.5 to 25",
            sex=sex,
            ages=(18, 98),
            reference_method="bioimpedance",
            is_shown=False,
            note="Reference method bioimpedance, for which this range cannot be given.",
        )
        for sex, limits in _KYLE
    ),
    *(
        Standard(
            key=f"gym_band_{sex}",
            name="Common gym category",
            year=0,
            measure="fat_percent",
            limits=limits,
            labels=_SPAN,
            limit_belongs=("above", "below"),
            source="gym_band",
            status="not verified in print",
            population="adults of any age",
            sex=sex,
            reference_method="density",
            is_shown=False,
            note="Called satisfactory for health and credited to a college of sports"
            " medicine, but found in none of its texts. Reference method and ages not"
            " stated: not used for clients.",
        )
        for sex, limits in _GYM
    ),
)
