"""Best next: the site that narrows the range most for its minutes, worked out anew; when to stop.

Clients are invented (``invented_clients``). The second reckoning goes another way: draws of its own,
each written down as two readings that scatter as published, and reconciled as a client.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pytest

from foldspan.catalogue.card import Array
from foldspan.estimation.families.combine import Z_LIKELY, interval
from foldspan.explanation import best_next as module
from foldspan.explanation.best_next import LEAST_NARROWING, best_next
from foldspan.explanation.next_measurement import needed_together
from foldspan.protocol.technical_error import technical_error
from foldspan.quantities import BY_NAME, SEXES
from foldspan.reference.body_dimensions import AGE, conditional
from invented_clients import SIZE, Client, Readings, cases, draw

START = (*SIZE, "waist_midpoint_cm")
AMONG = (
    "triceps_mm", "subscapular_mm", "thigh_mm", "suprailiac_anterior_mm", "hip_cm",
)  # fmt: skip
MINUTES = {"skinfold": 1.5, "girth": 1.0}
PEOPLE = 4
OWN_DRAWS = 32


def twice(name: str, value: float) -> tuple[float, float]:
    """Two readings with exactly the scatter that is published."""
    apart = technical_error(name).of(value)
    return value - apart / 2.0, value + apart / 2.0


def narrowed(client: Client, options: Sequence[tuple[str, ...]], rng: np.random.Generator) -> Array:
    """Points by which each option narrows the 80 % range, by draws of its own."""
    taken = {name: client.readings[name][0] for name in client.readings}
    base: Readings = {name: twice(name, value) for name, value in taken.items()}
    drawn = [Client(client.sex, client.age, base)]
    for names in options:
        law = conditional(client.sex, names, {AGE: client.age} | taken)
        for body in rng.multivariate_normal(law.mean, law.covariance, OWN_DRAWS):
            values = dict(zip(names, np.exp(body).tolist(), strict=True))
            more = {name: twice(name, value) for name, value in values.items()}
            drawn.append(Client(client.sex, client.age, base | more))
    found = []
    for case in cases(drawn):
        combined = case.answer.combined
        low, high = interval(combined.estimate, combined.se, Z_LIKELY)
        found.append(float(high[0] - low[0]))
    expected = np.reshape(found[1:], (len(options), OWN_DRAWS)).mean(axis=1)
    return np.asarray(found[0] - expected)


@pytest.mark.parametrize("number", range(PEOPLE))
def test_what_is_chosen_narrows_most_for_its_minutes(number: int) -> None:
    """By 0.04 points a minute at most behind the best of a second reckoning: what draws leave open."""
    rng = np.random.default_rng(60 + number)
    body = draw(SEXES[number % 2], (*START, *AMONG), 1, rng)
    names = START if number < 2 else (*START, "triceps_mm")
    client = Client(body.sex, body.age, {name: body.readings[name] for name in names})
    (case,) = cases([client])
    among = [name for name in AMONG if name not in names]
    best = best_next([case], among)
    options = [*((name,) for name in among), *needed_together(case, among)]
    narrower = narrowed(client, options, rng)
    minutes = [sum(MINUTES[BY_NAME[name].kind] for name in names) for names in options]
    rates = np.where(narrower >= LEAST_NARROWING, narrower / np.array(minutes), 0.0)
    if not best.sites:
        assert narrower.max() < LEAST_NARROWING + 0.12
        return
    place = options.index(best.sites)
    assert narrower[place] / minutes[place] >= rates.max() - 0.04, options[int(rates.argmax())]
    assert best.width_now - best.width_expected == pytest.approx(narrower[place], abs=0.15)


@pytest.fixture
def man() -> Client:
    body = draw("male", START, 1, np.random.default_rng(1))
    return Client(body.sex, body.age, body.readings)


@pytest.mark.parametrize(
    ("thigh", "hip", "chosen"),
    [
        (8.5, 8.7, ("thigh_mm",)),  # 0.50 points in a minute and a half against 0.30 in one
        (8.6, 8.6, ("hip_cm",)),
        (8.71, 8.7, ("hip_cm",)),  # 0.30 is worth it
        (8.71, 8.71, ()),
        (9.5, 9.5, ()),  # a measurement may widen the range
    ],
)
def test_it_stops_below_0_3_points_and_weighs_by_the_minute(
    man: Client, monkeypatch: pytest.MonkeyPatch, thigh: float, hip: float, chosen: tuple[str, ...]
) -> None:
    widths = {("thigh_mm",): thigh, ("hip_cm",): hip}
    monkeypatch.setattr(
        module,
        "_expected",
        lambda case, offered: np.array([9.0, *(widths.get(names, 9.0) for names in offered)]),
    )
    best = best_next(cases([man]), ["thigh_mm", "hip_cm"])
    assert best.sites == chosen
    assert best.width_expected == (widths[chosen] if chosen else 9.0)


def test_sites_that_an_equation_needs_together_are_weighed_as_one(
    man: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    """None of them is worth it alone."""
    among = ("chest_mm", "abdominal_mm", "thigh_mm")
    monkeypatch.setattr(
        module,
        "_expected",
        lambda case, offered: np.array(
            [9.0, *(8.0 if set(names) == set(among) else 8.9 for names in offered)]
        ),
    )
    assert set(best_next(cases([man]), among).sites) == set(among)
    assert best_next(cases([man]), among[:2]).sites == ()


def test_what_was_read_once_is_taken_as_read_twice(man: Client) -> None:
    again = {name: twice(name, given[0]) for name, given in man.readings.items()}
    once, both = (best_next(cases([client]), []) for client in (man, man.changed(**again)))
    assert once.width_now == pytest.approx(both.width_now, abs=1e-9)


def test_without_any_range_the_first_one_is_worth_most() -> None:
    tall = Client("female", 40.0, {"height_cm": (168.0,)})
    best = best_next(cases([tall]), ["wrist_girth_cm", "waist_midpoint_cm", "triceps_mm"])
    assert best.sites == ("waist_midpoint_cm",)
    assert best.width_now == 20.0
    assert best.width_expected < 16.0  # by density, from height and waist alone
