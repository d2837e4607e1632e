"""Default cards: which equations enter a range by default, by one rule from the data of their cards.

No equation is named here. Each is judged by the best there is to judge it by, for one sex at a time:

1. The survey, where it has what the equation needs. It stays out where its answers scatter by more than
   5.0 points around its curve by age; where it is not levelled (underwater weighing, as printed), also
   where what it reads off and its scatter come to more than 6.3 points together.
2. Else a check on people it was not built on: out where bias and scatter together pass 6.3 points.
3. And where no survey tried it, what is known of it: of its digits (read somewhere, not recalled), the
   size of its sample and its error (printed, or from such a check), two at least; else out.

Equations for youth never give an adult range and are not judged. What stays out is *on request*:
``reconcile --all`` lists what it gives and why it is out.
"""

from __future__ import annotations

from functools import cache

import numpy as np

from foldspan.catalogue import EQUATIONS
from foldspan.catalogue.card import Equation
from foldspan.catalogue.checked_on_others import CHECKS
from foldspan.quantities import Sex
from foldspan.reference.equation_errors import SURVEY_ERRORS

# A standard error of estimate of 5 points is called poor in the trade (Lohman 1992; not verified in
# print).
LARGEST_SCATTER = 5.0
# √(5.0² + 3.0² + 2.5²): that scatter, the constant error usual in cross-validations and the step from
# one reference method to the other (docs/method.md, sections 3 and 5).
LARGEST_TOTAL = 6.3
# Of digits, sample and standard error so many must be known (ours).
LEAST_KNOWN = 2
READ = ("verified", "read in a secondary text")

REASONS = ("wide_scatter", "reads_far_off", "off_in_others", "little_known")
"""Codes of why an equation is on request, in the order in which they are asked."""


@cache
def cards_for(sex: Sex, *, levelled: bool = True) -> tuple[Equation, ...]:
    """Return the cards that can enter the range of one sex, in catalogue order."""
    return tuple(
        card
        for card in EQUATIONS
        if card.sex in (sex, "both") and not on_request_because(card, sex, levelled=levelled)
    )


@cache
def cards_on_request(sex: Sex, *, levelled: bool = True) -> tuple[Equation, ...]:
    """Return the cards for one sex that are only listed beside the range, in catalogue order."""
    return tuple(
        card
        for card in EQUATIONS
        if card.sex in (sex, "both") and on_request_because(card, sex, levelled=levelled)
    )


def on_request_because(card: Equation, sex: Sex, *, levelled: bool = True) -> str:
    """Return why one equation stays out of the range of one sex, "" where it may enter.

    Parameters
    ----------
    card : Equation
        Judged by its data alone.
    sex : str
        Whose range; an equation for both is judged for each.
    levelled : bool
        Whether what the survey saw of it is taken off, as on the DXA scale.

    Returns
    -------
    str
        One of ``REASONS``, the first that holds, or "".
    """
    if card.audience == "youth":
        return ""
    seen = SURVEY_ERRORS.get(card.key, {}).get(sex)
    if seen is not None:
        scatter = float(np.sqrt(seen.spread[0]))
        if scatter > LARGEST_SCATTER:
            return "wide_scatter"
        far = not levelled and float(np.hypot(seen.curve[0], scatter)) > LARGEST_TOTAL
        return "reads_far_off" if far else ""
    check = CHECKS.get(card.key)
    # what makes no difference between the sexes is the same equation in both
    differs_by_sex = check is not None and check.sex != sex and distinguishes_sexes(card)
    if check is not None and not differs_by_sex and check.total_error > LARGEST_TOTAL:
        return "off_in_others"
    return "little_known" if count_known(card) < LEAST_KNOWN else ""


def distinguishes_sexes(card: Equation) -> bool:
    """Whether an equation is for one sex, or has a term for sex."""
    return card.sex != "both" or bool({"is_male", "is_female"} & set(card.inputs))


def count_known(card: Equation) -> int:
    """How many are known of an equation's digits, the size of its sample and its error, 0 to 3."""
    error = card.see is not None or card.athletes_error is not None or card.key in CHECKS
    return (card.status in READ) + (card.n is not None) + error
