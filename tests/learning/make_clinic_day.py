"""Write ``examples/clinic_day.csv``: an invented wellness day at a works canteen, faults and all.

Run by hand, not by the test suite::

    python tests/learning/make_clinic_day.py

Bodies are drawn from ``reference.body_dimensions`` and read as a tester reads: 0.1 kg, 0.5 cm, 0.5
mm. Nobody in the table exists. The faults that such a day brings are planted in known rows:
``PLANTED`` says which, and what a screening must say of each by the rules as published in
docs/health.md and docs/problem-codes.md. ``tests/screening/test_clinic_day.py`` holds the program
against it.
"""

from __future__ import annotations

import csv
import io
import math
import random
from dataclasses import dataclass, field
from pathlib import Path

OUT = Path(__file__).parents[2] / "examples" / "clinic_day.csv"
ROWS, SEED, DAY = 300, 20260506, "2026-05-06"
TESTERS = ("T-01", "T-02", "T-03", "T-04")
ROUNDING_TESTER = "T-03"  # folds nearly all read to whole fives
COLUMNS = (
    "code", "tester", "date", "sex", "age_years", "weight_kg", "height_cm", "waist_midpoint_cm",
    "hip_cm", "neck_cm", "triceps_mm_1", "triceps_mm_2", "subscapular_mm_1", "subscapular_mm_2",
    "family_background", "pregnant", "athlete", "earlier_weight_kg", "earlier_weight_months_ago",
    "loss_wanted", "symptoms", "conditions", "blood_pressure_upper_mmhg",
    "blood_pressure_lower_mmhg", "eating_concern", "note",
)  # fmt: skip
BACKGROUNDS = ("white", "south_asian", "black_african", "chinese", "latin_american", "other")
NOTES = (
    "came after the early shift", "thin shirt on", "two coffees this morning", "asked for a copy",
    "likes cycling, walks to work", "shoes off", "new at the works", "wants to hear about swimming",
    "in a hurry", "second measurement at the window",
)  # fmt: skip
SITES = ("waist_midpoint_cm", "hip_cm", "neck_cm", "triceps_mm", "subscapular_mm")


@dataclass(frozen=True)
class Body:
    """A body that is asked for; what it leaves open is what goes with it on average."""

    sex: str
    age: int
    height: float
    bmi: float


@dataclass(frozen=True)
class Planted:
    """One row that is not left to chance.

    ``cells`` are typed as they stand. ``problems`` are codes with their column and ``flags`` are codes
    that must be told; ``has_range`` says whether a range may be given; ``lost`` is the share of the
    weight [%] that was lost before.
    """

    row: int
    why: str
    cells: dict[str, str] = field(default_factory=dict)
    body: Body | None = None
    problems: tuple[str, ...] = ()
    flags: tuple[str, ...] = ()
    has_range: bool = True
    lost: float = 0.0


def _pressure(upper: int, lower: int) -> dict[str, str]:
    return {"blood_pressure_upper_mmhg": f"{upper}", "blood_pressure_lower_mmhg": f"{lower}"}


def _loss(months: str, wanted: str) -> dict[str, str]:
    return {"earlier_weight_months_ago": months, "loss_wanted": wanted}


# slips of a unit, by row: 33.5 for 85 cm, 165.3 for 75.0 kg, 1.72 for 172 cm
INCH_TESTER = "T-02"
INCHES = (26, 38, 51, 64, 77, 90, 103, 116, 129)
POUNDS = (33, 58, 97, 142, 205, 271)
METRES = (47, 156, 233)
# F and M for female and male, as one tester writes them
SHORT_SEX = tuple(range(181, 196))
# a row that stands in the table again, further down: copy → original
COPIES = {152: 151, 260: 88}

# whoever must be seen the same day
URGENT = (
    Planted(17, "chest pain", {"symptoms": "chest_pain"}, Body("male", 52, 178, 24.0),
            flags=("heart_signs",)),
    Planted(69, "fainting, and more than one word", {"symptoms": "fainting; easy_bruising"},
            Body("female", 29, 166, 22.0), flags=("fainting", "bleeding")),
    Planted(108, "very high blood pressure", _pressure(190, 124), Body("male", 58, 175, 23.0),
            flags=("pressure_very_high",)),
    Planted(199, "body mass index far below the usual", {}, Body("female", 24, 170, 15.3),
            flags=("bmi_severely_low",)),
    Planted(244, "pregnant, and blood pressure raised", {"pregnant": "yes"} | _pressure(146, 92),
            Body("female", 33, 168, 27.0), problems=("E202",), flags=("pregnancy_signs",),
            has_range=False),
    Planted(287, "chest pain, told in a row without an age",
            {"symptoms": "chest_pain", "age_years": ""}, Body("female", 44, 163, 24.0),
            problems=("E112 age_years",), flags=("heart_signs",), has_range=False),
)  # fmt: skip
# whoever should be seen within about two weeks
SOON = (
    Planted(9, "body mass index between 16 and 17", {}, Body("male", 22, 183, 16.5),
            flags=("bmi_clearly_low",)),
    Planted(41, "worry about eating", {"eating_concern": "yes"}, Body("female", 21, 171, 21.5),
            flags=("eating_concern",)),
    Planted(82, "body mass index above 40", {}, Body("female", 47, 164, 42.5),
            flags=("bmi_very_far_above",)),
    Planted(123, "belly tight and growing fast", {"symptoms": "tight_belly"},
            Body("male", 55, 174, 25.0), problems=("E206",), flags=("belly_fluid",),
            has_range=False),
    Planted(147, "11 % lost in 5 months without wanting to", _loss("5", "no"),
            Body("male", 61, 180, 25.0), flags=("loss_fast",), lost=11.0),
    Planted(161, "diabetes and a body mass index of 33", {"conditions": "diabetes"},
            Body("male", 49, 177, 33.0), flags=("weight_with_signs",)),
    Planted(177, "blood pressure raised", _pressure(148, 86), Body("female", 57, 162, 22.5),
            flags=("pressure_raised",)),
    Planted(219, "thirst", {"symptoms": "thirst_and_urine"}, Body("female", 36, 169, 24.0),
            flags=("thirst_and_urine",)),
    Planted(252, "7.5 % lost in 8 months without wanting to", _loss("8", "no"),
            Body("female", 53, 165, 27.0), flags=("loss_unplanned",), lost=7.5),
    Planted(293, "12 % lost in 4 months, nobody asked whether wanted", _loss("4", ""),
            Body("male", 40, 181, 27.0), flags=("loss_large_not_asked",), lost=12.0),
)  # fmt: skip
# whoever should hear of it, and needs no referral
ADVISED = (
    Planted(22, "body mass index between 17 and 18.5", {}, Body("female", 27, 174, 17.8),
            flags=("bmi_low",)),
    Planted(95, "body mass index between 35 and 40", {}, Body("male", 45, 179, 37.0),
            flags=("bmi_far_above",)),
    Planted(134, "fever", {"symptoms": "fever"}, Body("male", 31, 176, 23.0), flags=("not_well",)),
    Planted(211, "9 % lost in 5 weeks, wanted", _loss("1.2", "yes"), Body("male", 37, 182, 28.0),
            flags=("loss_planned_fast",), lost=9.0),
    Planted(266, "a fall, at 48", {"symptoms": "falls"}, Body("female", 48, 167, 23.0),
            flags=("weakness",)),
)  # fmt: skip
# slips of the pen
SLIPS = (
    Planted(5, "no age", {"age_years": ""}, problems=("E112 age_years",), has_range=False),
    Planted(13, "sex is no known word", {"sex": "x"}, problems=("E113 sex",), has_range=False),
    Planted(29, "a trainee of 17", {"age_years": "17"}, problems=("E201",), has_range=False),
    Planted(36, "pregnant", {"pregnant": "yes"}, Body("female", 30, 165, 26.0),
            problems=("E202",), has_range=False),
    Planted(44, "a man marked pregnant", {"pregnant": "yes"}, Body("male", 35, 180, 24.5),
            problems=("E202", "W127 pregnant"), has_range=False),
    Planted(55, "a fold typed without its point", {"triceps_mm_2": "200"},
            Body("female", 39, 166, 24.5), problems=("E102 triceps_mm",)),
    Planted(61, "a negative fold", {"subscapular_mm_1": "-12.5"}, problems=("E107 subscapular_mm",)),
    Planted(67, "n/a for a girth", {"neck_cm": "n/a"}),
    Planted(72, "a dash for a fold", {"triceps_mm_2": "-"}),
    Planted(79, "no height", {"height_cm": ""}),
    Planted(85, "a quoted decimal comma", {"triceps_mm_1": "21,5"},
            Body("female", 34, 168, 24.0)),
    Planted(100, "feet and inches", {"height_cm": "5 ft 6 in"}, Body("female", 43, 167.64, 25.0)),
    Planted(111, "feet and inches", {"height_cm": "5 ft 10 in"}, Body("male", 28, 177.8, 24.0)),
    Planted(119, "a fold at the end of the scale", {"triceps_mm_1": "64+", "triceps_mm_2": "64+"},
            Body("female", 50, 168, 38.0), problems=("W103 triceps_mm",), flags=("bmi_far_above",)),
    Planted(126, "a comma in a note, not quoted", {"note": "came late, left early"},
            problems=("E410",), has_range=False),
    Planted(138, "the last cells of the line are missing", problems=("E410",), has_range=False),
    Planted(165, "readings of one site too far apart",
            {"subscapular_mm_1": "14", "subscapular_mm_2": "31"}, Body("male", 46, 179, 25.5),
            problems=("W124 subscapular_mm",)),
    Planted(172, "a note that a spreadsheet would run",
            {"note": '=HYPERLINK("http://example.org","results")'}),
    Planted(227, "a note that a spreadsheet would add up", {"note": "=1+2"}),
    Planted(238, "blood pressure the wrong way round", _pressure(78, 124),
            problems=("E125 blood_pressure_lower_mmhg",)),
    Planted(278, "a symptom that is no known word", {"symptoms": "hiccups"},
            problems=("E113 symptoms",), has_range=False),
)  # fmt: skip
# an inch waist so large that it could be a very small one in centimetres
LARGE_IN_INCHES = Planted(
    116, "a waist of 41.5 inches", {"waist_midpoint_cm": "41.5"}, Body("female", 51, 166, 33.5),
    problems=("W103 waist_midpoint_cm", "W123 weight_kg, height_cm"),
)  # fmt: skip
UNITS = (
    *(Planted(row, "waist in inches", problems=("E102 waist_midpoint_cm",))
      for row in INCHES if row != LARGE_IN_INCHES.row),
    LARGE_IN_INCHES,
    *(Planted(row, "weight in pounds", problems=("W123 weight_kg, height_cm",),
              flags=("bmi_very_far_above",)) for row in POUNDS),
    *(Planted(row, "height in metres", problems=("E102 height_cm",)) for row in METRES),
)  # fmt: skip
REFERRED = (*URGENT, *SOON)
PLANTED = (*REFERRED, *ADVISED, *SLIPS, *UNITS)
RAGGED = (126, 138)


def half(value: float) -> float:
    """Return a value as a tape or a calliper shows it, to the nearest half."""
    return math.floor(2.0 * value + 0.5) / 2.0


def drawn_bodies() -> list[dict[str, float | str]]:
    """Bodies of working age in the middle of the pattern, in whom no measurement refers anybody."""
    from foldspan.reference.body_dimensions import simulated_people

    found: list[dict[str, float | str]] = []
    for sex in ("female", "male"):
        people = simulated_people(sex)
        for place in range(people["age_years"].size):
            body = {
                name: float(people[name][place])
                for name in ("age_years", "weight_kg", "height_cm", *SITES)
            }
            if is_usual(sex, body):
                found.append({"sex": sex, **body})
    return found


def is_usual(sex: str, body: dict[str, float]) -> bool:
    """Whether no limit is near (a body mass index of 17 or 40), and nothing would be asked back."""
    age, bmi = body["age_years"], body["weight_kg"] / (body["height_cm"] / 100.0) ** 2
    if not (20.0 <= bmi <= 33.0 and 19.0 <= age < 66.0 and body["waist_midpoint_cm"] < 100.0):
        return False
    expected = asked_body(Body(sex, int(age), body["height_cm"], bmi))["waist_midpoint_cm"]
    if abs(math.log(body["waist_midpoint_cm"] / float(expected))) > 0.10:
        return False
    folds = (body["triceps_mm"], body["subscapular_mm"])
    return min(folds) >= 6.0 and max(folds) <= 40.0 and body["neck_cm"] >= 28.0


def asked_body(body: Body) -> dict[str, float | str]:
    """Return a body as asked for, with the waist, hip, neck and folds that go with it on average."""
    from foldspan.reference.body_dimensions import conditional

    known = {
        "age_years": float(body.age),
        "weight_kg": body.bmi * (body.height / 100.0) ** 2,
        "height_cm": body.height,
    }
    law = conditional(body.sex, SITES, known)
    rest = {name: math.exp(value) for name, value in zip(law.names, law.mean, strict=True)}
    return {"sex": body.sex, **known, **rest}


def readings(body: dict[str, float | str], tester: str, luck: random.Random) -> dict[str, str]:
    """Return the cells of a body as one tester reads it."""
    cells = {"sex": str(body["sex"]), "age_years": f"{int(body['age_years'])}"}
    cells["weight_kg"] = f"{body['weight_kg']:.1f}"
    for name in ("height_cm", "waist_midpoint_cm", "hip_cm", "neck_cm"):
        cells[name] = f"{half(body[name]):g}"
    for name in ("triceps_mm", "subscapular_mm"):
        for reading in (1, 2):
            # two readings of one tester within minutes differ by 3 to 4 % (assumed)
            value = half(body[name] * math.exp(luck.gauss(0.0, 0.035)))
            if tester == ROUNDING_TESTER and luck.random() < 0.92:
                value = max(5.0, 5.0 * math.floor(value / 5.0 + 0.5))
            cells[f"{name}_{reading}"] = f"{value:g}"
    return cells


def small_talk(luck: random.Random) -> dict[str, str]:
    """What little is told at most tables: a background, a blood pressure, a note."""
    cells = {}
    if luck.random() < 0.15:
        cells["family_background"] = luck.choice(BACKGROUNDS)
    if luck.random() < 0.20:
        cells |= _pressure(luck.randint(104, 136), luck.randint(64, 86))
    if luck.random() < 0.05:
        cells["athlete"] = "yes"
    if luck.random() < 0.15:
        cells["note"] = luck.choice(NOTES)
    return cells


def in_another_unit(row: int, body: dict[str, float | str], cells: dict[str, str]) -> None:
    """Type a measurement in the unit that this row is planted with."""
    if row in INCHES:
        cells["waist_midpoint_cm"] = f"{half(float(body['waist_midpoint_cm']) / 2.54):g}"
    if row in POUNDS:
        cells["weight_kg"] = f"{float(body['weight_kg']) / 0.45359237:.1f}"
    if row in METRES:
        cells["height_cm"] = f"{float(body['height_cm']) / 100.0:.2f}"


def table() -> list[dict[str, str]]:
    """Return the rows as they would stand in a tidy spreadsheet."""
    luck = random.Random(SEED)
    bodies = drawn_bodies()
    luck.shuffle(bodies)
    planted = {case.row: case for case in PLANTED}
    rows: list[dict[str, str]] = []
    for row, drawn in zip(range(1, ROWS + 1), bodies, strict=False):
        tester = INCH_TESTER if row in INCHES else luck.choice(TESTERS)
        case = planted.get(row)
        body = drawn if case is None or case.body is None else asked_body(case.body)
        cells = dict.fromkeys(COLUMNS, "")
        cells |= {"code": f"W-{row:03}", "tester": tester, "date": DAY}
        cells |= readings(body, tester, luck)
        talk = small_talk(luck)
        in_another_unit(row, body, cells)
        if case is not None and case.lost:
            before = float(body["weight_kg"]) / (1.0 - case.lost / 100.0)
            cells["earlier_weight_kg"] = f"{before:.1f}"
        cells |= case.cells if case is not None else talk
        if row in SHORT_SEX:
            cells["sex"] = cells["sex"][0].upper()
        rows.append(rows[COPIES[row] - 1] if row in COPIES else cells)
    return rows


def as_csv(rows: list[dict[str, str]]) -> str:
    """Return the file, with the two lines that a hurried hand left ragged."""
    lines = []
    for number, row in enumerate(rows, start=1):
        text = io.StringIO()
        csv.writer(text, lineterminator="\n").writerow([row[name] for name in COLUMNS])
        line = text.getvalue()
        if number == RAGGED[0]:
            line = line.replace('"', "")
        if number == RAGGED[1]:
            line = ",".join(line.split(",")[:11]) + "\n"
        lines.append(line)
    return "".join([",".join(COLUMNS) + "\n", *lines])


if __name__ == "__main__":
    OUT.write_text(as_csv(table()), encoding="utf-8", newline="\n")
