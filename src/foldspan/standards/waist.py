"""Waist [cm], waist by body mass index, waist to height and waist to hip."""

from __future__ import annotations

from foldspan.standards.card import Kind, Standard

_MIDPOINT = ("waist_midpoint_cm",)
_ILIAC = ("waist_iliac_cm",)
_SEXES: tuple[Kind, Kind] = ("female", "male")
_WHO_LABELS = ("below_raised", "raised", "high")
_CENTRAL = ("below_central", "central")


def _who(sex: Kind, limits: tuple[float, float]) -> Standard:
    return Standard(
        key=f"who2008_waist_{sex}",
        name="WHO waist",
        year=2008,
        measure="waist_cm",
        limits=limits,
        labels=_WHO_LABELS,
        limit_belongs="below",
        source="who_waist",
        status="verified, secondary",
        population="adults, European-derived",
        sex=sex,
        waist_sites=_MIDPOINT,
        note="Published as 'above' the limit; others print 'from' it, which matters only"
        " exactly at the limit. Site midway between rib and iliac crest (not verified in"
        " print).",
    )


def _nhlbi(sex: Kind, limit: float) -> Standard:
    return Standard(
        key=f"nhlbi1998_waist_{sex}",
        name="US guideline waist",
        year=1998,
        measure="waist_cm",
        limits=(limit,),
        labels=("below_raised", "high"),
        limit_belongs="below",
        source="nhlbi1998",
        status="verified, primary",
        population="US adults",
        sex=sex,
        bmi=(None, 35.0),
        waist_sites=_ILIAC,
        note="Site at the iliac crest (not verified in print). The same guideline combines"
        " it with BMI: from a BMI of 35 the waist adds nothing.",
    )


def _to_hip(sex: Kind, limit: float) -> Standard:
    return Standard(
        key=f"who2008_waist_to_hip_{sex}",
        name="WHO waist-to-hip ratio",
        year=2008,
        measure="waist_to_hip",
        limits=(limit,),
        labels=("below_raised", "high"),
        source="who_waist",
        status="verified, secondary",
        population="adults",
        sex=sex,
        waist_sites=_MIDPOINT,
        note=(
            "Published as 'from' the limit. Weak for follow-up: both girths shrink together"
            " (our view)."
        ),
    )


# IDF (2006) [idf2006]: key, population, family backgrounds, limit for women, for men [cm].
_IDF: tuple[tuple[str, str, tuple[str, ...], float, float], ...] = (
    ("europid", "Europid", ("white",), 80.0, 94.0),
    ("south_asian", "South Asian", ("south_asian",), 80.0, 90.0),
    ("chinese", "Chinese", ("chinese",), 80.0, 90.0),
    ("african", "sub-Saharan African: European values until there are data", ("black_african",),
     80.0, 94.0),
    ("middle_eastern", "Eastern Mediterranean and Middle East: European values until there are data",
     ("middle_eastern",), 80.0, 94.0),
    ("latin_american", "South and Central American: South Asian values until there are data",
     ("latin_american",), 80.0, 90.0),
)  # fmt: skip
_IDF_ROWS = tuple(
    Standard(
        key=f"idf2006_waist_{sex}_{group}",
        name="IDF waist",
        year=2006,
        measure="waist_cm",
        limits=(limit,),
        labels=_CENTRAL,
        source="idf2006",
        status="verified, secondary",
        population=population,
        sex=sex,
        backgrounds=backgrounds,
        waist_sites=("waist_midpoint_cm", "waist_iliac_cm"),
        note="Published as 'from' the limit; one reprint prints 'above'. The level of"
        " measurement was not stated where it was read. Japanese values are disputed and"
        " not used.",
    )
    for group, population, backgrounds, *limits in _IDF
    for sex, limit in zip(_SEXES, limits, strict=True)
)


# Ardern (2004) [ardern2004]: body mass index from, to below; waist for women, for men [cm].
_ARDERN: tuple[tuple[float, float | None, float, float], ...] = (
    (18.5, 25.0, 80.0, 90.0),
    (25.0, 30.0, 90.0, 100.0),
    (30.0, 35.0, 105.0, 110.0),
    (35.0, None, 115.0, 125.0),
)
_ARDERN_ROWS = tuple(
    Standard(
        key=f"ardern2004_waist_{sex}_bmi_{low:g}".replace(".", "_"),
        name="Waist within a BMI class",
        year=2004,
        measure="waist_cm",
        limits=(limit,),
        labels=("below_high_for_class", "high_for_class"),
        source="ardern2004",
        status="verified, primary",
        population="North American adults",
        sex=sex,
        bmi=(low, high),
        waist_sites=_ILIAC,
        note="'From' the limit, as a later consensus tabulates it (not verified in print);"
        " the level at the iliac crest is that of the survey (not verified in print).",
    )
    for low, high, *limits in _ARDERN
    for sex, limit in zip(_SEXES, limits, strict=True)
)

STANDARDS: tuple[Standard, ...] = (
    Standard(
        key="nice2022_waist_to_height",
        name="NICE guideline",
        year=2022,
        measure="waist_to_height",
        limits=(0.4, 0.5, 0.6),
        labels=("small_for_height", "under_half", "half_or_more", "six_tenths_or_more"),
        source="nice_waist",
        status="verified, secondary",
        population="adults below a body mass index of 35, both sexes, all backgrounds, muscular "
        "people too",
        bmi=(None, 35.0),
        waist_sites=("waist_midpoint_cm", "waist_narrowest_cm"),
        note="Published: 0.4-0.49, 0.5-0.59, 0.6 and above; the unrounded ratio is compared"
        " (our choice). NICE has no class below 0.4; 'take care' there is Ashwell's"
        " (2011). 0.6 is a proposal. NICE advises against a waist at the hip bone for"
        " this ratio.",
    ),
    _who("female", (80.0, 88.0)),
    _who("male", (94.0, 102.0)),
    _nhlbi("female", 88.0),
    _nhlbi("male", 102.0),
    *_IDF_ROWS,
    *_ARDERN_ROWS,
    _to_hip("female", 0.85),
    _to_hip("male", 0.90),
)
