"""Change on simulated clients whose true change is known: do its ranges hold as often as they say?

A client is a body without reading errors. The second body is solved for, so that every family moves by
the true change and by the change of the person's own error, drawn with a stated correlation. Then both
are read as a tester reads, and ``change_between`` sees nothing but the readings.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from unittest.mock import patch

import numpy as np
import pandas as pd
import pytest
from invented_clients import FULL, Client, cases, read
from scipy import stats

import foldspan
from foldspan import changes
from foldspan.body_pattern import AGE, NAMES, PLACE, moments
from foldspan.case import Case
from foldspan.catalogue.card import FAMILIES
from foldspan.changes import STABILITY, Change, Difference, Taken, change_between
from foldspan.protocol.technical_error import technical_error
from foldspan.quantities import BY_NAME, MEASURED, SEXES, WAISTS, Sex
from foldspan.readings import accept
from foldspan.reconciliation import People, Reconciled, cards_for, reconcile_people
from foldspan.reference_people import indicators

Array = np.ndarray
Body = Mapping[str, Array]
MANY = 250  # of either sex, so 500 a case
# one direction of the body a family, as powers of a common factor: what moves it and little else
DIRECTIONS: dict[str, dict[str, float]] = {
    "skinfold": {name: 1.0 for name in FULL if name.endswith("_mm")},
    "girth": {"hip_cm": 1.0, "neck_cm": -1.0, "forearm_girth_cm": -1.0, "wrist_girth_cm": -1.0},
    "mass_height": {"weight_kg": 1.0},
    "waist_height": dict.fromkeys(WAISTS, 1.0),
}
RAW = {"folds": "skinfold", "weight": "mass"}


def bodies(sex: Sex, count: int, rng: np.random.Generator) -> Body:
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
    errors = {
        name: np.array([technical_error(name).of(one) for one in body[name]]) for name in FULL
    }
    people = People(sex, columns | indicators(sex, count), errors, np.full(count, ""))
    return reconcile_people(cards_for(sex), people)


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
    start, length = truly(sex, body).families, body[AGE].size
    columns = []
    for place in range(len(FAMILIES)):
        logs = np.zeros((len(FAMILIES), length))
        logs[place] = step
        columns.append((truly(sex, scaled(body, logs)).families - start) / step)
    return np.stack(columns).transpose(2, 1, 0)


def solved(sex: Sex, body: Body, wanted: Array) -> tuple[dict[str, Array], Array]:
    """Bodies whose families stand at ``wanted`` (4, N), and for whom such a body was found."""
    new = dict(body)
    for step in range(8):
        if step in (0, 3):
            slopes = slopes_at(sex, new)
        left = wanted - truly(sex, new).families
        move = np.linalg.solve(slopes, left.T[:, :, None])[:, :, 0].T
        new = scaled(new, np.clip(move, -0.25, 0.25))
    return new, np.abs(truly(sex, new).families - wanted).max(axis=0) < 0.05


def read_all(sex: Sex, body: Body, rng: np.random.Generator) -> list[Case]:
    """Every body read twice at every site, with the published errors of a reading."""
    return cases(
        [
            Client(
                sex,
                float(body[AGE][row]),
                {name: read(name, float(body[name][row]), 2, rng) for name in FULL},
            )
            for row in range(body[AGE].size)
        ]
    )


@dataclass(frozen=True)
class Simulated:
    """Changes as they were found, and the true ones: percent, masses, weight and sum of folds."""

    found: tuple[Change, ...]
    true: Mapping[str, Array]

    def each(self, name: str) -> list[Difference]:
        """The difference called ``name`` of every client."""
        listed = [getattr(one, name) for one in self.found]
        assert all(one is not None for one in listed)
        return listed

    def held(self, name: str, span: str) -> float:
        """Share of the clients whose ``likely`` or ``wide`` span holds the truth."""
        spans = np.array([getattr(one, span) for one in self.each(name)])
        return float(np.mean((spans[:, 0] <= self.true[name]) & (self.true[name] <= spans[:, 1])))

    def fired(self, name: str) -> float:
        """Share of the clients whose change is called real."""
        return float(np.mean([one.is_real for one in self.each(name)]))


def compared(first: list[Case], second: list[Case]) -> tuple[Change, ...]:
    """Every pair through the module, with answers that were reconciled all at once.

    All sites are measured at both visits, so the answer of the pair's sites is that of the case; the
    module would reckon it again for every client (checked in the test that follows).
    """
    with patch.object(changes, "_only", lambda case, names: case.answer):
        return tuple(
            change_between(Taken(one), Taken(two)) for one, two in zip(first, second, strict=True)
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
        folds = [sum(one[name] for name in FULL if name.endswith("_mm")) for one in (body, later)]
        pairs = compared(read_all(sex, body, rng), read_all(sex, later, rng))
        found += [one for one, fit in zip(pairs, fits, strict=True) if fit]
        for name, change in (
            ("percent", np.full(count, shift)),
            ("fat_mass", fat[1] - fat[0]),
            ("lean_mass", kilograms[1] - kilograms[0] - fat[1] + fat[0]),
            ("weight", kilograms[1] - kilograms[0]),
            ("folds", folds[1] - folds[0]),
        ):
            true.setdefault(name, []).append(change[fits])
    return Simulated(tuple(found), {name: np.concatenate(parts) for name, parts in true.items()})


if __name__ == "__main__":
    import time
    for a in ((0.0,), (-8.0,), (0.0, 0.8), (0.0, 0.95)):
        t = time.time()
        s = simulated(*a)
        print(a, len(s.found), time.time() - t)
        for n in s.true:
            e = s.each(n); z = np.array([(x.amount - tr) / x.se for x, tr in zip(e, s.true[n])])
            print(n, 'likely', s.held(n, 'likely'), 'wide', s.held(n, 'wide'), 'fired', s.fired(n), 'z', z.mean(), z.std(), 'se', np.mean([x.se for x in e]))
