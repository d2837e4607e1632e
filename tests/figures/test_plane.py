"""A plane stands where the drawing library's own axis would: numbers, words, lines, to a hair."""

from __future__ import annotations

from typing import Any

import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.ticker import MaxNLocator

import foldspan
from foldspan.figures.plane import Sheet
from foldspan.figures.style import SHAPES
from page_reading import PATHS

WIDTH, HEIGHT, SIZE = 6.0, 2.4, 9.0
BOX = (0.05, 0.3, 0.9, 0.5)
SPARE = {"nbins": 5, "steps": [1, 2, 5, 10], "integer": True}


def drawn_by_plane(span: tuple[float, float], steps: dict[str, Any] | None) -> tuple[Any, Any]:
    figure = Sheet(WIDTH, HEIGHT)
    plane = figure.plane(BOX)
    plane.set_xlim(*span)
    plane.set_ylim(*span)
    plane.number_x(SIZE, "black", locator=None if steps is None else MaxNLocator(**steps))
    plane.number_y(SIZE, "black", grid="grey")
    plane.name_x("body fat", SIZE, "black")
    plane.title("kinds", SIZE, "black")
    FigureCanvasAgg(figure).draw()
    return figure, plane


def drawn_by_library(span: tuple[float, float], steps: dict[str, Any] | None) -> tuple[Any, Any]:
    figure = Figure(figsize=(WIDTH, HEIGHT))
    axis = figure.add_axes(BOX)
    axis.set_xlim(*span)
    axis.set_ylim(*span)
    axis.tick_params(labelsize=SIZE)
    axis.tick_params(axis="y", length=0)
    axis.yaxis.get_major_locator().set_params(integer=True)
    if steps is not None:
        axis.xaxis.set_major_locator(MaxNLocator(**steps))
    axis.set_xlabel("body fat", fontsize=SIZE)
    axis.set_title("kinds", fontsize=SIZE, loc="left")
    FigureCanvasAgg(figure).draw()
    return figure, axis


def boxes(figure: Any, words: list[Any]) -> dict[str, tuple[float, ...]]:
    """Where words stand [pixels], those that are on the figure."""
    renderer = FigureCanvasAgg(figure).get_renderer()
    return {
        word.get_text(): tuple(word.get_window_extent(renderer).extents)
        for word in words if word.get_text()
    }  # fmt: skip


@pytest.mark.parametrize("steps", [None, SPARE], ids=["usual", "spare"])
@pytest.mark.parametrize(
    "span", [(0.0, 72.8), (20.0, 45.0), (27.3, 43.0), (0.0, 0.93), (14.0, 19.0)]
)
def test_numbers_and_words_stand_where_the_library_s_axis_has_them(
    span: tuple[float, float], steps: dict[str, Any] | None
) -> None:
    ours, plane = drawn_by_plane(span, steps)
    theirs, axis = drawn_by_library(span, steps)
    for side, texts in (("x", plane.numbers_x), ("y", plane.numbers_y)):
        whole = getattr(axis, f"{side}axis")
        places = zip(whole.get_ticklocs(), whole.get_ticklabels(), strict=True)
        expected = boxes(theirs, [text for at, text in places if span[0] <= at <= span[1]])
        found = boxes(ours, texts)
        assert list(found) == list(expected)
        for name, box in found.items():
            assert box == pytest.approx(expected[name], abs=0.6), name
    named = boxes(ours, plane.texts)
    expected = boxes(theirs, [axis.xaxis.label, axis._left_title])
    for name in ("body fat", "kinds"):
        assert named[name] == pytest.approx(expected[name], abs=1.1), name


def test_a_number_becomes_the_same_place() -> None:
    _, plane = drawn_by_plane((20.0, 45.0), None)
    _, axis = drawn_by_library((20.0, 45.0), None)
    for point in ((20.0, 20.0), (45.0, 30.0), (33.3, 45.0)):
        assert plane.of_data.transform(point) == pytest.approx(axis.transData.transform(point))
    # set anew, what is drawn already moves with it
    plane.set_xlim(0.0, 100.0)
    axis.set_xlim(0.0, 100.0)
    assert plane.of_data.transform((50, 25)) == pytest.approx(axis.transData.transform((50, 25)))


def test_no_page_pays_for_an_axis_of_the_library() -> None:
    """Four fifths of the time of a page went into parts that nobody sees."""
    pair = [foldspan.Visit.from_file(str(PATHS[name])) for name in ("visit", "visit_later")]
    names = {"client": ("dots", "agreement", "trend", "bands"), "trainer": ("profile", "budget")}
    for reader, figures in names.items():
        report = foldspan.report(*pair, reader=reader)
        for name in figures:
            figure = report.picture(name).draw(SHAPES["page"])
            assert figure.axes == [], name
            assert len(figure.planes) >= 1
