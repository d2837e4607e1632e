"""PDF page: tagged, its fonts embedded, its text to be selected; letters are set by a typesetter."""

from __future__ import annotations

import base64
import json
from collections.abc import Iterable, Iterator
from functools import cache
from importlib import resources
from itertools import chain, pairwise
from pathlib import Path
from typing import Any, NamedTuple
from xml.etree import ElementTree

from foldspan.extras import require
from foldspan.figures.style import SHAPES, Draw, as_svg
from foldspan.pages.document import Document, Facts, FillIn, Heading, Picture, Table
from foldspan.pages.sanitise import breakable, kept_together
from foldspan.practice.logo import kind_of, size_of_pixels

# a page that has to be one page is set smaller until it is: its pictures and the size of its letters
USUAL = ("page", 1.0)
# for those who measure and refer: more on a sheet, so that no signature stands on one alone
STAFF = ("tight", 0.95)
# two sheets where that is possible: what begins a sheet of its own follows without a break before
# letters get hard to read, and things stand closer before letters reach their floor (page.typ)
TWO_SHEETS = (
    (*STAFF, True, 1.0), ("tight", 0.9, True, 1.0), (*STAFF, False, 1.0), ("tight", 0.9, False, 1.0),
    ("small", 0.9, False, 0.85), ("small", 0.85, False, 0.8), ("small", 0.8, False, 0.7),
)  # fmt: skip
# a letter is one sheet: a doctor has two minutes, and what is to be signed stands below what was read
LETTER = (
    *(("tight", scale, 1.0) for scale in (1.05, 1.0, 0.95, 0.9)),
    ("tight", 0.9, 0.85), ("tight", 0.85, 0.8), ("tight", 0.8, 0.7), ("tight", 0.8, 0.6),
)  # fmt: skip
# a client's letters are 12 points: what is between them gets smaller. Only a page that is hardly more
# than what a doctor should see and still too long has smaller ones: a second sheet may be lost
FITS = (USUAL, ("page", 0.85), ("tight", 0.7))
LAST_RESORT = tuple(("small", 0.7, letters) for letters in (0.92, 0.84, 0.76))
# stands for a sign that the font of the page does not hold
NO_GLYPH = "\u25a1"
# the name by which the typesetter finds the logo: its ending says what it is
LOGO = "logo.svg"
LEAST_SHARE, MOST_SHARE = 6, 40


class PageSetting(NamedTuple):
    """One way to set a document: the shape of its pictures, sizes, sheets of their own, and room.

    A client's page has its ``scale`` for what is between letters, and ``letters`` for these; the others
    have it for letters, and ``space`` for what is between.
    """

    shape: str
    scale: float
    letters: float = 1.0
    has_breaks: bool = True
    space: float = 1.0


def as_pdf(
    document: Document,
    *,
    most_sheets: int = 0,
    is_letter: bool = False,
    shorter: Iterable[Document] = (),
) -> bytes:
    """Return a document as a PDF file (PDF/UA-1: tagged, titled, in its language).

    A document of one sheet (``most_sheets`` 1, 0 for any number) is set closer until it fits, or as near
    as can be read; then the ``shorter`` ones are tried in order. One of two sheets and a letter are set
    smaller. Letters that the embedded font lacks are shown as an empty square.
    """
    require("pages")
    import typst

    template = resources.files("foldspan.pages").joinpath("page.typ").read_bytes()
    logo = b"" if document.letterhead is None else document.letterhead.logo
    files = {"main.typ": template} | ({LOGO: _as_text(logo)} if logo else {})
    known: dict[str, Any] = {"input": files, "font_paths": _found_fonts()}
    drawn: dict[tuple[Draw, str], str] = {}  # a picture is drawn once for all ways to set it
    for page, way in _tries(document, most_sheets, is_letter, shorter):
        tree = _tree(page, way.shape, drawn) | {"is_letter": is_letter}
        data = json.dumps(tree, ensure_ascii=False)
        known["sys_inputs"] = {
            "data": data, "scale": str(way.scale), "letters": str(way.letters),
            "breaks": "yes" if way.has_breaks else "no", "space": str(way.space),
        }  # fmt: skip
        if (most_sheets or is_letter) and _sheets(known) <= max(most_sheets, 1):
            break
    return bytes(typst.compile(format="pdf", pdf_standards=["ua-1"], **known))


def _as_text(logo: bytes) -> bytes:
    """Return the logo as SVG: the typesetter takes files of text only, so pixels stand inside one."""
    kind = kind_of(logo)
    if kind == "svg":
        # as UTF-8, whatever it was written in
        return bytes(ElementTree.tostring(ElementTree.fromstring(logo), encoding="utf-8"))
    wide, high = size_of_pixels(logo, kind)
    held = f"data:image/{kind};base64,{base64.b64encode(logo).decode()}"
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{wide}" height="{high}">'
        f'<image width="{wide}" height="{high}" href="{held}"/></svg>'
    ).encode()


def _tries(
    document: Document, most_sheets: int, is_letter: bool, shorter: Iterable[Document]
) -> Iterator[tuple[Document, PageSetting]]:
    """Yield what to set and in which way, until it fits."""
    if most_sheets != 1:
        yield from ((document, way) for way in _ways_of_staff(most_sheets, is_letter=is_letter))
        return
    barest = document
    for barest in chain((document,), shorter):  # a shorter one is made where it is needed
        yield from ((barest, PageSetting(*way)) for way in FITS)
    yield from ((barest, PageSetting(*way)) for way in LAST_RESORT)


def _ways_of_staff(most_sheets: int, *, is_letter: bool) -> Iterator[PageSetting]:
    if most_sheets == 2:
        for shape, scale, has_breaks, space in TWO_SHEETS:
            yield PageSetting(shape, scale, has_breaks=has_breaks, space=space)
    elif is_letter:
        for shape, scale, space in LETTER:
            yield PageSetting(shape, scale, space=space)
    else:
        yield PageSetting(*STAFF)


def _sheets(known: dict[str, Any]) -> int:
    import typst

    return int(json.loads(typst.query(selector="<pages>", field="value", one=True, **known)))


def missing_glyphs(document: Document) -> bool:
    """Return whether a page holds signs that its PDF can only show as an empty square."""
    return _shown(json.dumps(document.to_dict(), ensure_ascii=False)).count(NO_GLYPH) > 0


def _tree(document: Document, shape: str, drawn: dict[tuple[Draw, str], str]) -> dict[str, Any]:
    head = document.letterhead
    tree = document.to_dict() | {
        "paper": document.paper,
        "running": document.running,
        "is_large": document.is_large,
        "logo": LOGO if head is not None and head.logo else "",
        "logo_alt": "" if head is None else head.name or "logo",
    }
    for part, known in zip(tree["parts"], document.parts, strict=True):
        if isinstance(known, Picture):
            key = known.draw, shape
            part["svg"] = drawn[key] = drawn.get(key) or as_svg(known.draw, SHAPES[shape])
        part["is_before_signature"] = part["is_after_answer"] = False
        if isinstance(known, FillIn):
            part["columns"] = known.columns
        if isinstance(known, Heading):
            part["starts_sheet"] = known.starts_sheet
        if isinstance(known, Facts):
            part["columns"] = known.columns
        if isinstance(known, Table):
            part["is_dense"] = known.is_dense
            part["widths"] = _widths([part["header"], *part["rows"]])
    for part, after in pairwise(tree["parts"]):
        part["is_before_signature"] = after["kind"] == "signature"
        after["is_after_answer"] = part["kind"] == "answer_lines"
    return dict(_fit(tree))


def _fit(tree: Any, key: str = "") -> Any:
    """Make every text of a tree fit to be set, but the pictures."""
    if isinstance(tree, dict):
        return {name: _fit(value, name) for name, value in tree.items()}
    if isinstance(tree, list):
        return [_fit(value, key) for value in tree]
    if isinstance(tree, str) and key not in ("svg", "kind", "language", "paper", "logo"):
        return kept_together(breakable(_shown(tree)))
    return tree


def _widths(rows: list[list[str]]) -> list[int]:
    """Share of the width for each column: the longest of its cells, within reason."""
    return [
        min(max(max(map(len, column)), LEAST_SHARE), MOST_SHARE)
        for column in zip(*rows, strict=True)
    ]


def _shown(text: str) -> str:
    """Return a text with an empty square for each sign that the font does not hold."""
    return "".join(char if ord(char) in _covered() else NO_GLYPH for char in text)


@cache
def _fonts() -> Path:
    """Return the folder of the fonts: those that the drawing library brings for its pictures."""
    import matplotlib as mpl

    return Path(mpl.get_data_path()) / "fonts" / "ttf"


@cache
def _found_fonts() -> Any:
    """Return the fonts of that folder, looked through once and not for every page."""
    import typst

    return typst.Fonts(include_system_fonts=False, font_paths=[str(_fonts())])


@cache
def _covered() -> frozenset[int]:
    from matplotlib.ft2font import FT2Font

    plain, bold = (
        set(FT2Font(str(_fonts() / name)).get_charmap())
        for name in ("DejaVuSans.ttf", "DejaVuSans-Bold.ttf")
    )
    return frozenset(plain & bold) | frozenset(map(ord, "\n\t\u200b\u200d\u200c\u00a0"))
