"""Pages: what changed of folds and tape measures, and where weight is low."""

from __future__ import annotations

from typing import Any

import pytest

import foldspan
from foldspan.estimation.settings import Settings
from foldspan.explanation.what_if import Case
from foldspan.pages.client_changes import measured_change, weight_change
from foldspan.pages.document import Table
from foldspan.results import case_of_visit
from page_reading import READERS, read_html, visit

# ---- what changed of folds and tape measures


def _two(**more: dict[str, Any]) -> tuple[foldspan.Visit, foldspan.Visit]:
    """Two visits of one client between which the folds and two girths changed beyond chance."""
    folds = {"triceps": 28.0, "subscapular": 24.0, "thigh": 37.0}
    before = visit(visit={"date": "2025-06-04"}, mass_height={"weight_kg": 82.0}, skinfolds_mm=folds,
                   girths_cm={"waist_midpoint": 92.0, "neck": 33.5, "hip": 109.0}, **more)  # fmt: skip
    thinner = {"triceps": 20.0, "subscapular": 16.0, "thigh": 29.0}
    girths = {"waist_midpoint": 80.0, "hip": 101.0}
    return before, visit(skinfolds_mm=thinner, girths_cm=girths, **more)


def test_where_the_equations_are_left_open_the_page_shows_what_needs_none() -> None:
    """Its words say to go by the waist and by changes over time."""
    single, both = _two(), _two(client={"sex": "both"})
    whole = foldspan.report(*single, reader="client").material
    for language in ("en", "de", "es", "fr"):
        material = foldspan.report(*both, reader="client", language=language).material
        words = " ".join(
            read_html(foldspan.report(*both, reader="client", language=language)).words
        )
        # words are split at no-break spaces too
        assert " ".join(measured_change(material).split()) in words
        assert " ".join(weight_change(material).split()) in words
        assert material.left_out == ()
    changed = foldspan.report(*both, reader="client").material
    assert measured_change(changed) == measured_change(whole)
    trainer = " ".join(read_html(foldspan.report(*both, reader="trainer")).words)
    assert "Equations for women: Body fat went down" in trainer
    assert "Equations for men: Body fat went down" in trainer
    # an urgent flag or careful words leave nothing else on the page
    careful = foldspan.report(*both, reader="client", careful=True)
    assert measured_change(changed) not in " ".join(read_html(careful).words)


@pytest.mark.parametrize("language", ["en", "de", "es", "fr"])
def test_a_page_of_many_words_keeps_the_ribbon_of_its_trend(language: str) -> None:
    """The ribbon has no words: leaving it out makes room, but no page short enough to be read."""
    visits = [
        foldspan.Visit.from_file(f"examples/{stem}.toml") for stem in ("visit", "visit_later")
    ]
    practice = foldspan.Practice(
        name="Riverside Strength Studio", address="4 Mill Lane, Exampleton EX4 3PL",
        telephone="+44 1632 960123",
    )  # fmt: skip
    report = foldspan.report(*visits, reader="client", language=language, practice=practice)
    assert report.document.words() < 250
    assert "trend" in [picture.name for picture in report.document.pictures()]


def test_the_client_reads_what_changed_of_folds_and_waist() -> None:
    words = " ".join(read_html(foldspan.report(*_two(), reader="client")).words)
    real = words.split("Since 4 June 2025, a clear change: ")[1].split(". ")[0]
    assert "the sum of your 3 skin folds, 89.0 to 65.0 mm" in real
    assert "your waist, 92.0 to 80.0 cm" in words
    # other girths where the page has room
    whole = measured_change(foldspan.report(*_two(), reader="client").material)
    assert "your hips, 109.0 to 101.0 cm" in whole
    assert "your neck" not in words  # half a centimetre may be measurement error
    german = foldspan.report(*_two(), reader="client", language="de")
    sentence = measured_change(german.material)
    assert "Summe der 3 Hautfalten von 89,0 auf 65,0 mm" in sentence
    assert "Taille von 92,0 auf 80,0 cm" in sentence
    french = measured_change(foldspan.report(*_two(), reader="client", language="fr").material)
    assert "somme de vos 3 plis cutanés, de 89,0 à 65,0 mm\u00a0; " in french
    assert "tour de taille, de 92,0 à 80,0 cm" in french
    inches = " ".join(read_html(foldspan.report(*_two(), reader="client", units="us")).words)
    assert "your waist, 36.2 to 31.5 in" in inches


def test_the_trainer_and_the_clinician_read_what_change_prints() -> None:
    before, now = _two()
    change = foldspan.change(before, now).change
    trainer = foldspan.report(before, now, reader="trainer")
    (table,) = (part for part in trainer.document.parts
                if isinstance(part, Table) and "no equation" in part.title)  # fmt: skip
    rows = {row[0]: row for row in table.rows}
    assert set(rows) == {"Sum of 3 skinfolds", "Waist (midpoint)", "Neck girth", "Hip girth"}
    assert change.folds is not None
    low, high = change.folds.range_80
    assert rows["Sum of 3 skinfolds"][1:4] == ("89.0 mm", "65.0 mm", "-24.0")
    assert rows["Sum of 3 skinfolds"][4] == f"{low:+.1f} to {high:+.1f}"
    assert [row[6] for row in table.rows] == ["yes", "", "yes", "yes"]
    letter = " ".join(read_html(foldspan.report(before, now, reader="clinician")).words)
    assert "Sum of 3 skinfolds: 89.0 mm to 65.0 mm: -24.0 mm" in letter
    assert "Waist (midpoint): 92.0 cm to 80.0 cm: -12.0 cm" in letter


def test_a_first_visit_has_nothing_that_changed() -> None:
    for reader in READERS:
        words = " ".join(read_html(foldspan.report(visit(), reader=reader)).words)
        assert "a clear change" not in words
        assert "than measurement error" not in words
        assert "no equation involved" not in words


# ---- low weight


def test_where_weight_is_low_no_band_of_too_much_stands_on_the_clients_page() -> None:
    thin = visit(
        mass_height={"weight_kg": 50.5},
        girths_cm={"waist_midpoint": 64.0, "neck": 30.0, "hip": 86.0},
    )
    report = foldspan.report(thin, reader="client")
    assert "bmi_low" in {flag.code for flag in report.material.flags}
    words = " ".join(read_html(report).words)
    assert "16 of the 20" in words
    assert "zone" not in words
    assert "usual" not in words


# ---- worked out once


def test_each_visit_is_reconciled_once_for_a_page(monkeypatch: pytest.MonkeyPatch) -> None:
    """Of four visits each is part of a step, of the whole and of the trend."""
    worked_out: list[int] = []
    work = case_of_visit._worked_out

    def counted(visit: foldspan.Visit, settings: Settings) -> Case:
        worked_out.append(id(visit))
        return work(visit, settings)

    monkeypatch.delenv("PYTEST_CURRENT_TEST")  # what other tests worked out is not remembered here
    monkeypatch.setattr(case_of_visit, "_worked_out", counted)
    days = ("2025-09-08", "2025-12-08", "2026-03-08", "2026-06-08")
    four = [visit(visit={"date": day}) for day in days]
    whole = foldspan.report(*four, reader="client").material.whole
    assert len(worked_out) == len(set(worked_out)) == 4
    assert whole is not None
    foldspan.change(*four)  # nothing is remembered from one question to the next
    assert len(worked_out) == 8
    assert foldspan.report(*four, reader="client").material.whole == whole


def test_another_setting_is_another_answer() -> None:
    given = visit()
    with case_of_visit.each_visit_once():
        dxa, density, again = (
            case_of_visit.case_of(given, Settings(reference_method=method))
            for method in ("dxa", "density", "dxa")
        )
    assert again is dxa
    assert dxa.answer.combined.estimate[0] != density.answer.combined.estimate[0]
    assert case_of_visit.case_of(given, Settings(reference_method="dxa")) is not dxa
