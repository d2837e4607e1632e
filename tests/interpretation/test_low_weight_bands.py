"""Beside a low weight no band of too much is told, and none that reassures, wherever bands are told."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pandas as pd
import pytest

import foldspan
from foldspan.standards.card import REACH
from foldspan.text.en.health import HEALTH_REMARKS

WORDS_OF_MUCH = (
    "found no cases", "raised-risk", "high-risk", "central-fat", "body mass index of 30",
    "above the usual", "at or above", "half the height or more", "where risk",
)  # fmt: skip


def visit(bmi: float, waist: float, **more: Any) -> foldspan.Visit:
    """A woman of 170 cm; the waist is a share of the height."""
    tree = {
        "client": {"sex": "female", "age_years": 24} | more.pop("client", {}),
        "mass_height": {"weight_kg": round(bmi * 1.7**2, 2), "height_cm": 170.0},
        "girths_cm": {"waist_midpoint": round(170.0 * waist, 1), "hip": 88.0},
    }
    return foldspan.Visit.from_dict(tree | more, accept_unusual=True)


THIN = [
    visit(15.3, 0.36),
    visit(18.2, 0.51),  # a large waist at a low weight
    visit(17.6, 0.41, skinfolds_mm={"triceps": 33.0, "subscapular": 35.0, "abdominal": 44.0}),
    visit(18.0, 0.42, client={"sex": "male"}),
    visit(18.0, 0.42, client={"sex": "both"}),
    visit(19.5, 0.53, client={"age_years": 74}),
]


@pytest.mark.parametrize("place", range(len(THIN)))
def test_no_band_of_too_much_beside_a_low_weight(place: int) -> None:
    health = foldspan.health(THIN[place])
    assert health.bands
    for band in health.bands:
        likeliest = max(band.probabilities, key=lambda label: band.probabilities[label])
        assert likeliest == "low_lean" or "a" not in REACH[likeliest], band.standard
        above = sum(chance for label, chance in band.probabilities.items() if REACH[label] == "a")
        assert above < 0.05, band.standard
        assert not [words for words in WORDS_OF_MUCH if words in band.text], band.text
    assert HEALTH_REMARKS["low_weight"] in health.remarks or THIN[place].client.sex == "both"
    assert "central_fat" not in [flag.code for flag in health.flags]


def test_a_usual_weight_keeps_every_band() -> None:
    health = foldspan.health(visit(22.0, 0.51))
    assert "central_fat" in [flag.code for flag in health.flags]
    assert {"potter2025_female", "who2008_waist_female"} <= {band.standard for band in health.bands}
    assert HEALTH_REMARKS["low_weight"] not in health.remarks


def texts_of(tree: Any) -> Iterator[str]:
    """Every text of a page but the list of equations, and what a drawn ruler names at its far end."""
    if isinstance(tree, dict):
        tree = list(tree.values())
    if isinstance(tree, list):
        for item in tree:
            yield from texts_of(item)
    elif isinstance(tree, str) and "built for" not in tree and "from low to high" not in tree:
        yield tree


@pytest.mark.parametrize("reader", ["trainer", "clinician", "client"])
def test_pages_and_letters_of_a_low_weight_tell_nothing_of_too_much(reader: str) -> None:
    for thin in THIN:
        for text in texts_of(foldspan.report(thin, reader=reader).to_dict()["page"]):
            assert not [words for words in WORDS_OF_MUCH if words in text], text


def test_tables_tell_no_band_of_too_much_beside_a_low_weight(tmp_path: Path) -> None:
    """A band that is not told is empty there."""
    people = [(18.0, 0.52, 24), (15.3, 0.36, 24), (19.5, 0.53, 74), (22.0, 0.52, 24)]
    lines = ["sex,age_years,weight_kg,height_cm,waist_midpoint_cm"]
    lines += [
        f"female,{age},{bmi * 1.7**2:.2f},170,{170 * waist:.1f}" for bmi, waist, age in people
    ]
    given, out = tmp_path / "given.csv", tmp_path / "out.csv"
    given.write_text("\n".join(lines), encoding="utf-8")
    foldspan.screen_table(str(given), str(out))
    answer = pd.read_csv(out, keep_default_na=False)
    bands = ["bmi_band", "waist_to_height_band", "fat_band"]
    for row in range(3):
        bands_shown = [answer[name][row] for name in bands if answer[name][row]]
        assert bands_shown
        assert not [label for label in bands_shown if "a" in REACH[label]]
    assert "half_or_more" in set(answer.loc[3, bands])
    assert "half_or_more" not in set(answer.loc[0, bands])
