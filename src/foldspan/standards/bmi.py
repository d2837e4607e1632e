"""Body mass index [kg/m²]: classes, lower points by family background, growth reference, older age."""

from __future__ import annotations

from foldspan.standards.backgrounds import ASIAN_BACKGROUNDS, NICE_BACKGROUNDS
from foldspan.standards.card import Kind, Standard

_CLASSES = (
    "severely_low", "clearly_low", "low", "usual", "above", "well_above", "far_above",
    "very_far_above",
)  # fmt: skip
# WHO growth reference (2007) [who_growth2007], not verified in print: sex, age in completed years,
# body mass index at -3, -2, +1 and +2 standard deviations.
_GROWTH: tuple[tuple[Kind, int, tuple[float, float, float, float]], ...] = (
    ("female", 18, (14.7, 16.4, 24.8, 29.5)),
    ("female", 19, (14.7, 16.5, 25.0, 29.7)),
    ("male", 18, (15.7, 17.3, 24.9, 29.2)),
    ("male", 19, (15.9, 17.6, 25.4, 29.7)),
)

STANDARDS: tuple[Standard, ...] = (
    Standard(
        key="who2000_bmi",
        name="WHO classes",
        year=2000,
        measure="bmi",
        limits=(16.0, 17.0, 18.5, 25.0, 30.0, 35.0, 40.0),
        labels=_CLASSES,
        source="who_bmi",
        status="verified, secondary",
        population="adults",
        note="Published to two decimals (18.50-24.99). We read each limit as part of the category"
        " above it. Adults here are 18 and older, as in the NICE guideline.",
    ),
    Standard(
        key="nice2023_bmi_background",
        name="NICE lower BMI limits",
        year=2023,
        measure="bmi",
        limits=(16.0, 17.0, 18.5, 23.0, 27.5, 32.5, 37.5),
        labels=_CLASSES,
        source="nice_bmi",
        status="verified, secondary",
        population="South Asian, Chinese, other Asian, Middle Eastern, Black African or "
        "African-Caribbean family background, self-described",
        backgrounds=NICE_BACKGROUNDS,
        note="Published: 23 to 27.4, and 27.5 and above; the higher classes are 'usually'"
        " 2.5 lower. 18.5 to 23 as the usual range is implied, not seen in print; below"
        " 18.5 as for everyone.",
    ),
    *(
        Standard(
            key=f"who2007_growth_{sex}_{age}",
            name="WHO growth reference",
            year=2007,
            measure="bmi",
            limits=limits,
            labels=("severely_low", "low", "usual", "above", "well_above"),
            limit_belongs=("above", "above", "below", "below"),
            source="who_growth2007",
            status="not verified in print",
            population="young people up to 19 years",
            sex=sex,
            ages=(age, age),
            note="A second way to assess a young adult's weight: -3, -2, +1 and +2 standard"
            " deviations of the growth reference. Values not verified in print.",
        )
        for sex, age, limits in _GROWTH
    ),
    Standard(
        key="winter2014_bmi_older",
        name="Older adults, mortality",
        year=2014,
        measure="bmi",
        limits=(23.0, 33.0),
        labels=("light_for_age", "usual_for_age", "heavy_for_age"),
        limit_belongs=("above", "below"),
        source="winter2014",
        status="verified, primary",
        population="adults aged 65 and over living at home",
        ages=(65, None),
        note="Mortality compared with BMI 23.0-23.9: 12% higher at 21.0-21.9, 19% higher at"
        " 20.0-20.9, rising again above 33. This is risk in groups, not a sign of"
        " illness in one person.",
    ),
    Standard(
        key="who2004_bmi_action_points",
        name="WHO action points, Asian populations",
        year=2004,
        measure="bmi",
        limits=(23.0, 27.5, 32.5, 37.5),
        labels=("usual", "above", "well_above", "far_above", "very_far_above"),
        source="who_asia",
        status="verified, primary",
        population="Asian populations, for reports of whole countries",
        backgrounds=ASIAN_BACKGROUNDS,
        is_shown=False,
        note=(
            "Points for public health reports. WHO kept its classes; these points are not classes"
            " for individuals, and not the NICE points, though the figures are the same."
        ),
    ),
)
