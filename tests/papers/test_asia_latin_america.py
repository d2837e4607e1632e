"""Second typing of the equations of 2026 that were read in abstracts: Asia and Latin America.

Typed from the notes on the abstracts, not from the cards:

- Tahara Y, Yukawa K, and others. Body density assessment utilizing skinfold thickness and age in
  Japanese men, equation E (1990s).
- Kagawa M, Kerr D, Binns C. The prediction of body fat in Japanese males living in Australia. 2004.
- Aristizábal JC, and others. Colombia Médica 2018;49(2), two equations for women.
- Pongchaiyakul C, and others. Rural Thai population. Obes Res 2005, three equations.
- A field tool for prediction of body fat in Sri Lankan women. J Health Popul Nutr 2016;35:31.
- A proposed method for the evaluation of body fat in Japanese adults that predicts obesity (2010s).
- Pereira RPB, Fernandes Filho J. Boys in puberty, 10 to 17 years (2000s).
"""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from foldspan.catalogue import EQUATIONS, equation_by_key
from foldspan.catalogue.left_out import LEFT_OUT
from papers.double_entry import Typed, double_entry, from_card


def tahara_equation_e(
    triceps_mm: Any, subscapular_mm: Any, abdominal_mm: Any, age_years: Any
) -> Any:
    return 1.09556 - 0.00062 * (triceps_mm + subscapular_mm + abdominal_mm) - 0.00028 * age_years


def women_calf(
    triceps_mm: Any, calf_mm: Any, abdomen_navel_cm: Any, age_years: Any, height_cm: Any
) -> Any:
    folds = 0.324 * triceps_mm + 0.133 * calf_mm
    return 11.76 + folds + 0.347 * abdomen_navel_cm + 0.068 * age_years - 0.135 * height_cm


def women_axillary(
    triceps_mm: Any, midaxillary_mm: Any, abdomen_navel_cm: Any, age_years: Any, height_cm: Any
) -> Any:
    folds = 0.404 * triceps_mm + 0.153 * midaxillary_mm
    return 11.37 + folds + 0.264 * abdomen_navel_cm + 0.069 * age_years - 0.099 * height_cm


def index(weight_kg: Any, height_cm: Any) -> Any:
    return weight_kg / (height_cm / 100) ** 2


def thai_men(
    subscapular_mm: Any, weight_kg: Any, height_cm: Any, biceps_mm: Any, waist_midpoint_cm: Any
) -> Any:
    folds = 0.42 * subscapular_mm - 0.28 * biceps_mm
    return folds + 0.62 * index(weight_kg, height_cm) + 0.17 * waist_midpoint_cm - 18.47


def thai_women(hip_cm: Any, suprailiac_midaxillary_mm: Any, weight_kg: Any, height_cm: Any) -> Any:
    body = 0.42 * hip_cm + 0.46 * index(weight_kg, height_cm)
    return body + 0.17 * suprailiac_midaxillary_mm - 23.75


def thai_index(weight_kg: Any, height_cm: Any, age_years: Any, is_male: Any) -> Any:
    return 1.65 * index(weight_kg, height_cm) + 0.06 * age_years - 15.3 * is_male - 10.67


def japan(
    is_male: Any, age_years: Any, weight_kg: Any, height_cm: Any, abdomen_navel_cm: Any
) -> Any:
    sex = np.where(is_male == 1, 1, 2)  # printed as 1 for men, 2 for women
    body = 0.667 * index(weight_kg, height_cm) + 0.314 * abdomen_navel_cm
    return 10.558 * sex + 0.069 * age_years + body - 35.881


MEN = {"scale": "density", "sex": "male"}
WOMEN = {"predicts": "fat_percent", "scale": "density", "sex": "female", "se": None}
THAI = {"predicts": "fat_percent", "scale": "dxa", "se": None, "ages": (20, 84)}

TYPED = {
    "tahara_male_3site": Typed(
        tahara_equation_e, predicts="density", se=0.0087, se_unit="density", ages=(19, 60), n=257,
        **MEN,
    ),
    "kagawa2004_male_abdominal_calf": Typed(
        lambda abdominal_mm, calf_mm, age_years: (
            0.376 + 0.402 * abdominal_mm + 0.772 * calf_mm + 0.217 * age_years
        ),
        predicts="fat_percent", scale="dxa", sex="male", se=2.691, ages=(18, 40), n=45,
    ),
    "aristizabal2018_female_triceps_calf": Typed(women_calf, ages=(18, 59), n=106, **WOMEN),
    "aristizabal2018_female_triceps_midaxillary": Typed(
        women_axillary, ages=(18, 59), n=106, **WOMEN
    ),
    "pongchaiyakul2005_male_folds_waist": Typed(thai_men, sex="male", n=98, **THAI),
    "pongchaiyakul2005_female_hip_suprailiac": Typed(thai_women, sex="female", n=125, **THAI),
    "pongchaiyakul2005_both_bmi": Typed(thai_index, sex="both", n=223, **THAI),
    "sri_lanka2016_female_weight_triceps": Typed(
        lambda weight_kg, triceps_mm: 19.621 + 0.237 * weight_kg + 0.259 * triceps_mm,
        ages=(30, 45), n=164, **WOMEN,
    ),
    "japan2010s_both_bmi_abdomen": Typed(
        japan, predicts="fat_percent", scale="density", sex="both", se=None, ages=(18, 59), n=810
    ),
    "pereira_fernandes_male_pubertal": Typed(
        lambda thigh_mm, calf_mm: (
            0.654252 * (thigh_mm + calf_mm) - 0.002009 * (thigh_mm + calf_mm) ** 2
        ),
        predicts="fat_percent", se=3.7, ages=(10, 17), n=75, **MEN,
    ),
}  # fmt: skip
test_second_typing = double_entry(TYPED)

# one middling adult of each sex, within what these samples looked like (invented)
WOMAN = {
    "is_male": 0.0, "age_years": 35.0, "weight_kg": 57.0, "height_cm": 157.0, "hip_cm": 93.0,
    "abdomen_navel_cm": 81.0, "triceps_mm": 21.0, "calf_mm": 17.0, "midaxillary_mm": 17.0,
    "suprailiac_midaxillary_mm": 20.0,
}  # fmt: skip
MAN = {
    "is_male": 1.0, "age_years": 30.0, "weight_kg": 66.0, "height_cm": 170.0,
    "abdomen_navel_cm": 80.0, "waist_midpoint_cm": 79.0, "triceps_mm": 11.0, "biceps_mm": 5.0,
    "subscapular_mm": 14.0, "abdominal_mm": 18.0, "calf_mm": 9.0,
}  # fmt: skip


@pytest.mark.parametrize("key", sorted(set(TYPED) - {"pereira_fernandes_male_pubertal"}))
def test_units_and_signs_give_a_body_and_not_nonsense(key: str) -> None:
    """A unit mistaken by ten, or a sign turned round, would leave these spans."""
    card = equation_by_key(key)
    for person, low, high, sex in ((WOMAN, 22.0, 42.0, "female"), (MAN, 10.0, 26.0, "male")):
        if card.sex not in (sex, "both"):
            continue
        columns = {name: np.array([value]) for name, value in person.items()}
        printed = from_card(key, columns)[0]
        percent = 457.0 / printed - 414.2 if card.predicts == "density" else printed
        assert low < percent < high


def test_the_new_equations_are_read_in_print_and_stay_beside_the_range() -> None:
    for key in TYPED:
        card = equation_by_key(key)
        assert card.status == "verified"
        assert card.on_request == (card.audience != "youth")
    assert {card.key for card in EQUATIONS if card.on_request} <= set(TYPED)


def test_what_is_left_out_has_a_reason_and_no_card() -> None:
    """Of twenty equations met ten became cards; ten are written down with what was read and why not."""
    assert len(LEFT_OUT) + len(TYPED) == 20
    assert len({one.name for one in LEFT_OUT}) == len(LEFT_OUT)
    for one in LEFT_OUT:
        assert one.as_read
        assert one.where
        assert len(one.why) > 20
