"""Like with like: estimates of N people at several visits, by what each has in common at all of them.

All equations that fit a person at every visit get one set of weights, with the age, height and
background of the first visit. Nothing loops over people, and sums run card by card: a person's numbers
are the same alone and in any batch.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

import numpy as np

from foldspan.catalogue.card import FAMILIES, Array, BoolArray, Equation, IntArray
from foldspan.estimation.applicability import ANCESTRY_INDICATORS, LEAVES_OUT
from foldspan.estimation.batch import People
from foldspan.estimation.local_correction import by_family
from foldspan.estimation.pipeline import Reconciled, reconcile_people
from foldspan.estimation.settings import Settings
from foldspan.quantities import Sex

# where a person has stood or lived does not change between visits: told once, it holds for all
STATED = ("is_athlete", *ANCESTRY_INDICATORS.values())
# up to so many people are reconciled in less time than a batch takes besides (ours)
FEW = 64


@dataclass(frozen=True, slots=True, repr=False)
class InCommon:
    """V visits of N people, by what each person's visits have in common.

    ``estimates`` (V, N) [%] are NaN where no equation fits all visits of a person; ``model`` (V, N) is
    the standard deviation of all errors but those of the readings, ``readings`` (V, N) the variance of
    these [points²]. ``equations_differ`` (N,) tells whose equations fit at some visits only.
    """

    estimates: Array
    model: Array
    readings: Array
    equations_differ: BoolArray


def have_in_common(
    taken: Sequence[People], used: Mapping[str, BoolArray], settings: Settings
) -> InCommon:
    """Return the estimates of several visits of the same N people of one sex.

    Parameters
    ----------
    taken : sequence of People
        One for each visit, in order, with the people in the same order.
    used : mapping of str to bool array (N,)
        Quantity → who had it measured alike at all visits; any other is used for nobody.
    settings : Settings
        Of all visits alike.
    """
    people = [only_in_common(visit, used, taken[0]) for visit in taken]
    cards, size = settings.cards_for(people[0].sex), people[0].ancestry.size
    if size > FEW or any(visit.site_variants != people[0].site_variants for visit in people):
        return common_to(
            [reconcile_people(cards, visit, settings) for visit in people], people[0].sex, settings
        )
    together = reconcile_people(cards, _beside(people), settings)
    visits = [_rows_of(together, slice(at * size, (at + 1) * size)) for at in range(len(people))]
    return _common(visits, together.cards, people[0].sex, settings)


def common_to(answers: Sequence[Reconciled], sex: Sex, settings: Settings) -> InCommon:
    """Return the estimates of several visits, each reconciled from what all have in common."""
    visits = [_rows_of(answer, slice(None)) for answer in answers]
    return _common(visits, answers[0].cards, sex, settings)


class _Visit(NamedTuple):
    """What is asked of the answer for one visit, as in ``Reconciled``."""

    flags: IntArray
    percent: Array
    weights: Array
    families: Array
    tester: Array
    covariance: Array


def _rows_of(answer: Reconciled, rows: slice) -> _Visit:
    return _Visit(
        answer.flags[:, rows],
        answer.percent[:, rows],
        answer.weights[:, rows],
        answer.combined.weights[:, rows],
        answer.blocks["tester"][rows],
        answer.covariance[rows],
    )


def _beside(visits: Sequence[People]) -> People:
    """Visits of the same people as one batch, one visit after the other."""
    nothing = np.zeros(visits[0].ancestry.size)

    def joined(each: Sequence[Mapping[str, Array]], unknown: Array) -> dict[str, Array]:
        names = dict.fromkeys(name for columns in each for name in columns)
        return {
            name: np.concatenate([columns.get(name, unknown) for columns in each]) for name in names
        }

    return replace(
        visits[0],
        columns=joined([visit.columns for visit in visits], nothing + np.nan),
        reading_se=joined([visit.reading_se for visit in visits], nothing),
        ancestry=np.concatenate([visit.ancestry for visit in visits]),
        at_least=joined([visit.at_least for visit in visits], nothing > 0.0),
    )


def _common(
    answers: Sequence[_Visit], cards: Sequence[Equation], sex: Sex, settings: Settings
) -> InCommon:
    usable = np.array([(answer.flags & int(LEAVES_OUT)) == 0 for answer in answers])
    all_fit = np.asarray(usable.all(axis=0))
    weights, families = _weights(answers, all_fit, cards)
    is_known = weights.any(axis=0)
    # one weight each: what a site's own correction takes off is the same at every visit
    off = _inner(families, by_family(settings.local, sex).offset[:, None])
    estimates, model, readings = [], [], []
    for answer in answers:
        printed = _inner(weights, np.where(all_fit, answer.percent, 0.0))
        estimates.append(np.where(is_known, printed - off, np.nan))
        own = _quadratic(families, answer.tester)
        whole = _quadratic(families, np.nan_to_num(answer.covariance))
        model.append(np.sqrt(np.maximum(whole - own, 0.0)))
        readings.append(own)
    return InCommon(
        np.array(estimates),
        np.array(model),
        np.array(readings),
        (usable.any(axis=0) != all_fit).any(axis=0),
    )


def only_in_common(people: People, used: Mapping[str, BoolArray], first: People) -> People:
    """Return people with some of their measurements, at age, height and background of the first visit.

    A birthday between two visits would move equations with age bands, another reading of the same
    height all that divide by it, a background or training told at one visit only all that know of it:
    none is a change of the body.
    """
    columns = dict(people.columns)
    for name, here in used.items():
        columns[name] = np.where(here, columns[name], np.nan)
    columns["age_years"] = first.columns["age_years"]
    if "height_cm" in used:
        columns["height_cm"] = np.where(used["height_cm"], first.columns["height_cm"], np.nan)
    columns |= {name: first.columns[name] for name in STATED}
    return replace(people, columns=columns, ancestry=first.ancestry)


def _weights(
    answers: Sequence[_Visit], all_fit: BoolArray, cards: Sequence[Equation]
) -> tuple[Array, Array]:
    """Weight of every equation (E, N) and of every family (F, N), each adding up to one, or all zero."""
    family = [FAMILIES.index(card.method) for card in cards]
    both = sum(answer.weights * answer.families[family] for answer in answers)
    weights = np.where(all_fit, both, 0.0)
    total = np.zeros(weights.shape[1])
    for of_card in weights:
        total += of_card
    weights = weights / np.where(total > 0.0, total, 1.0)
    families = np.zeros((len(FAMILIES), total.size))
    for place, of_card in zip(family, weights, strict=True):
        families[place] += of_card
    return weights, families


def _inner(left: Array, right: Array) -> Array:
    """Sums of products over the rows, (N,), in the order of the rows."""
    total = np.zeros(left.shape[1])
    for left_row, right_row in zip(left, right, strict=True):
        total += left_row * right_row
    return total


def _quadratic(weights: Array, matrices: Array) -> Array:
    """The variance (N,) of weighted sums (F, N) with the covariances (N, F, F)."""
    total = np.zeros(weights.shape[1])
    for j, weight in enumerate(weights):
        for k, other_weight in enumerate(weights):
            total += weight * matrices[:, j, k] * other_weight
    return total
