"""Which measurements are offered next: nobody is asked to bare an intimate site for next to nothing."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

import foldspan
from foldspan.explanation.next_measurement import NextMeasurement
from foldspan.quantities import Sex
from foldspan.results.offers import offered

EXAMPLES = Path(__file__).parents[2] / "examples"


def offer(name: str, narrower: float, minutes: float = 3.0) -> NextMeasurement:
    return NextMeasurement((name,), 12.0, 12.0 - narrower, minutes, (), {})


@pytest.mark.parametrize(
    ("sex", "narrower", "is_offered"),
    [
        ("female", 1.4, False),
        ("female", 1.6, True),
        ("male", 0.6, True),
        # left open whose equations fit: as careful as with a woman
        (None, 1.4, False),
        (None, 1.6, True),
    ],
)
def test_an_intimate_site_is_offered_only_where_it_tells_much(
    sex: Sex | None, narrower: float, is_offered: bool
) -> None:
    """From 1.5 points narrower on (ours), to women and where the sex is left open."""
    explanation = foldspan.explain(foldspan.Visit.from_file(str(EXAMPLES / "visit.toml")))
    offers = (offer("chest_mm", narrower), offer("hip_cm", 0.5))
    found = offered(replace(explanation, next_measurements=offers), sex)
    assert ("chest_mm" in [name for offer in found for name in offer.names]) is is_offered
    assert found[-1].names == ("hip_cm",)
