"""Three visits and more: does the line through all hold as often as it says, are alarms as rare?

First on the errors alone, drawn many times in the two ways that the page of change names: what visits do
not share is new each day, or drifts slowly. Then on simulated clients, read as a tester reads.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, timedelta
from functools import cache
from unittest.mock import patch

import numpy as np
import pytest
import scipy

from foldspan.catalogue.card import FAMILIES
from foldspan.explanation.what_if import Case
from foldspan.followup import comparability, difference
from foldspan.followup.comparability import CommonEstimates, ComparedVisit
from foldspan.followup.difference import COMPARISONS, STABILITY, change_between, trend_of, z_real
from foldspan.quantities import SEXES
from foldspan.results.change import ChangeResult
from foldspan.results.changes_for_client import changes_for_client
from foldspan.text.change import course_sentences, fat_sentences
from followup.test_change_coverage import bodies, read_all, solved, truly
from invented_clients import at_hand, bounds, cases, near_average

DAY = date(2026, 1, 5)
EVEN, UNEVEN = (0, 8, 16, 24, 32), (0, 4, 6, 30, 31)
NINE = tuple(range(0, 36, 4))
SPACINGS = {"three": (0, 8, 16), "even": EVEN, "uneven": UNEVEN, "nine": NINE}
MODEL, READINGS = 4.4, 0.8  # standard errors of usual size [points]
WORLDS = ("new each day", "drifting")


@cache
def any_case() -> Case:
    """Some client, only to have one: what is known of the visits is given below."""
    return cases([near_average()[0]])[0]


def spread_of(weeks: Sequence[int], world: str) -> np.ndarray:
    """Covariance of the visits, by hand from the page of change."""
    days = 7.0 * np.array(weeks)
    if world == "drifting":
        together = STABILITY ** (np.abs(days[:, None] - days) / (days[-1] - days[0]))
    else:
        together = np.where(np.eye(days.size, dtype=bool), 1.0, STABILITY)
    return MODEL**2 * together + READINGS**2 * np.eye(days.size)


def judged(weeks: Sequence[int], estimates: np.ndarray) -> ChangeResult:
    """What the module makes of visits whose estimates are given; no body behind them."""
    taken = [
        ComparedVisit(any_case(), DAY + timedelta(weeks=week), "T-02", "C-1") for week in weeks
    ]
    known = {id(visit): value for visit, value in zip(taken, estimates, strict=True)}

    def given(some: Sequence[ComparedVisit]) -> CommonEstimates:
        count = len(some)
        return CommonEstimates(
            ("weight_kg",), (), (), tuple(known[id(visit)] for visit in some), (MODEL,) * count,
            (READINGS,) * count,
        )  # fmt: skip

    with patch.object(difference, "common_estimates", given):
        return ChangeResult(
            reference_method="density",
            change=change_between(taken[0], taken[-1], comparisons=COMPARISONS),
            step=change_between(taken[-2], taken[-1], comparisons=COMPARISONS),
            trend=trend_of(taken),
            days=tuple(visit.day for visit in taken),
        )


@cache
def drawn(
    spacing: str, world: str, fall: float = 0.0, count: int = 600
) -> tuple[ChangeResult, ...]:
    """Clients whose fat falls in a straight line by ``fall`` points in all."""
    weeks = SPACINGS[spacing]
    rng = np.random.default_rng([len(weeks), WORLDS.index(world), round(10 * fall)])
    root = np.linalg.cholesky(spread_of(weeks, world))
    truth = 30.0 - fall * np.array(weeks) / weeks[-1]
    return tuple(
        judged(weeks, truth + root @ rng.standard_normal(len(weeks))) for _ in range(count)
    )


@pytest.mark.parametrize("world", WORLDS)
@pytest.mark.parametrize("spacing", SPACINGS)
def test_no_change_is_told_as_real_in_fewer_than_1_of_20(spacing: str, world: str) -> None:
    """Whichever of the three the client reads: any of them real is an alarm."""
    found = drawn(spacing, world)
    alarms = float(np.mean([any_real(result) for result in found]))
    assert alarms <= bounds(0.05, len(found))[1]
    assert alarms > 0.005  # nor is it so strict that it says nothing


def any_real(change: ChangeResult) -> bool:
    lines = changes_for_client(change)
    return any(each.percent is not None and each.percent.is_real for each in lines)


@pytest.mark.parametrize("fall", [0.0, 6.0])
@pytest.mark.parametrize("spacing", SPACINGS)
@pytest.mark.parametrize(("span", "share"), [("range_80", 0.80), ("range_95", 0.95)])
def test_the_line_holds_the_true_fall_as_often_as_it_says(
    fall: float, spacing: str, span: str, share: float
) -> None:
    """As often in the worse of the two worlds, and at least so often in the other."""
    held = []
    for world in WORLDS:
        ends = np.array([getattr(mark.trend.whole, span) for mark in drawn(spacing, world, fall)])
        held.append(float(np.mean((ends[:, 0] <= -fall) & (-fall <= ends[:, 1]))))
    low, high = bounds(share, 600)
    assert min(held) >= low
    assert min(held) <= high


def test_the_line_is_generalised_least_squares() -> None:
    """By hand from the textbook: (X' V-1 X)-1 X' V-1 y, and its error in the worse world."""
    rng = np.random.default_rng(5)
    estimates = 30.0 + rng.standard_normal(5)
    found = judged(UNEVEN, estimates).trend
    assert found is not None
    months = 7.0 * np.array(UNEVEN) / (365.25 / 12.0)
    design = np.column_stack([np.ones(5), months])
    inverse = np.linalg.inv(spread_of(UNEVEN, "new each day"))
    pulls = (np.linalg.inv(design.T @ inverse @ design) @ design.T @ inverse)[1]
    assert found.a_month == pytest.approx(float(pulls @ estimates))
    variances = [float(pulls @ spread_of(UNEVEN, world) @ pulls) for world in WORLDS]
    assert found.se == pytest.approx(max(variances) ** 0.5)
    assert found.whole.amount == pytest.approx(found.a_month * months[-1])


def test_a_steady_fall_over_nine_visits_is_real_though_no_step_is() -> None:
    """The trial's client: each step within chance, the first and the last far apart."""
    found = judged(NINE, 32.0 - np.linspace(0.0, 10.4, 9))
    assert found.step is not None
    assert found.step.percent is not None
    assert not found.step.percent.is_real
    (line,) = changes_for_client(found)
    assert line.since == "first"
    assert line.percent is not None
    assert line.percent.is_real
    assert line.percent.amount == pytest.approx(-10.4)


def test_what_fell_and_came_back_is_told_of_the_last_step() -> None:
    found = judged((0, 10, 20), np.array([30.0, 20.0, 30.0]))
    (line,) = changes_for_client(found)
    assert line.since == "last"
    assert line.percent is not None
    assert line.percent.amount == pytest.approx(10.0)


def test_a_fall_and_a_rise_that_are_both_real_are_both_told() -> None:
    found = judged((0, 10, 20, 30), np.array([40.0, 28.0, 20.0, 30.0]))
    assert [line.since for line in changes_for_client(found)] == ["first", "last"]


def test_the_line_is_told_where_the_ends_alone_are_not_enough() -> None:
    """The ends hide what seven visits between them show."""
    estimates = np.array([28.0, 30.5, 30.0, 28.0, 27.0, 25.5, 24.0, 22.8, 23.5])
    found = judged(NINE, estimates)
    assert found.change.percent is not None
    assert not found.change.percent.is_real
    (line,) = changes_for_client(found)
    assert line.since == "all"
    assert line.percent is not None
    assert line.percent.is_real


def test_visits_days_apart_are_no_change_of_fat() -> None:
    found = judged((0, 1, 2), np.array([30.0, 20.0, 10.0]))
    assert any_real(found)
    assert found.trend is not None
    soon = replace(found.change, breaks=("too_soon",))
    all_soon = replace(found, change=soon, step=soon)
    for result in (all_soon, replace(all_soon, trend=None)):
        lines = changes_for_client(result)
        assert all(line.fat_mass is None for line in lines)
        assert not any(line.percent is not None and line.percent.is_real for line in lines)


@pytest.mark.parametrize("fall", [0.0, 1.0, 20.0])
def test_no_sentence_says_that_fat_changed_in_less_than_four_weeks(fall: float) -> None:
    """Beside "fat changes more slowly than this can tell" only the readings can differ for certain."""
    near = judged((0, 1, 2), 30.0 - fall * np.array([0.0, 0.5, 1.0]))
    soon = (replace(change, breaks=("too_soon",)) for change in (near.change, near.step) if change)
    change, step = soon
    sentences = [*fat_sentences(replace(near, change=change, step=step))]
    sentences += course_sentences(replace(near, change=change, step=step))[:2]
    assert len(sentences) == 3
    for sentence in sentences:
        assert "body fat went" not in sentence.lower()
        assert "probably" not in sentence
    assert ("came out lower: the change is larger than measurement error" in sentences[0]) == (
        fall == 20.0
    )
    far = judged((0, 8, 16), 30.0 - fall * np.array([0.0, 0.5, 1.0]))
    assert any("body fat went down" in sentence.lower() for sentence in fat_sentences(far)) == (
        fall == 20.0
    )


@pytest.mark.parametrize("comparisons", [1, 3, 8])
def test_bounds_of_several_comparisons_are_those_of_sidak(comparisons: int) -> None:
    """Sidak 1967: each alone at 1 - 0.95^(1/m); of independent ones exactly 1 in 20 has an alarm."""
    alone = 2.0 * scipy.stats.norm.sf(z_real(comparisons))
    assert 1.0 - (1.0 - alone) ** comparisons == pytest.approx(0.05, abs=1e-6)


# through bodies ---------------------------------------------------------------------------------------


@cache
def through_bodies(fall: float, count: int = 30) -> tuple[ChangeResult, ...]:
    """Four visits of clients of both sexes whose percentage falls by ``fall`` points in all."""
    rng = np.random.default_rng([7, round(10 * fall)])
    found: list[ChangeResult] = []
    weeks = (0, 8, 16, 24)
    for sex in SEXES:
        body = bodies(sex, count, rng)
        answer = truly(sex, body)
        root = np.linalg.cholesky(answer.covariance - answer.blocks["tester"])
        lasting = root @ rng.standard_normal((count, len(FAMILIES), 1))
        first = None
        visits, fits = [], np.ones(count, dtype=bool)
        for week in weeks:
            new = root @ rng.standard_normal((count, len(FAMILIES), 1))
            own = np.sqrt(STABILITY) * lasting + np.sqrt(1.0 - STABILITY) * new
            first = own if first is None else first
            moved = (own - first)[:, :, 0].T - fall * week / weeks[-1]
            there, fit = (body, fits) if week == 0 else solved(sex, body, answer.families + moved)
            fits &= fit
            visits.append(read_all(sex, there, rng, visits[0] if visits else ()))
        assert fits.mean() > 0.9
        with patch.object(comparability, "_in_common", at_hand):
            for row in np.flatnonzero(fits):
                taken = [
                    ComparedVisit(read[row], DAY + timedelta(weeks=week), "T-02", "C-1")
                    for week, read in zip(weeks, visits, strict=True)
                ]
                found.append(
                    ChangeResult(
                        "density",
                        change_between(taken[0], taken[-1], comparisons=COMPARISONS),
                        change_between(taken[-2], taken[-1], comparisons=COMPARISONS),
                        trend_of(taken),
                        tuple(visit.day for visit in taken),
                    )
                )
    return tuple(found)


@pytest.mark.parametrize("fall", [0.0, 9.0])
@pytest.mark.parametrize(("span", "share"), [("range_80", 0.80), ("range_95", 0.95)])
def test_the_line_holds_on_simulated_clients(fall: float, span: str, share: float) -> None:
    found = through_bodies(fall)
    ends = np.array(
        [getattr(result.trend.whole, span) for result in found if result.trend is not None]
    )
    assert len(ends) == len(found)
    held = float(np.mean((ends[:, 0] <= -fall) & (-fall <= ends[:, 1])))
    assert held >= bounds(share, len(found))[0]


def test_alarms_and_finds_on_simulated_clients() -> None:
    still, falling = through_bodies(0.0), through_bodies(9.0)
    assert np.mean([any_real(result) for result in still]) <= bounds(0.05, len(still))[1]
    assert np.mean([any_real(result) for result in falling]) > 0.8
    for result in falling:
        assert not any(
            each.percent is not None and each.percent.is_real and each.percent.amount > 0.0
            for each in changes_for_client(result)
        )
