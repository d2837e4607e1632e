"""The trainer's sheet: two pages for anybody, centiles that have a reference, changes as printed."""

from __future__ import annotations

import datetime
import re
from dataclasses import replace
from functools import cache
from typing import Any

import numpy as np
import pytest

import foldspan
from foldspan.cli.printed.change import page as change_page
from foldspan.export.report import Report
from foldspan.pages.document import Facts, Notice, Paragraph, Table
from foldspan.pages.trainer.centiles import ordinal
from foldspan.pages.trainer.sheet import LEAST_NARROWING, trainer_page
from foldspan.reference.centiles import centiles_of, standing
from foldspan.standards.sources import HEALTH_SOURCES
from foldspan.text.change import MASS_MEANINGS
from foldspan.text.en.short_sources import NAMED, short_source
from invented_clients import draw_many
from page_reading import (
    PATHS,
    STEMS,
    page,
    pdf_of,
    pdf_text,
    read_html,
    squeezed,
    tree,
    visit,
    worked_out,
)

INTAKE = {
    "symptoms": ["weak", "falls"], "conditions": ["diabetes"], "medicines": ["blood_thinner"],
    "blood_pressure_mmhg": "165/98",
}  # fmt: skip


@cache
def random_reports() -> tuple[Report, ...]:
    """Sheets of 40 invented clients with one to three visits, some of whom told much."""
    found = []
    for place, client in enumerate(draw_many(40, 2127, accept_unusual=True)):
        rng, visits = np.random.default_rng(place), []
        for number in range(1 + place % 3):
            factors = {
                name: float(rng.normal(1.0 - 0.02 * number, 0.01)) for name in client.readings
            }
            factors["height_cm"] = 1.0
            held = client.scaled(factors).tree
            day = datetime.date(2026, 1, 8) + datetime.timedelta(days=70 * number)
            held["visit"] = {"date": day.isoformat(), "tester": "T-04", "calliper": "plastic"}
            if place % 4 == 0:
                held["intake"] = INTAKE
            visits.append(foldspan.Visit.from_dict(held, accept_unusual=True))
        units = "us" if place % 2 else "metric"
        found.append(foldspan.report(*visits, units=units))
    return tuple(found)


@pytest.mark.parametrize("units", ["metric", "us"])
@pytest.mark.parametrize("stem", STEMS)
def test_every_example_is_two_pages(stem: str, units: str) -> None:
    assert len(pdf_of(page(stem, "trainer", units=units)).pages) <= 2


@pytest.mark.parametrize("units", ["metric", "us"])
def test_several_visits_are_two_pages(units: str) -> None:
    first, later = (foldspan.Visit.from_file(str(PATHS[stem])) for stem in ("visit", "visit_later"))
    assert later.day is not None
    third = later.model_copy(update={"day": later.day + datetime.timedelta(days=90)})
    for visits in ((first, later), (first, later, third)):
        assert len(pdf_of(foldspan.report(*visits, units=units)).pages) <= 2


@pytest.mark.parametrize("part", range(4))
def test_random_visits_are_two_pages(part: int) -> None:
    for place, report in list(enumerate(random_reports()))[part::4]:
        assert len(pdf_of(report).pages) <= 2, place


def test_in_full_every_equation_stands_there_and_else_none() -> None:
    short = page("visit", "trainer")
    full = foldspan.report(short.material.visit, full=True)
    used = [equation.key for equation in short.material.result.equations if equation.used]
    assert used
    said, in_full = pdf_text(short), squeezed(pdf_text(full))
    assert not any(key in said for key in used)
    assert all(squeezed(key) in in_full for key in used)
    assert "Left out" in pdf_text(full)
    assert len(pdf_of(full).pages) > 2


def test_what_is_left_out_of_the_explanation_would_not_have_stood_there() -> None:
    reports = [*random_reports(), *(worked_out(stem) for stem in STEMS)]
    left_out = 0
    for report in reports:
        whole = report.material.full_explanation
        full_material = replace(report.material, explanation=whole, in_full=None)
        assert trainer_page(full_material).to_dict() == report.document.to_dict()
        left_out += report.material.explanation.would_agree != whole.would_agree
        assert report.to_dict()["explain"] == whole.to_dict()
    assert 0 < left_out < len(reports)  # some told it, some did not


# ---- first page


def test_a_referral_comes_before_any_number_and_names_its_source_in_short() -> None:
    report = page("told_at_intake", "trainer")
    places = [type(part) for part in report.document.parts]
    assert places.index(Notice) < places.index(Paragraph)
    # cautions for this client stand in a frame of their own
    framed = [part for part in report.document.parts if isinstance(part, Notice)]
    flags = next(part for part in framed if report.material.flags[0].text in " ".join(part.items))
    for flag in report.material.flags:
        (line,) = (item for item in flags.items if flag.text in item)
        assert line.endswith(f"[{short_source(flag.source)}]")
    small = " ".join(report.document.small)
    cited = {source.key: source.citation for source in HEALTH_SOURCES}
    sources = {flag.source for flag in report.material.flags} - {"ours", "practice"}
    assert all(small.count(cited[key]) == 1 for key in sources)
    without = [type(part) for part in page("disagreement", "trainer").document.parts]
    assert without.index(Paragraph) < without.index(Notice)


def test_every_health_source_has_a_short_name_of_its_own() -> None:
    assert set(NAMED) <= {source.key for source in HEALTH_SOURCES}
    for source in HEALTH_SOURCES:
        short = short_source(source.key)
        assert 3 <= len(short) < 40
        if source.key not in NAMED:
            name, year = short.split()
            assert source.citation.startswith(f"{name} ")
            assert f"{year};" in source.citation


def test_the_methods_stand_in_the_picture_and_in_no_table() -> None:
    report = page("tape_only", "trainer")
    (picture,) = report.document.pictures()
    assert "Not used: skinfolds (not enough measured)." in picture.caption
    titles = [part.title for part in report.document.parts if isinstance(part, Table)]
    assert titles == [""]


def test_nothing_is_offered_that_hardly_narrows_the_range() -> None:
    offered = re.compile(r"narrows? the range by ([\d.]+) points")
    seen = 0
    for report in random_reports():
        words = " ".join(read_html(report).words)
        said = [float(points) for points in offered.findall(words)]
        assert all(points >= LEAST_NARROWING for points in said)
        seen += len(said)
    assert seen > 20


def test_where_methods_disagree_everything_is_measured_again() -> None:
    words = " ".join(read_html(page("disagreement", "trainer")).words)
    assert "Measure every site once more from fresh marks" in words


def test_the_plan_of_a_session_stands_beside_the_tester() -> None:
    def facts(plan: str) -> dict[str, str]:
        parts = foldspan.report(visit(), plan=plan).document.parts
        return dict(next(part for part in parts if isinstance(part, Facts)).rows)

    assert facts("four")["Plan"].startswith("four skinfolds")
    assert "Plan" not in facts("")


# ---- second page


def sites_of(report: Any) -> dict[str, tuple[str, ...]]:
    (table,) = (part for part in report.document.parts
                if isinstance(part, Table) and part.header[-1] == "centile")  # fmt: skip
    return {row[0]: row for row in table.rows}


def test_centiles_stand_where_there_is_a_reference_and_nowhere_else() -> None:
    report = page("visit", "trainer")
    material = report.material
    rows = sites_of(report)
    with_reference = {
        *("Weight", "Height", "Body mass index", "Triceps skinfold", "Subscapular skinfold"),
        *("Waist (iliac crest)", "Calf girth", "Arm girth (relaxed)"),
    }
    assert {name for name, row in rows.items() if row[-1] != "no reference"} == with_reference
    found = standing("triceps_mm", "female", 41, material.visit.accepted["triceps_mm"].value)
    assert found is not None
    assert rows["Triceps skinfold"][-1] == ordinal(round(found.centile))
    words = " ".join(read_html(report).words)
    assert "among US women aged 40 to 49 (NHANES 1999-2002); it says nothing about health" in words
    assert "plausible" not in words


def test_the_figure_of_the_sites_has_bars_where_there_is_a_reference() -> None:
    """Spans that are plausible read as normal: they are on no page."""
    picture = worked_out("visit").picture("profile")
    (panels,) = picture.draw.args  # type: ignore[attr-defined]
    rows = {row.label: row for panel in panels for row in panel.rows}
    barred = {"Triceps skinfold", "Subscapular skinfold", "Waist (iliac crest)", "Calf girth"}
    assert {name for name, row in rows.items() if row.centiles} == barred | {"Arm girth (relaxed)"}
    assert rows["Triceps skinfold"].centiles == centiles_of("triceps_mm", "female", 41)
    assert rows["Triceps skinfold"].value.endswith("mm, 33rd")
    assert rows["Hip girth"].value.endswith("cm, no reference")
    assert "US women aged 40 to 49" in panels[0].title
    assert "plausible" not in picture.alt + picture.caption
    young = foldspan.report(visit(client={"age_years": 19})).picture("profile")
    assert (young.draw.args[0][0].title, "begin at 20 years" in young.caption) == ("Girths", True)  # type: ignore[attr-defined]


@pytest.mark.parametrize(
    ("sections", "site", "said"),
    [
        ({"skinfolds_mm": {"triceps": 3.0}}, "Triceps skinfold", "below the 5th"),
        ({"skinfolds_mm": {"triceps": 50.0}}, "Triceps skinfold", "above the 95th"),
        ({"client": {"age_years": 19}}, "Weight", "no reference"),
        (
            {"skinfolds_mm": {"triceps": 20.0}, "site_variants": {"triceps": "radiale"}},
            *("Triceps skinfold", "no reference"),
        ),
    ],
)
def test_what_lies_outside_the_reference_is_said(
    sections: dict[str, Any], site: str, said: str
) -> None:
    given = foldspan.Visit.from_dict(tree(**sections), accept_unusual=True)
    assert sites_of(foldspan.report(given))[site][-1] == said


def test_a_fold_beyond_the_scale_is_at_least_its_centile() -> None:
    rows = sites_of(page("folds_at_scale_end", "trainer"))
    ended = [row for row in rows.values() if "+" in row[1]]
    assert ended
    assert all(row[-1] == "no reference" or re.match(r"at least|above", row[-1]) for row in ended)


def test_where_the_sex_is_left_open_both_centiles_are_told() -> None:
    rows = sites_of(foldspan.report(visit(client={"sex": "both"})))
    assert re.fullmatch(r"\w+ \(women\), \w+ \(men\)", rows["Weight"][-1])


def test_changes_are_those_that_change_prints() -> None:
    """Every number, and every sentence but what fat and fat-free mass mean."""
    first, later = (foldspan.Visit.from_file(str(PATHS[stem])) for stem in ("visit", "visit_later"))
    printed = squashed(change_page(foldspan.change(first, later), "metric"))
    before, after = printed.split(squashed(MASS_MEANINGS))
    said = squashed(" ".join(read_html(foldspan.report(first, later)).words))
    notes = after.replace("Please note", "").strip(" -").split(" - ")
    assert len(notes) == 4
    for note in notes:
        assert note in said
    numbers = re.findall(r"[-+]?\d+\.\d", before)
    assert len(numbers) > 50
    assert [number for number in numbers if number not in said] == []


def squashed(text: str) -> str:
    return " ".join(text.split())


def test_what_was_told_stands_on_the_sheet() -> None:
    words = " ".join(read_html(page("told_at_intake", "trainer")).words)
    assert "Self-reported" in words
    assert "Blood pressure: 148/86 mmHg." in words
    assert "Not asked or not answered:" in words


def test_notes_conditions_and_what_was_not_taken_stand_on_the_sheet() -> None:
    given = visit(visit={"time": "07:30"}, how_taken={"scale_step_mm": 0.5})
    report = foldspan.report(given, notes=("tired",), not_taken=("Chest: refused",))
    rows = [row for part in report.document.parts if isinstance(part, Facts) for row in part.rows]
    assert {("Time of day", "07:30"), ("Note", "tired"), ("Not taken", "Chest: refused")} <= {*rows}
    assert ("Calliper scale", "0.5 mm per division") in rows
