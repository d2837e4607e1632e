"""Second typing of the limits in the referral rules, by somebody who had not seen the module.

Typed from the notes on the sources. "Seen" says what of a source could be read. ">" means that the
limit itself does not count, ">=" that it does; "ours" that no source prints the number.

Not typed, as no source has a number for them: how sure a flag must be (``SURE_AT``, ``RAISED_AT``,
``LOW_FAT_AT``), the slack in days (``DAYS_EITHER_WAY``), the loss that counts beside a low weight
(``SOME_LOSS``, ``SOME_MONTHS``) and the age of expected stopped periods (``PERIODS_AGE``).
"""

from __future__ import annotations

import math

import pytest

from foldspan.standards import rules

# Upper end of the range of per cent fat: below 6 in men, below 14 in women. Ours: the 12 % rule of
# Jagim AR et al. (J Int Soc Sports Nutr 2024;21:2304561) and about two points of error of skinfolds;
# for men the measured floor of Friedl KE et al. (J Appl Physiol 1994;77:933-940), 4 to 6 %.
VERY_LOW_FAT = {"male": 6, "female": 14}

# Unplanned loss: per cent of weight, and the months it took at most. The notes bid to use the
# strictest of the windows in print, that is for each loss the longest time in which it counts.
SOON_WINDOWS = (
    # GLIM, Cederholm T et al. Clin Nutr 2019, table 3 (seen): > 5 % within 6 months, or > 10 % beyond
    # 6 months, with no end printed.
    (5.0, 6.0),
    (10.0, math.inf),
    # ESPEN, Cederholm T et al. Clin Nutr 2015;34:335-340, abstract seen: > 5 % in 3 months, or > 10 %
    # over any time.
    (5.0, 3.0),
    (10.0, math.inf),
    # MUST (BAPEN), scores as reproduced: 5 to 10 % in 3 to 6 months is one point.
    (5.0, 6.0),
    # Clinical summaries (AAFP 2021;104:34-40), as reproduced: work-up from >= 5 % in 6 to 12 months.
    (5.0, 12.0),
)
URGENT_WINDOWS = (
    # US CMS care-home item (LOINC 54863-6, its name seen): >= 5 % in 1 month or >= 10 % in 6 months.
    (5.0, 1.0),
    (10.0, 6.0),
    # MUST, as above: > 10 % in 3 to 6 months is two points.
    (10.0, 6.0),
)

SINGLE = {
    # US school-wrestling cap (NFHS), in Altom KR & Moon JR. Int J Kinanthropometry 2025;5(1):95-105,
    # abstract seen: > 1.5 % of weight a week.
    "PLANNED_LOSS_A_WEEK": 1.5,
    # GLIM 2019, table 3, prints "< 70" and "> 70"; from 70 on is ours.
    "ILLNESS_AGE": 70.0,
    # 65 and over, with a high body mass index or waist and a sign of poor muscle: Donini LM et al.
    # (ESPEN and EASO) Obes Facts 2022;15:321-335, the rule seen, the age as in the notes.
    "MUSCLE_AGE": 65.0,
    # grip and calf: age_min of the rows grip_ewg_*, grip_awgs_* and calf_awgs_* of the notes
    "GRIP_AGE": 60.0,
    # Ours, both: no source prints a wait after a birth (6 months) or an operation (3 months).
    "MONTHS_AFTER_BIRTH": 6.0,
    "MONTHS_AFTER_SURGERY": 3.0,
    # Arithmetic: 365.25 days are 12 months, 7 days a week.
    "WEEKS_A_MONTH": 365.25 / 12 / 7,
}
PAIRS = {
    # GLIM 2019, table 3 (seen): below 20 under 70 years, below 22 from 70; Asia below 18.5 and 20.
    "ILLNESS_BMI": (20.0, 22.0),
    "ILLNESS_BMI_ASIAN": (18.5, 20.0),
    # NICE NG136, mmHg: >= 140/90 from memory; >= 180/120 seen as reproduced.
    "RAISED_PRESSURE": (140.0, 90.0),
    "VERY_HIGH_PRESSURE": (180.0, 120.0),
}
BY_SEX = {
    # EWGSOP2, Cruz-Jentoft AJ et al. Age Ageing 2019;48:16-31, as reproduced: below, in kg.
    "WEAK_GRIP": {"male": 27, "female": 16},
    # AWGS 2019, as reproduced: grip below, in kg; calf below, in cm.
    "WEAK_GRIP_ASIAN": {"male": 28, "female": 18},
    "SMALL_CALF_ASIAN": {"male": 34, "female": 33},
    "VERY_LOW_FAT": VERY_LOW_FAT,
}


@pytest.mark.parametrize("name", SINGLE)
def test_single_limit_equals_second_typing(name: str) -> None:
    assert getattr(rules, name) == pytest.approx(SINGLE[name], rel=0.002 if "WEEKS" in name else 0)


@pytest.mark.parametrize("name", PAIRS)
def test_pair_of_limits_equals_second_typing(name: str) -> None:
    assert getattr(rules, name) == PAIRS[name]


@pytest.mark.parametrize("name", BY_SEX)
def test_limits_by_sex_equal_second_typing(name: str) -> None:
    assert getattr(rules, name) == BY_SEX[name]


@pytest.mark.parametrize(
    ("kept", "windows"),
    [(rules.LOSS_SOON, SOON_WINDOWS), (rules.LOSS_URGENT, URGENT_WINDOWS)],
    ids=["soon", "urgent"],
)
def test_losses_are_the_strictest_windows_in_print(
    kept: tuple[tuple[float, float], ...], windows: tuple[tuple[float, float], ...]
) -> None:
    longest = {loss: max(months for one, months in windows if one == loss) for loss, _ in windows}
    assert dict(kept) == longest
    assert len(kept) == len(longest)


def test_urgent_losses_are_faster_than_those_for_soon() -> None:
    """Or the urgent rule could never add anything to the other."""
    assert dict(rules.LOSS_URGENT).keys() == dict(rules.LOSS_SOON).keys()
    for loss, months in rules.LOSS_URGENT:
        assert months < dict(rules.LOSS_SOON)[loss]
