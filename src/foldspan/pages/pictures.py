"""Pictures of a visit: what each figure is given, in the words and units of the page."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from dataclasses import replace
from functools import partial
from itertools import pairwise

import numpy as np

from foldspan.display_units import whole_ends
from foldspan.estimation.families.combine import Z_LIKELY, Z_WIDE, interval
from foldspan.figures.agreement import Agreement, MethodRow, draw_agreement
from foldspan.figures.bands import CategoryBand, CategoryChart, draw_category_chart
from foldspan.figures.bars import Bar, Bars, draw_bars
from foldspan.figures.style import Backdrop, percent_span
from foldspan.figures.trend import BetweenVisits, Point, TrendPicture, WholeCourse, draw_trend
from foldspan.followup.difference import z_real
from foldspan.pages.document import Picture
from foldspan.pages.inputs import Material
from foldspan.pages.trainer.profile import profile_picture
from foldspan.results.changes_for_client import changes_for_client
from foldspan.results.offers import offered
from foldspan.results.result import Result
from foldspan.results.spoken import SpokenBand
from foldspan.text.catalogue import Language
from foldspan.text.change import printed_amount
from foldspan.text.en.client_page import STANDARD_NAMES
from foldspan.text.en.reconcile import BUDGET_NAMES, FAMILY_NAMES, LEFT_OUT_WORDS, capital
from foldspan.text.explain import label

# parts of the uncertainty below this share are not drawn
LEAST_SHARE = 0.005
LEAST_PROBABILITY = 0.005
# how much of an axis is shown beyond what it has to hold, as a share of it
BEYOND = 0.12
# a line of the trend may differ from the change between two visits by this much [points]
SAME_FOOTING = 0.5
# a fat percentage is a whole number on a page, an index has its usual digits
DIGITS = {"fat_percent": 0, "bmi": 1, "waist_to_height": 2, "waist_to_hip": 2}


def ends(estimate: float, se: float, z: float) -> tuple[float, float]:
    """Return the ends of a range around one estimate."""
    low, high = interval(np.array([estimate]), np.array([se]), z)
    return float(low[0]), float(high[0])


def spread(band: SpokenBand, z: float) -> tuple[float, float]:
    """Return the ends of the range around the value of a standard, in the unit of its measure.

    What is reported in living adults bounds a fat percentage, and no other measure.
    """
    if band.measure == "fat_percent":
        return ends(band.value, band.se, z)
    return band.value - z * band.se, band.value + z * band.se


def in_whole(low: float, high: float) -> dict[str, int]:
    """Return the ends of a range as whole numbers, as every page has them."""
    return dict(zip(("low", "high"), whole_ends((low, high)), strict=True))


def in_100(language: Language, chance: float) -> str:
    """Return a chance as so many in 100, never 0 or 100."""
    if chance > 0.99:
        return language.say("page.almost_sure")
    if chance < 0.01:
        return language.say("page.hardly")
    return f"{100.0 * chance:.0f}"


def cited(band: SpokenBand, language: Language) -> str:
    """Return a standard as a language cites it: who and when."""
    starts = [start for start in STANDARD_NAMES if band.standard.startswith(start)]
    name = STANDARD_NAMES[starts[0]] if starts else band.name
    return name.replace("WHO", language.say("standard.who"))


def _behind(language: Language, result: Result) -> Backdrop:
    likely, wide = result.fat_percent.range_80, result.fat_percent.range_95
    assert likely is not None
    assert wide is not None
    return Backdrop(likely, wide, language.say("picture.likely", **in_whole(*likely)))


def agreement_picture(material: Material, *, for_client: bool) -> Picture:
    """Return what each method group says with its own range, the answer above them."""
    language, result = material.language, material.result
    rows, lines = [], []
    for family in result.methods:
        likely = ends(family.estimate, family.se, Z_LIKELY)
        name = (
            language.say(f"family.{family.method}") if for_client else FAMILY_NAMES[family.method]
        )
        value = (
            language.say("picture.span", **in_whole(*likely))
            if for_client
            else language.say(
                "picture.method_value",
                percent=f"{family.estimate:.1f}", se=f"{family.se:.1f}",
                weight=f"{100 * family.weight:.0f}",
            )
        )  # fmt: skip
        rows.append(MethodRow(capital(name), value, (family.estimate,), likely))
        lines.append(language.say("picture.method", name=name, **in_whole(*likely)))
    behind = _behind(language, result)
    data = Agreement(tuple(rows), behind, language.say("picture.axis.fat_percent"))
    alt = language.say(
        "picture.agreement", methods=language.listed(lines), **in_whole(*behind.range_80)
    )
    caption = language.say("caption.agreement" if len(rows) > 1 else "caption.one_way")
    return Picture("agreement", alt, partial(draw_agreement, data), caption)


def equations_picture(material: Material) -> Picture:
    """Return what each equation in use says; those left out stand together, by the reason."""
    language, result = material.language, material.result
    rows: list[MethodRow] = []
    out: dict[str, list[float]] = {}
    silent: Counter[str] = Counter()
    for equation in result.equations:
        # the first reason counts: an equation stands on the picture once
        why = next((LEFT_OUT_WORDS[code] for code in equation.left_out_because), "")
        if equation.used and equation.estimate is not None and equation.se is not None:
            percent, se = f"{equation.estimate:.1f}", f"{equation.se:.1f}"
            value = language.say("picture.equation_value", percent=percent, se=se)
            likely = ends(equation.estimate, equation.se, Z_LIKELY)
            rows.append(MethodRow(equation.key, value, (equation.estimate,), likely))
        elif equation.estimate is None:
            silent[why] += 1
        elif not equation.used:
            out.setdefault(why, []).append(equation.estimate)
    for why, estimates in out.items():
        label_of_row = language.say("picture.left_out", why=why)
        count = language.say("picture.equation_count", count=len(estimates))
        rows.append(MethodRow(label_of_row, count, tuple(estimates), None, is_used=False))
    behind = _behind(language, result)
    notes = tuple(
        language.say("picture.left_note", count=count, why=why) for why, count in silent.items()
    )
    data = Agreement(tuple(rows), behind, language.say("picture.axis.fat_percent"), notes)
    lines = [language.say("picture.row", name=method.label, value=method.value) for method in rows]
    alt = language.say(
        "picture.agreement", methods=language.listed(lines), **in_whole(*behind.range_80)
    )
    caption = language.say("caption.equations")
    return Picture("equations", alt, partial(draw_agreement, data), caption)


def bands_picture(material: Material, band: SpokenBand) -> Picture:
    """Return the bands of one standard on its own scale, with the chance of each."""
    language = material.language
    limits = open_limits(band)
    steps, lines = [], []
    for order, (code, chance) in enumerate(band.probabilities.items()):
        value = language.say("picture.in_100", chance=in_100(language, chance))
        name = language.say(f"band.{code}")
        steps.append(CategoryBand(capital(name), value, limits[order], limits[order + 1]))
        lines.append(language.say("page.chance", band=name, chance=in_100(language, chance)))
    first, last = _reached(band)
    likely, wide = (spread(band, z) for z in (Z_LIKELY, Z_WIDE))
    if band.measure == "fat_percent":
        behind = Backdrop(likely, wide, language.say("picture.likely", **in_whole(*likely)))
        span = percent_span(*wide, *_limits_reached(band))
    else:
        number = language.number(band.value, DIGITS.get(band.measure, 1))
        behind = Backdrop(likely, wide, language.say("picture.you", value=number), band.value)
        span = _room(*wide, *_limits_reached(band))
    data = CategoryChart(
        tuple(steps[first : last + 1]),
        behind,
        language.say(f"picture.axis.{band.measure}"),
        span,
        language.number(0.5, 1)[1],
    )
    alt = language.say(
        "picture.bands", measure=language.say(f"measure.{band.measure}"), name=cited(band, language),
        chances="; ".join(lines),
    )  # fmt: skip
    return Picture("bands", alt, partial(draw_category_chart, data), language.say("caption.bands"))


def open_limits(band: SpokenBand) -> list[float | None]:
    """Return the limits of a standard from low to high, None at both ends, which are open."""
    return [None, *map(_middle, band.limits), None]


def _middle(limit: tuple[float, float]) -> float:
    """One limit, or the mean of the lowest and the highest where columns were averaged."""
    return sum(limit) / 2.0


def _reached(band: SpokenBand) -> tuple[int, int]:
    """First and last band that are drawn: those that may hold the client, and the next to each side."""
    orders = [
        order
        for order, probability in enumerate(band.probabilities.values())
        if probability >= LEAST_PROBABILITY
    ]
    return max(orders[0] - 1, 0), min(orders[-1] + 1, len(band.probabilities) - 1)


def _limits_reached(band: SpokenBand) -> tuple[float, ...]:
    """Limits between the bands that are drawn."""
    first, last = _reached(band)
    return tuple(map(_middle, band.limits[max(first - 1, 0) : last + 1]))


def _room(*values: float) -> tuple[float, float]:
    """Ends of an axis with some room on both sides."""
    low, high = min(values), max(values)
    room = BEYOND * (high - low)
    return max(low - room, 0.0), high + room


def budget_picture(material: Material) -> Picture:
    """Return where the uncertainty of the range comes from."""
    language, budget = material.language, material.result.budget
    total = sum(budget.values())
    rows = [
        Bar(
            capital(BUDGET_NAMES[block]),
            language.say("picture.share", share=f"{100 * part / total:.0f}"),
            100.0 * part / total,
        )
        for block, part in sorted(budget.items(), key=lambda item: -item[1])
        if part / total >= LEAST_SHARE
    ]
    return _bars("budget", Bars(tuple(rows), language.say("picture.budget_axis")), language)


def narrowing_picture(material: Material) -> Picture | None:
    """Return what would narrow the range, None where nothing would."""
    language, offers = (
        material.language,
        offered(material.explanation, material.visit.client.known_sex),
    )
    if not offers:
        return None
    now = f"{offers[0].width_now:.1f}"
    rows = [
        Bar(
            capital(" + ".join(label(name) for name in offer.names)),
            language.say(
                "picture.narrowing_value",
                width=f"{offer.width_expected:.1f}", minutes=f"{offer.minutes:g}",
            ),
            offer.width_expected,
        )
        for offer in offers
    ]  # fmt: skip
    mark = language.say("picture.now", width=now)
    axis = language.say("picture.narrowing_axis")
    return _bars("narrowing", Bars(tuple(rows), axis, offers[0].width_now, mark), language, now=now)


def _bars(name: str, data: Bars, language: Language, **values: str) -> Picture:
    lines = [language.say("picture.row", name=row.label, value=row.value) for row in data.rows]
    alt = language.say(f"picture.{name}", rows=language.listed(lines), **values)
    return Picture(name, alt, partial(draw_bars, data), language.say(f"caption.{name}"))


def trend_picture(material: Material) -> Picture | None:
    """Return the ranges of all visits over time, None where fewer than two days are known."""
    language = material.language
    every = [*material.earlier, (material.visit, material.result)]
    if len(every) < 2 or any(visit.day is None or not result.has_range for visit, result in every):
        return None
    days = [visit.day for visit, _ in every if visit.day is not None]
    if days[0] == days[-1]:
        return None
    points, lines = [], []
    for (_, result), day in zip(every, days, strict=True):
        fat = result.fat_percent
        assert fat.estimate is not None
        assert fat.range_80 is not None
        label_of_day = language.short_day(day, material.units.system)
        points.append(Point(day, label_of_day, fat.estimate, fat.range_80))
        lines.append(
            language.say(
                "picture.visit",
                day=language.day(day, material.units.system),
                **in_whole(*fat.range_80),
            )
        )
    steps = [
        _leg(material, place, after.estimate - before.estimate)
        for place, (before, after) in enumerate(pairwise(points))
    ]
    whole = _whole(material)
    data = TrendPicture(
        tuple(points), tuple(steps), language.say("picture.axis.fat_percent"), whole
    )
    alt = language.say(
        "picture.trend",
        visits=language.listed(lines),
        steps=language.listed(step.words for step in steps),
    )
    if whole is not None:
        alt = f"{alt} {language.say('picture.trend_whole', points=whole.words)}"
    return Picture("trend", alt, partial(draw_trend, data), language.say("caption.trend"))


def _leg(material: Material, place: int, drawn: float) -> BetweenVisits:
    """What lies between two visits; ``drawn`` is what their ranges stand apart [points]."""
    language, step = material.language, material.steps[place]
    percent = None if step is None else step.change.percent
    if percent is None:
        return BetweenVisits(language.say("picture.not_compared"), is_real=False)
    # what was measured at one visit only moves a range and is no part of the change: no line then
    if abs(drawn - percent.amount) > SAME_FOOTING:
        return BetweenVisits(language.say("picture.other_sites"), is_real=False, is_drawn=False)
    whole, is_last = material.whole, place == len(material.steps) - 1
    # the last step is judged as the words beside the picture judge it, the others all at once
    if is_last and whole is not None and whole.step is not None and whole.step.percent is not None:
        percent = whole.step.percent
    elif not is_last:
        percent = replace(percent, judged_at=z_real(len(material.steps)))
    points_said = language.number(printed_amount(percent), 1, signed=True)
    key = "picture.real" if percent.is_real else "picture.not_real"
    return BetweenVisits(language.say(key, points=points_said), percent.is_real)


def _whole(material: Material) -> WholeCourse | None:
    """What is real over three visits and more, None where nothing is."""
    if material.whole is None or material.whole.step is None:
        return None
    change = next(
        (
            client_change
            for client_change in changes_for_client(material.whole)
            if client_change.since != "last"
        ),
        None,
    )
    if change is None or change.percent is None or not change.percent.is_real:
        return None
    points = material.language.number(printed_amount(change.percent), 1, signed=True)
    return WholeCourse(change.percent.amount, material.language.say("picture.real", points=points))


PICTURES: dict[str, Callable[[Material], Picture | None]] = {
    "agreement": partial(agreement_picture, for_client=False),
    "equations": equations_picture,
    "budget": budget_picture,
    "narrowing": narrowing_picture,
    "profile": profile_picture,
    "trend": trend_picture,
}
"""Name → picture, for one that is asked for by itself; ``bands`` needs its standard."""
