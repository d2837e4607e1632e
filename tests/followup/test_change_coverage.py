"""Change on simulated clients whose true change is known: do its ranges hold as often as they say?

A client is a body without reading errors. The second body is solved for, so that every family moves by
the true change and by the change of the person's own error, drawn with a stated correlation. Then both
are read as a tester reads, and ``change_between`` sees nothing but the readings.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache
from unittest.mock import patch

import numpy as np
import pandas as pd
import pytest
import scipy

import foldspan
import invented_clients
from foldspan.catalogue.card import FAMILIES
from foldspan.estimation.batch import People
from foldspan.estimation.pipeline import Reconciled, reconcile_people
from foldspan.explanation.what_if import Case
from foldspan.followup import comparability
from foldspan.followup.comparability import ComparedVisit
from foldspan.followup.difference import STABILITY, Change, Difference, change_between
from foldspan.measurement.accepted_values import accept
from foldspan.protocol.technical_error import technical_error
from foldspan.quantities import BY_NAME, MEASURED, SEXES, WAISTS, Sex
from foldspan.reference.body_dimensions import AGE, NAMES, PLACE, moments
from foldspan.reference.population import indicators
from invented_clients import FULL, SETTINGS, at_hand, bounds, cases, read

Array = np.ndarray
Rng = np.random.Generator
Body = Mapping[str, Array]
Names = tuple[str, ...]
SITES = (FULL, invented_clients.MEDIUM, invented_clients.TAPE)
MANY = 130  # of either sex, so 260 a case
# one direction of the body a family, as powers of a common factor: what moves it and little else
DIRECTIONS: dict[str, dict[str, float]] = {
    "skinfold": {name: 1.0 for name in FULL if name.endswith("_mm")},
    "girth": {"hip_cm": 1.0, "neck_cm": -1.0, "forearm_girth_cm": -1.0, "wrist_girth_cm": -1.0},
    "mass_height": {"weight_kg": 1.0},
    "waist_height": dict.fromkeys(WAISTS, 1.0),
}
ATHLETE = {
    "client": {"sex": "male", "age_years": 22, "athlete": True},
    "skinfolds_mm": {"triceps": [7.0, 7.5], "abdominal": [10.0, 10.5], "thigh": [9.0, 9.5]},
}


def bodies(sex: Sex, count: int, rng: Rng) -> Body:
    """Adults of 25 to 60 near the average, body mass index 21 to 29, free of reading errors."""
    mean, covariance = moments(sex)
    root = np.linalg.cholesky(covariance)
    drawn = mean + 0.5 * rng.standard_normal((40 * count, len(NAMES))) @ root.T
    table = {name: np.exp(drawn[:, PLACE[name]]) for name in FULL}
    table[AGE] = drawn[:, PLACE[AGE]]
    bmi = table["weight_kg"] / (table["height_cm"] / 100.0) ** 2
    fits = (table[AGE] > 25.0) & (table[AGE] < 60.0) & (bmi > 21.0) & (bmi < 29.0)
    assert fits.sum() >= count
    return {name: column[fits][:count] for name, column in table.items()}


def truly(sex: Sex, body: Body) -> Reconciled:
    """What the catalogue makes of bodies read without error; the errors of readings stay stated."""
    count = body[AGE].size
    columns = {name: np.full(count, np.nan) for name in MEASURED} | dict(body)
    errors = {name: np.array(list(map(technical_error(name).of, body[name]))) for name in FULL}
    people = People(sex, columns | indicators(sex, count), errors, np.full(count, ""))
    return reconcile_people(SETTINGS.cards_for(sex), people, SETTINGS, every=False)


def scaled(body: Body, logs: Array) -> dict[str, Array]:
    """Bodies moved along the four directions, ``logs`` of shape (4, N)."""
    moved = dict(body)
    for family, log in zip(FAMILIES, logs, strict=True):
        for name, power in DIRECTIONS[family].items():
            if name in moved:
                moved[name] = moved[name] * np.exp(power * log)
    return moved


def slopes_at(sex: Sex, body: Body, step: float = 0.02) -> Array:
    """How the four families move with the four directions, (N, 4, 4)."""
    length = body[AGE].size
    # all in one batch: the bodies as they are, then moved along each direction
    logs = step * np.vstack([np.zeros(len(FAMILIES)), np.eye(len(FAMILIES))])
    many = {name: np.tile(column, len(logs)) for name, column in body.items()}
    families = truly(sex, scaled(many, np.repeat(logs.T, length, axis=1))).families
    start, *moved = np.split(families, len(logs), axis=1)
    return np.stack([(values - start) / step for values in moved]).transpose(2, 1, 0)


def solved(sex: Sex, body: Body, wanted: Array) -> tuple[dict[str, Array], Array]:
    """Bodies whose families stand at ``wanted`` (4, N), and for whom such a body was found."""
    new = dict(body)
    for step in range(14):
        if step in (0, 3, 6, 10):
            slopes = slopes_at(sex, new)
        left = wanted - truly(sex, new).families
        # a body that a method has no sound value for stays where it is
        move = (np.linalg.pinv(slopes) @ left.T[:, :, None])[:, :, 0].T
        new = scaled(new, np.clip(move, -0.25, 0.25))
    return new, np.abs(truly(sex, new).families - wanted).max(axis=0) < 0.05


def read_all(sex: Sex, body: Body, rng: Rng, before: Sequence[Case] = ()) -> list[Case]:
    """Every body read twice at every site; the height is that of the visit ``before``."""
    clients = []
    for row in range(body[AGE].size):
        readings = {name: read(name, float(body[name][row]), 2, rng) for name in FULL}
        if before:
            readings["height_cm"] = before[row].readings["height_cm"]
        clients.append(invented_clients.Client(sex, float(body[AGE][row]), readings))
    return cases(clients)


def read_twice(sex: Sex, body: Body, later: Body, rng: Rng) -> tuple[list[Case], list[Case]]:
    first = read_all(sex, body, rng)
    return first, read_all(sex, later, rng, first)


@dataclass(frozen=True)
class Simulated:
    """Changes as they were found, and the true ones: percent, masses and weight."""

    found: tuple[Change, ...]
    true: Mapping[str, Array]

    def each(self, name: str) -> list[Difference]:
        """The difference called ``name`` of every client."""
        listed = [getattr(change, name) for change in self.found]
        assert all(entry is not None for entry in listed)
        return listed

    def held(self, name: str, span: str) -> float:
        """Share of the clients whose ``likely`` or ``wide`` span holds the truth."""
        spans = np.array([getattr(difference, span) for difference in self.each(name)])
        return float(np.mean((spans[:, 0] <= self.true[name]) & (self.true[name] <= spans[:, 1])))

    def fired(self, name: str) -> float:
        """Share of the clients whose change is called real."""
        return float(np.mean([difference.is_real for difference in self.each(name)]))


def compared(first: list[Case], second: list[Case]) -> tuple[Change, ...]:
    """Every pair through the module, with answers that were reconciled all at once.

    All sites are measured at both visits, so the answer of the pair's sites is that of the case; the
    module would reckon it again for every client (checked in the test that follows).
    """
    with patch.object(comparability, "_in_common", at_hand):
        return tuple(
            change_between(ComparedVisit(earlier), ComparedVisit(later))
            for earlier, later in zip(first, second, strict=True)
        )


@cache
def simulated(shift: float, stability: float = STABILITY, count: int = MANY) -> Simulated:
    """Clients of both sexes whose percentage truly moves by ``shift`` points."""
    rng = np.random.default_rng([round(-10 * shift), round(100 * stability)])
    found: list[Change] = []
    true: dict[str, list[Array]] = {}
    for sex in SEXES:
        body = bodies(sex, count, rng)
        answer = truly(sex, body)
        own = answer.covariance - answer.blocks["tester"]
        root, four = np.linalg.cholesky(own), len(FAMILIES)
        first, new = (root @ rng.standard_normal((count, four, 1)) for _ in range(2))
        second = stability * first + np.sqrt(1.0 - stability**2) * new
        later, fits = solved(sex, body, answer.families + shift + (second - first)[:, :, 0].T)
        assert fits.mean() > 0.97  # too few without such a body to bend a share
        w = answer.combined.weights.T[:, None, :]
        percent = answer.combined.estimate - (w @ first)[:, 0, 0]
        kilograms = (body["weight_kg"], later["weight_kg"])
        fat = (percent * kilograms[0] / 100.0, (percent + shift) * kilograms[1] / 100.0)
        pairs = compared(*read_twice(sex, body, later, rng))
        found += [change for change, fit in zip(pairs, fits, strict=True) if fit]
        for name, change in (
            ("percent", np.full(count, shift)),
            ("fat_mass", fat[1] - fat[0]),
            ("fat_free_mass", kilograms[1] - kilograms[0] - fat[1] + fat[0]),
            ("weight", kilograms[1] - kilograms[0]),
        ):
            true.setdefault(name, []).append(change[fits])
    return Simulated(tuple(found), {name: np.concatenate(parts) for name, parts in true.items()})


def test_the_batch_answers_as_the_module_does() -> None:
    """The shortcut of ``compared`` changes nothing: four pairs with it and without."""
    rng = np.random.default_rng(3)
    for sex in SEXES:
        body = bodies(sex, 2, rng)
        first, second = read_twice(sex, body, body, rng)
        for fast, earlier, later in zip(compared(first, second), first, second, strict=True):
            slow = change_between(ComparedVisit(earlier), ComparedVisit(later))
            assert slow.used == fast.used
            for name in ("percent", "fat_mass", "fat_free_mass"):
                a, b = getattr(slow, name), getattr(fast, name)
                assert (a.earlier, a.later, a.se) == pytest.approx((b.earlier, b.later, b.se))


@pytest.mark.parametrize("shift", [0.0, -8.0])
@pytest.mark.parametrize("name", ["percent", "fat_mass", "fat_free_mass", "weight"])
@pytest.mark.parametrize(("span", "share"), [("range_80", 0.80), ("range_95", 0.95)])
def test_spans_hold_the_true_change_as_often_as_they_say(
    shift: float, name: str, span: str, share: float
) -> None:
    clients = simulated(shift)
    low, high = bounds(share, len(clients.found))
    assert low <= clients.held(name, span) <= high


def test_no_change_of_the_percentage_is_seldom_called_real() -> None:
    clients = simulated(0.0)
    assert clients.fired("percent") <= bounds(0.05, len(clients.found))[1]


def test_without_a_change_the_chance_of_a_fall_is_uniform() -> None:
    """Kolmogorov and Smirnov's test, as scipy has it: a true model fails in 1 of 1,000 seeds."""
    chances = [difference.chance_of_fall for difference in simulated(0.0).each("percent")]
    assert scipy.stats.kstest(chances, "uniform").pvalue > 0.001


def test_a_large_change_is_found_and_never_called_a_rise() -> None:
    """Its power from the stated errors: beyond 1.96 of them on the right side, one by one."""
    clients = simulated(-8.0)
    listed = clients.each("percent")
    power = float(np.mean([scipy.stats.norm.cdf(8.0 / each.se - 1.959964) for each in listed]))
    assert power > 0.9
    low, high = bounds(power, len(listed))
    assert low <= clients.fired("percent") <= high
    assert not any(each.is_real and each.amount > 0.0 for each in listed)


@pytest.mark.parametrize("stability", [0.80, 0.95])
@pytest.mark.parametrize(
    ("span", "z", "share"), [("range_80", 1.28155, 0.8), ("range_95", 1.95996, 0.95)]
)
def test_another_stability_departs_as_the_errors_by_stability_say(
    stability: float, span: str, z: float, share: float
) -> None:
    """Less alike than taken: held too seldom; more alike: too often; how much is known beforehand."""
    clients = simulated(0.0, stability)
    count = len(clients.found)
    held = clients.held("percent", span)
    changes = [change for change in clients.found if change.percent]
    ratios = [change.percent.se / change.by_stability[stability] for change in changes]
    expected = float(np.mean(2.0 * scipy.stats.norm.cdf(z * np.array(ratios)) - 1.0))
    low, high = bounds(expected, count)
    assert low <= held <= high
    low, high = bounds(share, count)
    assert held < low if stability < STABILITY else held > high
    fired = clients.fired("percent")
    assert fired > bounds(0.05, count)[1] if stability < STABILITY else fired < 0.05


# nothing changed but the day -------------------------------------------------------------------------


def on_another_day(body: Body, rng: Rng) -> dict[str, Array]:
    """A body as it is on one day: what the page of change states for folds, waists and girths."""

    def off(name: str) -> float:
        if name in WAISTS:
            return 0.025
        return {"skinfold": 0.12, "girth": 0.01}.get(BY_NAME[name].kind, 0.0)

    return {
        name: column * (1.0 + off(name) * rng.standard_normal(column.size))
        for name, column in body.items()
    }


@cache
def untouched() -> tuple[Simulated, ...]:
    """Bodies that change by nothing but the day, and bodies that grow by a tenth at every site."""
    rng = np.random.default_rng(6)
    made = []
    for growth in (0.0, 0.1):
        found: list[Change] = []
        folds: list[Array] = []
        for sex in SEXES:
            body = bodies(sex, MANY, rng)
            grown = {
                name: column * (1.0 + growth * (name.endswith("_mm")))
                for name, column in body.items()
            }
            found += compared(
                *(read_all(sex, on_another_day(at, rng), rng) for at in (body, grown))
            )
            folds.append(growth * sum(body[name] for name in FULL if name.endswith("_mm")))
        made.append(Simulated(tuple(found), {"folds": np.concatenate(folds)}))
    return tuple(made)


@pytest.mark.parametrize("place", [0, 1], ids=["unchanged", "grown"])
@pytest.mark.parametrize(("span", "share"), [("range_80", 0.80), ("range_95", 0.95)])
def test_span_of_the_sum_of_folds_holds_the_lasting_change(
    place: int, span: str, share: float
) -> None:
    clients = untouched()[place]
    low, high = bounds(share, len(clients.found))
    assert low <= clients.held("folds", span) <= high


def test_raw_measures_of_an_unchanged_body_are_seldom_called_real() -> None:
    """Sum of folds, weight and each girth by itself: the share is that of the detectable change."""
    clients = untouched()[0]
    most = bounds(0.05, len(clients.found))[1]
    for name in ("folds", "weight"):
        assert 0.015 < clients.fired(name) <= most
    for name in clients.found[0].girths:
        assert np.mean([each.girths[name].is_real for each in clients.found]) <= most


def test_the_day_seldom_makes_the_percentage_real() -> None:
    """What days do to raw measures is inside the errors that the percentage allows for."""
    clients = untouched()[0]
    assert clients.fired("percent") <= bounds(0.05, len(clients.found))[1]


# the part of the readings, from outside ---------------------------------------------------------------


def readings_part(change: Change) -> float:
    """Standard error that is left where the person's own error is wholly alike (stability 1).

    The square of the error is a straight line in the stability, drawn here through two of its points.
    """
    squares = {stability: se**2 for stability, se in change.by_stability.items()}
    slope = (squares[0.95] - squares[0.80]) / 0.15
    return float(np.sqrt(squares[0.95] + 0.05 * slope))


def perturbed(client: invented_clients.Client, count: int, rng: Rng) -> Array:
    """Percentages of one client from accepted values off by their standard errors."""
    sites = {name: accept(name, given) for name, given in client.readings.items()}
    columns = {
        name: site.value + site.se * rng.standard_normal(count) for name, site in sites.items()
    }
    table = pd.DataFrame(columns).assign(sex=client.sex, age_years=client.age)
    return foldspan.reconcile_table(table).fat_percent.to_numpy(dtype=float)


@pytest.mark.parametrize(
    "names", [FULL, invented_clients.MEDIUM, invented_clients.TAPE], ids=["full", "medium", "tape"]
)
@pytest.mark.parametrize("place", [0, 1], ids=["first", "second"])
def test_part_of_the_readings_against_perturbed_readings(names: Names, place: int) -> None:
    """Readings drawn anew at both visits through ``reconcile_table``, which knows nothing of a change.

    2,000 draws tell a standard deviation to 1.6 %; weights follow the readings there and bodies bend
    the formulas, so 10 % are allowed.
    """
    rng = np.random.default_rng(len(names) + place)
    whole = invented_clients.near_average()[place]
    first = replace(whole, readings={name: whole.readings[name] for name in names})
    thinner = {name: 0.85 for name in names if name.endswith("_mm")}
    slimmer = {name: 0.95 for name in names if name in WAISTS or name == "weight_kg"}
    later = first.scaled(thinner | slimmer)
    found = foldspan.change(first.visit(), later.visit()).change
    drawn = perturbed(later, 2000, rng) - perturbed(first, 2000, rng)
    assert found.percent is not None
    assert readings_part(found) == pytest.approx(float(drawn.std()), rel=0.10)
    assert found.percent.amount == pytest.approx(float(drawn.mean()), abs=0.3)


def test_smallest_real_change_is_the_textbook_rule() -> None:
    """1.96 √2 standard errors of measurement (Weir 2005): exactly for weight, which is taken alike.

    For folds the errors of readings are a floor, since bodies vary from day to day.
    """
    client = invented_clients.near_average()[0]
    found = foldspan.change(client.visit(), client.visit()).change
    errors = {name: accept(name, given).se for name, given in client.readings.items()}
    assert found.folds is not None
    assert found.weight is not None
    weighed = found.weight.minimal_detectable_change
    assert weighed == pytest.approx(2.772 * errors["weight_kg"], rel=1e-3)
    floor = float(np.sqrt(sum(se**2 for name, se in errors.items() if name.endswith("_mm"))))
    assert found.folds.minimal_detectable_change > 2.772 * floor


def test_error_of_a_change_is_as_published_for_three_folds_of_athletes() -> None:
    """Silva 2009: 18 judo athletes, limits of a change -3.4 to +3.6 points against four compartments.

    So an SD of 1.79 (chi-square, 17 df: 1.34 to 2.68), in which the criterion's own error is too.
    """
    found = foldspan.change(*[foldspan.Visit.from_dict(ATHLETE)] * 2).change
    least, most = 1.79 * np.sqrt(17.0 / scipy.stats.chi2.ppf([0.975, 0.025], 17))
    assert found.percent is not None
    assert least < found.percent.se < most
    assert found.percent.se == pytest.approx(1.79, rel=0.1)
