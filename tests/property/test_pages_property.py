"""Any visit that can be read gives every page in every format, and none of them breaks."""

from __future__ import annotations

import io
import json
from typing import Any

import pypdf
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import foldspan
from foldspan.quantities import BY_NAME, MEASURED
from foldspan.standards.intake_vocabulary import CONDITIONS, MEDICINES, SYMPTOMS

SECTIONS = {"mass": "mass_height", "height": "mass_height", "skinfold": "skinfolds_mm",
            "girth": "girths_cm", "breadth": "breadths_cm"}  # fmt: skip
STEADY = settings(max_examples=25, deadline=None, derandomize=True, database=None)


@st.composite
def visits(draw: st.DrawFn) -> dict[str, Any]:
    """A tree of a visit with any sites, anything told, and any letters in its texts."""
    sex = draw(st.sampled_from(["female", "male"]))
    letters = st.text(max_size=40)
    tree: dict[str, Any] = {
        "client": {"sex": sex, "age_years": draw(st.integers(14, 95)), "code": draw(letters)},
        "visit": {"tester": draw(letters), "calliper": draw(letters)},
    }
    if draw(st.booleans()):
        tree["visit"]["date"] = f"2026-0{draw(st.integers(1, 9))}-1{draw(st.integers(0, 9))}"
    for name in draw(st.sets(st.sampled_from(MEASURED), min_size=1, max_size=16)):
        low, high = BY_NAME[name].plausible(sex)
        value = round(draw(st.floats(low, high)), 1)
        readings = [value, value] if draw(st.booleans()) else value
        tree.setdefault(SECTIONS[BY_NAME[name].kind], {})[BY_NAME[name].short_name] = readings
    intake = {
        "symptoms": draw(st.lists(st.sampled_from(sorted(SYMPTOMS)), max_size=2, unique=True)),
        "conditions": draw(st.lists(st.sampled_from(sorted(CONDITIONS)), max_size=2, unique=True)),
        "medicines": draw(st.lists(st.sampled_from(sorted(MEDICINES)), max_size=2, unique=True)),
    }
    if draw(st.booleans()):
        tree["intake"] = intake
    return tree


def read(tree: dict[str, Any]) -> foldspan.Visit | None:
    try:
        return foldspan.Visit.from_dict(tree, accept_unusual=True)
    except foldspan.FoldspanError:
        return None  # what contradicts itself is refused, and that is tested elsewhere


@pytest.mark.parametrize("reader", ["client", "trainer", "clinician"])
@given(
    tree=visits(),
    units=st.sampled_from(["metric", "us"]),
    reference_method=st.sampled_from(["density", "dxa"]),
)
@STEADY
def test_any_visit_gives_every_format(
    reader: str, tree: dict[str, Any], units: str, reference_method: str
) -> None:
    visit = read(tree)
    if visit is None:
        return
    report = foldspan.report(visit, reader=reader, units=units, reference_method=reference_method)
    assert "<!DOCTYPE html>" in report.html()
    assert report.pdf().startswith(b"%PDF-1.7")
    json.dumps(report.to_dict(), allow_nan=False)
    bundle = json.loads(json.dumps(report.fhir(), allow_nan=False))
    assert bundle["resourceType"] == "Bundle"
    if reader == "client":
        assert report.document.words() < 300
        if report.hides_numbers:
            assert list(report.document.pictures()) == []


@given(tree=visits())
@STEADY
def test_a_clients_page_is_one_page_in_german_and_french_too(tree: dict[str, Any]) -> None:
    visit = read(tree)
    if visit is None:
        return
    for language in ("de", "fr"):
        report = foldspan.report(visit, reader="client", language=language)
        assert report.document.words() < 300
        assert len(pypdf.PdfReader(io.BytesIO(report.pdf())).pages) == 1
