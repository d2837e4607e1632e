"""Whether two rules of the error model hold in a public survey. Run by hand; prints, changes nothing::

    python tests/learning/check_error_rules.py

How errors of levelled equations correlate, beside the rule of ``estimation/error_correlation.py``; folds
with all that is no fold apart. And how much of what ages outside a sample would add to an equation is
seen around its curve: the squared rest is regressed on age and on that variance, equation by equation,
and the shares are averaged by the inverse of their squared errors. 0 says that a levelled equation errs
by no more there than its curve and scatter tell.

Learnt on 1999-2002; 2003-2004 is printed beside it.
"""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1]))

from foldspan.catalogue import SIRI
from foldspan.catalogue.card import Array, Equation
from foldspan.estimation.applicability import Limits
from foldspan.estimation.default_cards import cards_for
from foldspan.estimation.error_correlation import ERROR_POWER, LEVELLED, estimate_correlation
from foldspan.estimation.error_model import reference_shifts
from foldspan.estimation.evaluate import Inputs, fat_percents
from foldspan.estimation.known_offsets import Levelling
from foldspan.measurement.waist_conversion import bridge_waists
from foldspan.quantities import SEXES, Sex
from foldspan.reference.equation_errors import DECADE, MIDDLE_AGE
from learning.learn_survey_errors import LEAST_PEOPLE, SOUND, columns_of, fitted
from open_data.open_tables import survey_of

CYCLES = {"1999_2002": "survey_weight_4yr", "2003_2004": "survey_weight_2yr"}
# a variance that hardly differs between people tells nothing of its share
LEAST_SPREAD = 0.1


class Errors:
    """Errors of the levelled equations of one sex in one survey [points], (E, N)."""

    def __init__(self, cycles: str, sex: Sex) -> None:
        self.sex = sex
        people = survey_of(cycles).dropna(subset=["weight_kg", "height_cm"])
        people = people[people.sex == sex[0].upper()]
        self.columns = dict(bridge_waists(columns_of(people, sex), sex).columns)
        levelling = Levelling(self.columns, sex, "dxa")
        self.cards = [card for card in cards_for(sex) if levelling.applies_to(card)]
        printed = fat_percents(self.cards, self.columns, SIRI)[0]
        percent = printed + reference_shifts(self.cards, "dxa")[:, None]
        self.error = percent - people["dxa_fat_percent"].to_numpy(float)
        self.error[~((percent > SOUND[0]) & (percent < SOUND[1]))] = np.nan
        for error, card, as_printed in zip(self.error, self.cards, printed, strict=True):
            error -= levelling.offset(card, as_printed)
        self.weights = people[CYCLES[cycles]].to_numpy(float)
        self.age = (self.columns["age_years"] - MIDDLE_AGE) / DECADE

    def correlation(self) -> Array:
        """Correlation of the errors around the curves, (E, E)."""
        rest = np.full(self.error.shape, np.nan)
        for row, error in enumerate(self.error):
            has = np.isfinite(error)
            terms = np.vander(self.age[has], 3, increasing=True)
            rest[row, has] = error[has] - terms @ fitted(terms, error[has], self.weights[has])[0]
        found = np.eye(len(rest))
        for i, own_error in enumerate(rest):
            for j, other in enumerate(rest[:i]):
                both = np.isfinite(own_error) & np.isfinite(other)
                together = np.cov(own_error[both], other[both], aweights=self.weights[both])
                found[i, j] = found[j, i] = together[0, 1] / np.sqrt(
                    together[0, 0] * together[1, 1]
                )
        return found

    def share_by_age(self) -> tuple[float, float]:
        """Share of the variance by ages outside a sample that is seen, and its standard error."""
        limits = Limits(Inputs(self.columns))
        found = [self._share(row, card, limits) for row, card in enumerate(self.cards)]
        shares, errors = np.array([share for share in found if share is not None]).T
        precision = errors**-2.0
        # equations are tried on the same people: their errors do not shrink by averaging
        return float(np.average(shares, weights=precision)), float(errors.min())

    def _share(self, row: int, card: Equation, limits: Limits) -> tuple[float, float] | None:
        by_age = limits.outside(card).by_age
        has = np.isfinite(self.error[row])
        if isinstance(by_age, float) or has.sum() < LEAST_PEOPLE or by_age.std() < LEAST_SPREAD:
            return None
        error, age, weights = self.error[row, has], self.age[has], self.weights[has]
        curve = np.vander(age, 3, increasing=True)
        rest = error - curve @ fitted(curve, error, weights)[0]
        terms = np.column_stack([curve[:, :2], by_age[has]])
        found, se = fitted(terms, rest**2, weights / weights.mean())
        return float(found[2]), float(se[2])


def folds_with_others(errors: Errors, seen: Array | None = None) -> float:
    """How folds correlate with all that is no fold, as a share of the rule: least squares over pairs."""
    seen = errors.correlation() if seen is None else seen
    folds = np.array([card.method == "skinfold" for card in errors.cards])
    apart = np.tri(len(seen), k=-1, dtype=bool) & (folds[:, None] != folds)
    rule = rule_of(errors)
    return float((seen[apart] * rule[apart]).sum() / (rule[apart] ** 2).sum())


def rule_of(errors: Errors) -> Array:
    """The rule without the share of folds, (E, E)."""
    estimates = estimate_correlation(errors.cards, errors.sex, LEVELLED)
    return np.asarray(estimates ** ERROR_POWER[LEVELLED])


def main() -> None:
    """Print both by sex and survey."""
    for sex in SEXES:
        for cycles in CYCLES:
            errors = Errors(cycles, sex)
            seen = errors.correlation()
            pairs = np.tri(len(seen), k=-1, dtype=bool)
            miss = np.sqrt(np.mean((seen - rule_of(errors))[pairs] ** 2))
            share = folds_with_others(errors, seen)
            by_age, se = errors.share_by_age()
            print(f"{sex} {cycles}: rule misses by {miss:.2f}; folds with others {share:.2f} of it")
            print(f"    ages outside a sample: {by_age:+.2f} of the variance seen (± {se:.2f})")


if __name__ == "__main__":
    main()
