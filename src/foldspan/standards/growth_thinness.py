"""Thinness for age under 18: body mass index at -3 and -2 standard deviations of the growth reference.

WHO calls a child or a young person below -2 thin and below -3 severely thin [who_growth2007]. The
values are not verified in print; those at 18 and 19 years stand in ``bmi.py``. No range and no band
is made of them: they only send a child with a very low weight to a clinician.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

# body mass index [kg/m²] on each birthday: at -3 and at -2 standard deviations
THINNESS: dict[str, dict[int, tuple[float, float]]] = {
    "female": {
        5: (11.8, 12.7), 6: (11.7, 12.7), 7: (11.8, 12.7), 8: (11.9, 12.9), 9: (12.1, 13.1),
        10: (12.4, 13.5), 11: (12.8, 13.9), 12: (13.2, 14.4), 13: (13.6, 14.9), 14: (14.0, 15.4),
        15: (14.4, 15.9), 16: (14.6, 16.2), 17: (14.7, 16.4), 18: (14.7, 16.4),
    },
    "male": {
        5: (12.1, 13.0), 6: (12.1, 13.0), 7: (12.3, 13.1), 8: (12.4, 13.3), 9: (12.6, 13.5),
        10: (12.8, 13.7), 11: (13.1, 14.1), 12: (13.4, 14.5), 13: (13.8, 14.9), 14: (14.3, 15.5),
        15: (14.7, 16.0), 16: (15.1, 16.5), 17: (15.4, 16.9), 18: (15.7, 17.3),
    },
}  # fmt: skip


def thin_below(
    sex: str, age: npt.NDArray[np.float64]
) -> tuple[npt.NDArray[np.float64], npt.NDArray[np.float64]]:
    """Return the body mass index below which people are severely thin, and thin, each (N,).

    Between birthdays on a straight line (ours). Before the fifth the values of the fifth are used
    (ours): the reference for small children starts higher, so nobody is flagged for nothing. Where the
    sex is not known the higher of both values counts (ours), as a miss would hurt more.

    Parameters
    ----------
    sex : str
        ``female``, ``male``, or anything else where it is not known.
    age : array (N,)
        Years; NaN gives NaN.
    """
    tables = [THINNESS[sex]] if sex in THINNESS else list(THINNESS.values())
    severe, thin = (
        np.max(
            [
                np.interp(age, list(table), [row[place] for row in table.values()])
                for table in tables
            ],
            0,
        )
        for place in (0, 1)
    )
    return severe, thin
