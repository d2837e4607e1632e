"""Refusals: who gets no adult range for what they are or told, and what may mean so unread."""

from __future__ import annotations

import numpy as np

from foldspan.catalogue.card import Array, BoolArray
from foldspan.intake.as_arrays import SelfReported, intake_as_arrays
from foldspan.intake.model import Intake
from foldspan.intake.rules import is_after_birth
from foldspan.standards.referral_rules import ADULT_AGE, REFUSALS

# what may say that no adult range holds: where one of these cannot be read, or contradicts what else was
# told, there is none
GATES = frozenset(
    {
        "pregnant", "weeks_pregnant", "birth_months_ago", "birth_date", "age_years", "symptoms",
        "conditions", *(word for refusal in REFUSALS for word in refusal.intake_words),
    }
)  # fmt: skip


def refused(age: Array, is_pregnant: BoolArray, reported: SelfReported) -> dict[str, BoolArray]:
    """Return who of N clients gets no adult range, bool (N,) by the code of the reason.

    Reasons stand in the order in which one of them is said where there is room for one.

    Parameters
    ----------
    age : array (N,)
        Years, NaN where not known.
    is_pregnant : bool array (N,)
        Who told a pregnancy.
    reported : SelfReported
        Their intake.
    """
    with np.errstate(invalid="ignore"):
        found = {"E201": np.asarray(age < ADULT_AGE), "E202": is_pregnant}
    found["E204"] = is_after_birth(reported.number("birth_months_ago"))
    return found | {
        refusal.problem: reported.any_of(*refusal.intake_words)
        for refusal in REFUSALS
        if refusal.intake_words
    }


def is_judged_as_adult(age: Array, is_barred: BoolArray) -> BoolArray:
    """Return for whom the rules of adults are, with a range or without; for others a few hold.

    ``is_barred`` (N,) is whoever is refused for any reason; whose age is not known is no adult here.
    """
    with np.errstate(invalid="ignore"):
        return np.asarray(~is_barred & (age >= ADULT_AGE))


def refusal_code(intake: Intake, age: float, *, is_pregnant: bool) -> str | None:
    """Return why one client of an age [years] gets no adult range, None where nothing is against it."""
    reported = intake_as_arrays(intake, None, None)
    found = refused(np.array([age]), np.array([is_pregnant]), reported)
    return next((code for code, holds in found.items() if holds[0]), None)


def is_expecting(is_pregnant: BoolArray, reported: SelfReported) -> BoolArray:
    """Return who is pregnant or gave birth so recently that some signs mean something else."""
    return np.asarray(is_pregnant | is_after_birth(reported.number("birth_months_ago")))
