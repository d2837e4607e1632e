"""Letters of the PDFs are large enough to be read, on the pages that are pressed for room as well."""

from __future__ import annotations

import math
from collections import Counter
from typing import Any

import pytest

import foldspan
from foldspan.export.report import Report
from foldspan.pages.pdf_page import LAST_RESORT
from page_reading import PATHS, page, pdf_of

# points: no letter of a client's page is smaller; of those who measure or refer text, and anything
CLIENT, STAFF_TEXT, STAFF = 9.0, 8.0, 7.5
INTAKE = {
    "symptoms": ["weak", "falls"], "conditions": ["diabetes"], "medicines": ["blood_thinner"],
    "blood_pressure_mmhg": "165/98",
}  # fmt: skip


def sizes(report: Report) -> Counter[float]:
    """How many letters there are of each size [points], those of pictures too."""
    found: Counter[float] = Counter()

    def note(text: str, cm: Any, tm: Any, font: Any, size: float) -> None:
        drawn = size * math.hypot(tm[2], tm[3]) * math.hypot(cm[2], cm[3])
        found[round(drawn, 2)] += len(text.strip())

    for sheet in pdf_of(report).pages:
        sheet.extract_text(visitor_text=note)
    return Counter({size: count for size, count in found.items() if count})


def crowded(reader: str) -> Report:
    """Two visits with every site, much told and long notes: what is pressed into two sheets or one."""
    first, later = (foldspan.Visit.from_file(str(PATHS[stem])) for stem in ("visit", "visit_later"))
    tree = later.to_dict() | {"intake": INTAKE}
    last = foldspan.Visit.from_dict(tree)
    return foldspan.report(first, last, reader=reader, notes=["w " * 60] * 3)


@pytest.mark.parametrize("reader", ["trainer", "clinician"])
def test_staff_read_nothing_below_their_floor(reader: str) -> None:
    found = sizes(crowded(reader))
    assert min(found) >= STAFF
    small = sum(count for size, count in found.items() if size < STAFF_TEXT)
    assert sum(found.values()) - small > 1500  # text itself is above the floor of text


@pytest.mark.parametrize("language", ["en", "fr"])
def test_a_client_reads_nothing_below_nine_points(language: str) -> None:
    assert min(sizes(page("strong_build", "client", language))) >= CLIENT
    assert 12.0 * min(letters for *_, letters in LAST_RESORT) >= CLIENT


def test_a_caution_about_this_client_is_as_large_as_the_rest() -> None:
    """Those that stand at every answer are in small print; one about this client was once too."""
    report = page("folds_at_scale_end", "trainer")
    caution = "Few equations were developed on bodies this large."
    assert caution not in " ".join(report.document.small)
    assert caution in str(report.document.to_dict()["parts"])


def test_preparation_is_told_where_it_was_asked() -> None:
    visit = foldspan.Visit.from_file(str(PATHS["visit"]))
    written = str(
        foldspan.report(visit, prepared={"skin": True, "rested": False}).document.to_dict()
    )
    assert "dry, without lotion" in written
    assert "can affect skinfolds and weight" in written
    assert "lotion" not in str(foldspan.report(visit).document.to_dict())
