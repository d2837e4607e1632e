"""The end of a session: methods side by side, what changed since last time, what can be said aloud."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import pytest

import foldspan
from example_visits import EXAMPLES
from foldspan import Visit
from foldspan.cli.lines import WIDTH, fit
from foldspan.cli.measuring.results import SessionResults, _client_text, _results, write_page
from foldspan.cli.measuring.since import since_last
from foldspan.explanation.decomposition import Pair, Reason
from foldspan.explanation.findings import FINDING_CODES
from foldspan.records.book import Book
from foldspan.records.visits import take_in, visits_before
from foldspan.text.aloud import BECAUSE, OF_WEIGHT, aloud_sentences
from foldspan.text.catalogue import ENGLISH, LANGUAGES, Language
from foldspan.text.en.reconcile import FAMILY_NAMES
from foldspan.text.message import Choice, parsed, parts_of, said
from page_reading import tree, visit


def example(name: str) -> Visit:
    return Visit.from_file(str(EXAMPLES / f"{name}.toml"), accept_unusual=True)


def end_of(*visits: Visit, units: str = "metric") -> SessionResults:
    *earlier, last = visits
    since = since_last(earlier, last, {})
    return SessionResults(last, foldspan.reconcile(last), tuple(earlier), since, units, {})


def page(*visits: Visit, units: str = "metric") -> str:
    return _results(end_of(*visits, units=units), "foldspan explain K-041:1")


def because(word: str, language: Language = ENGLISH) -> str:
    """How a reason is said inside the sentence to say aloud."""
    return _variants("why", language)["other" if word == "unknown" else word]


def method_words(family: str) -> str:
    """How the method that reads higher is named inside the sentence to say aloud."""
    return _variants("high", ENGLISH)["other" if family == "waist_height" else family]


def _variants(name: str, language: Language) -> dict[str, str]:
    choices = parts_of(parsed(language.sentences["aloud.pair"]))
    choice = next(part for part in choices if isinstance(part, Choice) and part.name == name)
    return {word: said(pattern, {}, language) for word, pattern in choice.variants}


def unwrapped(text: str) -> str:
    return " ".join(text.split())


@pytest.mark.parametrize("name", ["visit", "disagreement", "strong_build", "tape_only"])
def test_every_method_stands_with_its_value_error_and_weight(name: str) -> None:
    result, shown = foldspan.reconcile(example(name)), unwrapped(page(example(name)))
    for family in result.methods:
        row = f"{family.estimate:.1f}% {family.se:.1f} {100 * family.weight:.0f}%"
        assert f"{FAMILY_NAMES[family.method]} {row}" in shown
    # the range itself stays at the end, where the eye is
    assert shown.rindex("Method body fat") < shown.rindex("(80% range), best single estimate about")


def test_the_ranges_at_the_end_stand_in_one_column() -> None:
    names = ("Body fat ", "Fat mass ", "Fat-free mass ")
    lines = [
        line
        for line in page(example("visit")).splitlines()
        if line.startswith(names) and line[14:15].isdigit()
    ]
    assert [name for line in lines for name in names if line.startswith(name)] == [*names]
    assert all(re.match(r"\d+%? to \d+", line[14:]) for line in lines)


@pytest.mark.parametrize("name", ["disagreement", "strong_build"])
def test_each_disagreement_is_one_sentence_to_say_aloud(name: str) -> None:
    apart = [pair for pair in foldspan.explain(example(name)).pairs
             if not pair.is_ordinary and set(pair.between) <= set(FAMILY_NAMES)]  # fmt: skip
    assert apart
    shown = page(example(name)).split("What you can say to the client\n")[1].split("\n\n")[0]
    lines = unwrapped(shown).split("- ")[1:]
    assert len(lines) == len(apart)
    estimates = {
        family.method: family.estimate for family in foldspan.reconcile(example(name)).methods
    }
    for pair, line in zip(apart, lines, strict=True):
        assert line.strip().count(". ") == 0
        for family in pair.between:
            assert method_words(family) in line.lower()
            assert f"about {estimates[family]:.0f}%" in line


@pytest.mark.parametrize("columns", [20, 40, 60, 80])
@pytest.mark.parametrize(
    "name", ["disagreement", "strong_build", "tape_only", "folds_at_scale_end"]
)
def test_the_results_wrap_at_the_width_of_the_terminal(name: str, columns: int) -> None:
    """A table that is wider becomes a list; a word longer than a line stays whole."""
    before, now = example("visit"), example(name)
    fit(columns)
    try:
        shown = page(before, now)
    finally:
        fit(WIDTH)
    long = [line for line in shown.splitlines() if len(line) > columns]
    assert [line for line in long if len(line.split()) > 2] == []
    if columns >= 40:
        assert [line for line in long if "foldspan explain" not in line] == []
    wide = page(before, now)
    assert sorted(re.findall(r"\d+\.\d%", shown)) == sorted(re.findall(r"\d+\.\d%", wide))


def test_methods_that_agree_leave_nothing_to_explain() -> None:
    assert "What you can say to the client" not in page(example("visit"))


def test_the_reason_said_aloud_is_the_largest_that_goes_that_way() -> None:
    reasons = (Reason("usual_gap", 2.0), Reason("belly_fat", 9.0), Reason("more_muscle", -4.0))
    pair = Pair(("girth", "skinfold"), 14.0, 13.0, 3.0, reasons, 7.0)
    estimates = {"girth": 31.0, "skinfold": 18.0}
    assert aloud_sentences([pair], estimates) == [
        f"The skinfolds give about 18%, the tape about 31%: {because('belly_fat')}."
    ]
    none = replace(pair, reasons=(Reason("usual_gap", 1.0),))
    assert because("unknown") in aloud_sentences([none], estimates)[0]
    assert aloud_sentences([replace(pair, by_chance=30.0)], estimates) == []  # ordinary
    heavy = replace(pair, between=("mass_height", "skinfold"))
    assert (
        because("deeper_fat")
        in aloud_sentences([heavy], {"mass_height": 31.0, "skinfold": 18.0})[0]
    )


def test_what_is_said_aloud_is_kind_and_knows_only_real_reasons() -> None:
    assert set(BECAUSE) - {"", "usual_gap", "age_term", "less_muscle", "slip"} <= set(FINDING_CODES)
    unkind = re.compile(
        r"\b(overweight|obes\w+|ideal|normal|bad|wrong body|too (fat|thin))\b", re.I
    )
    for key in (*BECAUSE.values(), *OF_WEIGHT.values()):
        text = because(key)
        assert not unkind.search(text)
        assert not text.endswith(".")
        assert because(key) != because("unknown") or key == "unknown"


@pytest.mark.parametrize("code", ["de", "es", "fr"])
def test_the_client_hears_and_takes_home_their_own_language(code: str, tmp_path: Path) -> None:
    language = LANGUAGES[code]
    end = replace(end_of(example("disagreement")), language=language)
    shown = unwrapped(_results(end, ""))
    assert because("belly_fat", language) in shown
    assert because("belly_fat") not in shown
    write_page(end, str(tmp_path / "page.txt"))
    page_text = unwrapped((tmp_path / "page.txt").read_text(encoding="utf-8"))
    # numbers and their signs are kept on one line
    assert language.say("verdict.disagree") in page_text.replace("\u00a0", " ")


def test_the_page_of_a_session_names_the_practice(tmp_path: Path) -> None:
    practice = foldspan.Practice(name="Riverside Strength Studio")
    end = replace(end_of(example("tape_only")), practice=practice, language=LANGUAGES["de"])
    write_page(end, str(tmp_path / "page.html"))
    html = (tmp_path / "page.html").read_text(encoding="utf-8")
    assert practice.name in html
    assert 'lang="de"' in html


def test_what_changed_since_the_last_visit_is_that_of_change() -> None:
    before, later = example("visit"), example("visit_later")
    found = foldspan.change(before, later).change
    shown = unwrapped(page(before, later))
    assert f"Since the last visit, {before.day}" in shown
    assert found.folds is not None
    assert found.weight is not None
    assert (
        f"Sum of 11 skinfolds: {found.folds.earlier:.1f} mm to {found.folds.later:.1f} mm" in shown
    )
    assert f"Weight: {found.weight.earlier:.1f} to {found.weight.later:.1f} kg" in shown
    assert "Waist (narrowest): 77.0 cm to 74.7 cm" in shown
    pounds = unwrapped(page(before, later, units="us"))
    assert f"Weight: {found.weight.earlier / 0.45359237:.1f}" in pounds
    assert "Waist (narrowest): 30.3 in to 29.4 in" in pounds


def test_the_first_visit_has_no_last_one() -> None:
    assert "Since the last visit" not in page(example("visit"))


def test_what_cannot_be_compared_is_said_with_the_reason() -> None:
    pregnant = visit(client={"pregnant": True}, visit={"date": "2026-01-08"})
    shown = unwrapped(page(pregnant, visit()))
    assert (
        "cannot be compared with the last one (2026-01-08): these methods do not work in pregnancy"
        in shown
    )
    other = visit(client={"sex": "male"}, visit={"date": "2026-01-08"})
    assert "sex differs between the visits" in unwrapped(page(other, visit()))


def test_a_loss_since_the_last_visit_is_flagged_at_the_end() -> None:
    day = date(2026, 4, 8) - timedelta(days=28)
    before = visit(visit={"date": day.isoformat()}, mass_height={"weight_kg": 74.0})
    assert foldspan.reconcile(visit()).flags == ()
    shown = unwrapped(page(before, visit()))
    assert "Refer soon:" in shown
    assert "lost" in shown


def test_a_worry_told_at_an_earlier_visit_keeps_numbers_off_the_screen() -> None:
    before = visit(visit={"date": "2026-01-08"}, intake={"eating_concern": True})
    end = end_of(before, visit())
    assert end.is_careful
    assert not re.search(r"\d", _client_text(end))


def test_the_book_gives_the_visits_before_this_one_the_earliest_first(tmp_path: Path) -> None:
    with Book.opened(str(tmp_path / "records.db")) as book:
        trees = [
            tree(visit={"date": day, "tester": "T-04"}) for day in ("2026-03-01", "2025-12-01")
        ]
        take_in(book, "K-302", trees[0], "a file")
        for visit_tree in trees:
            take_in(book, "K-301", visit_tree, "a file")
        row = book.visits("K-301")[0]
        found = visits_before(book, "K-301")
        assert [str(visit.day) for visit in found] == ["2025-12-01", "2026-03-01"]
        assert [str(visit.day) for visit in visits_before(book, "K-301", without=row)] == [
            "2025-12-01"
        ]
