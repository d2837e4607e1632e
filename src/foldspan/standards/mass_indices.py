"""Fat mass and fat-free mass over height squared [kg/m²]."""

from __future__ import annotations

from foldspan.standards.backgrounds import ASIAN_BACKGROUNDS
from foldspan.standards.card import Kind, Measure, Standard

_KELLY_LABELS = (
    "severe_shortage", "moderate_shortage", "mild_shortage", "usual_fat", "excess", "class_1",
    "class_2", "class_3",
)  # fmt: skip
# Kelly (2009) [kelly2009]: limits by sex; the usual band is closed at both ends.
_KELLY: tuple[tuple[Kind, tuple[float, ...]], ...] = (
    ("female", (3.5, 4.0, 5.0, 9.0, 13.0, 17.0, 21.0)),
    ("male", (2.0, 2.3, 3.0, 6.0, 9.0, 12.0, 15.0)),
)
# Kyle (2003) [kyle2003]: usual fat mass index and usual fat-free mass index at a body mass index of
# 18.5 to 25.
_KYLE: tuple[tuple[Kind, str, Measure, tuple[float, float]], ...] = (
    ("female", "fat", "fat_mass_index", (3.9, 8.2)),
    ("male", "fat", "fat_mass_index", (1.8, 5.2)),
    ("female", "lean", "fat_free_mass_index", (14.6, 16.8)),
    ("male", "lean", "fat_free_mass_index", (16.7, 19.8)),
)
# ESPEN (2015) [espen2015]: low fat-free mass index; counts only with unplanned loss.
_ESPEN: tuple[tuple[Kind, float], ...] = (("female", 15.0), ("male", 17.0))

STANDARDS: tuple[Standard, ...] = (
    *(
        Standard(
            key=f"kelly2009_{sex}",
            name="Fat mass index, US",
            year=2009,
            measure="fat_mass_index",
            limits=limits,
            labels=_KELLY_LABELS,
            limit_belongs=("above", "above", "above", "below", "below", "below", "below"),
            source="kelly2009",
            status="not verified in print",
            population="US adults, limits set at 25 years of age",
            sex=sex,
            reference_method="dxa",
            note="The scheme was read; the limits are not verified in print. Set so that the"
            " categories are as common as the BMI classes at that age.",
        )
        for sex, limits in _KELLY
    ),
    *(
        Standard(
            key=f"espen2015_lean_{sex}",
            name="Low fat-free mass index",
            year=2015,
            measure="fat_free_mass_index",
            limits=(limit,),
            labels=("low_lean", "not_low_lean"),
            source="espen2015",
            status="verified, primary",
            population="Western adults",
            sex=sex,
            reference_method="density",
            not_for=ASIAN_BACKGROUNDS,
            note=(
                "Counts only with unintended weight loss. States no reference method; calculated"
                " for underwater weighing here (our choice). A later consensus gives the same"
                " values for bioimpedance, and none for Asian adults."
            ),
        )
        for sex, limit in _ESPEN
    ),
    *(
        Standard(
            key=f"kyle2003_{what}_{sex}",
            name=f"{'Fat-free' if what == 'lean' else 'Fat'} mass index, Switzerland",
            year=2003,
            measure=measure,
            limits=limits,
            labels=("below_span", "in_span", "above_span"),
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
        for sex, what, measure, limits in _KYLE
    ),
)
