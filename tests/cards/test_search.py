"""Search in the catalogue: by words, by what is measured, by how the digits are known."""

from __future__ import annotations

from dataclasses import fields

import pytest

from foldspan.api.cards.search import Wanted, card_of, choices, equation_of, search
from foldspan.catalogue import EQUATIONS
from foldspan.catalogue.sources import BY_KEY
from foldspan.estimation.evaluate import needed
from foldspan.problems import FoldspanError
from foldspan.text.cards.words import short_citation, title


def keys(**wanted: str) -> set[str]:
    return {card.key for card in search(Wanted(**wanted))}


def test_words_are_searched_without_regard_to_marks_and_large_letters() -> None:
    for words in ("aristizabal", "ARISTIZÁBAL", "Aristiza\u0301bal 2018"):
        assert keys(words=words) == {
            "aristizabal2018_female_triceps_calf",
            "aristizabal2018_female_triceps_midaxillary",
        }
    assert keys(words="durnin 1967") == {c.key for c in EQUATIONS if "rahaman" in c.source}
    assert keys(words="1967 durnin zzz") == set()
    assert keys(words="") == {card.key for card in EQUATIONS}


def test_each_question_keeps_just_what_it_says() -> None:
    assert keys(site="knee_breadth_cm") == {"garcia2005_female"}
    for name, known in choices().items():
        for value in known:
            found = search(Wanted(**{name: value}))
            others = [card for card in EQUATIONS if card not in found]
            assert found, value
            assert others, value
            if name == "site":
                assert all(value in needed(card) for card in found)
                assert not any(value in needed(card) for card in others)
            elif name == "sex":
                assert all(card.sex != value for card in others)
            else:
                assert {getattr(card, name) for card in found} == {value}


def test_what_is_no_choice_is_refused_with_the_choices() -> None:
    asked = {field.name: "no such thing" for field in fields(Wanted) if field.name != "words"}
    with pytest.raises(FoldspanError) as error:
        search(Wanted(**asked, words="x" * 201))
    assert {problem.where for problem in error.value.problems} == {*asked, "words"}
    assert {problem.code for problem in error.value.problems} == {"E501"}


def test_an_unknown_key_names_what_is_like_it() -> None:
    with pytest.raises(FoldspanError, match="deurenberg1991_both_bmi"):
        card_of("deurenberg1991_bmi")
    with pytest.raises(FoldspanError, match="conversion"):
        equation_of("siri1961")
    assert card_of("siri1961").key == "siri1961"


def test_no_two_equations_look_alike_by_name_sex_and_key() -> None:
    names = {(title(card, BY_KEY[card.source]), card.key) for card in EQUATIONS}
    assert len(names) == len(EQUATIONS)
    for card in EQUATIONS:
        said = short_citation(BY_KEY[card.source])
        assert "not verified" not in said
        assert len(said) < 40
