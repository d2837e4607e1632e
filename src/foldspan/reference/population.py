"""Population: what goes together in adult bodies, so that correlations follow from inputs.

The correlation of the errors of two equations is read off the correlation of their estimates over a
population (``estimation/error_correlation.py``). All that takes is how the inputs go together. Estimated
from open data:

* weight, height, waist, limb girths, triceps and subscapular folds: 3,671 women and 3,935 men, 18-85
  years, of NHANES 1999-2000 and 2001-2002; folds that were not taken, mostly in larger people, are
  accounted for given the other measurements;
* the other girths and the breadths: 260 women and 247 men of Heinz, Peterson, Johnson & Kerk (2003).

Both came out of ``tests/learning/learn_reference_people.py`` on 2026-11-25. Assumed, since no open
data were found: the neck, the chin and how the other folds follow triceps and subscapular.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from foldspan.catalogue.card import Array
from foldspan.numerics.ordered_sums import covariance, product
from foldspan.quantities import Sex

SURVEYED = (
    "age_years",
    "weight_kg",
    "height_cm",
    "waist_iliac_cm",
    "thigh_mid_girth_cm",
    "arm_relaxed_girth_cm",
    "calf_girth_cm",
    "triceps_mm",
    "subscapular_mm",
)
# age in years, everything else as natural logarithm
MEAN = {
    "female": (46.277, 4.2299, 5.0777, 4.4976, 3.9422, 3.4283, 3.6092, 3.1079, 2.9946),
    "male": (45.2956, 4.3723, 5.1574, 4.5471, 3.9485, 3.4826, 3.6316, 2.4946, 2.8386),
}
SD = {
    "female": (19.7263, 0.2152, 0.0445, 0.15, 0.1307, 0.1457, 0.1099, 0.3709, 0.4587),
    "male": (19.8817, 0.1887, 0.0439, 0.1391, 0.1059, 0.1163, 0.0938, 0.4547, 0.4374),
}
CORRELATION = {
    "female": (
        (1.0, -0.008, -0.24, 0.261, -0.212, 0.074, -0.132, 0.016, -0.013),
        (-0.008, 1.0, 0.34, 0.851, 0.86, 0.891, 0.838, 0.719, 0.714),
        (-0.24, 0.34, 1.0, 0.038, 0.246, 0.072, 0.29, 0.054, -0.029),
        (0.261, 0.851, 0.038, 1.0, 0.615, 0.818, 0.601, 0.644, 0.721),
        (-0.212, 0.86, 0.246, 0.615, 1.0, 0.785, 0.858, 0.679, 0.592),
        (0.074, 0.891, 0.072, 0.818, 0.785, 1.0, 0.746, 0.789, 0.755),
        (-0.132, 0.838, 0.29, 0.601, 0.858, 0.746, 1.0, 0.631, 0.555),
        (0.016, 0.719, 0.054, 0.644, 0.679, 0.789, 0.631, 1.0, 0.763),
        (-0.013, 0.714, -0.029, 0.721, 0.592, 0.755, 0.555, 0.763, 1.0),
    ),
    "male": (
        (1.0, 0.09, -0.147, 0.427, -0.282, -0.024, -0.112, 0.12, 0.213),
        (0.09, 1.0, 0.474, 0.843, 0.818, 0.868, 0.84, 0.65, 0.686),
        (-0.147, 0.474, 1.0, 0.129, 0.322, 0.237, 0.348, 0.08, 0.013),
        (0.427, 0.843, 0.129, 1.0, 0.549, 0.709, 0.619, 0.692, 0.761),
        (-0.282, 0.818, 0.322, 0.549, 1.0, 0.818, 0.843, 0.543, 0.529),
        (-0.024, 0.868, 0.237, 0.709, 0.818, 1.0, 0.778, 0.61, 0.659),
        (-0.112, 0.84, 0.348, 0.619, 0.843, 0.778, 1.0, 0.541, 0.541),
        (0.12, 0.65, 0.08, 0.692, 0.543, 0.61, 0.541, 1.0, 0.726),
        (0.213, 0.686, 0.013, 0.761, 0.529, 0.659, 0.541, 0.726, 1.0),
    ),
}
# log girth = constant + weight, height, navel-girth terms (all logs), last number: spread around it
GIRTH_RULES = {
    "female": {
        "waist_narrowest_cm": (4.3446, 0.4781, -0.6624, 0.2986, 0.0428),
        "chest_girth_cm": (4.2218, 0.3567, -0.3452, 0.1206, 0.0354),
        "hip_cm": (3.3125, 0.3566, -0.1746, 0.1533, 0.027),
        "thigh_upper_girth_cm": (4.0437, 0.5125, -0.3962, -0.017, 0.0373),
        "knee_girth_cm": (1.9978, 0.4444, 0.0268, -0.0889, 0.0391),
        "ankle_girth_cm": (2.1264, 0.3523, -0.0339, -0.0776, 0.0499),
        "arm_flexed_girth_cm": (4.1507, 0.5025, -0.6848, 0.1401, 0.0474),
        "forearm_girth_cm": (3.2624, 0.4639, -0.3258, -0.0751, 0.0378),
        "wrist_girth_cm": (1.7057, 0.3224, 0.0235, -0.0984, 0.0388),
        "elbow_breadth_cm": (-0.6834, 0.2355, 0.2764, 0.029, 0.0523),
        "knee_breadth_cm": (0.8674, 0.338, 0.0136, -0.027, 0.0412),
        "wrist_breadth_cm": (-0.5836, 0.2559, 0.266, -0.0513, 0.054),
        # assumed: median of 1,986 soldiers at 32.8 cm (open data of 2012), slope and spread ours
        "neck_cm": (2.24, 0.30, 0.0, 0.0, 0.040),
    },
    "male": {
        "waist_narrowest_cm": (2.7505, 0.364, -0.4998, 0.6012, 0.0408),
        "chest_girth_cm": (4.5685, 0.4656, -0.4325, 0.058, 0.0408),
        "hip_cm": (3.2073, 0.343, -0.179, 0.1809, 0.0268),
        "thigh_upper_girth_cm": (5.1861, 0.6306, -0.5788, -0.2013, 0.0428),
        "knee_girth_cm": (2.2442, 0.3538, -0.003, -0.0343, 0.041),
        "ankle_girth_cm": (1.2163, 0.3136, 0.0594, 0.0563, 0.0576),
        "arm_flexed_girth_cm": (5.0121, 0.702, -0.6648, -0.2434, 0.0576),
        "forearm_girth_cm": (4.0506, 0.5234, -0.3721, -0.2373, 0.0421),
        "wrist_girth_cm": (2.0445, 0.2795, -0.0087, -0.0832, 0.0424),
        "elbow_breadth_cm": (-0.4832, 0.2642, 0.3135, -0.0702, 0.0473),
        "knee_breadth_cm": (1.7279, 0.3304, 0.0263, -0.2288, 0.0448),
        "wrist_breadth_cm": (0.9998, 0.2965, 0.0012, -0.1276, 0.0469),
        # assumed: median of 4,082 soldiers at 39.5 cm (open data of 2012), slope and spread ours
        "neck_cm": (2.35, 0.30, 0.0, 0.0, 0.040),
    },
}
# Other folds: mean [mm] in women and men, spread of the log, and how much they follow the triceps
# rather than the subscapular. Means of the samples of 1978 and 1980 (not verified in print), else
# assumed.
FOLD_RULES = {
    "chest_mm": (12.6, 15.2, 0.45, 0.3),
    "midaxillary_mm": (15.0, 18.0, 0.47, 0.3),
    "biceps_mm": (10.0, 6.5, 0.45, 0.7),
    "abdominal_mm": (25.0, 26.0, 0.42, 0.4),
    "suprailiac_anterior_mm": (16.0, 17.0, 0.48, 0.4),
    "suprailiac_midaxillary_mm": (19.0, 20.0, 0.46, 0.4),
    "supraspinale_mm": (14.0, 12.0, 0.48, 0.4),
    "thigh_mm": (30.0, 19.0, 0.35, 0.7),
    "calf_mm": (19.0, 11.0, 0.40, 0.7),
    "chin_mm": (9.0, 8.0, 0.30, 0.4),
}
# loading of a fold on what triceps and subscapular share: folds then correlate at .75-.85
FOLD_LOADING = 0.90
# spread of the log between neighbouring waist levels, about 3 cm of 90 (protocol/waist_sites.py)
WAIST_SPREAD = 0.03
MIDPOINT_BELOW_ILIAC = {"female": 0.036, "male": 0.008}
PEOPLE = 2048


@lru_cache(maxsize=8)
def quasi_normals(people: int, dimensions: int) -> Array:
    """Quasi-random standard normals (people, dimensions), made exactly uncorrelated.

    Fractional parts of multiples of square roots of primes, in pairs through the Box-Muller
    transform: repeatable on every machine and every version, unlike a seeded generator. Do not change
    the array: it is shared.
    """
    pairs = (dimensions + 1) // 2
    primes = [n for n in range(2, 400) if all(n % d for d in range(2, int(n**0.5) + 1))]
    steps = np.sqrt(np.asarray(primes[: 2 * pairs], dtype=float)) % 1.0
    uniform = (np.arange(1, people + 1)[:, None] * steps) % 1.0
    uniform = np.clip(uniform, 1e-9, 1.0)
    radius = np.sqrt(-2.0 * np.log(uniform[:, :pairs]))
    angle = 2.0 * np.pi * uniform[:, pairs:]
    drawn = np.hstack([radius * np.cos(angle), radius * np.sin(angle)])[:, :dimensions]
    drawn -= drawn.mean(axis=0)
    whiten = np.linalg.inv(np.linalg.cholesky(covariance(drawn.T)))
    return product(drawn, whiten.T)


@lru_cache(maxsize=2)
def reference_people(sex: Sex) -> dict[str, Array]:
    """Return columns of ``PEOPLE`` quasi-random adults of one sex.

    Parameters
    ----------
    sex : str
        ``female`` or ``male``.

    Returns
    -------
    dict of str to array
        Every quantity in canonical units, and the indicators, all zero but those of the sex. Do not
        change the arrays: they are shared.
    """
    return people_of(sex, quasi_normals(PEOPLE, dimensions(sex)))


def dimensions(sex: Sex) -> int:
    """How many independent numbers make one of the people."""
    return len(SURVEYED) + len(GIRTH_RULES[sex]) + len(FOLD_RULES) + 3


def people_of(sex: Sex, normals: Array) -> dict[str, Array]:
    """Return the columns of people by their standard normals, shape (people, ``dimensions``)."""
    block, rest = normals[:, : len(SURVEYED)], iter(normals[:, len(SURVEYED) :].T)
    correlated = product(block, np.linalg.cholesky(np.asarray(CORRELATION[sex])).T)
    logs = np.asarray(MEAN[sex]) + np.asarray(SD[sex]) * correlated
    people = {name: np.exp(logs[:, i]) for i, name in enumerate(SURVEYED) if i}
    people["age_years"] = np.clip(logs[:, 0], 18.0, 85.0)
    waist = np.log(people["waist_iliac_cm"])
    navel = waist + WAIST_SPREAD * next(rest)
    people["abdomen_navel_cm"] = np.exp(navel)
    people["waist_midpoint_cm"] = np.exp(
        waist - MIDPOINT_BELOW_ILIAC[sex] + WAIST_SPREAD * next(rest)
    )
    for name, (constant, weight, height, girth, spread) in GIRTH_RULES[sex].items():
        mean = constant + weight * logs[:, 1] + height * logs[:, 2] + girth * navel
        people[name] = np.exp(mean + spread * next(rest))
    people["breast_girth_cm"] = people["chest_girth_cm"] * np.exp(WAIST_SPREAD * next(rest))
    shared = correlated[:, -2:]
    for name, (women, men, spread, limb) in FOLD_RULES.items():
        common = limb * shared[:, 0] + (1.0 - limb) * shared[:, 1]
        common /= common.std()
        own = np.sqrt(1.0 - FOLD_LOADING**2) * next(rest)
        mean_fold = women if sex == "female" else men
        middle = np.log(mean_fold) - spread**2 / 2.0
        people[name] = np.exp(middle + spread * (FOLD_LOADING * common + own))
    return people | indicators(sex, len(normals))


def indicators(sex: Sex, length: int) -> dict[str, Array]:
    """Return the 0/1 columns for ``length`` people of one sex without a stated ancestry."""
    zeros, ones = np.zeros(length), np.ones(length)
    return {
        "is_male": ones if sex == "male" else zeros,
        "is_female": ones if sex == "female" else zeros,
        **dict.fromkeys(
            (
                "is_black",
                "is_asian",
                "is_mexican_american",
                "is_hispanic",
                "is_other_ancestry",
                "is_athlete",
            ),
            zeros,
        ),
    }
