"""Figures draw what they are given, and every word on them can be read in each shape."""

from __future__ import annotations

import datetime
from itertools import combinations
from pathlib import Path
from typing import Any

import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg

import example_visits
import foldspan
from foldspan.export.report import FIGURES, STAFF_FIGURES
from foldspan.figures.agreement import Agreement, MethodRow, draw_agreement
from foldspan.figures.bands import CategoryBand, CategoryChart, draw_category_chart
from foldspan.figures.bars import Bar, Bars, draw_bars
from foldspan.figures.style import (
    BAR,
    INK,
    LIKELY_TINT,
    QUIET,
    RULE,
    SHAPES,
    WIDE_TINT,
    Backdrop,
    Shape,
    as_image,
    as_svg,
    percent_span,
)
from foldspan.figures.trend import BetweenVisits, Point, TrendPicture, draw_trend
from foldspan.problems import FoldspanError

BEHIND = Backdrop((24.2, 36.7), (20.9, 40.0), "likely 24 to 37 %")
DAYS = [datetime.date(2026, month, 4) for month in (1, 3, 6)]
METHOD_ROWS = (
    MethodRow("Skinfolds", "23 to 37 %", (29.7,), (23.1, 36.3)),
    MethodRow("Left out", "2 hollow", (18.0, 41.0), None, is_used=False),
)


def laid_out(figure: Any) -> tuple[Any, list[Any]]:
    """Return a figure's box and those of all its words, in pixels."""
    renderer = FigureCanvasAgg(figure).get_renderer()
    figure.draw_without_rendering()  # laid out as it is drawn; the dots say nothing here
    words = list(figure.texts)
    for axis in figure.planes:
        words += [*axis.texts, *axis.numbers_x, *axis.numbers_y]
    words = [word for word in words if word.get_text().strip()]
    return figure.bbox, [(word.get_text(), word.get_window_extent(renderer)) for word in words]


def assert_readable(draw: Any, shape: Shape, name: str) -> None:
    figure, words = laid_out(draw(shape))
    for text, box in words:
        assert box.x0 >= figure.x0 - 1, f"{name}: {text!r} is cut at the left"
        assert box.x1 <= figure.x1 + 1, f"{name}: {text!r} is cut at the right"
        assert box.y0 >= figure.y0 - 1, f"{name}: {text!r} is cut below"
        assert box.y1 <= figure.y1 + 1, f"{name}: {text!r} is cut above"
    for (first, first_box), (second, second_box) in combinations(words, 2):
        width = min(first_box.x1, second_box.x1) - max(first_box.x0, second_box.x0)
        height = min(first_box.y1, second_box.y1) - max(first_box.y0, second_box.y0)
        assert width < 2 or height < 2, f"{name}: {first!r} runs into {second!r}"


LOOKED_AT = (
    ("client", "en", ("page", "tight", "phone")),
    ("client", "de", ("page", "phone")),
    ("client", "es", ("page", "phone")),
    ("client", "fr", ("page", "phone")),
    ("trainer", "en", ("page", "phone", "screen")),
)


@pytest.mark.parametrize("path", example_visits.SOUND, ids=lambda path: path.stem)
def test_every_word_of_every_picture_can_be_read(path: Path) -> None:
    visit = foldspan.Visit.from_file(str(path), accept_unusual=True)
    for reader, language, shapes in LOOKED_AT:
        report = foldspan.report(visit, reader=reader, language=language)
        for picture in report.document.pictures():
            for shape in shapes:
                what = f"{path.stem} {reader} {language} {shape} {picture.name}"
                assert_readable(picture.draw, SHAPES[shape], what)


@pytest.mark.parametrize("stem", ["visit", "disagreement"])
def test_every_equation_can_be_read(stem: str) -> None:
    report = foldspan.report(foldspan.Visit.from_file(f"examples/{stem}.toml"))
    assert_readable(report.picture("equations").draw, SHAPES["screen"], stem)


def test_figures_for_those_who_measure_are_in_english() -> None:
    visit = foldspan.Visit.from_file("examples/visit.toml")
    report = foldspan.report(visit, reader="client", language="de")
    for name in FIGURES:
        if name in STAFF_FIGURES:
            with pytest.raises(FoldspanError) as caught:
                report.picture(name)
            assert [problem.code for problem in caught.value.problems] == ["E501"]
    assert report.picture("agreement").alt.startswith("Was jede Methode ergibt")


def test_the_agreement_stands_where_its_numbers_say() -> None:
    figure = draw_agreement(Agreement(METHOD_ROWS, BEHIND, "body fat"), SHAPES["screen"])
    (axis,) = figure.planes
    bar, dot, hollow = axis.lines[-3:]
    assert tuple(bar.get_xdata()) == (23.1, 36.3)
    assert tuple(dot.get_xdata()) == (29.7,)
    assert tuple(hollow.get_xdata()) == (18.0, 41.0)
    assert hollow.get_markerfacecolor() == "white"
    wide, thick = (line for line in axis.lines if line.get_linewidth() in (2.0, 7.0))
    assert tuple(wide.get_xdata()) == BEHIND.range_95
    assert tuple(thick.get_xdata()) == BEHIND.range_80
    low, high = axis.get_xlim()
    assert low <= 18.0
    assert high >= 41.0


def test_a_band_runs_from_limit_to_limit_and_an_open_one_to_the_edge() -> None:
    steps = (
        CategoryBand("low", "10 in 100", None, 23.0),
        CategoryBand("usual", "90 in 100", 23.0, 35.0),
    )
    figure = draw_category_chart(
        CategoryChart(steps, BEHIND, "body fat", (15.0, 45.0)), SHAPES["screen"]
    )
    bars = [line for line in figure.planes[0].lines if line.get_linewidth() == 5]
    assert [tuple(bar.get_xdata()) for bar in bars] == [(15.0, 23.0), (23.0, 35.0)]
    assert figure.planes[0].get_xlim() == (15.0, 45.0)


def test_bars_begin_at_nought() -> None:
    figure = draw_bars(
        Bars((Bar("a", "62 %", 62.0), Bar("b", "1 %", 1.0)), "share"), SHAPES["page"]
    )
    assert figure.planes[0].get_xlim()[0] == 0.0
    assert [tuple(line.get_xdata()) for line in figure.planes[0].lines] == [(0, 62), (0, 1)]


def test_real_changes_and_others_are_told_apart_without_colour() -> None:
    points = tuple(
        Point(example, f"{example}", value, (value - 6, value + 6))
        for example, value in zip(DAYS, (30.0, 29.0, 24.0), strict=True)
    )
    legs = (
        BetweenVisits("-1.0, may be measurement error", is_real=False),
        BetweenVisits("-5.0, real", is_real=True),
    )
    figure = draw_trend(TrendPicture(points, legs, "body fat"), SHAPES["screen"])
    drawn = [line for line in figure.planes[0].lines if line.get_linewidth() in (1.2, 2.2)]
    assert [line.get_linestyle() for line in drawn] == ["--", "-"]
    assert drawn[1].get_linewidth() > drawn[0].get_linewidth()


def test_the_axis_of_percentages_moves_in_fives_and_never_below_nought() -> None:
    assert percent_span(24.2, 36.7) == (20.0, 40.0)
    assert percent_span(0.5, 3.0) == (0.0, 5.0)
    assert percent_span(25.0, 35.0)[0] <= 25.0


def test_the_same_picture_is_the_same_file() -> None:
    data = Agreement(METHOD_ROWS, BEHIND, "body fat")

    def draw(shape: Shape) -> Any:
        return draw_agreement(data, shape)

    assert as_svg(draw, SHAPES["screen"]) == as_svg(draw, SHAPES["screen"])
    assert as_image(draw, ".png", "", "") == as_image(draw, ".png", "", "")
    assert as_image(draw, ".png", "", "")[:4] == b"\x89PNG"


def test_letters_are_text_on_paper_and_outlines_on_a_screen() -> None:
    data = Agreement(METHOD_ROWS, BEHIND, "body fat")
    on_paper, on_screen = (
        as_svg(lambda shape: draw_agreement(data, shape), SHAPES[name])
        for name in ("page", "screen")
    )
    assert "<text" in on_paper
    assert "<text" not in on_screen


def test_colours_differ_in_grey_too() -> None:
    """Contrast of WCAG 2 between what lies on each other: words 4.5, marks 3."""
    for ground in ("#ffffff", LIKELY_TINT, WIDE_TINT):
        assert contrast(INK, ground) > 4.5
        assert contrast(RULE, ground) > 3.0
    assert contrast(QUIET, "#ffffff") > 4.5
    for ground in ("#ffffff", LIKELY_TINT, WIDE_TINT):
        assert contrast(BAR, ground) > 3.0
    assert contrast("#ffffff", INK) > 3.0  # a dot has a white rim on its bar


def contrast(first: str, second: str) -> float:
    light, dark = sorted((luminance(first), luminance(second)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def luminance(colour: str) -> float:
    """Relative luminance (WCAG 2.1, definition of relative luminance)."""
    parts = [int(colour[at : at + 2], 16) / 255.0 for at in (1, 3, 5)]
    red, green, blue = (x / 12.92 if x <= 0.04045 else ((x + 0.055) / 1.055) ** 2.4 for x in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def test_the_trend_has_each_visit_at_its_day_and_its_estimate() -> None:
    points = tuple(
        Point(day, f"{day}", value, (value - 6, value + 5))
        for day, value in zip(DAYS, (30.0, 29.0, 24.0), strict=True)
    )
    legs = (BetweenVisits("may be measurement error", is_real=False),) * 2
    (axis,) = draw_trend(TrendPicture(points, legs, "body fat"), SHAPES["screen"]).planes
    dots = [line for line in axis.lines if line.get_marker() == "o"]
    spans = [line for line in axis.lines if line.get_linewidth() == 2.5]
    assert [float(dot.get_ydata()[0]) for dot in dots] == [30.0, 29.0, 24.0]
    assert [tuple(span.get_ydata()) for span in spans] == [point.range_80 for point in points]
    share = (DAYS[1] - DAYS[0]).days / (DAYS[2] - DAYS[0]).days
    assert [float(dot.get_xdata()[0]) for dot in dots] == pytest.approx([0.0, share, 1.0])


@pytest.mark.parametrize("shape", SHAPES)
def test_the_trend_is_numbered_in_whole_percents(shape: str) -> None:
    """No sign of a decimal: a page in German or French would write it otherwise."""
    points = tuple(Point(day, f"{day}", 35.0, (31.0, 39.0)) for day in DAYS[:2])
    step = BetweenVisits("no clear change", is_real=False)
    figure = draw_trend(TrendPicture(points, (step,), "body fat"), SHAPES[shape])
    FigureCanvasAgg(figure).draw()
    numbers = [label.get_text() for label in figure.planes[0].numbers_y]
    assert len(numbers) >= 3
    assert [number for number in numbers if not number.isdigit()] == []


def test_the_ruler_of_a_visit_stands_on_the_means_of_the_limits() -> None:
    """Gallagher 2000, women of 40 to 59: its three columns, typed again (not verified in print)."""
    columns = ((21.0, 34.0, 39.0), (25.0, 36.0, 41.0), (23.0, 35.0, 41.0))
    report = foldspan.report(
        foldspan.Visit.from_file("examples/visit.toml"), reference_method="density"
    )
    (band,) = (
        band for band in report.material.result.bands if band.standard.startswith("gallagher2000")
    )
    assert [low for low, _ in band.limits] == [min(column) for column in zip(*columns, strict=True)]
    figure = report.picture("bands").draw(SHAPES["screen"])
    bars = [line for line in figure.planes[0].lines if line.get_linewidth() == 5]
    middles = [(min(x) + max(x)) / 2.0 for x in zip(*columns, strict=True)]
    ends = [float(bar.get_xdata()[0]) for bar in bars][1:]
    assert ends == pytest.approx(middles)
