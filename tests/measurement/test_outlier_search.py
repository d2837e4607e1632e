"""Slip search: the reading that slipped is named, and a consistent visit is not accused.

Clients are invented: drawn from ``reference.body_dimensions`` with a fixed seed and read with the
published technical error. The law they come from is the law the search holds them against, so these
shares are what the search can do at its best; people of flesh are in
``tests/open_data/test_real_slips.py``.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

import numpy as np
import pytest
import scipy

import foldspan
from foldspan.explanation.build_signs import fat_free_mass_index, lean_girth, signs_of
from foldspan.measurement.outlier_search import SUSPECT_FROM, Suspect
from foldspan.quantities import BY_NAME, SEXES, Sex, convert
from foldspan.reference.body_dimensions import (
    AGE,
    DEGREES,
    conditional,
    joint_log_likelihood,
    moments,
    simulated_people,
)
from invented_clients import MEDIUM, SETTINGS, Client, Readings, cases, draw_many, refused_places

KINDS = ("unit", "decimal", "digits", "exchanged")
OTHER_UNITS = {"skinfold": ("cm",), "girth": ("in",), "height": ("in",), "mass": ("lb", "st")}


def swapped(value: float, rng: np.random.Generator) -> float:
    """Two neighbouring digits the other way round, the point where it was."""
    digits = f"{value:.1f}"
    places = [place for place, sign in enumerate(digits) if sign != "."]
    pairs = [(a, b) for a, b in pairwise(places) if digits[a] != digits[b]]
    if not pairs:
        return value
    a, b = pairs[rng.integers(len(pairs))]
    signs = list(digits)
    signs[a], signs[b] = signs[b], signs[a]
    return float("".join(signs))


@dataclass(frozen=True)
class Planted:
    """A client before and after one slip in ``names``."""

    clean: Client
    slipped: Client
    kind: str
    names: frozenset[str]

    @cached_property
    def is_named_first(self) -> bool:
        """Whether the search names the slip first, and nothing innocent beside it."""
        found = self.slipped.suspects()
        return bool(found) and set(found[0].names) <= self.names

    @cached_property
    def is_refused_by_name(self) -> bool:
        """Whether the reader asks back, unusual values not accepted, and names the reading."""
        places = refused_places(self.slipped, accept_unusual=False) or ()
        names = [form for name in self.names for form in (name, BY_NAME[name].short_name)]
        words = " ".join(places).replace(",", " ").split()
        return bool(set(names) & set(words))


def plant(client: Client, kind: str, rng: np.random.Generator) -> Planted | None:
    """One slip at a random site, in one reading or in all; None where nothing would change."""
    readings = client.readings
    name = str(rng.choice(list(readings)))
    changed = dict(readings)
    names = {name}
    if kind == "exchanged":
        alike = [n for n in readings if n != name and BY_NAME[n].kind == BY_NAME[name].kind]
        if not alike:
            return None
        other = str(rng.choice(alike))
        changed |= {name: readings[other], other: readings[name]}
        names.add(other)
    else:
        seed = int(rng.integers(2**32))  # all readings of a site go wrong the same way
        wrong = {
            place: wrongly(kind, name, reading, np.random.default_rng(seed))
            for place, reading in enumerate(readings[name])
        }
        if rng.random() < 0.5:  # in one reading only
            wrong = dict([list(wrong.items())[rng.integers(len(wrong))]])
        changed[name] = tuple(wrong.get(k, reading) for k, reading in enumerate(readings[name]))
    if changed == readings or min(min(given) for given in changed.values()) <= 0.0:
        return None
    return Planted(client, Client(client.sex, client.age, changed), kind, frozenset(names))


def wrongly(kind: str, name: str, value: float, rng: np.random.Generator) -> float:
    """A reading as it is written down by mistake."""
    if kind == "unit":
        quantity = BY_NAME[name]
        unit = str(rng.choice(OTHER_UNITS[quantity.kind]))
        return round(convert(value, quantity.unit, unit), 1)
    if kind == "decimal":
        return round(value * float(rng.choice((0.1, 10.0))), 1)
    return swapped(value, rng)


# one slip planted by hand ---------------------------------------------------------------------------

# invented: a woman of 41 whose measurements are near what the pattern makes of her weight and height
WOMAN: Readings = {
    "weight_kg": (71.3,),
    "height_cm": (168.2,),
    "triceps_mm": (21.0, 22.0),
    "biceps_mm": (9.0, 8.5),
    "subscapular_mm": (18.0, 19.0),
    "suprailiac_midaxillary_mm": (16.0, 17.0),
    "thigh_mm": (27.0, 28.0),
    "calf_mm": (17.0, 16.0),
    "neck_cm": (33.6, 33.9),
    "waist_midpoint_cm": (84.9, 84.5),
    "abdomen_navel_cm": (88.1, 87.6),
    "hip_cm": (102.4, 102.0),
    "arm_relaxed_girth_cm": (30.1, 30.4),
    "forearm_girth_cm": (25.3, 25.5),
    "wrist_girth_cm": (15.8, 15.9),
    "calf_girth_cm": (37.4, 37.7),
    "wrist_breadth_cm": (5.2, 5.2),
}


def first_of(changed: Readings) -> Suspect:
    return Client("female", 41.0, WOMAN | changed).suspects()[0]


def test_the_consistent_visit_is_not_accused() -> None:
    assert all(suspect.gain < SUSPECT_FROM for suspect in Client("female", 41.0, WOMAN).suspects())


@pytest.mark.parametrize(
    ("kind", "name", "typed", "meant", "reading"),
    [
        ("unit", "weight_kg", (157.2,), 71.3, 0),  # 71.3 kg are 157.2 lb
        ("unit", "weight_kg", (11.2,), 71.1, 0),  # and 11.2 st
        ("unit", "hip_cm", (40.3, 40.2), 102.2, 0),  # 102.2 cm are 40.2 in
        ("unit", "hip_cm", (102.4, 40.2), 102.25, 2),
        ("unit", "triceps_mm", (2.1, 2.2), 21.5, 0),  # centimetres
        ("decimal", "weight_kg", (713.0,), 71.3, 0),
        ("decimal", "forearm_girth_cm", (2.53, 2.55), 25.4, 0),
        ("decimal", "wrist_girth_cm", (158.0, 15.9), 15.85, 1),
        ("digits", "hip_cm", (120.4,), 102.4, 0),
        ("digits", "height_cm", (186.2,), 168.2, 0),
        ("digits", "weight_kg", (17.3,), 71.3, 0),
        ("digits", "subscapular_mm", (81.0,), 18.0, 0),
        ("digits", "triceps_mm", (12.0, 22.0), 21.5, 1),
        ("tens", "forearm_girth_cm", (35.3, 35.5), 25.4, 0),
        ("tens", "forearm_girth_cm", (25.3, 15.5), 25.4, 2),
        ("misread", "wrist_breadth_cm", (5.2, 5.7), 5.2, 2),
    ],
)
def test_one_slip_is_named_with_the_value_that_was_meant(
    kind: str, name: str, typed: tuple[float, ...], meant: float, reading: int
) -> None:
    """Values meant are converted by hand: 2.54 cm an inch, 0.45359 kg a pound, 6.3503 kg a stone."""
    found = first_of({name: typed})
    assert (found.kind, found.names, found.reading) == (kind, (name,), reading)
    assert found.values[0] == pytest.approx(meant, abs=0.15)  # typed to one decimal
    assert found.gain >= SUSPECT_FROM


@pytest.mark.parametrize(
    ("first_site", "second_site"),
    [
        ("waist_midpoint_cm", "hip_cm"),
        ("arm_relaxed_girth_cm", "calf_girth_cm"),
        ("triceps_mm", "biceps_mm"),
        ("thigh_mm", "calf_mm"),
    ],
)
def test_exchanged_sites_are_named_together(first_site: str, second_site: str) -> None:
    found = first_of({first_site: WOMAN[second_site], second_site: WOMAN[first_site]})
    assert (found.kind, found.names, found.reading) == ("exchanged", (first_site, second_site), 0)
    assert found.values == pytest.approx([np.mean(WOMAN[first_site]), np.mean(WOMAN[second_site])])
    assert found.gain >= SUSPECT_FROM


def test_three_readings_show_which_of_them_slipped() -> None:
    found = first_of({"triceps_mm": (21.0, 12.0, 21.5)})
    assert (found.kind, found.names, found.reading) == ("digits", ("triceps_mm",), 2)
    assert found.values == pytest.approx([21.0])  # the median of 21, 21 and 21.5


def test_repeats_that_stand_apart_make_a_slip_likelier_than_one_reading_does() -> None:
    alone, beside = first_of({"hip_cm": (120.4,)}), first_of({"hip_cm": (102.0, 120.4)})
    assert (alone.kind, beside.kind) == ("digits", "digits")
    assert beside.gain > alone.gain


@pytest.mark.parametrize(
    "readings",
    [{}, {"weight_kg": (157.2,)}, {"triceps_mm": (21.0, 2.1)}],
    ids=["none", "one", "two"],
)
def test_fewer_than_two_sites_say_nothing(readings: Readings) -> None:
    assert Client("female", 41.0, readings).suspects() == ()


def test_suspects_come_most_telling_first_and_once_a_site() -> None:
    changed = {"weight_kg": (157.2,), "triceps_mm": (2.1, 2.2), "hip_cm": (120.4,)}
    found = Client("female", 41.0, WOMAN | changed).suspects()
    gains = [suspect.gain for suspect in found]
    assert gains == sorted(gains, reverse=True)
    assert min(gains) > 0.0
    assert len({suspect.names for suspect in found}) == len(found)
    assert found[0].names[0] in changed


def test_the_order_of_the_sites_does_not_matter() -> None:
    changed = WOMAN | {"hip_cm": (120.4,)}
    turned = dict(reversed(changed.items()))
    once, again = (Client("female", 41.0, given).suspects()[0] for given in (changed, turned))
    assert (once.kind, once.names, once.values) == (again.kind, again.names, again.values)
    assert once.gain == pytest.approx(again.gain, abs=1e-9)


def test_nothing_impossible_is_ever_proposed() -> None:
    for readings in ({"weight_kg": (157.2,)}, {"hip_cm": (40.2, 40.3)}, {"calf_mm": (1.7, 1.6)}):
        for suspect in Client("female", 41.0, WOMAN | readings).suspects():
            for name, value in zip(suspect.names, suspect.values, strict=True):
                low, high = BY_NAME[name].possible("female")
                assert low <= value <= high


# the law behind it ----------------------------------------------------------------------------------


@pytest.mark.parametrize("sex", SEXES)
def test_oddness_is_a_multivariate_t(sex: Sex) -> None:
    """scipy.stats.multivariate_t, 8 degrees of freedom: differences of log likelihoods agree."""
    names, age = list(MEDIUM), 44.0
    law = conditional(sex, names, {AGE: age})
    rng = np.random.default_rng(5)
    tried = law.mean + 0.2 * rng.standard_normal((6, len(names)))
    noise = np.linspace(0.01, 0.08, len(names))
    found, count = joint_log_likelihood(sex, names, tried, noise, age)
    shape = law.covariance + np.diag(noise**2)
    theirs = scipy.stats.multivariate_t(law.mean, shape, df=DEGREES).logpdf(tried)
    assert count == len(names)
    np.testing.assert_allclose(found - found[0], theirs - theirs[0], atol=1e-8)


@pytest.mark.parametrize("sex", SEXES)
def test_what_to_expect_is_a_regression_on_the_people_of_the_pattern(sex: Sex) -> None:
    """numpy.linalg.lstsq on the drawn people: mean and spread of two girths given size.

    Quasi-random draws, 2,048 of them, ages apart: means to .001 and spreads to 3 % on the log scale.
    """
    people = simulated_people(sex)
    given = {"weight_kg": 75.0, "height_cm": 172.0}
    design = np.column_stack(
        [np.ones(people["weight_kg"].size), *(np.log(people[name]) for name in given)]
    )
    law = conditional(sex, ["hip_cm", "forearm_girth_cm"], given)
    for place, name in enumerate(law.names):
        slope, *_ = np.linalg.lstsq(design, np.log(people[name]), rcond=None)
        left = np.log(people[name]) - design @ slope
        assert law.mean[place] == pytest.approx(
            slope @ [1.0, *np.log(list(given.values()))], abs=1e-3
        )
        assert law.covariance[place, place] ** 0.5 == pytest.approx(left.std(), rel=0.03)


@pytest.mark.parametrize("sex", SEXES)
def test_the_pattern_is_a_covariance_and_large_girths_go_together(sex: Sex) -> None:
    _, covariance = moments(sex)
    np.testing.assert_allclose(covariance, covariance.T, atol=1e-12)
    assert np.linalg.eigvalsh(covariance).min() > 0.0
    given = {"weight_kg": 75.0, "height_cm": 172.0, "abdomen_navel_cm": 90.0}
    law = conditional(sex, ["arm_flexed_girth_cm", "forearm_girth_cm"], given)
    spread = np.sqrt(np.diagonal(law.covariance))
    shared = law.covariance[0, 1] / (spread[0] * spread[1])
    # printed in girth_build from open data: .59 and .71; .05 for what a covariance forbids
    assert shared == pytest.approx({"female": 0.59, "male": 0.71}[sex], abs=0.05)


def test_lean_girth_and_lean_mass_index_by_hand() -> None:
    """Gurney & Jelliffe (1973): 30 cm less pi times 2 cm; VanItallie (1990): 60 kg lean at 2 m."""
    assert lean_girth(np.array([30.0]), 20.0) == pytest.approx([23.7168], abs=1e-4)
    assert fat_free_mass_index(25.0, 80.0, 200.0) == pytest.approx(15.0)


def test_signs_are_spreads_and_a_consistent_body_shows_none() -> None:
    """Usual bodies: mean 0, spread 1 by construction; the woman above stays below 2 everywhere."""
    columns = {name: np.array([np.nan]) for name in BY_NAME} | {AGE: np.array([41.0])}
    columns |= {name: np.array([np.mean(given)]) for name, given in WOMAN.items()}
    found = signs_of("female", columns)
    assert {sign.name for sign in found} == {"muscle", "belly", "trunk"}
    for sign in found:
        assert sign.usual.mean() == pytest.approx(0.0, abs=1e-6)
        assert sign.usual.std() == pytest.approx(1.0)
        assert not sign.is_notable


# the simulation of the design -----------------------------------------------------------------------

MOVED = 3.0  # points of fat that make a slip worth finding
LEAST_NAMED = 0.80


@pytest.fixture(scope="session")
def planted() -> list[Planted]:
    """2,000 visits that the reader takes, one slip planted in each, all kinds as often."""
    rng = np.random.default_rng(8)
    found = []
    for number, client in enumerate(draw_many(2000, 7, accept_unusual=False)):
        slip = None
        while slip is None:
            slip = plant(client, KINDS[number % len(KINDS)], rng)
        found.append(slip)
    return found


@pytest.fixture(scope="session")
def moving(planted: list[Planted]) -> list[tuple[int, Planted]]:
    """Those slips, with their number, that can be computed with and move the estimate."""
    read = [
        (number, slip)
        for number, slip in enumerate(planted)
        if refused_places(slip.slipped, accept_unusual=True) is None
    ]
    before = cases([slip.clean for _, slip in read])
    after = cases([slip.slipped for _, slip in read])
    moved = [
        abs(float(b.answer.combined.estimate[0] - a.answer.combined.estimate[0]))
        for a, b in zip(before, after, strict=True)
    ]
    return [site for site, points in zip(read, moved, strict=True) if points > MOVED]


def share(found: Sequence[bool]) -> float:
    assert len(found) >= 10  # a share of fewer says nothing
    return sum(found) / len(found)


def test_estimates_are_those_of_the_main_job(moving: list[tuple[int, Planted]]) -> None:
    """All visits were reconciled in one go; one in five again, one by one, by the public door."""
    some = [slip.slipped for _, slip in moving[::5]]
    assert len(some) >= 10
    for client, case in zip(some, cases(some), strict=True):
        spread = foldspan.reconcile(
            client.visit(), reference_method=SETTINGS.reference_method
        ).fat_percent
        assert spread.estimate == pytest.approx(case.answer.combined.estimate[0], abs=1e-9)
        assert spread.se == pytest.approx(case.answer.combined.se[0], abs=1e-9)


@pytest.mark.parametrize("count", [500, 2000])
def test_the_right_reading_is_named_first_or_refused_by_name(
    moving: list[tuple[int, Planted]], count: int
) -> None:
    """The target of the design is 80 % of those among 500; 2,000 make the share less of a chance."""
    found = [s.is_named_first or s.is_refused_by_name for number, s in moving if number < count]
    assert share(found) >= LEAST_NAMED, f"{sum(found)} of {len(found)}"


@pytest.mark.parametrize("count", [500, 2000])
def test_the_search_alone_names_it_first(moving: list[tuple[int, Planted]], count: int) -> None:
    """Where unusual values are accepted, so that the reader stops none of them."""
    found = [slip.is_named_first for number, slip in moving if number < count]
    assert share(found) >= LEAST_NAMED, f"{sum(found)} of {len(found)}"


def test_slips_that_the_reader_does_not_notice_are_named_first(
    moving: list[tuple[int, Planted]],
) -> None:
    """The hardest ones: every value usual, so nothing is asked back."""
    silent = [s for _, s in moving if refused_places(s.slipped, accept_unusual=False) is None]
    found = [slip.is_named_first for slip in silent]
    assert share(found) >= LEAST_NAMED, f"{sum(found)} of {len(found)}"


def test_slips_that_are_impossible_are_refused_by_name(planted: list[Planted]) -> None:
    stopped = [
        s for s in planted[::2] if refused_places(s.slipped, accept_unusual=True) is not None
    ]
    found = [slip.is_refused_by_name for slip in stopped]
    assert share(found) == 1.0, f"{sum(found)} of {len(found)}"
