"""Quantities: converters, texts with units, spans and codes, against definitions made elsewhere."""

from __future__ import annotations

import math
from itertools import permutations

import numpy as np
import pytest
from faraway.datasets import fat

from foldspan.display_units import whole_ends
from foldspan.problems import CODES
from foldspan.quantities import (
    ALONE,
    BY_NAME,
    CENTIMETRES_PER,
    KILOGRAMS_PER,
    MEASURED,
    MONTHS_PER,
    QUANTITIES,
    SEXES,
    SUPRAILIAC_CHOICES,
    UNIT_WORDS,
    WAISTS,
    Quantity,
    UnreadableValue,
    convert,
    read_value,
    typed_unit,
)

# read_value rounds to a billionth of a unit
ROUNDED = 1e-9

# Named in the design contract under "Quantities": people write these names into their files.
CONTRACT_NAMES = """
age_years weight_kg height_cm
chest_mm midaxillary_mm triceps_mm biceps_mm subscapular_mm abdominal_mm suprailiac_anterior_mm
suprailiac_midaxillary_mm supraspinale_mm thigh_mm calf_mm
neck_cm chest_girth_cm waist_narrowest_cm waist_midpoint_cm waist_iliac_cm abdomen_navel_cm hip_cm
thigh_upper_girth_cm thigh_mid_girth_cm knee_girth_cm calf_girth_cm ankle_girth_cm
arm_relaxed_girth_cm arm_flexed_girth_cm forearm_girth_cm wrist_girth_cm
"""


def read_or_code(text: str, unit: str) -> float | str:
    """What a text comes to, or the code with which it is refused."""
    try:
        return read_value(text, unit)
    except UnreadableValue as error:
        return error.code


@pytest.mark.parametrize(
    ("value", "unit", "to", "exact"),
    [
        # international yard and pound agreement, 1959: exact by definition
        (1.0, "in", "cm", 2.54),
        (1.0, "ft", "cm", 30.48),
        (1.0, "lb", "kg", 0.45359237),
        # 14 pounds make a stone, 12 inches a foot (Weights and Measures Act 1985, UK)
        (1.0, "st", "lb", 14.0),
        (1.0, "ft", "in", 12.0),
        # decimal prefixes of the SI
        (1.0, "m", "cm", 100.0),
        (1.0, "cm", "mm", 10.0),
        (1.0, "kg", "g", 1000.0),
    ],
)
def test_units_are_defined_so(value: float, unit: str, to: str, exact: float) -> None:
    assert convert(value, unit, to) == pytest.approx(exact, abs=ROUNDED)


@pytest.mark.parametrize("table", [CENTIMETRES_PER, KILOGRAMS_PER])
def test_there_and_back_again(table: dict[str, float]) -> None:
    for unit, other_unit in permutations(table, 2):
        # the small unit carries the rounding of a billionth back, at most a million times larger
        assert convert(convert(71.3, unit, other_unit), other_unit, unit) == pytest.approx(
            71.3, rel=1e-6
        )


@pytest.mark.parametrize(("unit", "to"), [("lb", "cm"), ("cm", "kg"), ("years", "cm"), ("x", "mm")])
def test_units_of_different_kinds_do_not_convert(unit: str, to: str) -> None:
    with pytest.raises(KeyError):
        convert(1.0, unit, to)


def test_bmi_from_pounds_and_inches_is_that_printed_with_the_weighed_men() -> None:
    """252 weighed men (R data set ``fat``): weight in lb, height in in, body mass index beside them.

    The printed index is rounded to 0.1 and a few rows carry known slips, hence the 95 of 100.
    """
    men = fat.load()
    kilograms = np.array([convert(value, "lb", "kg") for value in men["weight"]])
    metres = np.array([convert(value, "in", "m") for value in men["height"]])
    apart = np.abs(kilograms / metres**2 - men["adipos"].to_numpy())
    assert np.quantile(apart, 0.95) < 0.1


@pytest.mark.parametrize(
    ("text", "unit", "value"),
    [
        ("71.3", "kg", 71.3),
        ("71.3 kg", "kg", 71.3),
        ("71.3kg", "kg", 71.3),
        ("  71.3\tkg ", "kg", 71.3),
        ("71300 g", "kg", 71.3),
        ("157 lb", "kg", 157 * 0.45359237),
        ("157 LBS", "kg", 157 * 0.45359237),
        ("157 pounds", "kg", 157 * 0.45359237),
        ("11 st 3 lb", "kg", (11 * 14 + 3) * 0.45359237),
        ("11 stone 3", "kg", None),
        ("11st3lb", "kg", (11 * 14 + 3) * 0.45359237),
        ("5 ft 6 in", "cm", 66 * 2.54),
        ("5 feet 6 inches", "cm", 66 * 2.54),
        ("5'6\"", "cm", 66 * 2.54),
        ("5′ 6″", "cm", 66 * 2.54),
        ("5’6”", "cm", 66 * 2.54),
        ("5 ft 6 1/2 in", "cm", 66.5 * 2.54),
        ("6 ft", "cm", 72 * 2.54),
        ("32 1/2 in", "cm", 32.5 * 2.54),
        ("32 3/4 inches", "cm", 32.75 * 2.54),
        ("32 1/2", "cm", 32.5),
        ("32.5 in", "cm", 32.5 * 2.54),
        (".82 m", "cm", 82.0),
        ("0.82 m", "cm", 82.0),
        ("824 mm", "cm", 82.4),
        ("2.1 cm", "mm", 21.0),
        ("1 in", "mm", 25.4),
        ("41", "years", 41.0),
        ("41 years", "years", 41.0),
        ("41 y", "years", 41.0),
        ("492 months", "years", 41.0),
        ("2 years", "months", 24.0),
        ("1 year 2 months", "months", 14.0),
        # a mean year has 365.25 days
        ("6 weeks", "months", 42.0 * 12.0 / 365.25),
        ("10 days", "months", 10.0 * 12.0 / 365.25),
        ("3 Wochen", "months", 21.0 * 12.0 / 365.25),
        ("8.24e1", "cm", 82.4),
    ],
)
def test_texts(text: str, unit: str, value: float | None) -> None:
    if value is None:
        with pytest.raises(UnreadableValue):
            read_value(text, unit)
        return
    assert read_value(text, unit) == pytest.approx(value, abs=ROUNDED)


@pytest.mark.parametrize("text", ["32\t1/2 in", "32\u00a01/2 in", "32  1/2 in", "32\u20091/2 in"])
def test_any_blank_may_stand_before_a_fraction(text: str) -> None:
    """Spreadsheets and web pages put a tab or an unbreakable blank there."""
    assert read_value(text, "cm") == pytest.approx(32.5 * 2.54, abs=ROUNDED)


@pytest.mark.parametrize("word", sorted(UNIT_WORDS))
def test_every_unit_word_leads_to_a_unit(word: str) -> None:
    unit = UNIT_WORDS[word]
    assert unit in {*CENTIMETRES_PER, *KILOGRAMS_PER, *MONTHS_PER, *ALONE}
    assert read_value(f"7 {word}", unit) == pytest.approx(7.0)
    assert read_value(f"7 {word.upper()}", unit) == pytest.approx(7.0)


@pytest.mark.parametrize(
    ("code", "text", "unit"),
    [
        ("E101", "", "cm"),
        ("E101", "   ", "cm"),
        ("E101", "thin", "cm"),
        ("E101", "nan", "cm"),
        ("E101", "inf", "cm"),
        ("E101", "1.2.3", "cm"),
        ("E101", "about 82 cm", "cm"),
        ("E101", "82 cm?", "cm"),
        ("E101", "1/2 in", "cm"),
        ("E101", "2 1/0 in", "cm"),
        ("E101", "5 ft 6", "cm"),
        ("E101", "21 21.5", "mm"),
        ("E101", "1 ft 2 in 3 mm", "cm"),
        ("E104", "157 pouns", "kg"),
        ("E104", "5''6", "cm"),
        ("E105", "492 months", "kg"),
        ("E105", "102 kg", "cm"),
        ("E105", "102 cm", "kg"),
        ("E105", "41 kg", "years"),
        ("E105", "41 years", "cm"),
        ("E105", "5 ft 6 lb", "cm"),
        ("E108", "33,146", "cm"),
        ("E108", "1,234 in", "cm"),
        ("E108", "-33,33 cm", "cm"),
        ("E108", "12,13", "mm"),
        ("E101", "1,2,3", "mm"),
        ("E101", "1.234,5", "cm"),
        ("E101", "12, 13", "mm"),
    ],
)
def test_texts_that_hold_no_usable_number(code: str, text: str, unit: str) -> None:
    with pytest.raises(UnreadableValue) as caught:
        read_value(text, unit)
    error = caught.value
    assert error.code == code
    assert error.code in CODES
    assert error.what
    assert error.remedy.endswith((".", '".'))
    digits = "".join(sign for sign in text if sign.isdigit())
    assert len(digits) < 2 or digits not in f"{error}{error.what}{error.remedy}".replace(".", "")


@pytest.mark.parametrize("text", ["82 cm 83 cm", "41 years 3 years", "71 kg 72 kg", "5 ft 6 ft"])
def test_two_readings_in_one_text_are_not_added_up(text: str) -> None:
    """Only a larger and a smaller unit may stand together; anything else is two readings."""
    unit = {"y": "years", "k": "kg"}.get(text.split()[1][0], "cm")
    with pytest.raises(UnreadableValue) as caught:
        read_value(text, unit)
    assert caught.value.code == "E101"


@pytest.mark.parametrize("text", ["6ft-2in", "6 ft - 2 in", "6 ft -2 in", "11 st -3 lb"])
def test_a_dash_between_two_parts_does_not_subtract(text: str) -> None:
    """Someone who writes 6ft-2in means 74 inches or is asked; 70 inches is a silent guess."""
    unit, whole = ("kg", 157 * 0.45359237) if "st" in text else ("cm", 74 * 2.54)
    assert read_or_code(text, unit) in ("E101", pytest.approx(whole, abs=ROUNDED))


def test_a_number_too_large_for_the_machine_is_not_finite_rather_than_a_crash() -> None:
    assert math.isinf(read_value("9" * 400, "cm"))
    assert math.isinf(read_value("1e400 mm", "cm"))


def test_names_of_the_contract_are_all_there() -> None:
    names = set(CONTRACT_NAMES.split())
    assert names <= set(BY_NAME)
    assert len(BY_NAME) == len(QUANTITIES)
    assert set(WAISTS) <= names
    assert {f"{name}_mm" for name in SUPRAILIAC_CHOICES} <= names
    assert set(MEASURED) == set(BY_NAME) - {"age_years"}


@pytest.mark.parametrize("quantity", QUANTITIES, ids=lambda quantity: quantity.name)
def test_spans_exist_for_both_sexes_and_possible_contains_plausible(quantity: Quantity) -> None:
    for sex in SEXES:
        (lowest, highest), (low, high) = quantity.possible(sex), quantity.plausible(sex)
        assert 0.0 <= lowest <= low < high <= highest < math.inf
        widest, asked = quantity.possible(None), quantity.plausible(None)
        assert widest[0] <= lowest
        assert highest <= widest[1]
        assert asked[0] <= low
        assert high <= asked[1]
    # the span for an unknown sex is no wider than the two together
    assert quantity.possible(None) in {
        (quantity.possible(a)[0], quantity.possible(b)[1]) for a in SEXES for b in SEXES
    }


@pytest.mark.parametrize("quantity", QUANTITIES, ids=lambda quantity: quantity.name)
def test_the_suffix_is_the_unit(quantity: Quantity) -> None:
    assert quantity.name == f"{quantity.short_name}_{quantity.unit}"
    unit_of_kind = {"age": "years", "mass": "kg", "skinfold": "mm"}
    assert quantity.unit == unit_of_kind.get(quantity.kind, "cm")
    # UCUM writes the year as "a"; kg, cm and mm as everyone does
    assert quantity.ucum in {"a", "kg", "cm", "mm"}
    assert quantity.label


def test_loinc_codes_carry_their_check_digit() -> None:
    """LOINC ends every code in a mod-10 check digit (LOINC Users' Guide, appendix on check digits)."""
    codes = [quantity.loinc for quantity in QUANTITIES if quantity.loinc]
    assert len(set(codes)) == len(codes) > 5
    for code in codes:
        number, check = code.split("-")
        doubled = "".join(str(2 * int(digit)) for digit in number[::-1][0::2])
        total = sum(map(int, doubled + number[::-1][1::2]))
        assert (10 - total % 10) % 10 == int(check), code


# Body weight 29463-7 and body height 8302-2: HL7 FHIR R4, vital signs profiles
@pytest.mark.parametrize(("name", "code"), [("weight_kg", "29463-7"), ("height_cm", "8302-2")])
def test_weight_and_height_have_the_codes_of_the_vital_signs_profiles(name: str, code: str) -> None:
    assert BY_NAME[name].loinc == code


@pytest.mark.parametrize(
    ("text", "unit", "value"),
    [
        ("18,5", "mm", 18.5),
        ("18,50", "mm", 18.5),
        ("82,4 cm", "cm", 82.4),
        ("1,82 m", "cm", 182.0),
        ("0,824 m", "cm", 82.4),
        (",5 m", "cm", 50.0),
        ("62,35", "kg", 62.35),
        ("5 ft 6,5 in", "cm", 168.91),
        ("41,5 years", "years", 41.5),
        ("12,25", "mm", 12.25),
    ],
)
def test_a_decimal_comma_is_a_point(text: str, unit: str, value: float) -> None:
    assert read_value(text, unit) == pytest.approx(value, abs=ROUNDED)
    assert read_value(text.replace(",", "."), unit) == read_value(text, unit)


@pytest.mark.parametrize(
    ("text", "unit", "what"),
    [
        ("1,234", "cm", "thousands"),
        ("82,400 kg", "kg", "thousands"),
        ("12,13", "mm", "two readings"),
        ("86,88", "cm", "two readings"),
        ("104,103", "cm", "thousands"),
    ],
)
def test_a_comma_with_two_meanings_is_asked(text: str, unit: str, what: str) -> None:
    with pytest.raises(UnreadableValue) as caught:
        read_value(text, unit)
    assert (caught.value.code, what in caught.value.what) == ("E108", True)


def test_a_unit_is_seen_beside_a_decimal_comma() -> None:
    assert typed_unit(["33,25 in", "33,5 in"], "cm") == "in"


@pytest.mark.parametrize(
    ("ends", "shown"),
    [
        ((31.27, 39.61), (31, 40)), ((24.5, 33.5), (24, 34)), ((25.5, 34.5), (26, 34)),
        ((12.2, 12.4), (12, 13)),
    ],
)  # fmt: skip
def test_ends_of_a_range_are_whole_and_half_to_even(
    ends: tuple[float, float], shown: tuple[int, int]
) -> None:
    assert whole_ends(ends) == shown
