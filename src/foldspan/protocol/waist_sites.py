"""How far the waist at one level lies from the waist at another.

An equation built on one level may be fed another only through a row of this table: the mean
difference is added and its spread joins the uncertainty. A pair that is not here is not bridged.
"""

from __future__ import annotations

from dataclasses import dataclass

from foldspan.quantities import Sex


@dataclass(frozen=True, slots=True)
class WaistBridge:
    """``wanted = measured + difference ± spread`` [cm], for one sex."""

    measured: str
    wanted: str
    sex: Sex
    difference: float
    spread: float
    source: str


# Spread of single people around a mean difference between neighbouring levels: the SD beside the
# smallest of the pairwise mean differences in 119 overweight adults, 2.7 cm in men and 3.7 cm in women
# (Pinho 2018, abstract read; it does not say which pair, so the use here is an assumption). Another
# survey has 2.2 cm for hip bone less midpoint in women (Patry-Parisien 2012, 6,306 people).
_NEAR_MALE, _NEAR_FEMALE = 2.7, 3.7
_OSTCHEGA = "Ostchega 2021, 2,405 US adults; spread Pinho 2018"
_HEINZ = (
    "507 active adults, open data of Heinz 2003, our own analysis; that waist is the mean of"
    " two states"
)
# UNSURE: men's waists differ only at the narrowest (Wang 2003) and women's rise towards the hip
# bone, so navel and hip bone are taken as level on average, with a wide spread. An assumption.
_LEVEL = "Wang 2003 for the order of the sites; mean of zero is an assumption"


def _pair(
    first: str, second: str, sex: Sex, difference: float, spread: float, source: str
) -> list[WaistBridge]:
    """Both directions of one published difference, ``second - first``."""
    return [
        WaistBridge(first, second, sex, difference, spread, source),
        WaistBridge(second, first, sex, -difference, spread, source),
    ]


BRIDGES: tuple[WaistBridge, ...] = (
    *_pair("waist_midpoint_cm", "waist_iliac_cm", "male", 0.8, _NEAR_MALE, _OSTCHEGA),
    *_pair("waist_midpoint_cm", "waist_iliac_cm", "female", 3.2, _NEAR_FEMALE, _OSTCHEGA),
    *_pair("waist_iliac_cm", "abdomen_navel_cm", "male", 0.0, 3.0, _LEVEL),
    *_pair("waist_iliac_cm", "abdomen_navel_cm", "female", 0.0, 4.5, _LEVEL),
    *_pair("waist_midpoint_cm", "abdomen_navel_cm", "male", 0.8, 4.0, f"{_OSTCHEGA}; {_LEVEL}"),
    *_pair("waist_midpoint_cm", "abdomen_navel_cm", "female", 3.2, 5.8, f"{_OSTCHEGA}; {_LEVEL}"),
    *_pair("waist_narrowest_cm", "abdomen_navel_cm", "male", 3.1, 4.2, _HEINZ),
    *_pair("waist_narrowest_cm", "abdomen_navel_cm", "female", 13.9, 5.5, _HEINZ),
)


def bridges_to(wanted: str, sex: str) -> tuple[WaistBridge, ...]:
    """Return the rows that lead to the site ``wanted``, the tightest first."""
    rows = [row for row in BRIDGES if row.wanted == wanted and row.sex == sex]
    return tuple(sorted(rows, key=lambda row: row.spread))
