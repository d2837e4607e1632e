"""Quantities: every measured quantity once, with its unit, its spans and its open codes.

``possible`` spans refuse a slip of the pen; ``plausible`` spans ask back. Spans of skinfolds, girths,
height and weight were set from open survey data (soldiers 2012, NHANES 2017-18, 507 active adults)
and widened for larger and for trained bodies; those of the breadths, the knee and the chin are our
own proposal. LOINC codes are given where one was found, else left empty.
"""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from foldspan.decimal_comma import TwoMeanings, with_point

Kind = Literal["age", "mass", "height", "skinfold", "girth", "breadth"]
Sex = Literal["female", "male"]
Span = tuple[float, float]

SEXES: tuple[Sex, ...] = ("female", "male")


@dataclass(frozen=True, slots=True)
class Quantity:
    """One measured quantity in its canonical unit (the suffix of ``name``).

    Spans are ``(low, high)`` in that unit, for women and for men.
    """

    name: str
    label: str
    kind: Kind
    possible_female: Span
    plausible_female: Span
    possible_male: Span
    plausible_male: Span
    loinc: str = ""

    @property
    def unit(self) -> str:
        """Canonical unit, also its UCUM code except for years (``a``)."""
        return self.name.rsplit("_", 1)[1]

    @property
    def ucum(self) -> str:
        """Unit code of the open standard."""
        return "a" if self.unit == "years" else self.unit

    @property
    def short_name(self) -> str:
        """Name inside a section whose title already carries the unit."""
        return self.name.rsplit("_", 1)[0]

    def possible(self, sex: Sex | None) -> Span:
        """Span outside which a value is refused; both sexes' span where sex is not known."""
        return self._span(sex, self.possible_female, self.possible_male)

    def plausible(self, sex: Sex | None) -> Span:
        """Span outside which a value is asked back."""
        return self._span(sex, self.plausible_female, self.plausible_male)

    @staticmethod
    def _span(sex: Sex | None, female: Span, male: Span) -> Span:
        if sex is None:
            return min(female[0], male[0]), max(female[1], male[1])
        return female if sex == "female" else male


def _same(name: str, label: str, kind: Kind, possible: Span, plausible: Span) -> Quantity:
    return Quantity(name, label, kind, possible, plausible, possible, plausible)


def _fold(name: str, label: str, female: Span, male: Span) -> Quantity:
    # 1.5 mm is less than double skin; 80 mm is the widest scale of a common calliper
    return Quantity(name, label, "skinfold", (1.5, 80.0), female, (1.5, 80.0), male)


QUANTITIES: tuple[Quantity, ...] = (
    _same("age_years", "age", "age", (0.0, 120.0), (0.0, 100.0)),
    Quantity("weight_kg", "weight", "mass", (25, 400), (38, 190), (25, 400), (44, 190), "29463-7"),
    Quantity(
        "height_cm", "height", "height", (90, 250), (139, 185), (90, 250), (150, 198), "8302-2"
    ),
    _fold("chest_mm", "chest (pectoral) skinfold", (3, 45), (3, 50)),
    _fold("midaxillary_mm", "midaxillary skinfold", (3, 50), (3, 55)),
    _fold("triceps_mm", "triceps skinfold", (5, 55), (3, 42)),
    _fold("biceps_mm", "biceps skinfold", (2, 38), (2, 28)),
    _fold("subscapular_mm", "subscapular skinfold", (4, 60), (4, 55)),
    _fold("abdominal_mm", "abdominal skinfold", (4, 75), (4, 75)),
    _fold("suprailiac_anterior_mm", "suprailiac (anterior axillary)", (3, 60), (3, 60)),
    _fold("suprailiac_midaxillary_mm", "suprailiac (midaxillary)", (3, 60), (3, 60)),
    _fold("supraspinale_mm", "supraspinale skinfold", (3, 55), (3, 50)),
    _fold("thigh_mm", "front (anterior) thigh skinfold", (6, 75), (4, 65)),
    _fold("calf_mm", "inner (medial) calf skinfold", (3, 50), (2, 40)),
    _fold("chin_mm", "chin (submental) skinfold", (2, 25), (2, 25)),
    Quantity("neck_cm", "neck girth", "girth", (20, 70), (27, 45), (22, 75), (32, 52), "56074-8"),
    Quantity("chest_girth_cm", "chest girth", "girth", (50, 220), (68, 150), (55, 220), (78, 150)),
    Quantity("breast_girth_cm", "bust girth", "girth", (50, 220), (70, 150), (55, 220), (78, 150)),
    Quantity(
        "waist_narrowest_cm",
        "waist (narrowest)",
        "girth",
        (40, 220),
        (55, 160),
        (45, 220),
        (62, 160),
    ),
    Quantity(
        "waist_midpoint_cm",
        "waist (midpoint)",
        "girth",
        (40, 220),
        (60, 165),
        (45, 220),
        (63, 165),
        "56115-9",
    ),
    Quantity(
        "waist_iliac_cm",
        "waist (iliac crest)",
        "girth",
        (40, 220),
        (63, 168),
        (45, 220),
        (64, 165),
        "56114-2",
    ),
    Quantity(
        "abdomen_navel_cm",
        "abdomen (navel)",
        "girth",
        (40, 220),
        (60, 168),
        (45, 220),
        (64, 165),
        "8280-0",
    ),
    # 62409-8, seen for the hip, names a protocol and not a result: left out
    Quantity("hip_cm", "hip girth", "girth", (55, 230), (78, 170), (55, 230), (78, 155)),
    Quantity(
        "thigh_upper_girth_cm",
        "upper thigh girth",
        "girth",
        (28, 130),
        (43, 95),
        (28, 130),
        (43, 92),
    ),
    Quantity(
        "thigh_mid_girth_cm", "mid thigh girth", "girth", (22, 120), (35, 82), (22, 120), (35, 80)
    ),
    _same("knee_girth_cm", "knee girth", "girth", (20, 90), (28, 55)),
    Quantity("calf_girth_cm", "calf girth", "girth", (18, 80), (27, 55), (18, 80), (28, 55)),
    Quantity("ankle_girth_cm", "ankle girth", "girth", (12, 45), (17, 31), (12, 45), (18.5, 31)),
    Quantity(
        "arm_relaxed_girth_cm",
        "arm girth (relaxed)",
        "girth",
        (14, 80),
        (20, 54),
        (14, 80),
        (22, 52),
    ),
    Quantity(
        "arm_flexed_girth_cm", "arm girth (flexed)", "girth", (15, 80), (21, 52), (15, 80), (25, 54)
    ),
    Quantity("forearm_girth_cm", "forearm girth", "girth", (12, 55), (18, 38), (12, 60), (21, 42)),
    Quantity("wrist_girth_cm", "wrist girth", "girth", (9, 28), (12.5, 20), (10, 30), (14.5, 22)),
    _same("elbow_breadth_cm", "elbow breadth", "breadth", (3.5, 12), (4.8, 9)),
    _same("knee_breadth_cm", "knee breadth", "breadth", (5, 16), (7, 13)),
    _same("wrist_breadth_cm", "wrist breadth", "breadth", (3, 10), (4, 7.5)),
)

BY_NAME: dict[str, Quantity] = {quantity.name: quantity for quantity in QUANTITIES}
MEASURED: tuple[str, ...] = tuple(q.name for q in QUANTITIES if q.kind != "age")
WAIST_LEVELS: dict[str, str] = {
    "waist_narrowest_cm": "at its narrowest",
    "waist_midpoint_cm": "midway between the lowest rib and the iliac crest, the top of the hip bone",
    "waist_iliac_cm": "just above the iliac crest, the top of the hip bone",
    "abdomen_navel_cm": "at the navel",
}
WAISTS: tuple[str, ...] = tuple(WAIST_LEVELS)
SUPRAILIAC_CHOICES: tuple[str, ...] = (
    "suprailiac_anterior",
    "suprailiac_midaxillary",
    "supraspinale",
)
ANCESTRIES: tuple[str, ...] = (
    "white",
    "black",
    "asian",
    "mexican_american",
    "hispanic",
    "american_indian",
    "japanese",
    "singaporean",
    "other",
)

# international yard and pound agreement 1959: exact by definition
CENTIMETRES_PER = {"mm": 0.1, "cm": 1.0, "m": 100.0, "in": 2.54, "ft": 30.48}
KILOGRAMS_PER = {"g": 0.001, "kg": 1.0, "lb": 0.45359237, "st": 6.35029318}
DAYS_A_YEAR = 365.25  # of the mean year, whose twelfth is a month
DAYS_A_MONTH, WEEKS_A_MONTH = DAYS_A_YEAR / 12.0, DAYS_A_YEAR / 12.0 / 7.0
MONTHS_PER = {"days": 12.0 / DAYS_A_YEAR, "weeks": 84.0 / DAYS_A_YEAR, "months": 1.0, "years": 12.0}
UNIT_TABLES = (CENTIMETRES_PER, KILOGRAMS_PER, MONTHS_PER)
UNIT_WORDS = {
    "millimetre": "mm", "millimetres": "mm", "millimeter": "mm", "millimeters": "mm",
    "centimetre": "cm", "centimetres": "cm", "centimeter": "cm", "centimeters": "cm",
    "metre": "m", "metres": "m", "meter": "m", "meters": "m",
    "inch": "in", "inches": "in", '"': "in", "″": "in", "”": "in",
    "foot": "ft", "feet": "ft", "'": "ft", "′": "ft", "’": "ft",
    "gram": "g", "grams": "g", "kilogram": "kg", "kilograms": "kg", "kgs": "kg", "kilo": "kg",
    "pound": "lb", "pounds": "lb", "lbs": "lb", "stone": "st", "stones": "st",
    "y": "years", "yr": "years", "yrs": "years", "year": "years",
    "mo": "months", "month": "months", "w": "weeks", "wk": "weeks", "wks": "weeks", "week": "weeks",
    "d": "days", "day": "days", "mmhg": "mmHg",
    "jahr": "years", "jahre": "years", "jahren": "years", "monat": "months", "monate": "months",
    "monaten": "months", "woche": "weeks", "wochen": "weeks", "tag": "days", "tage": "days",
    "tagen": "days", "an": "years", "ans": "years", "mois": "months", "semaine": "weeks",
    "semaines": "weeks", "jour": "days", "jours": "days",
}  # fmt: skip
# units that no other can be turned into
ALONE = ("mmHg",)

# units that people write together, the larger first
UNIT_PAIRS = (
    ("ft", "in"), ("st", "lb"), ("m", "cm"), ("kg", "g"), ("cm", "mm"), ("years", "months"),
    ("months", "weeks"), ("months", "days"), ("weeks", "days"),
)  # fmt: skip

COMMA_REMEDY = "Write one number, with a point for its decimals, as in 82.4."
_NUMBER = r"[-+]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][-+]?\d+)?(?:\s+\d+/\d+)?"
_PART = re.compile(rf"\s*({_NUMBER})\s*([^\W\d_]+|[\"'″′’”]+)?\s*")


class UnreadableValue(ValueError):
    """A text that holds no usable number; ``code`` is a key of ``problems.CODES``."""

    def __init__(self, code: str, what: str, remedy: str) -> None:
        super().__init__(code)
        self.code, self.what, self.remedy = code, what, remedy


def convert(value: float, unit: str, to: str) -> float:
    """Convert between units of one kind.

    Parameters
    ----------
    value : float
        Number in ``unit``.
    unit, to : str
        ``mm cm m in ft``, ``g kg lb st``, or ``days weeks months years``.

    Raises
    ------
    KeyError
        If the two units do not measure the same thing.

    Examples
    --------
    >>> convert(157.0, "lb", "kg")
    71.21400209
    """
    table = units_with(to)
    # one rounding to a millionth of a unit: a text in metres must equal the number in centimetres
    return float(round(value * table[unit] / table[to], 9))


def units_with(unit: str) -> dict[str, float]:
    """Return the units that measure the same as one of them, each with its worth; KeyError for none."""
    for table in UNIT_TABLES:
        if unit in table:
            return table
    raise KeyError(unit)


def _plain_number(text: str) -> float:
    whole, _, fraction = text.partition(" ")
    value = float(whole)
    if fraction.strip():
        top, bottom = fraction.strip().split("/")
        if float(bottom) == 0.0:
            raise UnreadableValue("E101", "not a number", "Write the fraction as a decimal.")
        value += math.copysign(float(top) / float(bottom), value)
    return value


def read_value(text: str, unit: str) -> float:
    """Read a number with or without its unit and return it in ``unit``.

    Parameters
    ----------
    text : str
        For example ``"157 lb"``, ``"5 ft 6 in"``, ``"0.82 m"``, ``"11 st 3 lb"``, ``"32 1/2 in"``,
        ``"82,4 cm"``: a decimal comma is a point, unless it could be read in two ways (E108).
        A number alone is taken in ``unit``.
    unit : str
        Canonical unit of the quantity.

    Raises
    ------
    UnreadableValue
        With the code and the remedy.

    Examples
    --------
    >>> read_value("5 ft 6 in", "cm")
    167.64
    """
    stripped = _with_point(text, unit)
    if not stripped:
        raise UnreadableValue("E101", "empty", "Write a number, or leave the line out.")
    total, place, seen = 0.0, 0, ""
    while place < len(stripped):
        match = _PART.match(stripped, place)
        given = "" if match is None else (match.group(2) or "").lower()
        given = UNIT_WORDS.get(given, given)
        if match is None or (place and _parts_clash(seen, given, match.group(1))):
            raise UnreadableValue(
                "E101",
                "not a number",
                f'Write a number in {unit}, or a number with its unit such as "{_example(unit)}".',
            )
        given = given or ("" if place else unit)
        total += convert_part(_plain_number(match.group(1)), given, unit)
        place, seen = match.end(), given if not place else "both"
    return round(total, 9)


def typed_unit(given: Sequence[object], unit: str) -> str:
    """Return the one unit in which readings were typed, "" for ``unit`` itself or a mixture.

    Examples
    --------
    >>> typed_unit(["33 1/4 in", "33 in"], "cm")
    'in'
    """
    found = {number_and_unit(text, unit)[1] if isinstance(text, str) else "" for text in given}
    typed = found.pop() if len(found) == 1 else ""
    return "" if typed == unit or typed not in {*CENTIMETRES_PER, *KILOGRAMS_PER} else typed


def number_and_unit(text: str, unit: str) -> tuple[float, str]:
    """Return the number of a text and the unit typed with it, "" for none; NaN where it holds two."""
    match = _PART.fullmatch(_with_point(text, unit))
    if match is None:
        return math.nan, ""
    word = (match.group(2) or "").lower()
    return _plain_number(match.group(1)), UNIT_WORDS.get(word, word)


def _with_point(text: str, unit: str) -> str:
    """Any white space is one blank, a decimal comma is a point."""
    try:
        return with_point(" ".join(text.split()), unit)
    except TwoMeanings as error:
        raise UnreadableValue("E108", error.what, COMMA_REMEDY) from None


def _parts_clash(first: str, second: str, number: str) -> bool:
    """Whether a second part is anything but the smaller unit of a known pair, without a sign."""
    if first == "both" or number[0] in "+-":
        return True
    known = {*CENTIMETRES_PER, *KILOGRAMS_PER, *MONTHS_PER, *ALONE}
    same_kind = any({first, second} <= set(table) for table in UNIT_TABLES)
    return second in known and same_kind and (first, second) not in UNIT_PAIRS


def convert_part(value: float, given: str, unit: str) -> float:
    """Convert one part of a text such as ``6 in``; see ``read_value`` for errors."""
    known = UNIT_WORDS.get(given, given)
    if known == unit:
        return value
    if not given:
        raise UnreadableValue("E101", "not a number", "Write one number and one unit.")
    if known not in ALONE and not any(known in table for table in UNIT_TABLES):
        raise UnreadableValue("E104", "unknown unit", f"Use {_units_for(unit)}.")
    if known in ALONE or unit in ALONE or known not in units_with(unit):
        raise UnreadableValue(
            "E105", f"{known} is the wrong kind of unit", f"Use {_units_for(unit)}."
        )
    return convert(value, known, unit)


def _units_for(unit: str) -> str:
    if unit in ALONE:
        return unit
    if unit in MONTHS_PER:
        return "days, weeks, months or years"
    return "kg, g, lb or st" if unit in KILOGRAMS_PER else "mm, cm, m, in or ft"


def _example(unit: str) -> str:
    known = {"kg": "157 lb", "mm": "2.1 cm", "years": "41 years", "months": "6 months"}
    return known.get(unit, "142 mmHg" if unit == "mmHg" else "32.5 in")
