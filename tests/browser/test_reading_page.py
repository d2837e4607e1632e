"""The page of a reading: buttons for what is typed at a terminal; what is said beside a field."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from browser_attacks import events
from browser_hand import Hand, forms_of, hand_at
from foldspan.text.change import BREAK_SENTENCES
from foldspan.text.en.health import HEALTH_REMARKS
from foldspan.text.tapped import unwritten
from measure_driver import MAN


@pytest.fixture
def hand(begun: Path) -> Iterator[Hand]:
    with hand_at(begun) as opened:
        opened.go("/session/v1")
        yield opened


def test_the_side_stays_chosen_while_a_number_is_asked_back(hand: Hand, begun: Path) -> None:
    """Before, the number that was entered again would have been kept as one of the right side."""
    hand.fill(typed="125", left="on", at_least="on")
    assert hand.status == 422
    for name in ("left", "at_least"):
        assert f'name="{name}" checked' in hand.page
    hand.fill(typed="12.5", left="on")
    kept = events(begun)[0][-1][1]["value"]
    assert (kept["typed"], kept["side"]) == ("12.5", "left")
    assert 'name="left" checked' not in hand.page


@pytest.mark.parametrize(
    ("units", "site", "typed", "unit", "kept"),
    [
        ("metric", "weight_kg", "177.5", "lb", "177.5 lb"),
        ("metric", "waist_midpoint_cm", "34.25", "in", "34.25 in"),
        ("us", "waist_midpoint_cm", "86.5", "cm", "86.5 cm"),
    ],
)
def test_the_other_unit_is_one_tap_away(
    tmp_path: Path, units: str, site: str, typed: str, unit: str, kept: str
) -> None:
    """The page's own pad has no letters: before, no unit could be entered by touch."""
    book = tmp_path / "book.sqlite"
    with hand_at(book) as hand:
        hand.begin(units=units)
        hand.walk(MAN | {"weight_kg": "80.4 kg", "height_cm": "179.5 cm"}, until=f"1.{site}")
        assert hand.form.choices["unit"] == [unit]
        hand.fill(typed="9999", unit=unit)  # no: the choice stays with it
        assert f'value="{unit}" checked' in hand.page
        hand.fill(typed=typed, unit=unit)
        assert hand.status == 200, hand.said
    assert events(book)[0][-1][1]["value"]["typed"] == kept


def test_a_fold_has_no_other_unit_and_undo_stands_beside_its_number(hand: Hand) -> None:
    assert "unit" not in hand.form.choices
    before = hand.state.prompt.key
    hand.press("undo")
    assert hand.state.prompt.key != before


def test_a_note_is_said_to_have_been_added(hand: Hand) -> None:
    hand.fill(say="note", note="a new towel")
    assert "The note was added." in hand.said
    hand.answer(MAN)
    assert "The note was added." not in hand.said


def test_a_result_names_a_doubtful_reading_by_its_site(hand: Hand) -> None:
    """Before, it stood there as in a file: this visit: [skinfolds_mm] chest, reading 1."""
    for turn in (1, 2):
        hand.walk(MAN, until=f"{turn}.chest_mm")
        hand.fill(typed="71")
        hand.press_right()
    hand.walk(MAN)
    assert "Very unusual, but used as entered: chest (pectoral) skinfold (reading 1)" in hand.said
    assert "this visit: [" not in hand.said


def test_what_is_said_above_a_form_names_its_fields(hand: Hand) -> None:
    """Before, places of a file stood there: [mass_height] weight_kg, [[outside_results]] fat_percent."""
    hand.walk(MAN)
    hand.go("/visit/1")
    form = next(form for form in forms_of(hand.page) if form.action.endswith("/correct"))
    wanted = {"name": "weight_kg", "reading": "1", "value": "8040", "who": "T-1", "why": "slip"}
    hand.send(form.action, **{**form.fields, **wanted})
    assert "Weight (reading 1): outside the possible range" in hand.said
    hand.send("/session/v1/why", method="dxa", fat_percent="abc")
    assert "Body fat: not a number" in hand.said
    hand.send("/session", step="7000", rule="growing", units="metric")
    assert "Smallest division on the calliper: not a number" in hand.said
    assert not [code for code in ("[E", "[[", "mass_height") if code in hand.said]


def test_a_result_and_a_change_send_nobody_to_a_file(hand: Hand) -> None:
    """Before: "Write tester in [visit]", "([client] family_background, optional)"."""
    hand.walk(MAN)
    assert "Some backgrounds have their own limits." in hand.said
    assert not [word for word in ("[client]", "[visit]", "[[") if word in hand.said]
    sentences = [*HEALTH_REMARKS.values(), *BREAK_SENTENCES.values()]
    assert sum("[" in sentence for sentence in sentences) >= 4
    assert not [sentence for sentence in map(unwritten, sentences) if "[" in sentence]
