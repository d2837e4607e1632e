"""Local correction: what a site with its own reference learns about its people, tools and testers.

A site that measures some clients by a reference method as well can learn, for each family, a constant
offset and how much wider its errors scatter than claimed. Both are shrunk: few people move little.
What the model held for shared uncertainty about a new place is then replaced by what is left after
looking: a range can get narrower only because something was learnt.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from foldspan.catalogue.card import FAMILIES, Array, BoolArray, ReferenceMethod
from foldspan.estimation.error_model import CONVERSION_SD, CRITERION_ERROR, SHARED_NEW_PEOPLE
from foldspan.estimation.families.combine import best_weights
from foldspan.numerics.ordered_sums import covariance, product
from foldspan.quantities import Sex

LEAST_PEOPLE = 30
# The claimed scatter counts as much as this many people when the spread is learnt (our choice).
SPREAD_PRIOR = 30.0
# Blocks that belong to one person's errors, and those that belong to the place.
PERSONAL = ("published", "new_people", "limits", "tester", "waist_site")
OF_THE_PLACE = ("shared", "reference_method", "conversion")


@dataclass(frozen=True, slots=True)
class SiteOffsets:
    """What was learnt for one sex, in the order of ``families``."""

    n: int
    """Number of people it was learnt from."""
    families: tuple[str, ...]
    """Method groups in the order of the other fields."""
    offset: tuple[float, ...]
    """What is subtracted from each method group's estimate [percentage points]."""
    uncertainty: tuple[tuple[float, ...], ...]
    """Covariance of the offsets [points²]."""
    spread: tuple[float, ...]
    """Factor on each method group's own errors [no unit]."""


@dataclass(frozen=True, slots=True)
class LocalCorrection:
    """A local correction: its reference method, and what was learnt for each sex."""

    reference_method: ReferenceMethod
    """The reference method it was learnt with."""
    people: int
    """Number of people it was learnt from."""
    by_sex: Mapping[Sex, SiteOffsets]
    """Sex → what was learnt."""
    made: str = ""
    """Date on which it was learnt, "" if not recorded."""


@dataclass(frozen=True, slots=True)
class FamilyCorrection:
    """What a site learnt as arrays in the order of ``FAMILIES``, nothing where nothing was learnt.

    ``offset`` (4,) [points] is taken off, ``spread`` (4,) the factor on a family's own errors,
    ``uncertainty`` (4, 4) [points²] the covariance of the offsets, ``known`` (4,) which were learnt.
    """

    offset: Array
    spread: Array
    uncertainty: Array
    known: BoolArray


def by_family(local: LocalCorrection | None, sex: Sex) -> FamilyCorrection:
    """Return the correction of one sex as arrays; zeros and ones where there is none."""
    size = len(FAMILIES)
    offset, spread = np.zeros(size), np.ones(size)
    uncertainty, known = np.zeros((size, size)), np.zeros(size, dtype=bool)
    learnt = local.by_sex.get(sex) if local is not None else None
    if learnt is not None:
        places = [FAMILIES.index(name) for name in learnt.families]
        offset[places], spread[places], known[places] = learnt.offset, learnt.spread, True
        uncertainty[np.ix_(places, places)] = learnt.uncertainty
    return FamilyCorrection(offset, spread, uncertainty, known)


def learn(
    errors: Array, blocks: Mapping[str, Array], reference_method: ReferenceMethod
) -> SiteOffsets | None:
    """Learn the offsets of one sex.

    Parameters
    ----------
    errors : array of shape (N, 4)
        Family estimates less the reference [points]; NaN where a family is absent.
    blocks : mapping of str to array
        Covariances (N, 4, 4) of the error model for the same people.
    reference_method : str
        Scale of the reference.

    Returns
    -------
    SiteOffsets or None
        None where no family has ``LEAST_PEOPLE`` people.
    """
    counts = np.isfinite(errors).sum(axis=0)
    kept = [k for k in range(len(FAMILIES)) if counts[k] >= LEAST_PEOPLE]
    if not kept:
        return None
    rows = np.flatnonzero(np.isfinite(errors[:, kept]).all(axis=1))
    if rows.size < LEAST_PEOPLE:
        return None
    seen = errors[rows][:, kept]
    n = len(seen)
    mean, scatter = seen.mean(axis=0), covariance(seen.T)

    def part(name: str) -> Array:
        return blocks[name][rows][:, kept][:, :, kept]

    personal = (
        np.sum([part(name) for name in PERSONAL], axis=0) + CRITERION_ERROR[reference_method] ** 2
    )
    claimed = np.diagonal(np.mean(personal, axis=0))
    prior = np.mean(part("reference_method"), axis=0) + SHARED_NEW_PEOPLE[reference_method] ** 2
    prior = prior + CONVERSION_SD**2 * np.eye(len(kept))
    # posterior of a constant with a normal prior: small samples stay near zero
    of_mean = scatter / n
    gain = product(prior, np.linalg.inv(prior + of_mean))
    offset, uncertainty = product(gain, mean), prior - product(gain, prior)
    spread = np.sqrt(
        (n * np.diagonal(scatter) + SPREAD_PRIOR * claimed) / ((n + SPREAD_PRIOR) * claimed)
    )
    learnt = SiteOffsets(
        n=n,
        families=tuple(FAMILIES[k] for k in kept),
        offset=tuple(offset.tolist()),
        uncertainty=tuple(map(tuple, ((uncertainty + uncertainty.T) / 2.0).tolist())),
        spread=tuple(spread.tolist()),
    )
    together = _joint_factor(
        errors[rows], {name: blocks[name][rows] for name in blocks}, learnt, reference_method
    )
    return replace(learnt, spread=tuple((spread * together).tolist()))


def _joint_factor(
    errors: Array,
    blocks: Mapping[str, Array],
    learnt: SiteOffsets,
    reference_method: ReferenceMethod,
) -> float:
    """How much wider the combined answer scatters than the families' own factors say; 1 at least.

    The families' errors may go together more than the model says; this shows in the answer only.
    """
    present = np.isfinite(errors)
    shifted, after = corrected(np.nan_to_num(errors).T, blocks, present, learnt, reference_method)
    covariance = np.sum(list(after.values()), axis=0)
    weights = best_weights(covariance, present)
    answer = np.sum(weights * np.where(present, shifted.T, 0.0), axis=1)
    variance = np.einsum("nj,njk,nk->n", weights, covariance, weights)
    ratio = float(np.mean(answer**2 / variance))
    n = len(errors)
    return float(np.sqrt(max(1.0, (n * ratio + SPREAD_PRIOR) / (n + SPREAD_PRIOR))))


def corrected(
    families: Array,
    blocks: Mapping[str, Array],
    present: BoolArray,
    learnt: SiteOffsets,
    reference_method: ReferenceMethod,
) -> tuple[Array, dict[str, Array]]:
    """Apply what a site learnt.

    Parameters
    ----------
    families : array of shape (4, N)
        Family estimates.
    blocks : mapping of str to array
        Covariances (N, 4, 4).
    present : bool array of shape (N, 4)
        Families that took part.
    learnt : SiteOffsets
        Of the same sex.
    reference_method : str
        Scale of the answer.

    Returns
    -------
    families, blocks
        Shifted estimates and new covariances, with a block ``local`` for what is left uncertain.
    """
    known = np.array([FAMILIES.index(name) for name in learnt.families])
    shifted = families.copy()
    shifted[known] -= np.where(present.T[known], np.array(learnt.offset)[:, None], 0.0)
    factor = np.ones(len(FAMILIES))
    factor[known] = learnt.spread
    widened = {name: blocks[name] * np.outer(factor, factor) for name in PERSONAL}
    both = np.zeros((len(FAMILIES), len(FAMILIES)), dtype=bool)
    both[np.ix_(known, known)] = True
    across = np.zeros_like(both)
    across[known] = across[:, known] = True
    both_present = present[:, :, None] & present[:, None, :]
    criterion = CRITERION_ERROR[reference_method] ** 2
    for name in OF_THE_PLACE:
        widened[name] = np.where(across, 0.0, blocks[name])
    # the criterion's own error stays with every method; the factor is learnt with it inside
    widened["shared"] = np.where(
        across & both_present, criterion * np.outer(factor, factor), widened["shared"]
    )
    left = np.zeros((len(FAMILIES), len(FAMILIES)))
    left[np.ix_(known, known)] = learnt.uncertainty
    widened["local"] = np.where(both & both_present, left, 0.0)
    return shifted, widened
