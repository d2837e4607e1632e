"""A blood pressure as people write it: a visit file, a session and a table read it by one rule."""

from __future__ import annotations

from typing import Any

import pandas as pd
import pytest

import foldspan
from foldspan.intake.pressure_text import highest_pair, pressures_in
from foldspan.problems import FoldspanError
from foldspan.session.answers import Prompt
from foldspan.session.parse_client_answers import ANSWER_PARSERS
from foldspan.session.state import State

WOMAN: dict[str, Any] = {
    "sex": "female", "age_years": 41.0, "weight_kg": 63.2, "height_cm": 168.0,
}  # fmt: skip
HIGH, VERY_HIGH = "pressure_raised", "pressure_very_high"
TEXTS = [
    ("142/91", (142.0, 91.0), HIGH),
    ("142 over 91", (142.0, 91.0), HIGH),
    ("142 Over 91 mmHg", (142.0, 91.0), HIGH),
    ("142/91 mmHg", (142.0, 91.0), HIGH),
    ("142 - 91", (142.0, 91.0), HIGH),
    ("142 auf 91", (142.0, 91.0), HIGH),
    ("118 over 76", (118.0, 76.0), ""),
    # of several readings the highest of each, so that nobody is missed
    ("138/84; 136 over 92", (138.0, 92.0), HIGH),
    ("138/84, 186/80", (186.0, 84.0), VERY_HIGH),
]


def by_file(text: str) -> Any:
    tree = {
        "client": {name: WOMAN[name] for name in ("sex", "age_years")},
        "mass_height": {name: WOMAN[name] for name in ("weight_kg", "height_cm")},
        "intake": {"blood_pressure_mmhg": text},
    }
    return foldspan.Visit.from_dict(tree).intake.pressure_mmhg


def by_session(text: str) -> Any:
    prompt = Prompt("blood_pressure_mmhg", "pressure", is_optional=True)
    parsed = ANSWER_PARSERS["pressure"](State(), prompt, text, False)
    return None if parsed.body is None else tuple(parsed.body["value"])


@pytest.mark.parametrize(("text", "pair", "flag"), TEXTS)
def test_three_doors_read_one_pressure(text: str, pair: tuple[float, float], flag: str) -> None:
    assert highest_pair(pressures_in(text)) == pair
    assert by_file(text) == pair
    assert by_session(text) == pair
    row = pd.DataFrame([WOMAN | {"blood_pressure_mmhg": text}])
    line = foldspan.reconcile_table(row).iloc[0]
    assert (line["flags"], line["problems"]) == (flag, "")


@pytest.mark.parametrize(
    "text", ["high", "142 under 91", "142 over", "over 91", "142", "91 over 142", "1420 over 91"]
)
def test_what_is_no_pair_is_asked_back(text: str) -> None:
    with pytest.raises(FoldspanError) as caught:
        by_file(text)
    assert {problem.code for problem in caught.value.problems} <= {"E101", "E125"}
    assert by_session(text) is None


def test_the_upper_alone_stands_first() -> None:
    assert pressures_in("142/?") == [(142.0,)]
    assert highest_pair(pressures_in("142/?")) is None
    assert highest_pair(pressures_in("142/91; 150/")) is None
