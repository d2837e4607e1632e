"""Reads pages to hand over as a person or a program does: their words, tags, texts and sheets."""

from __future__ import annotations

import io
import re
from dataclasses import replace
from functools import cache
from html.parser import HTMLParser
from typing import Any

import pypdf
import pytest

import example_visits
import foldspan
from foldspan.api.report import PAGES
from foldspan.display_units import UNITS
from foldspan.export.report import Report
from foldspan.pages import html_page
from foldspan.pages.inputs import paper_of
from foldspan.text.catalogue import LANGUAGES

STEMS = [path.stem for path in example_visits.SOUND]
PATHS = {path.stem: path for path in example_visits.SOUND}
READERS = ("client", "trainer", "clinician")
TREE: dict[str, Any] = {
    "client": {"code": "K-301", "sex": "female", "age_years": 38},
    "visit": {"date": "2026-04-08", "tester": "T-04"},
    "mass_height": {"weight_kg": 68.0, "height_cm": 169.0},
    "girths_cm": {"waist_midpoint": [80.1, 80.5], "neck": 33.0, "hip": 101.0},
}


def tree(**sections: dict[str, Any]) -> dict[str, Any]:
    return TREE | {name: TREE.get(name, {}) | lines for name, lines in sections.items()}


def visit(**sections: dict[str, Any]) -> foldspan.Visit:
    return foldspan.Visit.from_dict(tree(**sections))


@cache
def worked_out(stem: str) -> Report:
    """What is worked out once for every reader of a visit."""
    return foldspan.report(foldspan.Visit.from_file(str(PATHS[stem]), accept_unusual=True))


@cache
def page(stem: str, reader: str, language: str = "en", units: str = "metric") -> Report:
    """As ``foldspan.report`` gives it (tests/pages/test_page_formats.py holds one against the other)."""
    material = replace(
        worked_out(stem).material,
        units=UNITS[units],
        language=LANGUAGES[language],
        paper=paper_of("", None, units),
    )
    return Report(reader, material, PAGES[reader](material))


class Words(HTMLParser):
    """The words of a page as a person reads them, and every tag with its attributes."""

    def __init__(self) -> None:
        super().__init__()
        self.words: list[str] = []
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.is_style = False

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))
        self.is_style = tag == "style"

    def handle_endtag(self, tag: str) -> None:
        self.is_style = False

    def handle_data(self, data: str) -> None:
        if not self.is_style:
            self.words += data.split()


def read_html(report: Report) -> Words:
    """The words and tags of a page; its pictures, looked at elsewhere, are left empty to save time."""
    found = Words()
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(html_page, "as_svg", lambda draw, shape: "<svg/>")
        found.feed(report.html())
    return found


def texts(value: Any) -> list[str]:
    """Every text of the JSON tree of a page, but the names of its parts."""
    if isinstance(value, dict):
        return [text for name, held in value.items() if name != "kind" for text in texts(held)]
    if isinstance(value, list):
        return [text for held in value for text in texts(held)]
    return [value] if isinstance(value, str) else []


def squeezed(text: str) -> str:
    """Letters alone: lines, and signs that only let a line break, differ from format to format."""
    return re.sub(r"[\s\u200b-]+", "", text)


def pdf_of(report: Report) -> pypdf.PdfReader:
    return pypdf.PdfReader(io.BytesIO(report.pdf()))


def pdf_text(report: Report) -> str:
    sheets = [page.extract_text() for page in pdf_of(report).pages]
    return "\n".join(re.sub(r"(?:\S+ · \S+\s*)?\d+ / \d+\s*$", "", sheet) for sheet in sheets)
