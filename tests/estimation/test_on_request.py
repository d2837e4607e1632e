"""Cards on request: listed beside the range with what they print, and without any part in it."""

from __future__ import annotations

import itertools
import json
from typing import Any

import numpy as np
import pytest

import foldspan
from foldspan.api.cards.tree import on_request, tree
from foldspan.catalogue import EQUATIONS, equation_by_key
from foldspan.catalogue.card import REFERENCE_METHODS, STATUSES, Equation
from foldspan.cli.doc_pages import catalogue
from foldspan.cli.printed import equations
from foldspan.cli.printed.reconcile import page
from foldspan.estimation.default_cards import cards_for, cards_on_request, on_request_because
from foldspan.estimation.on_request import ON_REQUEST
from foldspan.quantities import SEXES, Sex

ASIDE = [card for card in EQUATIONS if any(map(len, on_request(card).values()))]


def visit(sex: str, ancestry: str = "", **left_out: bool) -> foldspan.Visit:
    """An invented client of 35 with everything that the cards on request ask for."""
    names = (
        "triceps", "biceps", "subscapular", "abdominal", "midaxillary", "calf",
        "chest", "supraspinale", "thigh", "suprailiac_anterior",
    )  # fmt: skip
    folds = {name: [14.0, 14.5] for name in names} | {"suprailiac_midaxillary": [15.0, 15.5]}
    client: dict[str, Any] = {"code": "K-077", "sex": sex, "age_years": 35}
    tree = {
        "client": client | ({"ancestry": ancestry} if ancestry else {}),
        "mass_height": {"weight_kg": 62.0, "height_cm": 164.0},
        "girths_cm": {
            "abdomen_navel": 82.0,
            "waist_midpoint": 78.0,
            "hip": 95.0,
            "forearm_girth": 25.0,
            "arm_relaxed_girth": 29.0,
            "thigh_upper_girth": 56.0,
            "calf_girth": 36.0,
        },
        "skinfolds_mm": folds,
    }
    return foldspan.Visit.from_dict({key: tree[key] for key in tree if not left_out.get(key)})


def test_they_never_enter_a_range() -> None:
    for sex, levelled in itertools.product(SEXES, (True, False)):
        inside = {card.key for card in cards_for(sex, levelled=levelled)}
        aside = {card.key for card in cards_on_request(sex, levelled=levelled)}
        assert aside
        assert not inside & aside
        assert inside | aside == {card.key for card in EQUATIONS if card.sex in (sex, "both")}


@pytest.mark.parametrize("ancestry", ["", "japanese", "asian"])
@pytest.mark.parametrize("sex", SEXES)
@pytest.mark.parametrize("reference_method", REFERENCE_METHODS)
def test_each_is_listed_with_what_it_prints_and_why_it_is_out(
    sex: Sex, ancestry: str, reference_method: str
) -> None:
    """Worked out by hand from the formula on the card, also where the ancestry is another."""
    result = foldspan.reconcile(visit(sex, ancestry), reference_method=reference_method)
    listed = {equation.key: equation for equation in result.equations}
    for card in ASIDE:
        entry = listed[card.key]
        if card.sex not in (sex, "both"):
            assert entry.left_out_because == ("wrong_sex",)
            continue
        why = on_request_because(card, sex, levelled=reference_method == "dxa")
        if not why:  # on request of the other sex, or on the other scale
            assert ON_REQUEST not in entry.left_out_because
            continue
        assert not entry.used
        assert entry.left_out_because[-2:] == (ON_REQUEST, why)
        others = {"other_ancestry"} if card.ancestry not in ("", ancestry) else set()
        others |= {"athletes_only"} if card.audience == "athlete" else set()
        others |= {"disputed"} if card.status == "disputed" else set()
        assert set(entry.left_out_because[:-2]) == others
        assert entry.estimate == pytest.approx(by_hand(card, sex) + entry.moved)
        # what was built on the other method is moved, nothing is levelled
        step = 3.0 if reference_method == "dxa" else -3.0
        assert entry.moved == (step if card.reference_method != reference_method else 0.0)
        assert entry.levelled == 0.0


def by_hand(card: Equation, sex: str) -> float:
    """Fat [%] from the card's own formula; density by Siri (1961)."""
    values = dict.fromkeys(
        (
            "triceps_mm",
            "biceps_mm",
            "subscapular_mm",
            "abdominal_mm",
            "midaxillary_mm",
            "calf_mm",
            "chest_mm",
            "supraspinale_mm",
            "thigh_mm",
            "suprailiac_anterior_mm",
        ),
        14.25,
    )
    values |= {
        "suprailiac_midaxillary_mm": 15.25, "abdomen_navel_cm": 82.0, "waist_midpoint_cm": 78.0,
        "hip_cm": 95.0, "weight_kg": 62.0, "height_cm": 164.0, "age_years": 35.0,
        "forearm_girth_cm": 25.0, "arm_relaxed_girth_cm": 29.0, "thigh_upper_girth_cm": 56.0,
        "calf_girth_cm": 36.0, "is_male": float(sex == "male"),
    }  # fmt: skip
    given = []
    for name in card.inputs:
        if isinstance(name, str):
            given.append(np.array([values[name]]))
        elif type(name).__name__ == "Sum":
            given.append(np.array([sum(values[site] for site in name.names)]))
        else:
            given.append(np.array([62.0 / 1.64**2]))
    printed = float(card.formula(*given)[0])
    return 495.0 / printed - 450.0 if card.predicts == "density" else printed


def test_nothing_of_the_range_moves_by_them(monkeypatch: pytest.MonkeyPatch) -> None:
    """The same answer to the last bit with a catalogue that has no such card."""
    tree = foldspan.reconcile(visit("female", "japanese")).to_dict()
    monkeypatch.setattr("foldspan.estimation.on_request.cards_on_request", lambda sex, levelled: ())
    without = foldspan.reconcile(visit("female", "japanese")).to_dict()
    for name in ("fat_percent", "methods", "misfit", "budget", "findings"):
        assert json.dumps(tree[name]) == json.dumps(without[name])


def test_without_its_measurements_it_says_so() -> None:
    result = foldspan.reconcile(visit("female", skinfolds_mm=True))
    equation = next(
        equation for equation in result.equations if equation.key == "peterson2003_female"
    )
    assert equation.left_out_because == ("missing_input", ON_REQUEST, "little_known")
    assert equation.estimate is None


def test_the_terminal_shows_them_where_all_are_listed() -> None:
    given = visit("female")
    text = page(given, foldspan.reconcile(given), "metric", show_all=True, show_budget=False)
    after = text.split("peterson2003_female")[1].splitlines()[:4]
    assert "%" in after[0]
    assert "    left out: kept for comparison only" in after
    assert "    left out: too little is known about its coefficients, sample and error" in after
    assert all(len(line) <= 80 for line in text.splitlines())


def test_a_card_says_its_grade_and_that_it_is_kept_aside() -> None:
    hip = equation_by_key("bergman2011_both_hip_height")
    assert "reconcile --all" in equations.full(hip)
    out = dict.fromkeys(SEXES, "off_in_others")
    assert tree(hip)["on_request"] == {"levelled": out, "as_printed": out}
    spoken = tree(equation_by_key("jackson_pollock1978_male_3site"))
    assert spoken["on_request"] == {"levelled": {}, "as_printed": {}}
    book = equations.full(equation_by_key("katch_mcardle_textbook_male_pct"))
    assert (
        "not with underwater weighing as the reference method, nor with --as-printed"
        in " ".join(book.split())
    )
    girls = next(card for card in EQUATIONS if card.key == "slaughter1988_female_tri_sub")
    assert "read in a secondary text; checked: double entry" in equations.full(girls)
    assert tree(girls)["status"] == "read in a secondary text"
    assert "not verified in print; checked: double entry, source not seen" in " ".join(book.split())
    assert "in the range" not in equations.full(girls)


def test_the_list_has_a_short_word_for_every_grade() -> None:
    text = equations.listing(EQUATIONS)
    for card in EQUATIONS:
        line = next(line for line in text.splitlines() if line.split()[0] == card.key)
        assert line.endswith(equations.DIGITS[card.status])
    assert set(equations.DIGITS) == set(STATUSES)
    legend = text.split(f"{len(EQUATIONS)} equations.")[1]
    assert all(f"({word})" in legend for word in ("sec.", "n.v.", "disp."))


def test_the_page_counts_what_was_seen_in_print_in_a_secondary_text_and_not() -> None:
    counts = [sum(card.status == grade for card in EQUATIONS) for grade in STATUSES]
    text = " ".join(catalogue.page().split())
    assert (
        f"The digits of {counts[0]} equations were seen in print and those of {counts[1]} in a"
        f" secondary text; those of {counts[2] + counts[3]} were not seen: they are recalled, or"
        " sources differ."
    ) in text
    for grade, count in zip(STATUSES, counts, strict=True):
        assert f"| {grade} | {count} |" in text
