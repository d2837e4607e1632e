"""What rounds to nought is written without a sign, and one place writes numbers with one."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from foldspan.display_units import signed
from foldspan.followup.difference import Difference, Trend
from foldspan.results.spoken import rounded
from foldspan.text.change import span_words, trend_sentence

PACKAGE = Path(__file__).parents[2] / "src" / "foldspan"
BARE_SIGN = re.compile(r":[<>^]?\+[0-9]*(?:\.[0-9{]|[}d])")


@pytest.mark.parametrize(
    ("value", "digits", "written"),
    [(1.25, 1, "+1.2"), (-1.25, 1, "-1.2"), (-0.04, 1, "0.0"), (0.04, 1, "0.0"), (-0.0, 2, "0.00"),
     (-0.06, 1, "-0.1"), (0.005001, 2, "+0.01"), (-0.0049, 2, "0.00")],
)  # fmt: skip
def test_nought_has_no_sign(value: float, digits: int, written: str) -> None:
    assert signed(value, digits) == written


def test_a_change_and_a_slope_of_nought_have_no_sign() -> None:
    assert span_words(Difference(30.01, 29.99, 0.01), "points").startswith(
        "0.0 points (80% range 0.0"
    )
    slope = Trend(-0.001, 0.001, 4, 9.0)
    assert "0.00 percentage points a month (80% range 0.00 to 0.00)" in trend_sentence(slope)


def test_json_has_no_minus_nought() -> None:
    assert str(rounded(-0.001, 2)) == "0.0"


def test_signs_are_written_in_one_place() -> None:
    own = PACKAGE / "display_units.py"
    found = [
        f"{path.relative_to(PACKAGE)}: {line.strip()}"
        for path in sorted(PACKAGE.rglob("*.py"))
        if path != own
        for line in path.read_text(encoding="utf-8").splitlines()
        if BARE_SIGN.search(line)
    ]
    assert found == []
