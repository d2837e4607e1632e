"""Technical error of one reading by one tester, for use where a tester's own is not known.

Published errors are of two kinds: what one tester repeats within minutes, and what testers differ
by. A client who is measured once by one tester carries both, so the value here is the error of one
reading against the reading that another trained tester would have taken.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Literal

from foldspan.quantities import BY_NAME


@dataclass(frozen=True, slots=True)
class TechnicalError:
    """Standard error of one reading: ``max(floor, share × value)`` in the quantity's unit."""

    share: float
    floor: float
    source: str
    status: Literal["verified", "not verified in print", "expert judgement"]

    def of(self, value: float) -> float:
        """Return the standard error of one reading of ``value``, in the same unit."""
        return max(self.floor, self.share * value)


# Skinfolds: 7.3-16 % for one observer in 51 lean and overweight adults (Int J Obes 2000;24:652-657,
# abstract read); the 7.5 % is what testers in training are held to (Perini 2005 after Gore, not
# verified in print). The floor of 0.5 mm is ours.
_FOLD = TechnicalError(
    0.075, 0.5, "Int J Obes 2000;24:652-657; Perini 2005", "not verified in print"
)
# Floors: triceps between testers 0.8-1.89 mm, subscapular 0.88-1.53 mm (Harrison 1988, read in a
# review). The share is that of all folds.
_TRICEPS = TechnicalError(0.075, 0.8, "Perini 2005; Harrison 1988", "not verified in print")
_SUBSCAPULAR = TechnicalError(0.075, 0.9, "Perini 2005; Harrison 1988", "not verified in print")
# Waists: 1.4 % one observer (Int J Obes 2000;24:652-657, abstract read); floor 0.7 cm, the smallest
# error in a review of waists (Verweij 2013, abstract read).
_WAIST = TechnicalError(0.014, 0.7, "Int J Obes 2000;24:652-657; Verweij 2013", "verified")
# Other girths and breadths: 1.5 % between skilled testers (Perini 2005 after Gore, not verified in
# print); floors 0.3 cm (a neck, not verified in print) and 0.1 cm (ours).
_GIRTH = TechnicalError(0.015, 0.3, "Perini 2005", "not verified in print")
_BREADTH = TechnicalError(0.015, 0.1, "Perini 2005", "not verified in print")
# Weight: morning to morning SD 0.51 kg in 65 active men (Cheuvront 2004, abstract read).
_WEIGHT = TechnicalError(0.0066, 0.5, "Cheuvront 2004", "verified")
# Height: repeats 0.9-1.7 mm and 6 mm or more lost over the day (Ulijaszek & Kerr 1999 and others).
_HEIGHT = TechnicalError(0.0, 0.5, "Ulijaszek & Kerr 1999", "not verified in print")

BY_KIND = {
    "age": TechnicalError(0.0, 0.0, "from the calendar", "expert judgement"),
    "mass": _WEIGHT,
    "height": _HEIGHT,
    "skinfold": _FOLD,
    "girth": _GIRTH,
    "breadth": _BREADTH,
}
BY_QUANTITY = {
    "triceps_mm": _TRICEPS,
    "subscapular_mm": _SUBSCAPULAR,
    "waist_narrowest_cm": _WAIST,
    "waist_midpoint_cm": _WAIST,
    "waist_iliac_cm": _WAIST,
    "abdomen_navel_cm": _WAIST,
}


@cache
def technical_error(name: str) -> TechnicalError:
    """Return the technical error of the quantity called ``name``; KeyError if unknown."""
    return BY_QUANTITY.get(name) or BY_KIND[BY_NAME[name].kind]


# Two readings further apart than this ask for a third. Skinfolds: 2 mm, common practice, no source.
# Girths 1 cm (PhenX panel; some schools hold neck, wrist and limbs to 0.5 cm), height 0.5 cm and weight
# 0.2 kg (not verified in print), breadths our choice.
TOLERANCE = {
    "age": 0.0,
    "mass": 0.2,
    "height": 0.5,
    "skinfold": 2.0,
    "girth": 1.0,
    "breadth": 0.2,
}

# Readings further apart than this cannot both be of one site: a slip of the pen, asked back. At least
# five tolerances, and for folds 40 % of the reading (our choice, no source).
SLIP = {
    "age": 0.0,
    "mass": 2.0,
    "height": 2.5,
    "skinfold": 10.0,
    "girth": 5.0,
    "breadth": 1.0,
}
SLIP_SHARE = 0.40
