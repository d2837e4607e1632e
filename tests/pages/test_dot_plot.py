"""Twenty dots on the client's page: they, the counts and the words agree with the answer's JSON."""

from __future__ import annotations

import re
from itertools import pairwise
from statistics import NormalDist

import numpy as np
import pytest

import foldspan
from foldspan.figures.dots import DotPlot, Zone, columns
from foldspan.figures.style import SHAPES, ZONES
from foldspan.pages.client_page import client_bands, fat_band
from foldspan.pages.dot_plot import DOTS, counted, dot_picture, places, whom, zone_name
from foldspan.pages.pictures import open_limits
from foldspan.results.result import Spread
from foldspan.visit.model import Visit
from page_reading import PATHS, page, read_html

Z_80 = 1.2815515655446004  # 0.9 quantile of the normal distribution


def invented(rng: np.random.Generator) -> Visit:
    """Somebody whose size and sites go together, roughly."""
    sex = str(rng.choice(["female", "male"]))
    height = float(rng.normal(165 if sex == "female" else 178, 6))
    bmi = float(rng.uniform(20, 33))
    waist = float(height * (0.28 + 0.0085 * bmi) + rng.normal(0, 3))
    folds = {"triceps": bmi * 0.75, "subscapular": bmi * 0.7, "abdominal": bmi * 0.9}
    return Visit.from_dict(
        {
            "client": {"sex": sex, "age_years": int(rng.integers(19, 80))},
            "mass_height": {
                "weight_kg": round(bmi * (height / 100) ** 2, 1), "height_cm": round(height, 1),
            },
            "girths_cm": {"waist_midpoint": round(waist, 1)},
            "skinfolds_mm": {
                name: round(float(size * rng.uniform(0.8, 1.2)), 1) for name, size in folds.items()
            } if rng.random() < 0.6 else {},
        },
        accept_unusual=True,
    )  # fmt: skip


def test_dots_are_the_twentieths_of_the_stated_error() -> None:
    fat = Spread(30.0, 4.0, (30.0 - Z_80 * 4.0, 30.0 + Z_80 * 4.0), (22.2, 37.8))
    found = places(fat)
    assert len(found) == DOTS == 20
    shares = [NormalDist(30.0, 4.0).cdf(place) for place in found]
    assert shares == pytest.approx([(order + 0.5) / 20 for order in range(20)])
    assert fat.range_80 is not None
    low, high = fat.range_80
    assert sum(low <= place <= high for place in found) == 16  # as the page says


def test_dots_zones_and_words_agree_with_the_answer() -> None:
    rng, with_zones = np.random.default_rng(19), 0
    for _ in range(60):
        visit = invented(rng)
        report = foldspan.report(visit, reader="client")
        tree = foldspan.reconcile(visit).to_dict()
        words = " ".join(read_html(report).words)
        if tree["verdict"] == "disagree" or tree["fat_percent"]["range_80"] is None:
            assert "zone" not in words
            continue
        low, high = (round(end) for end in tree["fat_percent"]["range_80"])
        assert f"probably {low}% to {high}%" in words
        bands = [band for band in client_bands(report.material) if band.measure == "fat_percent"]
        if not bands:
            assert "of the 20 dots lie" not in words
            continue
        with_zones += 1
        (shown,) = (band for band in tree["bands"] if band["standard"] == bands[0].standard)
        zones = counted(report.material.result.fat_percent, bands[0])
        assert sum(zone.dots for zone in zones) == 20
        for zone in zones:  # a twentieth is as fine as dots can tell
            assert abs(zone.dots / 20 - shown["probabilities"][zone.code]) <= 0.055, zone.code
        said = [
            int(number)
            for number in re.findall(r"(\d+) (?:of the 20 dots lie )?in (?:the zone )?“", words)
        ]
        if "All 20 dots lie" in words:
            said = [20]
        assert sorted(said) == sorted(zone.dots for zone in zones if zone.dots)
    assert with_zones > 20


@pytest.mark.parametrize("stem", sorted(PATHS))
def test_a_page_has_one_denominator(stem: str) -> None:
    words = " ".join(read_html(page(stem, "client")).words)
    assert not re.search(r"\d+ (?:in|of|out of) (?:10|100)\b", words)


@pytest.mark.parametrize("language", ["en", "de", "es", "fr"])
@pytest.mark.parametrize("shape", ["page", "tight", "small", "screen", "phone"])
def test_each_zone_with_a_dot_has_its_name_on_the_line(language: str, shape: str) -> None:
    """Long names as well, and on a phone; a zone without a dot is named, or hardly seen."""
    for stem in ("visit", "visit_later", "tape_only", "strong_build", "outside_results"):
        path = f"examples/{stem}.toml"
        report = foldspan.report(Visit.from_file(path), reader="client", language=language)
        band = fat_band(report.material)
        assert band is not None
        (plane,) = dot_picture(report.material, band).draw(SHAPES[shape]).planes
        written = {text.get_text().replace("\n", " ") for text in plane.texts}
        low, high = plane.get_xlim()
        for zone, limits in zip(
            counted(report.material.result.fat_percent, band),
            pairwise(open_limits(band)),
            strict=True,
        ):
            named = zone_name(report.material.language, zone.code, whom(report.material)) in written
            bare = min(limits[1] or high, high) - max(limits[0] or low, low)
            assert named or (zone.dots == 0 and bare < 0.06 * (high - low)), (stem, zone.code)


@pytest.mark.parametrize("limit", [26.1, 29.9, 30.0, 30.1, 31.0, 37.0])
def test_a_column_of_dots_lies_on_one_side_of_a_limit(limit: float) -> None:
    fat = Spread(30.0, 4.0, (24.9, 35.1), (22.2, 37.8))
    zones = (Zone("below", None, limit), Zone("above", limit, None))
    drawn = columns(DotPlot(places(fat), 2.0, (24.9, 35.1), "", "", zones))
    below = sum(place < limit for place in places(fat))
    assert sum(x < limit for x, _ in drawn) == below
    assert len(set(drawn)) == 20  # no dot hides another


def test_the_dots_are_the_darkest_on_the_page() -> None:
    """Dots on white and on the zones: at least 3 to 1 as marks, words on zones at least 4.5 to 1."""

    def luminance(colour: str) -> float:
        parts = [int(colour[at : at + 2], 16) / 255.0 for at in (1, 3, 5)]
        light = [x / 12.92 if x <= 0.04045 else ((x + 0.055) / 1.055) ** 2.4 for x in parts]
        return 0.2126 * light[0] + 0.7152 * light[1] + 0.0722 * light[2]

    picture = next(
        part for part in page("visit", "client").document.pictures() if part.name == "dots"
    )
    (axis,) = picture.draw(SHAPES["page"]).planes
    (dots,) = (line for line in axis.lines if line.get_marker() == "o")
    assert len(dots.get_xdata()) == 20
    colour = dots.get_markerfacecolor()
    darkest = min(luminance(line.get_color()) for line in axis.lines)
    assert luminance(colour) <= darkest
    for ground in ("#ffffff", *ZONES):
        assert (luminance(ground) + 0.05) / (luminance(colour) + 0.05) > 4.5
