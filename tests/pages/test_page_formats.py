"""Formats of the pages: HTML, PDF and JSON say the same, and each is what it should be."""

from __future__ import annotations

import json
import re
from itertools import pairwise
from pathlib import Path

import pytest

import example_visits
import foldspan
from foldspan.pages.document import Document
from page_reading import PATHS, READERS, STEMS, page, pdf_of, pdf_text, read_html, squeezed, texts


@pytest.mark.parametrize("reader", READERS)
@pytest.mark.parametrize("stem", STEMS)
def test_html_and_pdf_say_what_the_document_says(stem: str, reader: str) -> None:
    report = page(stem, reader)
    html, pdf = squeezed(" ".join(read_html(report).words)), squeezed(pdf_text(report))
    for part in report.to_dict()["page"]["parts"]:
        spoken = {name: value for name, value in part.items() if name not in ("text", "name")}
        for text in texts(part if part["kind"] != "picture" else spoken):
            assert squeezed(text) in html
            # a cell may be broken over a page, with the header between
            assert squeezed(text) in pdf or part["kind"] == "table"


@pytest.mark.parametrize(
    ("reader", "language", "units"),
    [(READERS[0], "de", "metric"), (READERS[1], "en", "us"), (READERS[2], "en", "metric")],
)
def test_pages_read_here_are_those_handed_over(reader: str, language: str, units: str) -> None:
    read = foldspan.Visit.from_file(str(PATHS["visit"]), accept_unusual=True)
    handed = foldspan.report(read, reader=reader, language=language, units=units)
    assert page("visit", reader, language, units).html() == handed.html()
    assert read_html(handed).words


@pytest.mark.parametrize("reader", READERS)
def test_html_stands_by_itself(reader: str) -> None:
    found = read_html(page("visit", reader))
    tags = [tag for tag, _ in found.tags]
    assert not {"script", "link", "iframe", "object", "embed", "form"} & set(tags)
    for tag, attributes in found.tags:
        for name, value in attributes.items():
            assert not name.startswith("on")
            if name in ("src", "srcset", "href"):
                assert (value or "").startswith("data:image/svg+xml;base64,"), tag
    (start,) = (attributes for tag, attributes in found.tags if tag == "html")
    assert start.get("lang") == "en"
    images = [attributes for tag, attributes in found.tags if tag == "img"]
    assert images or reader == "clinician"  # a letter tells in words
    assert all((image.get("alt") or "").strip() for image in images)
    levels = [int(tag[1]) for tag in tags if re.fullmatch(r"h[1-6]", tag)]
    assert levels[0] == 1
    assert levels.count(1) == 1
    assert all(after - before <= 1 for before, after in pairwise(levels))


@pytest.mark.parametrize(
    ("reader", "language"),
    [*((reader, "en") for reader in READERS), ("client", "de"), ("client", "es"), ("client", "fr")],
)
def test_pdf_is_tagged_titled_in_its_language_and_carries_its_fonts(
    reader: str, language: str
) -> None:
    report = page("visit", reader, language)
    pdf = pdf_of(report)
    root = pdf.trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"]
    assert root["/Lang"] == language
    assert pdf.metadata is not None
    assert pdf.metadata.title == report.document.title
    for sheet in pdf.pages:
        for font in sheet["/Resources"]["/Font"].values():
            (inner,) = font.get_object()["/DescendantFonts"]
            described = inner.get_object()["/FontDescriptor"]
            assert "/FontFile2" in described or "/FontFile3" in described
            assert "/ToUnicode" in font.get_object()


def test_pictures_in_a_pdf_are_drawn_and_their_letters_are_letters() -> None:
    report = page("visit", "client")
    text = pdf_text(report)
    likely = report.material.result.fat_percent.range_80
    assert likely is not None
    assert f"{likely[0]:.0f}% to {likely[1]:.0f}%" in text
    for sheet in pdf_of(report).pages:
        assert list(sheet.images) == []  # nothing was turned into dots


def test_json_holds_the_page_and_what_it_was_made_from() -> None:
    report = page("visit", "trainer")
    written = json.loads(json.dumps(report.to_dict()))
    assert written["schema_version"] == 2
    assert written["reconcile"] == json.loads(json.dumps(report.material.result.to_dict()))
    explanation = foldspan.explain(report.material.visit).to_dict()
    assert written["explain"] == json.loads(json.dumps(explanation))
    assert [part["kind"] for part in written["page"]["parts"]].count("picture") == 1
    full = foldspan.report(report.material.visit, full=True).to_dict()["page"]["parts"]
    assert [part["name"] for part in full if part["kind"] == "picture"] == [
        *("agreement", "budget", "equations"),
    ]  # fmt: skip


@pytest.mark.parametrize("reader", ["client", "trainer", "clinician"])
def test_json_of_every_page_holds_the_whole_explanation(reader: str) -> None:
    """Also what the page itself does not tell."""
    whole = foldspan.explain(foldspan.Visit.from_file(str(PATHS["disagreement"]))).to_dict()
    assert whole["would_agree"]
    assert page("disagreement", reader).to_dict()["explain"] == whole


def test_the_same_visit_makes_the_same_files(pictures_once: dict[bytes, str]) -> None:
    read = foldspan.Visit.from_file(str(PATHS["visit"]))
    made = []
    for _ in range(2):
        pictures_once.clear()  # each time drawn anew
        report = foldspan.report(read, reader="client")
        made.append((report.html(), report.pdf()))
        assert pictures_once
    assert made[0] == made[1]


def test_a_document_can_be_shown_in_a_log() -> None:
    report = page("visit", "client")
    for shown in (report, report.document, report.material):
        assert "71" not in repr(shown)
        assert "K-014" not in repr(shown)


@pytest.mark.parametrize("path", example_visits.SOUND, ids=lambda path: path.stem)
def test_a_word_is_counted_once_in_every_part(path: Path) -> None:
    document: Document = page(path.stem, "client").document
    counted = len(" ".join(texts(document.to_dict())).split())
    hidden = sum(len(picture.alt.split()) + 1 for picture in document.pictures())
    assert (
        document.words() == counted - hidden - 1
    )  # names, alternative texts, the code of the language
