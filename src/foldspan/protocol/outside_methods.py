"""Outside methods: other ways in which a client may have been told a fat percentage, and their errors.

Each reads on a scale of its own. The errors are those between one result and the criterion it stands
for; makes and models are left out on purpose.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal


@dataclass(frozen=True, slots=True)
class OutsideMethod:
    """One kind of method: its scale ("" where nobody says), its error [points], where that is from."""

    key: str
    reference_method: Literal["density", "dxa", ""]
    error: float
    source: str
    status: Literal["verified", "not verified in print", "expert judgement"]


OUTSIDE_METHODS: tuple[OutsideMethod, ...] = (
    OutsideMethod(
        "dxa", "dxa", 1.5,
        (
            "repeats 0.55 points in a clinic group (read in part); the rest, for machines"
            " and posture, is our estimate"
        ),
        "expert judgement",
    ),
    OutsideMethod(
        "underwater_weighing", "density", 2.4,
        "Moon 2007 and 2008, against a three-compartment model: SEE 2.4", "verified",
    ),
    OutsideMethod(
        "air_displacement", "density", 2.4,
        "Moon 2008, against a three-compartment model: SEE 2.42, total error 2.7; Moon"
        " 2007: 2.3", "verified",
    ),
    OutsideMethod(
        "bioimpedance", "", 4.5,
        (
            "3.5 to 5 points compared with a reference method is what textbooks give (common"
            " practice, no source)"
        ),
        "not verified in print",
    ),
    OutsideMethod(
        "other_callipers", "density", 4.5,
        (
            "published errors of 3.4 to 3.9 points, plus 2 to 3 for new people; see"
            " docs/method.md"
        ),
        "expert judgement",
    ),
    OutsideMethod("unknown", "", 6.0, "no method, no published error", "expert judgement"),
)  # fmt: skip
OUTSIDE_BY_KEY = {method.key: method for method in OUTSIDE_METHODS}

# How far a method that does not say its scale may stand off either scale [points] (our choice: half
# the step between the two scales and its uncertainty).
UNKNOWN_REFERENCE_SD = 3.0
# Results further back than this are of another body: changes are not looked for more often (ours).
OLD_AFTER_DAYS = 28
# A result taken at another weight, by more than this share, is of another body too: what clothes, a
# meal and the day make of one weight is 1 to 2 kg.
OTHER_WEIGHT_SHARE = 0.03
# Masses are printed to 0.1 kg and percentages to 0.1: two roundings and a bit.
MASS_TOLERANCE, PERCENT_TOLERANCE = 0.15, 0.15
# Whole-body bone mineral [kg] that a sheet of lean tissue may leave out (not verified in print:
# about 1.5 to 4 kg in adults, 3 to 5 % of weight).
BONE_SPAN = (1.2, 4.5)
BONE_SHARE = (0.025, 0.06)
SOUND = (2.0, 70.0)
