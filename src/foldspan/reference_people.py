"""Reference people: what goes together in adult bodies, so that correlations follow from inputs.

The correlation of the errors of two equations is read off the correlation of their estimates over a
population (``errormodel.py``). All that takes is how the inputs go together. Learnt on open data:

* weight, height, waist, limb girths, triceps and subscapular folds: 2,890 women and 3,399 men, 18-85
  years, of NHANES 1999-2000 and 2001-2002 with every measurement;
* the other girths and the breadths: 260 women and 247 men of Heinz, Peterson, Johnson & Kerk (2003).

Both came out of ``tests/learning/learn_reference_people.py`` on 2026-11-25. Assumed, since no open
data were found: the neck, the chin and how the other folds follow triceps and subscapular.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from foldspan.catalogue.card import Array
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
    "female": (46.2038, 4.1834, 5.079, 4.4641, 3.9178, 3.3945, 3.5905, 3.0358, 2.9016),
    "male": (44.4419, 4.3491, 5.1577, 4.5282, 3.9383, 3.4689, 3.6234, 2.44, 2.7862),
}
SD = {
    "female": (20.2112, 0.1956, 0.0446, 0.1402, 0.1193, 0.1305, 0.1009, 0.3519, 0.4297),
    "male": (19.8372, 0.1797, 0.0442, 0.1337, 0.1013, 0.1103, 0.0905, 0.4346, 0.4193),
}
CORRELATION = {
    "female": (
        (1.0, 0.048, -0.245, 0.34, -0.189, 0.132, -0.096, 0.055, 0.03),
        (0.048, 1.0, 0.373, 0.824, 0.838, 0.872, 0.818, 0.676, 0.664),
        (-0.245, 0.373, 1.0, 0.037, 0.275, 0.081, 0.316, 0.067, -0.031),
        (0.34, 0.824, 0.037, 1.0, 0.556, 0.789, 0.549, 0.592, 0.675),
        (-0.189, 0.838, 0.275, 0.556, 1.0, 0.751, 0.84, 0.632, 0.531),
        (0.132, 0.872, 0.081, 0.789, 0.751, 1.0, 0.716, 0.752, 0.713),
        (-0.096, 0.818, 0.316, 0.549, 0.84, 0.716, 1.0, 0.587, 0.497),
        (0.055, 0.676, 0.067, 0.592, 0.632, 0.752, 0.587, 1.0, 0.73),
        (0.03, 0.664, -0.031, 0.675, 0.531, 0.713, 0.497, 0.73, 1.0),
    ),
    "male": (
        (1.0, 0.108, -0.152, 0.459, -0.283, -0.007, -0.091, 0.128, 0.236),
        (0.108, 1.0, 0.498, 0.825, 0.8, 0.855, 0.833, 0.611, 0.656),
        (-0.152, 0.498, 1.0, 0.127, 0.339, 0.249, 0.365, 0.076, 0.006),
        (0.459, 0.825, 0.127, 1.0, 0.504, 0.683, 0.595, 0.662, 0.745),
        (-0.283, 0.8, 0.339, 0.504, 1.0, 0.796, 0.831, 0.497, 0.485),
        (-0.007, 0.855, 0.249, 0.683, 0.796, 1.0, 0.764, 0.565, 0.63),
        (-0.091, 0.833, 0.365, 0.595, 0.831, 0.764, 1.0, 0.509, 0.512),
        (0.128, 0.611, 0.076, 0.662, 0.497, 0.565, 0.509, 1.0, 0.7),
        (0.236, 0.656, 0.006, 0.745, 0.485, 0.63, 0.512, 0.7, 1.0),
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
# rather than the subscapular. Means of the samples of 1978 and 1980 (from memory), else assumed.
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


def _normals(people: int, dimensions: int) -> Array:
    """Quasi-random standard normals (people, dimensions), made exactly uncorrelated.

    Fractional parts of multiples of square roots of primes, in pairs through the Box-Muller
    transform: repeatable on every machine and every version, unlike a seeded generator.
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
    whiten = np.linalg.inv(np.linalg.cholesky(np.cov(drawn.T)))
    return np.asarray(drawn @ whiten.T)


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
    normals = _normals(PEOPLE, len(SURVEYED) + len(GIRTH_RULES[sex]) + len(FOLD_RULES) + 3)
    block, rest = normals[:, : len(SURVEYED)], iter(normals[:, len(SURVEYED) :].T)
    correlated = block @ np.linalg.cholesky(np.asarray(CORRELATION[sex])).T
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
    return people | indicators(sex, PEOPLE)


def indicators(sex: Sex, length: int) -> dict[str, Array]:
    """Return the 0/1 columns for ``length`` people of one sex without a stated ancestry."""
    zero, one = np.zeros(length), np.ones(length)
    return {
        "is_male": one if sex == "male" else zero,
        "is_female": one if sex == "female" else zero,
        **dict.fromkeys(
            (
                "is_black",
                "is_asian",
                "is_mexican_american",
                "is_hispanic",
                "is_other_ancestry",
                "is_athlete",
            ),
            zero,
        ),
    }
