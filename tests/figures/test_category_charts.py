"""Rulers as they are drawn: the client's mark lies where its number says, on every standard.

The picture is read as a person reads it: the numbers printed under the axis say which place is which
number, and where the mark stands among them is measured in pixels.
"""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.colors import to_hex

import example_visits
from foldspan.figures.style import INK, LIKELY_TINT, RULE, SHAPES, WIDE_TINT
from foldspan.interpretation.classification import probabilities
from foldspan.interpretation.measured import Measured
from foldspan.pages.client_page import client_bands
from foldspan.pages.document import Picture
from foldspan.pages.inputs import Material
from foldspan.pages.pictures import bands_picture
from foldspan.results.spoken import SpokenBand
from foldspan.standards import ALL_STANDARDS
from foldspan.standards.card import MEASURE_UNITS, Standard
from foldspan.text.catalogue import LANGUAGES
from page_reading import worked_out

Z_LIKELY, Z_WIDE = 1.2815515655, 1.9599639845  # normal quantiles that leave 20 and 5 % outside
# standard errors of about the size that visits have, as a share of the value
ERRORS = dict.fromkeys(MEASURE_UNITS, 0.012) | {
    "fat_percent": 0.15, "fat_mass_index": 0.15, "fat_free_mass_index": 0.08,
}  # fmt: skip


@cache
def material() -> Material:
    """A page whose language has a name for the axis of every measure, also of those not drawn."""
    found = worked_out("visit").material
    names = {f"picture.axis.{unit}": unit for unit in MEASURE_UNITS}
    names |= {f"measure.{unit}": unit for unit in MEASURE_UNITS}
    language = found.language
    return replace(found, language=replace(language, sentences=names | dict(language.sentences)))


def spoken(standard: Standard, value: float) -> SpokenBand:
    """What the standard says of a value."""
    se = ERRORS[standard.measure] * value
    chances = probabilities(standard, Measured(np.array([value]), np.array([se])))[:, 0]
    return SpokenBand(
        standard=standard.key, name=standard.system, measure=standard.measure,
        reference_method=standard.reference_method, value=value, se=se,
        probabilities=dict(zip(standard.labels, map(float, chances), strict=True)),
        notes=(), source=standard.source,
        status=standard.status, limits=tuple((limit, limit) for limit in standard.limits),
    )  # fmt: skip


def values_of(standard: Standard) -> list[float]:
    """Values of clients: far below every limit, on one of them, and far above."""
    limits = standard.limits
    return [0.8 * limits[0], limits[len(limits) // 2], 1.25 * limits[-1]]


DRAWN: dict[tuple[Any, ...], Any] = {}


def drawn(standard: Standard) -> list[tuple[SpokenBand, Any]]:
    """Bands of some clients, each with the axis of its ruler, laid out at the size of a screen.

    Standards whose rulers show the same share a picture.
    """
    made = []
    for value in values_of(standard):
        band = spoken(standard, value)
        picture = bands_picture(material(), band)
        shown = picture.draw.args  # type: ignore[attr-defined]  # all that the picture is drawn from
        if shown not in DRAWN:
            DRAWN[shown] = laid_out(picture)
        made.append((band, DRAWN[shown]))
    return made


def laid_out(picture: Picture) -> Any:
    """The axis of a ruler with the numbers under it in their places; nothing else is laid out."""
    figure = picture.draw(SHAPES["screen"])
    figure.set_dpi(200)
    figure.draw(FigureCanvasAgg(figure).get_renderer())
    return figure.planes[0]


def printed_scale(axis: Any) -> tuple[float, float]:
    """Pixels a unit and the pixel of nought, from the numbers under the axis as they are printed."""
    read = [
        (float(label.get_text().replace("\u2212", "-")), label.get_window_extent())
        for label in axis.numbers_x
    ]
    assert len(read) >= 2
    numbers = [number for number, _ in read]
    pixels = [(box.x0 + box.x1) / 2.0 for _, box in read]
    slope, at_nought = np.polyfit(numbers, pixels, 1)
    return float(slope), float(at_nought)


def pixel(axis: Any, value: float) -> float:
    """Where a number stands on the picture."""
    return float(axis.of_data.transform((value, 0.0))[0])


def shade(axis: Any, colour: str) -> tuple[float, float]:
    """The two ends of a shade, in pixels."""
    (box,) = [
        patch.get_window_extent()
        for patch in axis.patches
        if to_hex(patch.get_facecolor()) == colour
    ]
    return box.x0, box.x1


def marks(axis: Any) -> list[float]:
    """Pixels of upright lines in the colour of what is found."""
    lines = [line for line in axis.lines if line.get_color() == INK]
    return [pixel(axis, line.get_xdata()[0]) for line in lines]


@pytest.mark.parametrize("standard", ALL_STANDARDS, ids=lambda standard: standard.key)
def test_the_mark_lies_where_its_number_says(standard: Standard) -> None:
    for band, axis in drawn(standard):
        value = band.value
        slope, at_nought = printed_scale(axis)

        def place(number: float, slope: float = slope, at_nought: float = at_nought) -> float:
            return slope * number + at_nought

        for colour, z in ((LIKELY_TINT, Z_LIKELY), (WIDE_TINT, Z_WIDE)):
            ends = np.array([value - z * band.se, value + z * band.se])
            if standard.measure == "fat_percent":
                ends = ends.clip(2.0, 70.0)  # no living adult is reported beyond these
            assert shade(axis, colour) == pytest.approx(place(ends), abs=0.5)
        if standard.measure != "fat_percent":
            assert marks(axis) == pytest.approx([place(value)], abs=0.5)


@pytest.mark.parametrize("standard", ALL_STANDARDS, ids=lambda standard: standard.key)
def test_the_axis_spans_the_bands_that_are_drawn_and_the_client_only(standard: Standard) -> None:
    for band, axis in drawn(standard):
        value = band.value
        low, high = axis.get_xlim()
        limits = [float(line.get_xdata()[0]) for line in axis.lines if line.get_color() == RULE]
        held = [*limits, value - Z_WIDE * band.se, value + Z_WIDE * band.se]
        assert low <= max(min(held), 0.0) <= max(held) <= high
        if standard.measure == "fat_percent":  # in fives
            assert min(held) - low <= 5.0
            assert high - max(held) <= 5.0
        else:
            room = 0.12 * (max(held) - min(held)) * (1.0 + 1e-9)
            assert min(held) - low <= room
            assert high - max(held) <= room


@pytest.mark.parametrize("path", example_visits.SOUND, ids=lambda path: path.stem)
def test_every_ruler_of_every_example_holds_its_client(path: Path) -> None:
    """The words above the mark, read back, name the value that the mark stands at."""
    found = worked_out(path.stem).material
    for band in client_bands(found):
        axis = bands_picture(found, band).draw(SHAPES["page"]).planes[0]
        low, high = axis.get_xlim()
        assert low < band.value < high
        if band.measure == "fat_percent":
            continue
        (words,) = [text.get_text() for text in axis.texts if "you:" in text.get_text()]
        step = 0.5 * 10.0 ** -len(words.partition(".")[2])
        assert float(words.split()[1]) == pytest.approx(band.value, abs=1.001 * step)
        (line,) = [line for line in axis.lines if line.get_color() == INK]
        assert float(line.get_xdata()[0]) == band.value
        assert high < 3.0 * band.value  # 0.40 was once drawn at 2.00


def test_a_figure_of_the_bands_is_the_ruler_of_the_band_of_fat() -> None:
    report = worked_out("strong_build")
    (band, *_) = [band for band in client_bands(report.material) if band.measure == "fat_percent"]
    alone = bands_picture(report.material, band).draw(SHAPES["screen"]).planes[0]
    asked_for = report.picture("bands").draw(SHAPES["screen"]).planes[0]
    assert asked_for.get_xlim() == alone.get_xlim()


def test_numbers_under_the_bands_are_written_as_the_language_writes_them() -> None:
    """A ratio of waist and height has decimals: a point in English, a comma elsewhere."""
    report = worked_out("visit")
    (band,) = [x for x in client_bands(report.material) if x.measure == "waist_to_height"]
    for code, sign in (("en", "."), ("de", ","), ("es", ","), ("fr", ",")):
        there = replace(report.material, language=LANGUAGES[code])
        axis = bands_picture(there, band).draw(SHAPES["screen"]).planes[0]
        names = [label.get_text() for label in axis.numbers_x]
        assert names
        assert all(name[1] == sign for name in names), (code, names)
