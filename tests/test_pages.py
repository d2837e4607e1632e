"""Pages to hand over: what each reader finds on them, in each format, and what never stands there."""

from __future__ import annotations

import io
import json
import math
import re
from functools import cache
from html.parser import HTMLParser
from itertools import pairwise
from pathlib import Path
from typing import Any

import pypdf
import pytest

import example_visits
import foldspan
from foldspan.pages.document import Document, Notice, Table
from foldspan.pages.page_report import Report
from foldspan.standards.sources import HEALTH_SOURCES

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
def page(stem: str, reader: str, language: str = "en", units: str = "metric") -> Report:
    read = foldspan.Visit.from_file(str(PATHS[stem]), accept_unusual=True)
    return foldspan.report(read, reader=reader, language=language, units=units)


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
    found = Words()
    found.feed(report.html())
    return found


def texts(value: Any) -> list[str]:
    """Every text of the JSON tree of a page, but the names of its parts."""
    if isinstance(value, dict):
        return [one for name, held in value.items() if name != "kind" for one in texts(held)]
    if isinstance(value, list):
        return [one for held in value for one in texts(held)]
    return [value] if isinstance(value, str) else []


def squeezed(text: str) -> str:
    """Letters alone: lines, and signs that only let a line break, differ from format to format."""
    return re.sub(r"[\s\u200b-]+", "", text)


def pdf_of(report: Report) -> pypdf.PdfReader:
    return pypdf.PdfReader(io.BytesIO(report.pdf()))


def pdf_text(report: Report) -> str:
    sheets = [one.extract_text() for one in pdf_of(report).pages]
    return "\n".join(re.sub(r"\d+ / \d+\s*$", "", sheet) for sheet in sheets)


# ---- the client


@pytest.mark.parametrize("language", ["en", "de"])
@pytest.mark.parametrize("stem", STEMS)
def test_a_clients_page_is_one_page_of_fewer_than_300_words(stem: str, language: str) -> None:
    report = page(stem, "client", language)
    assert len(pdf_of(report).pages) == 1
    assert report.document.words() < 300
    assert len(read_html(report).words) < 300


@pytest.mark.parametrize("units", ["metric", "us"])
def test_the_page_says_the_range_of_reconcile_rounded_outward(units: str) -> None:
    report = page("visit", "client", units=units)
    low, high = foldspan.reconcile(report.material.visit).fat_percent.likely or (0.0, 0.0)
    said = f"Between {math.floor(low)} and {math.ceil(high)} percent"
    assert said in " ".join(read_html(report).words)
    assert squeezed(said) in squeezed(pdf_text(report))


def test_masses_are_those_of_reconcile_in_either_unit() -> None:
    metric, us = (
        " ".join(read_html(page("visit", "client", units=u)).words) for u in ("metric", "us")
    )
    result = page("visit", "client").material.result
    low, high = result.fat_mass_kg.likely or (0.0, 0.0)
    assert f"Likely {math.floor(low)} to {math.ceil(high)} kg of your 71.3 kg is fat" in metric
    pound = 0.45359237  # by definition, 1959
    assert (
        f"Likely {math.floor(low / pound)} to {math.ceil(high / pound)} lb of your 157.2 lb" in us
    )
    assert not re.search(r"\d ?(kg|cm)\b", us)


def test_paper_goes_with_the_units() -> None:
    metric, us = (
        pdf_of(page("visit", "client", units=u)).pages[0].mediabox for u in ("metric", "us")
    )
    assert (round(float(metric.width)), round(float(metric.height))) == (595, 842)  # A4, ISO 216
    assert (round(float(us.width)), round(float(us.height))) == (612, 792)  # 8.5 by 11 in


def test_chances_on_the_page_are_those_of_the_bands() -> None:
    report = page("visit", "client")
    words = " ".join(read_html(report).words)
    (bmi,) = (one for one in report.material.result.bands if one.standard == "who2000_bmi")
    assert bmi.probabilities["above"] > bmi.probabilities["usual"]
    assert f"above the usual band ({100 * bmi.probabilities['above']:.0f} in 100)" in words


def test_weight_for_height_judges_nobody_with_strong_muscle() -> None:
    assert any(one.measure == "bmi" for one in page("strong_build", "client").material.result.bands)
    assert "Weight for height:" not in " ".join(read_html(page("strong_build", "client")).words)


@pytest.mark.parametrize("language", ["en", "de"])
def test_careful_words_leave_every_number_out_of_every_format(language: str) -> None:
    report = page("careful_words", "client", language)
    found = read_html(report)
    assert not any(char.isdigit() for char in " ".join(found.words))
    assert [tag for tag, _ in found.tags if tag == "img"] == []
    assert not any(char.isdigit() for char in pdf_text(report))
    written = report.to_dict()
    assert set(written) == {"schema_version", "for", "units", "page"}
    assert not any(char.isdigit() for text in texts(written["page"]) for char in text)
    for name in ("agreement", "bands", "trend"):
        with pytest.raises(foldspan.FoldspanError) as caught:
            report.picture(name)
        assert [one.code for one in caught.value.problems] == ["E801"]


def test_a_worry_told_at_an_earlier_visit_still_counts() -> None:
    before = visit(visit={"date": "2026-01-08"}, intake={"eating_concern": True})
    report = foldspan.report(before, visit(), reader="client")
    assert report.hides_numbers
    assert not any(char.isdigit() for char in " ".join(read_html(report).words))


def test_where_a_doctor_is_needed_today_nothing_else_is_said() -> None:
    report = foldspan.report(visit(intake={"symptoms": ["chest_pain"]}), reader="client")
    words = " ".join(read_html(report).words)
    assert "needs a doctor now" in words
    assert "percent" not in words
    assert list(report.document.pictures()) == []


@pytest.mark.parametrize(
    ("sections", "why"),
    [
        ({"client": {"age_years": 16}}, "still growing"),
        ({"client": {"pregnant": True}}, "pregnant"),
        ({"intake": {"birth_months_ago": 2}}, "after a birth"),
        ({"intake": {"conditions": ["limb_loss"]}}, "do not fit you"),
    ],
)
def test_whoever_gets_no_range_gets_a_page_that_says_why(
    sections: dict[str, dict[str, Any]], why: str
) -> None:
    report = foldspan.report(visit(**sections), reader="client")
    words = " ".join(read_html(report).words)
    assert why in words
    assert "percent of your weight" not in words
    assert len(pdf_of(report).pages) == 1


def test_a_real_change_is_told_from_one_that_may_be_chance() -> None:
    earlier = visit(visit={"date": "2025-10-08"}, mass_height={"weight_kg": 92.0},
                    girths_cm={"waist_midpoint": 101.0, "neck": 37.0, "hip": 116.0})  # fmt: skip
    real = " ".join(read_html(foldspan.report(earlier, visit(), reader="client")).words)
    assert "Since 8 October 2025 your body fat went down" in real
    assert "Your weight went from 92.0 kg to 68.0 kg." in real
    same = visit(visit={"date": "2026-02-08"})
    other = " ".join(read_html(foldspan.report(same, visit(), reader="client")).words)
    assert "we cannot tell whether your body fat changed" in other


# ---- trainer and clinician


@pytest.mark.parametrize("stem", STEMS)
def test_the_trainer_finds_every_family_reading_and_finding(stem: str) -> None:
    report = page(stem, "trainer")
    words = " ".join(read_html(report).words)
    result = report.material.result
    for one in result.families:
        assert f"{one.estimate:.1f} {one.se:.1f} {100 * one.weight:.0f}" in words
    for one in result.findings:
        assert " ".join(one.text.split()) in words
    for name, site in report.material.visit.sites.items():
        if not name.endswith("_kg"):
            assert ", ".join(f"{value:.1f}" for value in site.readings) in words


def test_what_is_printed_adds_up_for_the_trainer() -> None:
    for units in ("metric", "us"):
        words = " ".join(read_html(page("visit", "trainer", units=units)).words)
        found = re.search(r"fat ([\d.]+) \w+ \+ lean ([\d.]+) \w+ = ([\d.]+) \w+", words)
        assert found is not None
        fat, lean, weight = (round(10 * float(one)) for one in found.groups())
        assert fat + lean == weight


def test_the_letter_names_the_rule_and_its_source_for_every_flag() -> None:
    report = page("told_at_intake", "clinician")
    (table,) = (
        one for one in report.document.parts if isinstance(one, Table) and len(one.header) == 3
    )
    flags = report.material.result.flags
    assert flags
    assert len(table.rows) == len(flags)
    cited = {one.key: one.citation for one in HEALTH_SOURCES}
    for row, flag in zip(table.rows, flags, strict=True):
        assert row[1] == flag.for_clinician
        assert flag.status in row[2]
        assert cited[flag.source] in row[2]


@pytest.mark.parametrize("stem", STEMS)
def test_no_page_makes_a_diagnosis(stem: str) -> None:
    for reader in READERS:
        text = " ".join(texts(page(stem, reader).to_dict()["page"])).lower()
        assert "not a diagnosis" in text
        assert not re.search(r"\bdiagnosed\b|\bobese\b|\bis ill\b|\bsuffers\b", text)


def test_the_letter_asks_for_consent_until_it_is_given() -> None:
    def consent(agreed: bool | None) -> str:
        made = foldspan.report(visit(), reader="clinician", agreed_to_share=agreed)
        (found,) = (one for one in made.document.parts
                    if isinstance(one, Notice) and one.title == "Consent")  # fmt: skip
        return found.items[0]

    assert "is not noted" in consent(None)
    assert "agreed to share" in consent(True)
    with pytest.raises(foldspan.FoldspanError) as caught:
        consent(False)
    assert [one.code for one in caught.value.problems] == ["E802"]


def test_what_was_not_measured_stands_in_the_letter() -> None:
    words = " ".join(read_html(foldspan.report(visit(), reader="clinician")).words)
    assert "Skinfolds: too little taken" in words
    assert "Blood pressure was not taken." in words
    assert "Nothing was asked at intake" in words


def test_a_visit_that_can_be_no_part_of_the_trend_is_named() -> None:
    between = visit(visit={"date": "2025-06-08"}, client={"pregnant": True, "age_years": 37})
    report = foldspan.report(between, visit(), reader="trainer")
    assert "visit of 2025-06-08: in pregnancy" in " ".join(read_html(report).words)
    assert report.remarks("page.html")[0].startswith("Left out of the trend: visit of 2025-06-08")


# ---- formats


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
    assert ("html", {"lang": "en"}) in found.tags
    images = [attributes for tag, attributes in found.tags if tag == "img"]
    assert images
    assert all((one.get("alt") or "").strip() for one in images)
    levels = [int(tag[1]) for tag in tags if re.fullmatch(r"h[1-6]", tag)]
    assert levels[0] == 1
    assert levels.count(1) == 1
    assert all(after - before <= 1 for before, after in pairwise(levels))


@pytest.mark.parametrize(
    ("reader", "language"), [*((one, "en") for one in READERS), ("client", "de")]
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
    assert "likely 24 to 37 %" in text
    for sheet in pdf_of(report).pages:
        assert list(sheet.images) == []  # nothing was turned into dots


def test_json_holds_the_page_and_what_it_was_made_from() -> None:
    report = page("visit", "trainer")
    written = json.loads(json.dumps(report.to_dict()))
    assert written["schema_version"] == 1
    assert written["reconcile"] == json.loads(json.dumps(report.material.result.to_dict()))
    assert written["explain"] == json.loads(json.dumps(report.material.explanation.to_dict()))
    assert [one["kind"] for one in written["page"]["parts"]].count("picture") >= 3


def test_the_same_visit_makes_the_same_files() -> None:
    read = foldspan.Visit.from_file(str(PATHS["visit"]))
    first, second = (foldspan.report(read, reader="client") for _ in range(2))
    assert first.html() == second.html()
    assert first.pdf() == second.pdf()


def test_a_document_can_be_shown_in_a_log() -> None:
    report = page("visit", "client")
    for one in (report, report.document, report.material):
        assert "71" not in repr(one)
        assert "K-014" not in repr(one)


@pytest.mark.parametrize("path", example_visits.SOUND, ids=lambda path: path.stem)
def test_a_word_is_counted_once_in_every_part(path: Path) -> None:
    document: Document = page(path.stem, "client").document
    counted = len(" ".join(texts(document.to_dict())).split())
    told = sum(len(one.alt.split()) + 1 for one in document.pictures())
    assert (
        document.words() == counted - told - 1
    )  # names, alternative texts, the code of the language
