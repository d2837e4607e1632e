"""What equations are known to read off: shown step by step, in words, and beside a pair."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

import foldspan
from estimation.test_as_printed import VISIT, YOUNG, spoken
from foldspan.catalogue import EQUATIONS
from foldspan.catalogue.card import FAMILIES
from foldspan.estimation.known_offsets import offset_at
from foldspan.estimation.settings import settings_for
from foldspan.explanation.case import CaseAnalysis
from foldspan.explanation.decomposition import pair, turned
from foldspan.explanation.findings import findings_for
from foldspan.reference.equation_errors import SURVEY_ERRORS
from foldspan.reference.proportional_bias import PROPORTIONAL_BIAS
from foldspan.results.case_of_visit import case_of
from foldspan.results.explanation import pair_tree
from foldspan.text import explain
from foldspan.text.explain import known_bias_sentence

Run = Callable[..., tuple[int, str, str]]


@pytest.fixture
def young() -> foldspan.Visit:
    return foldspan.Visit.from_dict(YOUNG)


def rows_of(text: str) -> dict[str, str]:
    """The lines below the key of each equation, put together."""
    found: dict[str, str] = {}
    keys = {card.key for card in EQUATIONS}
    here = ""
    for line in text[text.index("\nEquations\n") :].splitlines():
        words = line.replace("*", " ").split()
        if words[:1] and words[0] in keys and "%" in line:
            here = words[0]
            found[here] = ""
        elif here and line.startswith("    "):
            found[here] += " " + line.strip()
    return found


@pytest.mark.parametrize("words", [(), ("--as-printed",), ("--reference-method", "density")])
def test_rows_of_all_show_every_step(run: Run, words: tuple[str, ...]) -> None:
    text = run("reconcile", VISIT, "--all", *words)[1]
    assert all(len(line) <= 80 for line in text.splitlines())
    assert text.count("Corrected: the") == 1
    rows = rows_of(text)
    reference_method = words[1] if len(words) > 1 else ""
    result = foldspan.reconcile(
        foldspan.Visit.from_file(VISIT),
        reference_method=reference_method,
        as_printed="--as-printed" in words,
    )
    levelled = blended = 0
    for equation in result.equations:
        if equation.estimate is None or equation.as_printed is None or not equation.used:
            continue
        row = rows[equation.key]
        assert f"published {equation.as_printed:.1f}%" in row
        jump = equation.estimate - equation.as_printed - equation.moved - equation.levelled
        steps = {"converted": equation.moved, "corrected": equation.levelled}
        steps["between age groups"] = jump
        for name, points in steps.items():
            assert (f"; {name} {points:+.1f}" in row) == (abs(points) >= 0.05), (equation.key, name)
        levelled += "; corrected " in row
        blended += "; between age groups " in row
    assert (levelled > 0) == (words == ())
    assert (blended > 0) == (words != ("--as-printed",))


def test_what_an_equation_reads_off_is_said_with_age_and_sex(run: Run) -> None:
    key = "durnin_womersley1974_female_triceps_subscapular"
    text = spoken(run("equations", key)[1])
    level, slope, bend = SURVEY_ERRORS[key]["female"].curve
    for age, start in ((25, "women: {} points too low at age 25"), (65, "{} too high at 65")):
        decades = (age - 45) / 10
        points = level + decades * (slope + decades * bend)
        assert start.format(f"{abs(points):.1f}") in text
    assert "known error" in text
    assert "known error" not in run("equations", "jackson_pollock_ward1980_female_7site")[1]
    page = (Path(__file__).parents[2] / "docs" / "catalogue.md").read_text(encoding="utf-8")
    assert f"by how much {len(SURVEY_ERRORS)} of the equations are on average too high" in page
    card = next(card for card in EQUATIONS if card.key == key)
    (line,) = [line for line in page.splitlines() if line.startswith(f"| {key} |")]
    offsets = [offset_at(card, "female", age) for age in (25.0, 45.0, 65.0)]
    assert ", ".join(f"{offset:+.1f}" for offset in offsets if offset is not None) in line


@pytest.mark.parametrize("as_printed", [False, True])
def test_a_known_difference_of_two_equations_is_said_and_not_counted_twice(
    young: foldspan.Visit, as_printed: bool
) -> None:
    settings = settings_for("dxa", "siri1961", as_printed=as_printed)
    keys = {
        equation.key
        for equation in foldspan.reconcile(young, as_printed=as_printed).equations
        if equation.used
    }
    # what folds read off goes by what they give, too
    known = set(SURVEY_ERRORS) - set(PROPORTIONAL_BIAS)
    names = [name for name in known if name in keys and "female" in SURVEY_ERRORS[name]]
    cards = {card.key: card for card in EQUATIONS}
    off = {name: offset_at(cards[name], "female", 29.0) or 0.0 for name in names}
    low, high = min(off, key=lambda key: off[key]), max(off, key=lambda key: off[key])
    assert off[high] - off[low] >= 1.0
    gap = turned(pair(CaseAnalysis(case_of(young, settings)), high, low))
    assert sum(reason.points for reason in gap.reasons) + gap.unexplained == pytest.approx(
        gap.difference, abs=1e-9
    )
    for name, points in zip(gap.between, gap.reads_off, strict=True):
        assert points == pytest.approx(off[name], abs=1e-9)
    said = known_bias_sentence(gap)
    assert f"{low} {abs(off[low]):.1f} points too {'high' if off[low] > 0 else 'low'}" in said
    assert ("corrected above" in said, "not corrected" in said) == (not as_printed, as_printed)
    tree = pair_tree(gap)
    assert tree["levelled"] is not as_printed
    assert tree["reads_off"] == [round(points, 2) for points in gap.reads_off]
    assert math.isclose(
        sum(reason["points"] for reason in tree["reasons"]) + tree["unexplained"],
        tree["difference"],
        abs_tol=1e-9,
    )
    assert known_bias_sentence(replace(gap, reads_off=(1.0, 0.2))) == ""


def test_nothing_is_known_to_read_off_by_underwater_weighing(young: foldspan.Visit) -> None:
    analysis = CaseAnalysis(case_of(young, settings_for("density", "siri1961")))
    assert not analysis.known_biases.any()
    gap = pair(analysis, "skinfold", "waist_height")
    assert (gap.reads_off, gap.is_levelled, known_bias_sentence(gap)) == ((0.0, 0.0), False, "")


def test_pages_call_levelled_what_is_levelled(run: Run, tmp_path: Path) -> None:
    for words, form in (((), "after correction"), (("--as-printed",), "as published")):
        page = tmp_path / f"{len(words)}.html"
        run("report", "examples/disagreement.toml", "-o", str(page), "--all", *words)
        shown = page.read_text(encoding="utf-8")
        output = run("explain", "examples/disagreement.toml", *words)[1]
        other = {"after correction": "as published", "as published": "after correction"}[form]
        for text in (shown, output):
            assert f" {form} (" in text
            assert f" {other} (" not in text


def test_the_page_of_the_trainer_has_the_remark_of_explain(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(explain, "LEAST_REMARKED", 0.0)
    headline = foldspan.explain(foldspan.Visit.from_file(VISIT)).headline
    assert headline is not None
    said = known_bias_sentence(turned(headline))
    assert said
    assert said in spoken(run("explain", VISIT)[1])
    page = tmp_path / "page.html"
    run("report", VISIT, "-o", str(page))
    assert page.read_text(encoding="utf-8").count(said) == 1


@pytest.mark.parametrize(
    ("reference_method", "as_printed"), [("dxa", False), ("dxa", True), ("density", False)]
)
def test_only_what_is_moved_and_not_levelled_is_told_as_moved(
    reference_method: str, as_printed: bool
) -> None:
    """Three points times the weight of equations of the other scale that are not levelled."""
    visit = foldspan.Visit.from_file(VISIT)
    analysis = CaseAnalysis(
        case_of(visit, settings_for(reference_method, "siri1961", as_printed=as_printed))
    )
    answer = analysis.case.answer
    parts = [
        answer.combined.weights[FAMILIES.index(card.method), 0]
        * answer.weights[row, 0]
        * (1.0 - analysis.levelled[row])
        for row, card in enumerate(answer.cards)
        if card.reference_method != reference_method
    ]
    points = {finding.code: finding.points for finding in findings_for(analysis)}
    if 3.0 * sum(parts) < 0.5:
        assert "scale_moved" not in points
    else:
        assert points["scale_moved"] == pytest.approx(3.0 * sum(parts), abs=1e-9)


def test_levelled_alone_nothing_is_told_as_moved() -> None:
    """Weight and height of a woman of the survey's kind: all that speak are levelled."""
    size = {
        "client": {"sex": "female", "age_years": 41},
        "mass_height": {"weight_kg": 70, "height_cm": 168},
    }
    visit = foldspan.Visit.from_dict(size)
    moved = [
        {finding.code for finding in foldspan.explain(visit, as_printed=said).findings}
        for said in (False, True)
    ]
    assert "scale_moved" not in moved[0]
    assert "scale_moved" in moved[1]
