"""The pages of the equations: searched, read, and asked for a value; what is typed stays nowhere."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from browser_attacks import SCRIPT
from browser_hand import Hand, forms_of, hand_at, words_of
from foldspan.api.cards.search import Wanted, search
from foldspan.browser.views.equations import FIRST_SHOWN
from foldspan.catalogue import EQUATIONS
from foldspan.quantities import BY_NAME

BMI = "/equations/deurenberg1991_both_bmi"
BODY = {"sex": "male", "age_years": "40", "weight_kg": "81", "height_cm": "180"}


@pytest.fixture(scope="module")
def lines() -> list[str]:
    return []


@pytest.fixture(scope="module")
def hand(tmp_path_factory: pytest.TempPathFactory, lines: list[str]) -> Iterator[Hand]:
    book: Path = tmp_path_factory.mktemp("equations") / "book.sqlite"
    with hand_at(book, log=lines.append) as opened:
        yield opened


def links(page: str) -> list[str]:
    return re.findall(r'href="/equations/([^"]+)"', page)


def test_the_first_page_leads_to_a_short_list_that_says_how_many_there_are(hand: Hand) -> None:
    hand.go("/")
    assert 'href="/equations"' in hand.page
    hand.go("/equations")
    assert len(links(hand.page)) == FIRST_SHOWN
    assert f"{len(EQUATIONS)} equations" in hand.said
    hand.go("/equations?all=yes")
    assert links(hand.page) == [card.key for card in EQUATIONS]


def test_a_search_goes_by_its_form_and_keeps_what_was_asked(hand: Hand) -> None:
    hand.go(
        "/equations?words=durnin+1974&sex=female&site=biceps_mm&status=read+in+a+secondary+text"
    )
    wanted = Wanted("durnin 1974", "biceps_mm", "female", status="read in a secondary text")
    assert links(hand.page) == [card.key for card in search(wanted)]
    assert '<option value="biceps_mm" selected>' in hand.page
    assert forms_of(hand.page)[0].fields["words"] == "durnin 1974"


def test_nothing_found_says_what_to_do(hand: Hand) -> None:
    hand.go("/equations?words=zzzz")
    assert "No equations found" in hand.said
    assert "Remove a word" in hand.said
    hand.go("/equations?sex=robot")
    assert hand.status == 422
    assert "not in the lists" in hand.said


@pytest.mark.parametrize("card", EQUATIONS[::6], ids=lambda card: card.key)
def test_every_card_has_a_page_with_its_source_and_its_fields(hand: Hand, card: object) -> None:
    key = card.key  # type: ignore[attr-defined]
    hand.go(f"/equations/{key}")
    assert hand.status == 200
    assert key in hand.said
    for heading in ("Formula", "Sample and error", "Source", "Where to measure"):
        assert heading in hand.said
    fields = forms_of(hand.page)[-1].fields
    assert set(fields) >= set(card.quantities)  # type: ignore[attr-defined]
    assert set(fields) <= set(BY_NAME)


def test_a_value_with_its_range_and_its_sample(hand: Hand) -> None:
    hand.send(BMI, **BODY)
    assert hand.status == 200
    assert "Body fat as published: 23.0%" in hand.said
    assert "between 18.9% and 27.1%" in hand.said
    assert "Within the limits of its sample" in hand.said
    assert forms_of(hand.page)[0].fields["weight_kg"] == "81"
    hand.send(BMI, **{**BODY, "age_years": "90"})
    assert "Outside its sample: it covers age 16 to 83 years." in hand.said


def test_other_units_and_commas_are_read(hand: Hand) -> None:
    hand.send(BMI, **{**BODY, "weight_kg": "178.57 lb", "height_cm": "1,80 m"})
    assert "Body fat as published: 23.0%" in hand.said


@pytest.mark.parametrize(
    ("fields", "said"),
    [
        ({"age_years": "17"}, "no adult range under 18"),
        ({"sex": "female", "pregnant": "yes"}, "do not work in pregnancy"),
    ],
)
def test_no_number_for_whoever_gets_none(hand: Hand, fields: dict[str, str], said: str) -> None:
    hand.send(BMI, **{**BODY, **fields})
    assert said in hand.said
    assert "as published:" not in hand.said
    assert 'role="alert"' in hand.page


@pytest.mark.parametrize(
    ("name", "typed", "said"),
    [
        ("weight_kg", "heavy", "Weight: not a number"),
        ("weight_kg", "", "Weight: missing"),
        ("weight_kg", "1,234", "the comma could mark thousands"),
        ("weight_kg", "81 cm", "wrong kind of unit"),
        ("height_cm", "18", "outside the possible range"),
        ("height_cm", "180 mm", "900 to 2500 mm"),
        ("height_cm", "1e999", "not a finite number"),
        ("height_cm", "-180", "Height:"),
        ("age_years", "", "Age: missing"),
        ("age_years", "400", "Age:"),
        ("sex", "", "which published equations"),
        ("sex", "robot", "which published equations"),
        ("sex", "both", "which published equations"),
        ("weight_kg", "24", "Weight and height: urgent if"),
    ],
)
def test_what_cannot_be_read_is_asked_back_in_place(
    hand: Hand, name: str, typed: str, said: str
) -> None:
    hand.send(BMI, **{**BODY, name: typed})
    assert hand.status == 422
    assert said in hand.said
    assert "--" not in hand.said
    assert "as published:" not in hand.said
    if name != "sex":
        assert forms_of(hand.page)[0].fields[name] == typed
        assert re.search(rf'name="{name}"[^>]*aria-invalid="true"', hand.page)


def test_an_unusual_number_is_used_once_it_is_said_to_be_right(hand: Hand) -> None:
    hand.send(BMI, **{**BODY, "weight_kg": "200"})
    assert hand.status == 422
    assert ("accept", "yes") in forms_of(hand.page)[0].buttons
    hand.send(BMI, **{**BODY, "weight_kg": "200", "accept": "yes"})
    assert "Body fat as published:" in hand.said


def test_a_script_in_every_field_stays_text(hand: Hand) -> None:
    for name in (*BODY, "ancestry", "pregnant", "athlete", "accept", "other"):
        hand.send(BMI, **{**BODY, name: SCRIPT})
        assert "<script>alert" not in hand.page
    for name in ("words", "site", "sex", "method", "reference_method", "status", "all", "other"):
        hand.go(f"/equations?{name}={SCRIPT.replace(' ', '+')}")
        assert "<script>alert" not in hand.page
    hand.go(f"/equations/{SCRIPT}")
    assert hand.status == 404


def test_an_unknown_equation_leads_back_to_the_list(hand: Hand) -> None:
    hand.go("/equations/deurenberg1991_bmi")
    assert hand.status == 404
    assert "deurenberg1991_both_bmi" in words_of(hand.page)
    assert 'href="/equations"' in hand.page


def test_no_number_stands_in_a_log_or_an_address(hand: Hand, lines: list[str]) -> None:
    del lines[:]
    hand.send(BMI, **{**BODY, "weight_kg": "83.21"})
    assert hand.address == BMI
    assert lines == ["POST equations.value_page 200"]
    for form in forms_of(hand.page):
        assert form.method == "post"


def test_an_emergency_is_said_with_the_number(hand: Hand) -> None:
    hand.send(BMI, **{**BODY, "sex": "female", "weight_kg": "37", "accept": "yes"})
    assert "Refer" in hand.said
