"""Body dimensions: how the measurements of one body go together, as one normal law on the log scale.

Read off the reference people, and off what open data show of the build of girths. It answers two
questions: what a measurement that was not taken would probably be, and how likely the ones that were
taken are together. It predicts no fat.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from foldspan.catalogue.card import Array
from foldspan.numerics.ordered_sums import covariance, product
from foldspan.quantities import MEASURED, Sex
from foldspan.reference import girth_correlations
from foldspan.reference.population import PEOPLE, indicators, quasi_normals, reference_people

AGE = "age_years"
NAMES: tuple[str, ...] = (AGE, *MEASURED)
PLACE = {name: place for place, name in enumerate(NAMES)}
# Bodies are odd more often than a normal law says: degrees of freedom of the t law that is used
# where joint likelihood is judged (our choice; checked against two open tables in tests/open_data).
DEGREES = 8.0
SIZE = ("weight_kg", "height_cm", "abdomen_navel_cm")
# Share of the triceps and subscapular folds that other folds do not predict, on the log scale: with it
# they follow the others no closer than those follow each other (.75-.85, an assumption of the model).
OWN_FOLD = 0.13
# least variance in any direction of the logs: half a per cent, finer than anything is measured
SMALLEST = 0.005**2


@lru_cache(maxsize=2)
def moments(sex: Sex) -> tuple[Array, Array]:
    """Return mean (Q,) and covariance (Q, Q) over ``NAMES``; logs of everything but the age."""
    people = reference_people(sex)
    table = [people[AGE], *(np.log(people[name]) for name in MEASURED)]
    return np.mean(table, axis=1), _with_girth_correlations(covariance(np.array(table)), sex)


def _with_girth_correlations(covariance: Array, sex: Sex) -> Array:
    """Let girths run large together where the reference people draw them one by one.

    What weight, height and navel leave of the girths gets the correlations of
    ``girth_correlations``. The other folds of the reference people follow triceps and subscapular,
    which would make these two known once the others are; a share of their own undoes that.
    Everything else stays what it was.
    """
    size = [PLACE[name] for name in SIZE]
    slope = np.linalg.solve(covariance[np.ix_(size, size)], covariance[size]).T
    residual = covariance - product(slope, covariance[size])
    built = covariance.copy()
    for first, second, correlation in girth_correlations.pairs(sex):
        a, b = PLACE[first], PLACE[second]
        shared = correlation * np.sqrt(residual[a, a] * residual[b, b]) - residual[a, b]
        built[a, b] += shared
        built[b, a] += shared
    for name in ("triceps_mm", "subscapular_mm"):
        built[PLACE[name], PLACE[name]] += OWN_FOLD**2
    values, vectors = np.linalg.eigh(built)
    # rounded and assumed correlations may miss a covariance by a hair: no direction may vanish
    return np.asarray(product(vectors * np.maximum(values, SMALLEST), vectors.T))


@lru_cache(maxsize=2)
def simulated_people(sex: Sex) -> dict[str, Array]:
    """Return ``PEOPLE`` quasi-random adults of this law, as columns; do not change the arrays."""
    mean, covariance = moments(sex)
    drawn = mean + product(quasi_normals(PEOPLE, len(NAMES)), np.linalg.cholesky(covariance).T)
    people = {name: np.exp(drawn[:, place]) for name, place in PLACE.items() if name != AGE}
    return people | {AGE: np.clip(drawn[:, PLACE[AGE]], 18.0, 85.0)} | indicators(sex, PEOPLE)


@dataclass(frozen=True, slots=True)
class Conditional:
    """Normal law of some measurements given others: ``mean`` (k,), ``covariance`` (k, k), in logs."""

    names: tuple[str, ...]
    mean: Array
    covariance: Array


def conditional(sex: Sex, wanted: Sequence[str], given: dict[str, float]) -> Conditional:
    """Return what is to be expected of measurements when others are known.

    Parameters
    ----------
    sex : str
        Whose reference people are used.
    wanted : sequence of str
        Names of measured quantities.
    given : dict of str to float
        Known values in canonical units; ``age_years`` may be among them.

    Returns
    -------
    Conditional
    """
    mean, covariance = moments(sex)
    w = np.array([PLACE[name] for name in wanted], dtype=np.intp)
    g = np.array([PLACE[name] for name in given], dtype=np.intp)
    among_wanted = covariance[w[:, None], w]
    if not g.size:
        return Conditional(tuple(wanted), mean[w], among_wanted)
    given_logs = np.array(
        [value if name == AGE else np.log(value) for name, value in given.items()]
    )
    between = covariance[g[:, None], w]
    slope = np.linalg.solve(covariance[g[:, None], g], between).T
    centre = mean[w] + product(slope, given_logs - mean[g])
    rest = among_wanted - product(slope, between)
    return Conditional(tuple(wanted), centre, (rest + rest.T) / 2.0)


def joint_log_likelihood(
    sex: Sex, names: Sequence[str], logs: Array, noise: Array, age: float
) -> tuple[Array, int]:
    """Return how well sets of measurements go together, as log likelihood up to a constant.

    Parameters
    ----------
    sex : str
    names : sequence of str
        The K quantities that were measured.
    logs : array of shape (H, K)
        Their logs, one row a hypothesis.
    noise : array of shape (K,) or (H, K)
        Standard error of each log from reading it.
    age : float
        In years.

    Returns
    -------
    log_likelihood : array of shape (H,)
        Of a t law with ``DEGREES`` degrees of freedom, so that a body which is odd as a whole makes a
        single odd reading count for less.
    k : int
    """
    law = conditional(sex, names, {AGE: age})
    noise = np.broadcast_to(noise, logs.shape)
    residuals = logs - law.mean
    spread = np.tile(law.covariance, (len(logs), 1, 1))
    own = np.arange(len(names))
    spread[:, own, own] += noise * noise
    distance = np.einsum(
        "hk,hk->h", residuals, np.linalg.solve(spread, residuals[..., None])[..., 0]
    )
    _, size = np.linalg.slogdet(spread)
    k = len(names)
    return np.asarray(-0.5 * (DEGREES + k) * np.log1p(distance / DEGREES) - 0.5 * size), k
