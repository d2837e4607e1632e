"""Clothing: what one light layer adds to a girth.

Pilot of 50 people measured with and without (Obes Res Clin Pract 2010;4:e239-244, abstract read): waist
0.50 cm, 95 % limits -1.54 to 2.55; hip over underwear 2.58 cm, -0.75 to 5.91. The paper calls the limits
confidence intervals; with 50 people they can only be the spread of people, so a quarter of their width
is taken as a standard deviation (1.96 to either side).
"""

from __future__ import annotations

from typing import NamedTuple

from foldspan.quantities import WAISTS

_SIDES = 2.0 * 1.96


class Layer(NamedTuple):
    """Mean that a layer adds, and the spread of that between people [cm]."""

    mean: float
    sd: float


WAIST_LAYER = Layer(0.50, (2.55 - -1.54) / _SIDES)
HIP_LAYER = Layer(2.58, (5.91 - -0.75) / _SIDES)
# girths for which a correction is in print
CORRECTED: tuple[str, ...] = (*WAISTS, "hip_cm")


def over_clothing(name: str) -> Layer:
    """Return what one light layer adds to a waist or the hip; KeyError for any other girth."""
    if name not in CORRECTED:
        raise KeyError(name)
    return HIP_LAYER if name == "hip_cm" else WAIST_LAYER
