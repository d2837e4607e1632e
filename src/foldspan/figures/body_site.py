"""Picture of one measuring site close up: its landmarks named, the way to its mark, its sign."""

from __future__ import annotations

from collections.abc import Sequence
from xml.etree.ElementTree import Element, tostring

from foldspan.figures.body_drawing import MM, Pen, element, number
from foldspan.figures.body_labels import (
    LABEL,
    LETTER,
    LINE,
    NARROWEST,
    Label,
    Site,
    place_at,
    sheet_of,
    spread,
    target_of,
    wrapped,
    write,
)
from foldspan.protocol.body.curves import Point
from foldspan.protocol.body.place import Place
from foldspan.protocol.site_guide import guide_for
from foldspan.quantities import BY_NAME
from foldspan.text.en.reconcile import capital

# letters of a line of a label
_LETTERS = 16
# how little of the person is shown, how much round the landmarks, and how far a label goes aside [cm]
_LEAST, _ROUND, _ASIDE = 32.0, 6.0, 6.0
# chin and throat lie close together; of the lifted arm the bent elbow is seen
_LEAST_OF = {"chin_mm": 20.0, "arm_flexed_girth_cm": 64.0}


def site_svg(site: Site, *, title: str = "", desc: str = "", is_file: bool = False) -> str:
    """Return one site close up as SVG: its landmarks named, the way to its mark, the sign.

    Parameters
    ----------
    site : str or (str, str)
        A quantity, or a quantity with a variant of its site.
    title, desc, is_file
        As for ``body_svg``.

    Raises
    ------
    KeyError
        For a quantity that is not measured, or a variant that it has not.
    """
    place = place_at(site)
    side = -1 if place.view == "front" else 1
    texts = [_said(place), *((tuple(wrapped(name, _LETTERS)), 0) for name in place.named)]
    left, top, right, foot = _crop(place)
    share = LABEL / NARROWEST
    letters = max(len(line) for lines, _ in texts for line in lines)
    wide = (right - left) / (1.0 - share * (LETTER * letters + 1.5))
    size = share * wide
    heights = [(1.2 * len(lines) + 0.6) * size for lines, _ in texts]
    more = max(sum(heights) - (foot - top), 0.0) / 2.0
    top, foot = top - more, foot + more
    name = capital(BY_NAME[place.name].label)
    sheet = sheet_of(
        wide, foot - top, title or name, desc or _description(place), NARROWEST if is_file else None
    )
    start = wide - (right - left) if side < 0 else 0.0
    window = _window(sheet, start, right - left, foot - top)
    pen = Pen(window, MM * (start - left), -MM * top, MM * LINE / NARROWEST * wide, 2.2 * size)
    _draw_close(pen, place)
    pen.sheet = sheet
    targets = [target_of(place, side), *place.named.values()]
    wanted = [_beside(target, targets[0], side) for target in targets]
    middles = _within(spread(wanted, heights), heights, top, foot)
    edge = (left if side < 0 else right) + side * size
    for (lines, bold), target, y in zip(texts, targets, middles, strict=True):
        # a tape or bar is met at its end, a mark and a ring are not run over
        off = 0.0 if place.ends and bold else 2.2 * pen.thick / MM
        write(pen, Label(lines, Point(edge, y), side, target, off, bold), size)
    return tostring(sheet, encoding="unicode")


def _said(place: Place) -> tuple[tuple[str, ...], int]:
    """Lines of the label of a site: its name, bold, and how far the mark lies from its landmark."""
    name = wrapped(BY_NAME[place.name].label, _LETTERS)
    return (*name, *(wrapped(place.apart, _LETTERS) if place.apart else ())), len(name)


def _window(sheet: Element, start: float, wide: float, tall: float) -> Element:
    """Return the part of the sheet that shows the person, framed; what reaches beyond is cut off."""
    x, width, height = MM * start, MM * wide, MM * tall
    element(
        sheet, "rect", class_="body-frame", x=x, y=0.0, width=width, height=height, fill="none",
        stroke="currentColor", stroke_opacity="0.35", stroke_width=0.12 * MM,
    )  # fmt: skip
    return element(
        sheet, "svg", x=x, y=0.0, width=width, height=height,
        viewBox=f"{number(x)} 0 {number(width)} {number(height)}",
    )  # fmt: skip


def _description(place: Place) -> str:
    """The words of the guide: where the site is, and which way."""
    guide = guide_for(place.name, place.variant)
    return capital("; ".join(filter(None, (guide.where, guide.direction)))) + "."


def _crop(place: Place) -> tuple[float, float, float, float]:
    """What is shown round a site: left, top, right, foot [cm]."""
    points = [place.at, *(place.ends or ()), *place.named.values(), *(place.way or ())]
    # the signs of weight and height reach further than their mark
    if place.kind in ("mass", "height"):
        points += [place.at.moved(17.0, 180.0), place.at.moved(17.0, 0.0)]
    if place.kind == "height":
        points.append(place.at.moved(22.0, 90.0))
    spans = []
    for part in zip(*points, strict=True):
        low, high = min(part) - _ROUND, max(part) + _ROUND
        more = max(_LEAST_OF.get(place.name, _LEAST) - (high - low), 0.0) / 2.0
        spans.append((low - more, high + more))
    (left, right), (top, foot) = spans
    return left, top, right, foot


def _draw_close(pen: Pen, place: Place) -> None:
    """The person, the way to the mark, the sign, the landmarks."""
    pen.person(place.view)
    for line in place.lines:
        pen.line("body-guide", line, 1.1, is_dashed=True)
    if place.way:
        pen.line("body-guide", place.way, 1.1)
    pen.sign(place)
    for point in place.named.values():
        pen.ring(point)


def _beside(target: Point, mark: Point, side: int) -> float:
    """The level wanted for a label: so that its leader does not run through the mark."""
    is_behind = side * (mark.x - target.x) > 0.5 and abs(target.y - mark.y) < 3.0
    return target.y + (_ASIDE if target.y > mark.y - 0.5 else -_ASIDE) * is_behind


def _within(
    middles: Sequence[float], heights: Sequence[float], top: float, foot: float
) -> list[float]:
    """Labels moved together where the first or last would stand outside."""
    first = min(middle - tall / 2.0 for middle, tall in zip(middles, heights, strict=True))
    last = max(middle + tall / 2.0 for middle, tall in zip(middles, heights, strict=True))
    shift = max(top - first, 0.0) - max(last - foot, 0.0)
    return [middle + shift for middle in middles]
