"""Checks: how far some equations were off on people they were not built on, where no survey tried them.

Each on the equation's own scale: where the check's criterion was the other one, 3 points apart.

* 250 men weighed under water (Penrose, Nelson & Fisher 1985; Johnson 1996), own computing on the open
  set, which ``tests/open_data/test_weighed_men.py`` repeats;
* 131 male soccer players by DXA (Lopez-Taylor 2018), from the printed 95 % limits of agreement.
"""

from __future__ import annotations

from typing import Literal, NamedTuple

import numpy as np


class Check(NamedTuple):
    """One equation on other people: its mean error and the spread around it [points of fat]."""

    sex: Literal["female", "male"]
    people: int
    bias: float
    sd: float
    source: str

    @property
    def total_error(self) -> float:
        """Bias and spread together [points of fat]."""
        return float(np.hypot(self.bias, self.sd))


_WEIGHED_MEN = "own analysis on an open data set of men weighed under water (Johnson 1996)"
_SOCCER = "Lopez-Taylor 2018, 131 male soccer players by DXA"

CHECKS: dict[str, Check] = {
    key: Check("male", people, bias, sd, _WEIGHED_MEN)
    for key, people, bias, sd in (
        ("hodgdon_beckett1984_male_abdomen_neck", 249, 2.2, 4.4),
        ("hodgdon_friedl1999_male_abdomen_neck", 249, 2.3, 4.4),
        ("hodgdon_friedl1999_male_abdomen_neck_inch", 249, 2.3, 4.4),
        ("hodgdon_beckett1984_male_abdomen_neck_rounded", 249, 2.1, 4.4),
        ("vogel1988_male_abdomen_neck", 249, 2.2, 4.6),
        ("friedl1997_male_abdomen_neck", 249, 0.5, 4.4),
        ("tran_weltman1988_male_girths", 249, 2.1, 4.5),
        ("katch_mcardle1983_male_older", 249, 6.0, 5.7),
        ("bergman2011_both_hip_height", 249, 1.6, 6.7),
    )
} | {
    key: Check("male", 131, bias, sd, _SOCCER)
    for key, bias, sd in (
        ("ball2004_male_7site", -0.2, 1.7),
        ("wilmore_behnke1969_male", 2.6, 1.8),
        ("civar2006_male", 1.5, 1.7),
        ("oliver2012_male_7site", -0.8, 1.6),
    )
}
