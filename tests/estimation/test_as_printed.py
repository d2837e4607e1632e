"""Equations as printed: every face takes the option, gives the same range, and says so."""

from __future__ import annotations

import csv
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd
import pypdf
import pytest
import tomli_w

import foldspan
import measure_driver
from foldspan.catalogue.card import REFERENCE_METHODS
from foldspan.cli.measuring.results import show
from foldspan.cli.measuring.screen import Screen
from foldspan.estimation import known_offsets
from foldspan.estimation.batch import in_print
from foldspan.estimation.local_correction import LocalCorrection
from foldspan.estimation.pipeline import reconcile_people
from foldspan.estimation.settings import Settings, settings_for
from foldspan.problems import FoldspanError
from foldspan.records.book import Book
from foldspan.records.journal import Keeper
from foldspan.results.case_of_visit import case_of
from foldspan.session.state import State
from foldspan.text.client_message import how_it_was_made
from foldspan.text.en.reconcile import PRINTED_SENTENCES
from foldspan.validation.table import judge_ranges
from validation.test_site_correction import as_row, correction_tree

Run = Callable[..., tuple[int, str, str]]
EXAMPLES = Path(__file__).parents[2] / "examples"
VISIT, LATER = str(EXAMPLES / "visit.toml"), str(EXAMPLES / "visit_later.toml")
# a woman near the limit of two age groups, with folds whose equations are levelled
YOUNG: dict[str, Any] = {
    "client": {"sex": "female", "age_years": 29},
    "mass_height": {"weight_kg": 61.3, "height_cm": 168.2},
    "skinfolds_mm": {"triceps": 17.0, "subscapular": 12.0},
    "girths_cm": {"waist_midpoint": 72.4},
}


@pytest.fixture
def young() -> foldspan.Visit:
    return foldspan.Visit.from_dict(YOUNG)


def spoken(text: str) -> str:
    return " ".join(text.replace("’", "'").split())


def test_it_is_the_range_of_equations_that_no_survey_saw(
    young: foldspan.Visit, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked = case_of(young, settings_for("dxa", "siri1961", as_printed=True))
    usual = case_of(young, settings_for("dxa", "siri1961"))
    monkeypatch.setattr(known_offsets, "SURVEY_ERRORS", {})
    monkeypatch.setattr(Settings, "correlation_rule", "as printed")
    unseen = reconcile_people(in_print(asked.answer.cards), usual.people, usual.settings)
    for name in ("families", "percent", "weights", "equation_sd"):
        asked_values, unseen_values = getattr(asked.answer, name), getattr(unseen, name)
        assert np.array_equal(asked_values, unseen_values, equal_nan=True), name
    assert asked.answer.combined.estimate == unseen.combined.estimate
    assert asked.answer.combined.se == unseen.combined.se
    assert asked.answer.combined.estimate != usual.answer.combined.estimate


@pytest.mark.parametrize("reference_method", REFERENCE_METHODS)
def test_visit_and_table_give_the_same_bits(young: foldspan.Visit, reference_method: str) -> None:
    row = {"sex": "female", "age_years": 29.0}
    row |= {name: site.value for name, site in young.accepted.items()}
    errors = []
    for as_printed in (True, False):
        result = foldspan.reconcile(young, reference_method=reference_method, as_printed=as_printed)
        table = foldspan.reconcile_table(
            pd.DataFrame([row]), reference_method=reference_method, as_printed=as_printed
        )
        assert result.fat_percent.estimate == table.fat_percent[0]
        assert result.fat_percent.se == table.fat_percent_se[0]
        errors.append(result.fat_percent.estimate)
    assert errors[0] != errors[1]  # on either scale: tables by age are blended on both


@pytest.mark.parametrize("reference_method", REFERENCE_METHODS)
def test_every_command_gives_the_same_range(
    run: Run, tmp_path: Path, reference_method: str
) -> None:
    given = ("--reference-method", reference_method, "--as-printed")
    found: dict[str, Any] = {}
    wanted = foldspan.reconcile(
        foldspan.Visit.from_file(VISIT), reference_method=reference_method, as_printed=True
    ).fat_percent.range_80
    usual = foldspan.reconcile(
        foldspan.Visit.from_file(VISIT), reference_method=reference_method
    ).fat_percent.range_80
    assert wanted is not None
    assert usual is not None
    assert max(abs(a - b) for a, b in zip(wanted, usual, strict=True)) > 0.02
    for name in ("reconcile", "explain"):
        found[name] = json.loads(run(name, VISIT, "--json", *given)[1])["fat_percent"]["range_80"]
    for reader in ("trainer", "client", "clinician"):
        out = tmp_path / f"{reader}.json"
        run("report", VISIT, "--for", reader, "-o", str(out), *given)
        found[reader] = json.loads(out.read_text())["reconcile"]["fat_percent"]["range_80"]
    out = tmp_path / "out.csv"
    run("screen", as_row(tmp_path), "-o", str(out), "--quiet", *given)
    (row,) = csv.DictReader(out.read_text(encoding="utf-8-sig").splitlines())
    found["screen"] = (float(row["range_80_low"]), float(row["range_80_high"]))
    for name, likely in found.items():
        assert likely == pytest.approx(wanted, abs=0.0051), name


def test_a_change_and_its_course_are_as_printed(run: Run) -> None:
    visits = [foldspan.Visit.from_file(path) for path in (VISIT, LATER)]
    tree = json.loads(run("change", VISIT, LATER, "--json", "--as-printed")[1])
    assert tree["as_printed"] is True
    for visit, end in zip(visits, ("earlier", "later"), strict=True):
        only = foldspan.change(*visits, as_printed=True).change.percent
        assert only is not None
        assert tree["fat_percent"][end] == round(getattr(only, end), 2)
        assert visit.day is not None
    plain = json.loads(run("change", VISIT, LATER, "--json")[1])
    assert plain["as_printed"] is False
    assert plain["fat_percent"]["earlier"] != tree["fat_percent"]["earlier"]


def test_health_holds_it_too(young: foldspan.Visit) -> None:
    wanted = foldspan.reconcile(young, as_printed=True).health
    assert foldspan.health(young, as_printed=True).to_dict() == wanted.to_dict()
    assert foldspan.health(young).to_dict() != wanted.to_dict()


@pytest.mark.parametrize("command", ["reconcile", "explain"])
def test_json_says_so(run: Run, command: str) -> None:
    for words in ((), ("--as-printed",), ("--as-printed", "--as-printed")):
        assert json.loads(run(command, VISIT, "--json", *words)[1])["as_printed"] is bool(words)


@pytest.mark.parametrize("reference_method", REFERENCE_METHODS)
def test_every_answer_says_so_once(run: Run, tmp_path: Path, reference_method: str) -> None:
    given, sentence = (
        ("--reference-method", reference_method, "--as-printed"),
        PRINTED_SENTENCES[reference_method],
    )
    both = tmp_path / "both.toml"
    both.write_text(Path(VISIT).read_text("utf-8").replace('"female"', '"both"'), encoding="utf-8")
    said = {
        "reconcile": run("reconcile", VISIT, *given)[1],
        "reconcile both": run("reconcile", str(both), *given)[1],
        "explain": run("explain", VISIT, *given)[1],
        "explain clinician": run("explain", VISIT, "--for", "clinician", *given)[1],
        "change": run("change", VISIT, LATER, *given)[1],
        "screen": run("screen", as_row(tmp_path), "-o", str(tmp_path / "o.csv"), "--quiet", *given)[
            1
        ],
    }
    for reader in ("trainer", "clinician"):
        page = tmp_path / f"{reader}.html"
        run("report", VISIT, "--for", reader, "-o", str(page), *given)
        said[reader] = page.read_text(encoding="utf-8")
    run("report", str(both), "-o", str(tmp_path / "both.html"), *given)
    said["page both"] = (tmp_path / "both.html").read_text(encoding="utf-8")
    counts = {name: spoken(text).count(sentence) for name, text in said.items()}
    assert counts == dict.fromkeys(said, 1)
    assert sentence not in spoken(
        run("reconcile", VISIT, "--reference-method", reference_method)[1]
    )


def test_the_client_is_told_in_every_language(run: Run, tmp_path: Path) -> None:
    sentences = {
        "en": "exactly as they were published",
        "de": "wie sie veröffentlicht sind",
        "es": "como se publicaron",
        "fr": "exactement comme elles ont été publiées",
    }
    for language, words in sentences.items():
        for given in ((), ("--as-printed",)):
            page = tmp_path / f"{language}{len(given)}.html"
            run("report", VISIT, "--for", "client", "-o", str(page), "--language", language, *given)
            assert page.read_text(encoding="utf-8").count(words) == len(given)
    visit = foldspan.Visit.from_file(VISIT)
    assert how_it_was_made(foldspan.reconcile(visit)) == ()


def test_letters_of_a_table_hold_it(run: Run, tmp_path: Path) -> None:
    table, letters = tmp_path / "urgent.csv", tmp_path / "letters"
    names = "sex,age_years,weight_kg,height_cm,symptoms"
    table.write_text(f"{names}\nfemale,41,71.3,168.2,chest_pain\n", encoding="utf-8")
    run(
        "screen", str(table), "-o", str(tmp_path / "o.csv"), "--letters", str(letters), "--quiet",
        "--as-printed",
    )  # fmt: skip
    (letter,) = letters.glob("*.pdf")
    text = " ".join(page.extract_text() for page in pypdf.PdfReader(letter).pages)
    assert PRINTED_SENTENCES["dxa"] in spoken(text)


def test_parts_that_were_done_otherwise_are_done_anew(tmp_path: Path) -> None:
    row = {"sex": ["female"], "age_years": [29], "weight_kg": [61.3], "height_cm": [168.2]}
    source, out = tmp_path / "parts", tmp_path / "out"
    source.mkdir()
    pd.DataFrame(row | {"triceps_mm": [17.0]}).to_parquet(source / "one.parquet")
    found = []
    for as_printed in (False, True):
        done = foldspan.screen_table(source, out, as_printed=as_printed, resume=True)
        assert done.to_dict()["as_printed"] is as_printed
        found.append(pd.read_parquet(out)["fat_percent"][0])
    assert found[0] != found[1]
    wanted = foldspan.reconcile_table(pd.read_parquet(source), as_printed=True)
    assert found[1] == pytest.approx(wanted.fat_percent[0], abs=0.051)


def test_the_end_of_a_session_gives_the_range_of_reconcile(
    run: Run,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    book = str(tmp_path / "book.sqlite")
    with Book.opened(book) as opened:
        state = State().after("begun", {"tester": "T-02", "day": "2026-03-05"})
        keeper = Keeper(opened)
        answers: dict[str, Any] = {"consent.store": True, "code": "W-041", "sex": "female"}
        answers |= {
            "age_years": 41.0,
            "1.weight_kg": {"value": 71.3},
            "1.height_cm": {"value": 168.2},
        }
        for key, value in answers.items():
            state = state.after("answer", {"key": key, "value": value})
            keeper.keep("answer", {"key": key, "value": value}, state)
        state = state.after("ended", {})
        keeper.keep("ended", {}, state)
        monkeypatch.setattr(Screen, "ask", lambda self, *words: None)
        settings = {"reference_method": "", "local": None, "as_printed": True}
        with pytest.raises(SystemExit):
            show(state, keeper, Screen(), settings, as_json=True, book="")
    shown = json.loads(capsys.readouterr().out)
    again = json.loads(run("reconcile", "W-041:1", "--book", book, "--json", "--as-printed")[1])
    for name in ("fat_percent", "methods", "as_printed"):
        assert shown[name] == again[name]


def test_measure_hands_it_on(run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from foldspan.cli.measuring import loop

    seen: list[Any] = []
    monkeypatch.setattr(
        loop.MeasuringSession,
        "run",
        lambda self, **_: seen.append(self.session.settings["as_printed"]),
    )
    book = str(tmp_path / "book.sqlite")
    run("measure", "--book", book)
    run("measure", "--book", book, "--as-printed")
    assert seen == [False, True]


def test_calibrate_judges_it_and_says_so(run: Run, tmp_path: Path) -> None:
    row = {
        "sex": "female",
        "age_years": 29,
        "weight_kg": 61.3,
        "height_cm": 168.2,
        "triceps_mm": 17.0,
    }
    people = pd.DataFrame([row | {"weight_kg": 58.0 + turn} for turn in range(12)])
    people = people.assign(reference_fat_percent=30.0, reference_method="dxa")
    usual, printed = judge_ranges(people), judge_ranges(people, as_printed=True)
    ranges_of = foldspan.reconcile_table(people.drop(columns="reference_method"), as_printed=True)
    assert printed.overall.bias == pytest.approx((ranges_of.fat_percent - 30.0).mean(), abs=1e-9)
    assert usual.overall.bias != printed.overall.bias
    path = tmp_path / "people.csv"
    people.to_csv(path, index=False)
    _, _, err = run("calibrate", str(path), "--as-printed")
    assert PRINTED_SENTENCES["dxa"] in err
    code, _, err = run("calibrate", str(path), "--as-printed", "--fit", str(tmp_path / "o.toml"))
    assert (code, "[E501]" in err) == (2, True)


def test_a_correction_learnt_on_levelled_equations_does_not_go_with_it(
    run: Run, tmp_path: Path
) -> None:
    """By DXA it was learnt on levelled equations; by underwater weighing none is levelled."""
    for reference_method, expected in (("dxa", 2), ("density", 0)):
        path = tmp_path / f"{reference_method}.toml"
        path.write_text(
            tomli_w.dumps(correction_tree(reference_method=reference_method)), encoding="utf-8"
        )
        code, _, err = run("reconcile", VISIT, "--local", str(path), "--as-printed")
        assert code == expected
        assert ("[E601]" in err) == bool(expected)
        assert run("reconcile", VISIT, "--local", "none", "--as-printed")[0] == 0
    book = tmp_path / "book.sqlite"  # said before a client is asked anything
    options = ("--local", str(tmp_path / "dxa.toml"), "--as-printed")
    code, _, err = run("measure", "--book", str(book), *options)
    assert (code, "[E601]" in err, book.exists()) == (2, True, False)


def test_answers_without_one_range_hold_it_too(young: foldspan.Visit) -> None:
    tree = YOUNG | {"client": YOUNG["client"] | {"sex": "both"}}
    both = foldspan.reconcile(foldspan.Visit.from_dict(tree), as_printed=True)
    assert both.as_printed
    wanted = foldspan.reconcile(young, as_printed=True).fat_percent
    assert dict(both.by_sex)["female"].fat_percent.to_dict() == wanted.to_dict()
    bare = {"client": YOUNG["client"], "mass_height": {"weight_kg": 61.3}}
    nothing = foldspan.reconcile(foldspan.Visit.from_dict(bare), as_printed=True)
    assert (nothing.has_range, nothing.as_printed) == (False, True)


def test_only_what_was_asked_for_changes_the_addresses_of_a_bundle() -> None:
    visit = foldspan.Visit.from_file(VISIT)
    usual, printed = (
        foldspan.report(visit, as_printed=as_printed).material.settings
        for as_printed in (False, True)
    )
    assert "as_printed" not in usual
    assert "as_printed" in printed


def test_settings_refuse_what_does_not_go_together() -> None:
    correction = LocalCorrection("dxa", 40, {})
    with pytest.raises(FoldspanError, match="E601"):
        settings_for("dxa", "siri1961", local=correction, as_printed=True)
    assert settings_for("dxa", "siri1961", local=correction).as_printed is False


DENSITY = ("--as-printed", "--reference-method", "density")


def test_a_session_taken_up_again_keeps_what_it_was_begun_with(tmp_path: Path) -> None:
    """Before, the range at the end of a resumed session stood on the usual settings."""
    answers = measure_driver.MAN | {"plan": "three"}
    script = measure_driver.script_of(answers)
    lines = [prompt.line for prompt in script]
    half = measure_driver.place_of(script, "2.thigh_mm")
    outputs = []
    for name, begun, resumed in (
        ("whole", DENSITY, ()), ("kept", DENSITY, ()), ("usual", (), ()), ("other", (), DENSITY)
    ):  # fmt: skip
        book = tmp_path / f"{name}.sqlite"
        if name == "whole":
            ran = measure_driver.piped(book, [*lines, ""], *begun)
        else:
            measure_driver.piped(book, [*lines[:half], "stop"], *begun)
            ran = measure_driver.piped(book, [*lines[half:], ""], "--resume", *resumed)
        assert ran.returncode == 0
        outputs.append(ran.stdout)
    whole, kept, usual, other = outputs
    assert "underwater weighing" in whole
    assert spoken(PRINTED_SENTENCES["density"]) in spoken(whole)
    assert kept == other == whole
    assert usual != whole


def test_records_show_takes_it_and_says_so(run: Run, tmp_path: Path) -> None:
    """Before, records show had no such option, and did not say on which scale its ranges stand."""
    book = ("--book", str(tmp_path / "book.sqlite"))
    for visit in (VISIT, LATER):
        assert run("records", "import", visit, *book)[0] == 0
    ranges = [
        foldspan.reconcile(
            foldspan.Visit.from_file(visit), reference_method="density", as_printed=True
        ).fat_percent.range_80
        for visit in (VISIT, LATER)
    ]
    for words, shown in ((("--visit", "1"), ranges[:1]), ((), ranges)):
        output = spoken(run("records", "show", "K-014", *words, *DENSITY, *book)[1])
        assert output.count(spoken(PRINTED_SENTENCES["density"])) == 1
        assert output.count("underwater weighing") == 1 + PRINTED_SENTENCES["density"].count(
            "underwater weighing"
        )
        for span in shown:
            assert span is not None
            assert f"{span[0]:.1f}% to {span[1]:.1f}%" in output
