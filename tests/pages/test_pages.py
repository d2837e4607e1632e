"""Pages to hand over: what each reader finds on them, in each format, and what never stands there."""

from __future__ import annotations

import datetime
import json
import re
import tomllib
from typing import Any

import pytest

import foldspan
from foldspan.figures.style import SHAPES
from foldspan.pages.document import Notice
from page_reading import (
    PATHS,
    READERS,
    STEMS,
    page,
    pdf_of,
    pdf_text,
    read_html,
    squeezed,
    texts,
    visit,
    worked_out,
)

# ---- the client


@pytest.mark.parametrize("language", ["en", "de", "es", "fr"])
@pytest.mark.parametrize("stem", STEMS)
def test_a_clients_page_is_one_page_of_fewer_than_250_words(stem: str, language: str) -> None:
    report = page(stem, "client", language)
    assert len(pdf_of(report).pages) == 1
    assert report.document.words() < 250  # the same limit in every language


@pytest.mark.parametrize("language", ["de", "es", "fr"])
@pytest.mark.parametrize("stem", STEMS)
def test_no_notice_is_dropped_to_keep_the_limit(stem: str, language: str) -> None:
    """Where words are longer notices are shortened to their topics: every one of them stands there."""
    english, other = (
        [len(part.items) for part in page(stem, "client", code).document.parts
         if isinstance(part, Notice)]
        for code in ("en", language)
    )  # fmt: skip
    assert other == english


@pytest.mark.parametrize("language", ["de", "es", "fr"])
def test_no_part_is_left_out_because_words_are_longer(language: str) -> None:
    """Masses, zones, what changed of folds and the methods stand wherever the English page has them."""
    two = [foldspan.Visit.from_file(str(PATHS[stem])) for stem in ("visit", "visit_later")]
    change = [foldspan.report(*two, reader="client", language=code) for code in ("en", language)]
    pairs = [(page(stem, "client"), page(stem, "client", language)) for stem in STEMS]
    for english, other in [*pairs, (change[0], change[1])]:
        assert [type(part) for part in other.document.parts] == [
            type(part) for part in english.document.parts
        ]


def test_the_reason_stays_where_leaving_out_the_methods_makes_room() -> None:
    two = [foldspan.report(worked_out("strong_build").material.visit, reader="client", language="fr",
                           paper=paper) for paper in ("a4", "letter")]  # fmt: skip
    assert all(squeezed("plus musclés") in squeezed(pdf_text(report)) for report in two)
    assert all(len(pdf_of(report).pages) == 1 for report in two)


@pytest.mark.parametrize("units", ["metric", "us"])
def test_the_page_says_the_range_of_reconcile_rounded(units: str) -> None:
    report = page("visit", "client", units=units)
    low, high = foldspan.reconcile(report.material.visit).fat_percent.range_80 or (0.0, 0.0)
    said = f"probably {round(low)}% to {round(high)}%"
    assert said in " ".join(read_html(report).words)
    assert squeezed(said) in squeezed(pdf_text(report))


def test_masses_are_those_of_reconcile_in_either_unit() -> None:
    metric, us = (
        " ".join(read_html(page("visit", "client", units=u)).words) for u in ("metric", "us")
    )
    result = page("visit", "client").material.result
    low, high = result.fat_mass_kg.range_80 or (0.0, 0.0)
    assert f"Of your 71.3 kg, about {round(low)} to {round(high)} kg is fat" in metric
    pound = 0.45359237  # by definition, 1959
    assert f"Of your 157.2 lb, about {round(low / pound)} to {round(high / pound)} lb" in us
    assert not re.search(r"\d ?(kg|cm)\b", us)


@pytest.mark.parametrize("stem", STEMS)
def test_no_page_mixes_the_units(stem: str) -> None:
    for reader in READERS:
        for units, strange in (("us", r"kg|cm"), ("metric", r"lb|in\.")):
            words = " ".join(read_html(page(stem, reader, units=units)).words)
            words = words.replace("vertical 5cm", "")  # the name of a variant of a site
            found = re.findall(rf"\d\s?(?:{strange})\b(?!/m)", words)
            assert found == [], f"{reader} {units}"


def test_paper_goes_with_the_units() -> None:
    metric, us = (
        pdf_of(page("visit", "client", units=u)).pages[0].mediabox for u in ("metric", "us")
    )
    assert (round(float(metric.width)), round(float(metric.height))) == (595, 842)  # A4, ISO 216
    assert (round(float(us.width)), round(float(us.height))) == (612, 792)  # 8.5 by 11 in


def test_weight_for_height_judges_nobody_with_strong_muscle() -> None:
    assert any(
        band.measure == "bmi" for band in page("strong_build", "client").material.result.bands
    )
    assert "Weight for your height:" not in " ".join(
        read_html(page("strong_build", "client")).words
    )


@pytest.mark.parametrize("language", ["en", "de", "es", "fr"])
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
        assert [problem.code for problem in caught.value.problems] == ["E801"]


@pytest.mark.parametrize("client", [{}, {"pregnant": True}, {"age_years": 17}])
def test_a_worry_told_at_an_earlier_visit_still_counts(client: dict[str, Any]) -> None:
    now = {"client": {"age_years": 18}} if client.get("age_years") else {}
    before = visit(client=client, visit={"date": "2026-01-08"}, intake={"eating_concern": True})
    report = foldspan.report(before, visit(**now), reader="client")
    assert report.hides_numbers
    assert not any(char.isdigit() for char in " ".join(read_html(report).words))


def test_where_a_doctor_is_needed_today_nothing_else_is_said() -> None:
    report = foldspan.report(visit(intake={"symptoms": ["chest_pain"]}), reader="client")
    words = " ".join(read_html(report).words)
    assert "call the emergency number now" in words
    assert not re.search(r"percent|\d ?%|body fat", words)
    assert list(report.document.pictures()) == []
    # nor in the files that a program reads
    assert set(report.to_dict()) == {"schema_version", "for", "units", "page"}
    assert "valueQuantity" not in json.dumps(report.fhir())
    with pytest.raises(foldspan.FoldspanError):
        report.picture("agreement")


def test_a_loss_since_the_visit_before_reaches_the_client_and_the_clinician() -> None:
    earlier = visit(visit={"date": "2026-03-09"}, mass_height={"weight_kg": 84.0})
    client = " ".join(read_html(foldspan.report(earlier, visit(), reader="client")).words)
    assert "See a doctor within two weeks" in client
    assert "lost a lot of weight in a short time" in client
    letter = foldspan.report(earlier, visit(), reader="clinician")
    (loss,) = (flag for flag in letter.material.flags if flag.code.startswith("loss"))
    words = " ".join(read_html(letter).words)
    for ground in loss.grounds:
        assert ground.text.removeprefix("weight ") in words
    assert "Please review the client within two weeks." in words


@pytest.mark.parametrize(
    ("sections", "why"),
    [
        ({"client": {"age_years": 16}}, "still growing"),
        ({"client": {"pregnant": True}}, "during pregnancy"),
        ({"intake": {"birth_months_ago": 2}}, "after giving birth"),
        ({"intake": {"conditions": ["limb_loss"]}}, "would not give you the right number"),
    ],
)
def test_whoever_gets_no_range_gets_a_page_that_says_why(
    sections: dict[str, dict[str, Any]], why: str
) -> None:
    report = foldspan.report(visit(**sections), reader="client")
    words = " ".join(read_html(report).words)
    assert why in words
    assert not re.search(r"\d%|body fat is|of your weight", words)
    assert len(pdf_of(report).pages) == 1


def test_a_real_change_is_told_from_one_that_may_be_chance() -> None:
    earlier = visit(visit={"date": "2025-10-08"}, mass_height={"weight_kg": 92.0},
                    girths_cm={"waist_midpoint": 101.0, "neck": 37.0, "hip": 116.0})  # fmt: skip
    real = " ".join(read_html(foldspan.report(earlier, visit(), reader="client")).words)
    assert "Since 8 October 2025, your body fat has gone down by about" in real
    assert "Your weight went from 92.0 kg to 68.0 kg, a clear change." in real
    mass = foldspan.change(earlier, visit()).change.fat_mass
    assert mass is not None
    assert mass.is_real
    amount = round(mass.earlier, 1) - round(mass.later, 1)
    assert f"That is {amount:.1f} kg less fat (range " in real
    same = visit(visit={"date": "2026-02-08"})
    other = " ".join(read_html(foldspan.report(same, visit(), reader="client")).words)
    assert "there is no clear change in your body fat" in other


@pytest.mark.parametrize(("way", "mass", "waist"), [("up", 73.0, 90.0), ("down", 64.0, 73.0)])
def test_a_probable_change_is_told_with_its_chance(way: str, mass: float, waist: float) -> None:
    later = visit(
        visit={"date": "2026-06-08"},
        mass_height={"weight_kg": mass},
        girths_cm={"waist_midpoint": waist, "hip": 98.0 + (mass - 64.0) / 1.5},
    )
    found = foldspan.change(visit(), later).change
    percent, fat = found.percent, found.fat_mass
    assert percent is not None
    assert fat is not None
    assert not percent.is_real
    chance = percent.chance_of_fall if way == "down" else 1.0 - percent.chance_of_fall
    assert chance > 0.8
    words = " ".join(read_html(foldspan.report(visit(), later, reader="client")).words)
    sentence = (
        f"fat has probably gone {way} (true for about {round(20 * chance)} of 20 people like you)"
    )
    assert sentence in words
    # weight went the same way, so the mass can be real where the share is not: then it comes first
    verb = {"up": "gained", "down": "lost"}[way]
    amount = abs(round(fat.later, 1) - round(fat.earlier, 1))
    assert (f"you {verb} about {amount:.1f} kg of fat" in words) == fat.is_real


def test_the_letter_says_what_changed_since_when_and_what_of_it_is_real() -> None:
    earlier = visit(visit={"date": "2026-03-09"}, mass_height={"weight_kg": 74.0})
    words = " ".join(read_html(foldspan.report(earlier, visit(), reader="clinician")).words)
    assert "From 9 March 2026 to 8 April 2026." in words
    assert "Weight: 74.0 kg to 68.0 kg, more than measurement error." in words


def test_without_dates_the_order_given_is_taken_and_that_is_said() -> None:
    undated = visit().model_copy(update={"day": None})
    report = foldspan.report(undated, undated, reader="client")
    assert any("no date" in remark for remark in report.remarks("page.html"))


def test_nothing_asked_is_said_only_where_nothing_was_asked() -> None:
    for was_asked in (False, True):
        report = foldspan.report(visit(), reader="trainer", was_asked=was_asked)
        words = " ".join(read_html(report).words)
        assert ("No health questions were answered" in words) is not was_asked


@pytest.mark.parametrize("units", ["metric", "us"])
@pytest.mark.parametrize("language", ["en", "de", "es", "fr"])
def test_with_flags_and_a_trend_it_is_still_one_short_page(language: str, units: str) -> None:
    text = PATHS["told_at_intake"].read_text(encoding="utf-8")
    now = foldspan.Visit.from_dict(tomllib.loads(text.replace("2026-03-12", "2026-05-20")))
    before = foldspan.Visit.from_dict(tomllib.loads(text))
    report = foldspan.report(before, now, reader="client", language=language, units=units)
    assert report.document.words() < 300
    assert len(pdf_of(report).pages) == 1
    # everything that a doctor should see is told
    referrals = sum(flag.level.startswith("refer") for flag in report.material.flags)
    notice = next(part for part in report.document.parts if isinstance(part, Notice))
    assert len(notice.items) >= referrals


def test_no_line_joins_visits_that_were_measured_at_other_sites() -> None:
    """The change counts what was measured both times; a range that moved for other sites is none."""
    first = foldspan.Visit.from_file(str(PATHS["disagreement"]))
    sites = {name: site for name, site in first.sites.items() if not name.endswith("_mm")}
    later = first.model_copy(
        update={"sites": sites, "day": first.day + datetime.timedelta(days=150)}
    )
    picture = foldspan.report(first, later, reader="client").picture("trend")
    assert "other sites" in picture.alt
    (axis,) = picture.draw(SHAPES["screen"]).planes
    assert [line.get_alpha() for line in axis.lines if line.get_linewidth() == 1.2] == [0.0]


def test_since_last_time_is_since_the_visit_before_and_not_the_first() -> None:
    days = ("2025-09-08", "2026-01-08", "2026-04-08")
    masses = (68.6, 68.3, 68.0)  # nothing real
    three = [
        visit(visit={"date": day}, mass_height={"weight_kg": mass})
        for day, mass in zip(days, masses, strict=True)
    ]
    words = " ".join(read_html(foldspan.report(*three, reader="client")).words)
    assert "Since 8 January 2026" in words
    assert "Your weight went from 68.3 kg to 68.0 kg." in words


# ---- trainer and clinician


@pytest.mark.parametrize("stem", STEMS)
def test_the_trainer_finds_every_family_reading_and_finding(stem: str) -> None:
    report = page(stem, "trainer")
    words = " ".join(read_html(report).words)
    result = report.material.result
    for method in result.methods:
        said = f"{method.estimate:.1f}% ± {method.se:.1f}, weight {100 * method.weight:.0f}%"
        assert any(said in picture.alt for picture in report.document.pictures())
        assert squeezed(said) in squeezed(pdf_text(report))
    for finding in result.findings:
        assert " ".join(finding.text.split()) in words
    for name, site in report.material.visit.sites.items():
        if not name.endswith("_kg"):
            beyond = "+" if site.is_at_least else ""
            assert ", ".join(f"{value:.1f}{beyond}" for value in site.readings) in words


def test_what_is_printed_adds_up_for_the_trainer() -> None:
    for units in ("metric", "us"):
        words = " ".join(read_html(page("visit", "trainer", units=units)).words)
        found = re.search(
            r"fat mass ([\d.]+) \w+ \+ fat-free mass ([\d.]+) \w+ = ([\d.]+) \w+", words
        )
        assert found is not None
        fat, lean, weight = (round(10 * float(group)) for group in found.groups())
        assert fat + lean == weight


@pytest.mark.parametrize("stem", STEMS)
def test_no_page_makes_a_diagnosis(stem: str) -> None:
    for reader in READERS:
        text = " ".join(texts(page(stem, reader).to_dict()["page"])).lower()
        assert "not a diagnosis" in text
        assert not re.search(r"\bdiagnosed\b|\bobese\b|\bis ill\b|\bsuffers\b", text)


def test_a_visit_that_can_be_no_part_of_the_trend_is_named() -> None:
    between = visit(visit={"date": "2025-06-08"}, client={"pregnant": True, "age_years": 37})
    report = foldspan.report(between, visit(), reader="trainer")
    assert "visit of 2025-06-08: these methods do not work in pregnancy" in " ".join(
        read_html(report).words
    )
    assert report.remarks("page.html")[0].startswith(
        "Not included in the trend: visit of 2025-06-08"
    )
