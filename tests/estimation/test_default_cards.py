"""Default cards: the rule typed again from docs/method.md, section 2, against the data of every card."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from foldspan.catalogue import EQUATIONS, equation_by_key
from foldspan.catalogue.card import Equation
from foldspan.catalogue.checked_on_others import CHECKS, Check
from foldspan.cli.doc_pages import catalogue
from foldspan.estimation import default_cards
from foldspan.estimation.default_cards import REASONS, cards_for, on_request_because
from foldspan.estimation.settings import Settings, settings_for
from foldspan.quantities import SEXES, Sex
from foldspan.reference.equation_errors import SURVEY_ERRORS, SurveyError
from foldspan.text.en.reconcile import LEFT_OUT_WORDS

# who is on request on either scale, and why: what the rule is expected to come to
BOTH_SCALES = {
    "wide_scatter": {
        "lean1996_male_triceps", "nagamine_suzuki1964_female", "pongchaiyakul2005_both_bmi female",
        "linear161_both_bmi female",
    },
    "off_in_others": {
        "katch_mcardle1983_male_older", "bergman2011_both_hip_height female",
        "bergman2011_both_hip_height male",
    },
    "little_known": {
        "hicks1992_female_american_indian", "peterson2003_female", "lohman1981_male",
        "pascale1956_male", "reilly2009_male_soccer", "yuhasz1974_male", "yuhasz1974_female",
        "faulkner1968_both female", "faulkner1968_both male", "carter1982_male",
        "carter1982_female", "katch_mcardle1983_male_young", "katch_mcardle1983_female_young",
        "katch_mcardle1983_female_older",
    },
}  # fmt: skip
AS_PRINTED_ONLY = {
    "lean1996_male_waist_triceps", "lean1996_female_triceps", "katch_mcardle_textbook_male_pct",
    "katch_mcardle_textbook_female_pct", "taylor2024_female_abdomen",
    "sri_lanka2016_female_weight_triceps", "pongchaiyakul2005_both_bmi male",
}  # fmt: skip
# one that the survey could not try, of whom all is known
WELL_KNOWN = equation_by_key("petroski1995_male")


def typed_rule(card: Equation, sex: Sex, *, levelled: bool) -> str:
    """The table of docs/method.md, section 2, read row by row."""
    if card.audience == "youth":
        return ""
    if sex in SURVEY_ERRORS.get(card.key, {}):
        (level, _, _), (variance, _) = (
            SURVEY_ERRORS[card.key][sex].curve,
            SURVEY_ERRORS[card.key][sex].spread,
        )
        if variance > 5.0**2:
            return "wide_scatter"
        too_far = level**2 + variance > 6.3**2 and not levelled
        return "reads_far_off" if too_far else ""
    knows_sex = card.sex != "both" or "is_male" in card.inputs or "is_female" in card.inputs
    if card.key in CHECKS and (CHECKS[card.key].sex == sex or not knows_sex):
        check = CHECKS[card.key]
        if check.bias**2 + check.sd**2 > 6.3**2:
            return "off_in_others"
    known = [
        card.status not in ("not verified in print", "disputed"),
        card.n is not None,
        card.see is not None or card.athletes_error is not None or card.key in CHECKS,
    ]
    return "" if known.count(True) >= 2 else "little_known"


def all_of_them() -> list[tuple[Equation, Sex]]:
    return [(card, sex) for card in EQUATIONS for sex in SEXES if card.sex in (sex, "both")]


@pytest.mark.parametrize("levelled", [True, False])
def test_the_rule_decides_over_every_card(levelled: bool) -> None:
    for card, sex in all_of_them():
        found = on_request_because(card, sex, levelled=levelled)
        assert found == typed_rule(card, sex, levelled=levelled), card.key
        assert (card in cards_for(sex, levelled=levelled)) == (not found)


def test_who_it_keeps_out_and_why() -> None:
    found: dict[str, set[str]] = {}
    printed: set[str] = set()
    for card, sex in all_of_them():
        name = card.key if card.sex != "both" else f"{card.key} {sex}"
        why = on_request_because(card, sex)
        if why:
            found.setdefault(why, set()).add(name)
            assert on_request_because(card, sex, levelled=False) == why
        elif on_request_because(card, sex, levelled=False):
            assert on_request_because(card, sex, levelled=False) == "reads_far_off"
            printed.add(name)
    # a card that joins later is judged by the rule typed above, and told on docs/catalogue.md
    assert {why: names & found.get(why, set()) for why, names in BOTH_SCALES.items()} == BOTH_SCALES
    assert printed >= AS_PRINTED_ONLY


def test_no_card_is_kept_out_by_its_name() -> None:
    """The same data under another name; only what was learnt or checked goes by the name."""
    for card, sex in all_of_them():
        if sex not in SURVEY_ERRORS.get(card.key, {}) and card.key not in CHECKS:
            twin = replace(card, key="twin", source="twin", lineage="twin")
            assert on_request_because(twin, sex) == on_request_because(card, sex)


def seen(level: float, scatter: float) -> dict[Sex, SurveyError]:
    return {"male": SurveyError((level, 0.0, 0.0), (scatter**2, 0.0), 0.0, scatter, 1000)}


@pytest.mark.parametrize(
    ("level", "scatter", "levelled", "printed"),
    [
        (0.0, 4.99, "", ""),
        (0.0, 5.01, "wide_scatter", "wide_scatter"),
        (-9.0, 5.01, "wide_scatter", "wide_scatter"),
        (4.7, 4.0, "", ""),
        (5.0, 4.0, "", "reads_far_off"),
        (-5.0, 4.0, "", "reads_far_off"),
    ],
)
def test_planted_what_the_survey_saw(
    level: float, scatter: float, levelled: str, printed: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(default_cards.SURVEY_ERRORS, "planted", seen(level, scatter))
    # nothing else is asked of what the survey could try
    card = replace(WELL_KNOWN, key="planted", status="not verified in print", n=None, see=None)
    assert on_request_because(card, "male") == levelled
    assert on_request_because(card, "male", levelled=False) == printed


@pytest.mark.parametrize(
    ("bias", "sd", "out"), [(3.9, 4.9, False), (4.0, 5.0, True), (-6.4, 0.0, True)]
)
def test_planted_checks_on_others(
    bias: float, sd: float, out: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert out == (math.hypot(bias, sd) > 6.3)
    monkeypatch.setitem(default_cards.CHECKS, "planted", Check("male", 100, bias, sd, "planted"))
    why = "off_in_others" if out else ""
    card = replace(WELL_KNOWN, key="planted")
    assert on_request_because(card, "male") == why
    blind = replace(card, sex="both")
    assert [on_request_because(blind, sex) for sex in SEXES] == [why, why]
    planted = replace(card, sex="both", inputs=("is_male", *card.inputs))
    assert [on_request_because(planted, sex) for sex in ("female", "male")] == ["", why]


def test_planted_what_is_known(monkeypatch: pytest.MonkeyPatch) -> None:
    card = replace(WELL_KNOWN, key="planted", status="verified", n=50, see=0.007)
    unread = replace(card, status="not verified in print")
    for planted, why in (
        (card, ""),
        (replace(card, status="read in a secondary text", n=None), ""),
        (replace(card, see=None), ""),
        (unread, ""),
        (replace(unread, n=None), "little_known"),
        (replace(unread, see=None), "little_known"),
        (replace(card, n=None, see=None), "little_known"),
        (replace(unread, n=None, audience="youth"), ""),
    ):
        assert on_request_because(planted, "male") == why
    monkeypatch.setitem(default_cards.CHECKS, "planted", Check("male", 100, 1.0, 3.0, "planted"))
    assert on_request_because(replace(unread, see=None), "male") == ""


def test_settings_ask_for_the_cards_of_their_scale() -> None:
    for sex in SEXES:
        assert Settings().cards_for(sex) == cards_for(sex)
        for settings in (
            settings_for("density", "siri1961"),
            settings_for("dxa", "siri1961", as_printed=True),
        ):
            assert settings.cards_for(sex) == cards_for(sex, levelled=False)


def test_the_page_says_who_is_out_and_why() -> None:
    """A row for each, and none for the others."""
    section = catalogue.page().split("## On request")[1].split("\n## ")[0]
    rows = {
        line.split("|")[1].strip(): line for line in section.splitlines() if line.startswith("| ")
    }
    del rows["key"]
    out = {
        (card.key, reason)
        for card, sex in all_of_them()
        for levelled in (True, False)
        if (reason := typed_rule(card, sex, levelled=levelled))
    }
    assert set(rows) == {key for key, _ in out}
    assert all(LEFT_OUT_WORDS[reason] in rows[key] for key, reason in out)
    assert set(REASONS) <= set(LEFT_OUT_WORDS)
