"""A site's own correction: one visit gets one range from every command, and all of them say so."""

from __future__ import annotations

import csv
import io
import json
import re
from collections.abc import Callable, Mapping
from itertools import pairwise
from pathlib import Path
from typing import Any

import numpy as np
import pypdf
import pytest
import tomli_w

import foldspan
from foldspan.catalogue.card import FAMILIES, ReferenceMethod
from foldspan.cli.measuring.results import show
from foldspan.cli.measuring.screen import Screen
from foldspan.estimation.local_correction import LocalCorrection, SiteOffsets
from foldspan.estimation.settings import settings_for
from foldspan.explanation.case import CaseAnalysis
from foldspan.explanation.decomposition import pair
from foldspan.export.fhir.bundle import OfVisit, bundle
from foldspan.records.book import Book
from foldspan.records.journal import Keeper
from foldspan.results.case_of_visit import case_of
from foldspan.session.state import State
from foldspan.validation.correction_file import read

Run = Callable[..., tuple[int, str, str]]
EXAMPLES = Path(__file__).parents[2] / "examples"
VISIT, LATER = str(EXAMPLES / "visit.toml"), str(EXAMPLES / "visit_later.toml")
NAMED = "Your local correction is applied (based on 118 people"
OFF = (2.5, 1.5, -0.5, 1.0)


def correction_tree(
    reference_method: str = "density", sexes: tuple[str, ...] = ("female", "male")
) -> Any:
    learnt = {
        "n": 59,
        "methods": list(FAMILIES),
        "offset": list(OFF),
        "spread": [1.1, 0.9, 1.0, 1.2],
        "uncertainty": (0.4 * np.eye(4) + 0.3).tolist(),
    }
    head = {"schema_version": 2, "reference_method": reference_method, "people": 118}
    return head | dict.fromkeys(sexes, learnt)


def site_file(folder: Path, name: str = "our_site.toml", **known: Any) -> str:
    path = folder / name
    made = "made = 2026-11-02\n"
    path.write_text(made + tomli_w.dumps(correction_tree(**known)), encoding="utf-8")
    return str(path)


def settings(folder: Path, monkeypatch: pytest.MonkeyPatch, text: str) -> Path:
    place = folder / "settings.toml"
    place.write_text(text, encoding="utf-8")
    monkeypatch.setenv("FOLDSPAN_SETTINGS", str(place))
    return place


def in_the_book(run: Run, folder: Path) -> str:
    book = str(folder / "book.sqlite")
    code, _, shown = run("records", "import", VISIT, "--book", book)
    assert code == 0, shown
    return book


def as_row(folder: Path) -> str:
    visit = foldspan.Visit.from_file(VISIT)
    cells: dict[str, Any] = {"sex": visit.client.sex, "age_years": visit.client.age_years}
    for name, site in visit.sites.items():
        cells |= {f"{name}_{turn}": reading for turn, reading in enumerate(site.readings, start=1)}
    path = folder / "table.csv"
    path.write_text("\n".join(",".join(map(str, line)) for line in (cells, cells.values())) + "\n")
    return str(path)


def ranges(run: Run, folder: Path, *more: str) -> dict[str, tuple[float, float]]:
    """The likely range of one visit as each command and the library print it."""
    book, found = in_the_book(run, folder) if not (folder / "book.sqlite").exists() else "", {}
    book = book or str(folder / "book.sqlite")
    for name in ("reconcile", "explain"):
        found[name] = json.loads(run(name, VISIT, "--json", *more)[1])["fat_percent"]["range_80"]
        kept = run(name, "K-014:1", "--book", book, "--json", *more)[1]
        found[f"{name} of the book"] = json.loads(kept)["fat_percent"]["range_80"]
    for reader in ("trainer", "client", "clinician"):
        out = folder / f"{reader}.json"
        run("report", VISIT, "--for", reader, "-o", str(out), "--force", *more)
        found[f"report {reader}"] = json.loads(out.read_text())["reconcile"]["fat_percent"][
            "range_80"
        ]
    shown = run("records", "show", "K-014", "--book", book, *more)[1]
    found["records show"] = tuple(map(float, re.findall(r"([\d.]+)% to ([\d.]+)%", shown)[0]))
    out = folder / "out.csv"
    run("screen", as_row(folder), "-o", str(out), "--quiet", "--force", *more)
    (row,) = csv.DictReader(io.StringIO(out.read_text(encoding="utf-8-sig")))
    found["screen"] = (float(row["range_80_low"]), float(row["range_80_high"]))
    return {name: (ends[0], ends[1]) for name, ends in found.items()}


def same(found: dict[str, tuple[float, float]]) -> bool:
    """Whether all say the same, each as far as it is printed: to a tenth at least."""
    return all(max(ends) - min(ends) <= 0.0501 for ends in zip(*found.values(), strict=True))


@pytest.mark.parametrize("reference_method", ["density", "dxa"])
def test_every_command_gives_the_same_range(
    run: Run, tmp_path: Path, reference_method: str
) -> None:
    plain = ranges(run, tmp_path, "--reference-method", reference_method)
    with_it = ranges(
        run, tmp_path, "--local", site_file(tmp_path, reference_method=reference_method)
    )
    assert same(plain), plain
    assert same(with_it), with_it
    assert not same(plain | {"with it": with_it["reconcile"]})


def test_a_site_names_it_once(run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    plain, with_it = ranges(run, tmp_path), ranges(run, tmp_path, "--local", site_file(tmp_path))
    settings(tmp_path, monkeypatch, 'local = "our_site.toml"\n')
    assert ranges(run, tmp_path) == with_it
    assert ranges(run, tmp_path, "--local", "none") == plain


@pytest.mark.parametrize("has_local", [False, True])
def test_the_end_of_a_session_gives_the_range_of_reconcile(
    run: Run,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
    has_local: bool,
) -> None:
    book, local = str(tmp_path / "book.sqlite"), site_file(tmp_path) if has_local else "none"
    with Book.opened(book) as opened:
        state = State().after("begun", {"tester": "T-02", "day": "2026-03-05"})
        keeper = Keeper(opened)
        readings = {"weight_kg": 71.3, "height_cm": 168.2, "waist_midpoint_cm": 82.4}
        answers = {"consent.store": True, "code": "W-041", "sex": "female", "age_years": 41.0}
        answers |= {f"1.{name}": {"value": value} for name, value in readings.items()}
        for key, value in answers.items():
            state = state.after("answer", {"key": key, "value": value})
            keeper.keep("answer", {"key": key, "value": value}, state)
        state = state.after("ended", {})
        keeper.keep("ended", {}, state)
        monkeypatch.setattr(Screen, "ask", lambda self, *words: None)
        settings = {"reference_method": "", "local": foldspan.site_correction(local)}
        with pytest.raises(SystemExit):
            show(state, keeper, Screen(), settings, as_json=True, book="")
    shown = json.loads(capsys.readouterr().out)
    again = json.loads(run("reconcile", "W-041:1", "--book", book, "--json", "--local", local)[1])
    for name in ("fat_percent", "methods", "local_correction"):
        assert shown[name] == again[name]
    assert (shown["local_correction"] is not None) == has_local


def test_letters_of_a_table_hold_it(run: Run, tmp_path: Path) -> None:
    table = tmp_path / "urgent.csv"
    names = "sex,age_years,weight_kg,height_cm,symptoms"
    table.write_text(f"{names}\nfemale,41,71.3,168.2,chest_pain\n", encoding="utf-8")
    letters = tmp_path / "letters"
    code, out, err = run(
        "screen", str(table), "-o", str(tmp_path / "o.csv"), "--letters", str(letters), "--quiet",
        "--local", site_file(tmp_path),
    )  # fmt: skip
    assert code == 0, err
    assert NAMED in " ".join(out.split())
    (letter,) = letters.glob("*.pdf")
    text = " ".join(page.extract_text() for page in pypdf.PdfReader(letter).pages)
    assert NAMED in " ".join(text.replace("\u2019", "'").split())


def test_every_answer_names_it(run: Run, tmp_path: Path) -> None:
    site, book = site_file(tmp_path), in_the_book(run, tmp_path)
    said = {
        "reconcile": run("reconcile", VISIT, "--local", site)[1],
        "explain": run("explain", VISIT, "--local", site)[1],
        "explain clinician": run("explain", VISIT, "--for", "clinician", "--local", site)[1],
        "change": run("change", VISIT, LATER, "--local", site)[1],
        "show": run("records", "show", "K-014", "--book", book, "--local", site)[1],
        "show one": run(
            "records", "show", "K-014", "--visit", "1", "--book", book, "--local", site
        )[1],
    }
    for reader in ("trainer", "clinician"):
        page = tmp_path / f"{reader}.html"
        run("report", VISIT, "--for", reader, "-o", str(page), "--local", site)
        said[reader] = page.read_text(encoding="utf-8").replace("&#39;", "'")
    run("report", VISIT, "-o", str(tmp_path / "a.fhir.json"), "--local", site)
    said["fhir"] = (tmp_path / "a.fhir.json").read_text(encoding="utf-8")
    said["screen"] = run(
        "screen", as_row(tmp_path), "-o", str(tmp_path / "o.csv"), "--quiet", "--local", site
    )[1]
    missing = [name for name, text in said.items() if NAMED not in " ".join(text.split())]
    assert not missing
    for words, language in (("underwater weighing", "en"), ("Unterwasserwägungen", "de")):
        page = tmp_path / f"client_{language}.html"
        run(
            "report", VISIT, "--for", "client", "-o", str(page), "--local", site,
            "--language", language,
        )  # fmt: skip
        text = page.read_text(encoding="utf-8")
        assert (f"compared our measurements with {words}" in text) == (language == "en")
        assert (f"Messungen mit {words} verglichen" in text) == (language == "de")
    client_text = " ".join(run("explain", VISIT, "--for", "client", "--local", site)[1].split())
    assert "We compared our measurements with underwater weighing" in client_text


@pytest.mark.parametrize("command", ["reconcile", "explain", "change"])
def test_json_says_which_correction(run: Run, tmp_path: Path, command: str) -> None:
    visits = (VISIT, LATER) if command == "change" else (VISIT,)
    tree = json.loads(run(command, *visits, "--json", "--local", site_file(tmp_path))[1])
    assert tree["local_correction"] == {
        "reference_method": "density", "people": 118, "made": "2026-11-02", "is_applied": True,
    }  # fmt: skip
    assert json.loads(run(command, *visits, "--json")[1])["local_correction"] is None


def test_a_correction_for_the_other_sex_is_said_not_applied(run: Run, tmp_path: Path) -> None:
    site = site_file(tmp_path, sexes=("male",))
    out = " ".join(run("reconcile", VISIT, "--local", site)[1].split())
    assert "does not cover this sex" in out
    plain = json.loads(run("reconcile", VISIT, "--json", "--reference-method", "density")[1])[
        "fat_percent"
    ]
    tree = json.loads(run("reconcile", VISIT, "--json", "--local", site)[1])
    assert tree["fat_percent"] == plain
    assert tree["local_correction"]["is_applied"] is False


def test_both_answers_side_by_side_hold_and_name_it(run: Run, tmp_path: Path) -> None:
    both = tmp_path / "both.toml"
    both.write_text(Path(VISIT).read_text("utf-8").replace('"female"', '"both"'), encoding="utf-8")
    women = json.loads(run("reconcile", VISIT, "--json", "--local", site_file(tmp_path))[1])
    tree = json.loads(run("reconcile", str(both), "--json", "--local", site_file(tmp_path))[1])
    assert tree["by_sex"]["female"]["fat_percent"] == women["fat_percent"]
    assert tree["local_correction"] == women["local_correction"]
    only_men = site_file(tmp_path, "men.toml", sexes=("male",))
    for command in ("reconcile", "explain"):
        text = " ".join(run(command, str(both), "--local", only_men)[1].split())
        assert "does not cover this sex and these methods, so it was not applied" in text
        assert NAMED in text
    page = tmp_path / "page.html"
    run("report", str(both), "-o", str(page), "--local", only_men)
    assert NAMED in page.read_text(encoding="utf-8").replace("&#39;", "'")


def test_a_site_that_learnt_on_dxa_reads_on_dxa(run: Run, tmp_path: Path) -> None:
    site = site_file(tmp_path, reference_method="dxa")
    tree = json.loads(run("reconcile", VISIT, "--json", "--local", site)[1])
    assert tree["reference_method"] == "dxa"
    code, _, err = run("explain", VISIT, "--local", site, "--reference-method", "density")
    assert code == 2
    assert "[E601]" in err
    assert "--local none" in err


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ('local = "gone.toml"\n', "E301"),
        ("local = 3\n", "E121"),
        ('lokal = "x.toml"\n', "E115"),
        ("local = \n", "E305"),
        ('local = "broken.toml"\n', "E601"),
    ],
)
def test_settings_that_cannot_be_used_are_said_by_every_command(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, text: str, code: str
) -> None:
    (tmp_path / "broken.toml").write_text('scale = "density"\n', encoding="utf-8")
    settings(tmp_path, monkeypatch, text)
    for words in (
        ("reconcile", VISIT),
        ("explain", VISIT),
        ("change", VISIT, LATER),
        ("report", VISIT, "-o", str(tmp_path / "page.html")),
        ("measure", "--book", str(tmp_path / "new.sqlite")),
        ("screen", as_row(tmp_path), "-o", str(tmp_path / "o.csv")),
    ):
        status, _, err = run(*words)
        assert status == 2, words
        assert f"[{code}]" in err
        # it can always be switched off for now
    assert run("reconcile", VISIT, "--local", "none")[0] == 0
    assert not (tmp_path / "new.sqlite").exists()


def test_a_settings_file_that_is_named_must_be_there(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("FOLDSPAN_SETTINGS", str(tmp_path / "nowhere.toml"))
    code, _, err = run("reconcile", VISIT)
    assert (code, "[E301]" in err) == (2, True)


@pytest.mark.parametrize(
    "spoilt",
    [
        {"offset": [float("nan"), 0.0, 0.0, 0.0]},
        {"offset": [float("inf"), 0.0, 0.0, 0.0]},
        {"offset": [0.0]},
        {"methods": ["skinfold", "skinfold", "girth", "mass_height"]},
        {"methods": []},
        {"spread": [1.0, 0.0, 1.0, 1.0]},
        {"uncertainty": np.diag([1.0, 1.0, 1.0, -1.0]).tolist()},
        {"uncertainty": (np.eye(4) + np.triu(np.ones((4, 4)), 1)).tolist()},
        {"n": "many"},
    ],
)
def test_corrections_that_cannot_be_used(tmp_path: Path, spoilt: Mapping[str, Any]) -> None:
    tree = correction_tree()
    tree["female"] = tree["female"] | dict(spoilt)
    path = tmp_path / "site.toml"
    path.write_text(tomli_w.dumps(tree), encoding="utf-8")
    with pytest.raises(foldspan.FoldspanError) as caught:
        read(str(path))
    assert [problem.code for problem in caught.value.problems] == ["E601"]


def taught(reference_method: ReferenceMethod = "density") -> LocalCorrection:
    learnt = SiteOffsets(59, FAMILIES, OFF, tuple(map(tuple, np.eye(4).tolist())), (1.0,) * 4)
    return LocalCorrection(reference_method, 118, {"female": learnt, "male": learnt})


@pytest.mark.parametrize("name", ["visit.toml", "disagreement.toml"])
def test_differences_of_methods_hold_the_correction(name: str) -> None:
    visit = foldspan.Visit.from_file(str(EXAMPLES / name))
    analysis = CaseAnalysis(case_of(visit, settings_for("density", "siri1961", local=taught())))
    plain = CaseAnalysis(case_of(visit, settings_for("density", "siri1961")))
    families = dict(zip(FAMILIES, analysis.case.answer.families[:, 0], strict=True))
    spoke = [name for name in FAMILIES if np.isfinite(families[name])]
    for first, second in pairwise(spoke):
        gap, gap_before = pair(analysis, first, second), pair(plain, first, second)
        # what the page says of two methods is what the table of methods shows
        assert gap.on_reference_method == pytest.approx(families[first] - families[second])
        moved = OFF[FAMILIES.index(first)] - OFF[FAMILIES.index(second)]
        assert gap.on_reference_method == pytest.approx(gap_before.on_reference_method - moved)
        assert gap.difference == pytest.approx(gap_before.difference)
        explained = sum(reason.points for reason in gap.reasons) + gap.unexplained
        assert explained == pytest.approx(gap.difference)
        codes = {reason.code: reason.points for reason in gap.reasons}
        if abs(moved) >= 0.5:
            assert codes["site_correction"] == pytest.approx(moved)


def test_a_change_keeps_its_size_and_takes_the_level_of_the_site() -> None:
    visits = [foldspan.Visit.from_file(path) for path in (VISIT, LATER)]
    plain = foldspan.change(*visits, reference_method="density").change.percent
    moved = foldspan.change(*visits, local=taught()).change.percent
    assert plain is not None
    assert moved is not None
    assert moved.amount == pytest.approx(plain.amount, abs=0.35)
    assert min(OFF) <= plain.earlier - moved.earlier <= max(OFF)
    assert moved.se == pytest.approx(plain.se, rel=0.5)


def test_no_correction_leaves_the_addresses_of_a_bundle_alone() -> None:
    visit = foldspan.Visit.from_file(VISIT)
    made = foldspan.report(visit, reference_method="density")
    settings = {"reference_method": "density", "conversion": "siri1961", "with_disputed": False}
    of_visit = OfVisit(visit, made.material.explanation, made.material.flags)
    again = bundle([of_visit], settings=f"{settings}, outside False")
    assert made.fhir() == again
    with_it = foldspan.report(visit, local=taught()).fhir()
    urls = [{entry["fullUrl"] for entry in tree["entry"]} for tree in (again, with_it)]
    assert urls[0] & urls[1]  # what was measured is the same
    assert urls[0] - urls[1]  # what was worked out is not


def test_the_library_takes_what_it_is_given(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    visit = foldspan.Visit.from_file(VISIT)
    plain = foldspan.reconcile(visit).fat_percent.range_80
    site_file(tmp_path)
    settings(tmp_path, monkeypatch, 'local = "our_site.toml"\n')
    assert foldspan.reconcile(visit).fat_percent.range_80 == plain
    chosen = foldspan.site_correction()
    found = foldspan.reconcile(visit, local=chosen).fat_percent.range_80
    assert found != plain
    assert foldspan.explain(visit, local=chosen).fat_percent.range_80 == found
    assert foldspan.report(visit, local=chosen).material.result.fat_percent.range_80 == found
    assert foldspan.site_correction("none") is None
