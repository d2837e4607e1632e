"""Notices of the client's page: as urgent as the flag, and none is left out, however many there are.

Which level means how soon is our proposal, typed a second time: refer soon is a doctor within about
two weeks, refer urgently the same day or the emergency number; chest pain, collapse and breathlessness
at rest go by the emergency number, thirst with much urine to a doctor in days.
"""

from __future__ import annotations

import io
import random
import re
from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from itertools import combinations

import pypdf
import pytest

import foldspan
from foldspan.pages.client_page import LEFT_OUT, Kept, _page, client_page, client_pages
from foldspan.pages.document import Document, FillIn, Heading, Notice
from foldspan.pages.inputs import Material
from foldspan.pages.pdf_page import as_pdf
from foldspan.results.spoken import SpokenFlag
from foldspan.standards.referral_rules import REFUSALS, RULE_BY_CODE, RULES, Rule
from foldspan.text.catalogue import LANGUAGES, Sentence
from foldspan.text.client_message import client_message, client_words
from foldspan.text.client_notices import is_about_the_body
from foldspan.text.en.flags import client_sentence
from foldspan.text.en.notices import SOONER, TOPICS
from page_reading import PATHS, page, read_html, texts, visit

# who gets no range for one of these words has no page with numbers
NO_RANGE = {word for refusal in REFUSALS for word in refusal.intake_words}
URGENT = [rule for rule in RULES if rule.level == "refer_urgently"]
SOON = [rule for rule in RULES if rule.level == "refer_soon"]
TITLES = {
    "heart_signs": "Get help now",
    "self_harm": "Get help now",
    "thirst_and_urine": "See a doctor in the next few days",
}
BY_LEVEL = {
    "refer_urgently": "See a doctor today",
    "refer_soon": "See a doctor within two weeks",
    "advise": "Worth talking about with a doctor",
}


def flag(rule: Rule) -> SpokenFlag:
    return SpokenFlag(rule.code, 1.0)


@cache
def material(stem: str, language: str = "en") -> Material:
    if stem == "trend":
        both = [foldspan.Visit.from_file(str(PATHS[name])) for name in ("visit", "visit_later")]
        return foldspan.report(*both, reader="client", language=language).material
    if stem == "minor":
        made = foldspan.report(visit(client={"age_years": 15}), reader="client", language=language)
        return made.material
    return page(stem, "client", language).material


def flagged(stem: str, rules: list[Rule], language: str = "en") -> Material:
    """A page's material with other flags than its own."""
    base = material(stem, language)
    spoken = sorted(map(flag, rules), key=lambda flag_of: -list(BY_LEVEL).index(flag_of.level)
                    if flag_of.level in BY_LEVEL else 1)  # fmt: skip
    health = replace(base.result.health, flags=tuple(spoken))
    explanation = replace(base.explanation, result=replace(base.result, health=health))
    return replace(base, explanation=explanation, whole=None)


def words_of(document: Document) -> str:
    return " ".join(texts(document.to_dict())).lower()


def missed(made: Material, document: Document) -> list[str]:
    """Codes of flags of which neither the sentence nor the topic stands on the page."""
    found, sentences = words_of(document), made.language.sentences
    is_urgent = any(raised.level == "refer_urgently" for raised in made.flags)
    gone = []
    for flag in made.flags:
        if flag.level == "inform" and (is_urgent or made.is_careful or not made.result.has_range):
            continue  # about the measuring, of which nothing is told there
        if made.is_careful and is_about_the_body(flag):
            if flag.level == "advise" or (is_urgent and flag.level != "refer_urgently"):
                continue  # no word about the body, and the doctor is seen today
            stands = [sentences[f"careful_flag.{flag.level}"]]
        else:
            stands = [sentences.get(f"{way}.{flag.code}", "\0") for way in ("flag", "topic")]
        if not any(text.lower() in found for text in stands):
            gone.append(flag.code)
    return gone


def one_of_each_ladder(choice: random.Random, rules: list[Rule]) -> list[Rule]:
    """Everything at once that can be: of a ladder one."""
    ladders: dict[str, list[Rule]] = {}
    for rule in rules:
        ladders.setdefault(rule.ladder or rule.code, []).append(rule)
    return [choice.choice(some) for some in ladders.values()]


def with_a_range() -> list[Rule]:
    return [
        rule for rule in RULES if not set(rule.intake_words) & NO_RANGE and rule.ladder != "belly"
    ]


def groups(careful: bool) -> Iterator[list[Rule]]:
    """Every rule alone, every two of different ladders, and many at once."""
    rules = [rule for rule in with_a_range() if careful or rule.code != "eating_concern"]
    yield from ([rule] for rule in rules)
    for first, second in combinations(rules, 2):
        if first.ladder != second.ladder or not first.ladder:
            yield [first, second]
    calm = [rule for rule in rules if rule.level != "refer_urgently"]
    choice = random.Random(17)
    for _ in range(60):
        yield one_of_each_ladder(choice, calm)
        every = one_of_each_ladder(choice, rules)
        yield every
        yield choice.sample(every, 6)


@pytest.mark.parametrize("language", ["en", "de", "es", "fr"])
@pytest.mark.parametrize("stem", ["visit", "trend", "disagreement", "careful_words", "minor"])
def test_every_notice_stands_on_the_page_and_it_stays_short(stem: str, language: str) -> None:
    some = list(groups(stem == "careful_words"))
    if stem not in ("visit", "careful_words"):  # pairs once are enough
        some = [group for group in some if len(group) != 2]
    for rules in some:
        made = flagged(stem, rules, language)
        document = client_page(made)
        codes = [rule.code for rule in rules]
        assert missed(made, document) == [], codes
        # more than fifteen notices at once leave room for nothing else
        assert document.words() < (250 if len(rules) < 7 else 300), codes


class Everything(frozenset[str]):
    """What is left out, all of which a section is told, whatever is said to bear on it."""

    def intersection(self, *_: object) -> Everything:
        return self


@pytest.mark.parametrize("flags", [0, 3])
@pytest.mark.parametrize("stem", ["visit", "trend", "disagreement", "careful_words"])
def test_a_page_that_is_tried_after_others_is_the_page_made_alone(stem: str, flags: int) -> None:
    """Sections that stay the same are made once for all pages that are tried for one message."""
    made = flagged(stem, [rule for rule in with_a_range() if rule.level == "advise"][:flags])
    message = client_message(made.explanation, careful=made.is_careful, flags=made.flags)
    kept: Kept = {}
    some = [frozenset(LEFT_OUT[:count]) for count in range(len(LEFT_OUT) + 1)]
    some += [frozenset({name}) for name in LEFT_OUT]
    for left_out in some + some[::-1]:
        alone = _page(made, message, Everything(left_out))
        assert _page(made, message, left_out, kept).to_dict() == alone.to_dict(), left_out
    assert len(kept) < 10 * len(some)


@pytest.mark.parametrize("language", ["en", "de", "es", "fr"])
@pytest.mark.parametrize("stem", ["trend", "outside_results"])
def test_with_all_notices_at_once_it_is_still_one_sheet(stem: str, language: str) -> None:
    calm = [rule for rule in with_a_range() if rule.level != "refer_urgently"]
    rules = one_of_each_ladder(random.Random(5), calm)
    assert len(rules) > 15
    first, *shorter = client_pages(flagged(stem, [*rules], language))
    made = as_pdf(first, most_sheets=1, shorter=shorter)
    assert len(pypdf.PdfReader(io.BytesIO(made)).pages) == 1


@pytest.mark.parametrize("rule", [rule for rule in RULES if rule.level in BY_LEVEL],
                         ids=lambda rule: rule.code)  # fmt: skip
def test_a_notice_is_as_urgent_as_its_flag(rule: Rule) -> None:
    stem = "careful_words" if rule.code == "eating_concern" else "visit"
    document = client_page(flagged(stem, [rule]))
    notices = [part for part in document.parts if isinstance(part, Notice)]
    assert notices[0].title == TITLES.get(rule.code, BY_LEVEL[rule.level])
    # before the range and everything that comes next
    before = [type(part).__name__ for part in document.parts[: document.parts.index(notices[0])]]
    assert set(before) <= {"Facts"}


@pytest.mark.parametrize("language", ["en", "de", "es", "fr"])
@pytest.mark.parametrize("rule", SOON, ids=lambda rule: rule.code)
def test_a_doctor_soon_stands_before_the_next_measurement(rule: Rule, language: str) -> None:
    stem = "careful_words" if rule.code == "eating_concern" else "visit"
    made = flagged(stem, [rule], language)
    document = client_page(made)
    say = made.language.say
    soon = "days" if rule.code == "thirst_and_urine" else "weeks"
    found = words_of(document)
    assert say(f"notice.{soon}").lower() in found
    if made.is_careful:
        assert not re.search(r"\d", found)
        return
    heading = document.parts.index(Heading(say("page.next")))
    steps = document.parts[heading + 1].items  # type: ignore[union-attr]
    assert steps[0] == say(f"page.first_{soon}")
    assert steps[1] == say("page.repeat_then", weeks=8)


def test_a_page_without_a_doctor_says_only_when_to_measure_again() -> None:
    document = client_page(flagged("visit", []))
    heading = document.parts.index(Heading("Next steps"))
    steps = document.parts[heading + 1].items  # type: ignore[union-attr]
    assert not any("doctor, " in step for step in steps)
    assert any("8 weeks" in step for step in steps)


LINES = {
    "heart_signs": ("Emergency number",),
    "self_harm": ("Emergency number", "Crisis line"),
    "fainting": ("Number to call today",),
}


@pytest.mark.parametrize("rule", URGENT, ids=lambda rule: rule.code)
def test_whoever_is_to_be_called_today_is_a_line_to_fill_in(rule: Rule) -> None:
    for stem in ("visit", "careful_words", "minor"):
        made = flagged(stem, [rule])
        document = client_page(made)
        (lines,) = [part for part in document.parts if isinstance(part, FillIn)]
        assert lines.labels == LINES.get(rule.code, LINES["fainting"])
        assert "fill_in" in [part["kind"] for part in document.to_dict()["parts"]]
        assert not re.search(r"\d", " ".join(texts([part for part in document.to_dict()["parts"]
                                                    if part["kind"] != "facts"])))  # fmt: skip


@pytest.mark.parametrize("language", LANGUAGES)
def test_whoever_is_to_be_seen_soon_has_a_line_for_the_doctors_number(language: str) -> None:
    """The line stands below what it is for, and only where nobody is to be called today."""
    soon = [rule for rule in RULES if rule.level == "refer_soon"]
    said = {"en": "Doctor's number", "de": "Telefon der Arztpraxis", "es": "Teléfono de la consulta",
            "fr": "Téléphone du cabinet médical"}  # fmt: skip
    for rule in (soon[0], next(rule for rule in soon if rule.code == "thirst_and_urine")):
        document = client_page(replace(flagged("visit", [rule]), language=LANGUAGES[language]))
        kinds = [type(part) for part in document.parts]
        (lines,) = [part for part in document.parts if isinstance(part, FillIn)]
        assert lines.labels == (said[language],)
        assert kinds.index(FillIn) == kinds.index(Notice) + 1
    both = client_page(flagged("visit", [soon[0], *URGENT[:1]]))
    (lines,) = [part for part in both.parts if isinstance(part, FillIn)]
    assert "Doctor's number" not in lines.labels


def test_the_line_is_drawn_in_every_format() -> None:
    report = foldspan.report(visit(intake={"symptoms": ["chest_pain"]}), reader="client")
    assert "Emergency number:" in " ".join(read_html(report).words)
    assert ("div", {"class": "fill"}) in read_html(report).tags
    kinds = [part["kind"] for part in report.to_dict()["page"]["parts"]]
    assert kinds.index("notice") < kinds.index("fill_in")
    text = pypdf.PdfReader(io.BytesIO(report.pdf())).pages[0].extract_text()
    assert "Emergency number:" in text


def test_what_is_not_urgent_is_still_told_where_a_doctor_is_seen_today() -> None:
    rules = [RULE_BY_CODE[code] for code in ("heart_signs", "periods_stopped", "bleeding")]
    notices = [
        part for part in client_page(flagged("visit", rules)).parts if isinstance(part, Notice)
    ]
    assert [notice.title for notice in notices] == ["Get help now", "Also tell the doctor"]
    # both, and that nobody should set goals yet
    assert len(notices[1].items) == 3
    assert notices[1].items[-1] == "Please set no goals yet."


@pytest.mark.parametrize("language", LANGUAGES)
def test_topics_below_whole_sentences_are_led_in(language: str) -> None:
    """A bare noun below a sentence says nothing; what belongs to one of them is its own sentence."""
    made = page("careful_words", "client", language).material
    (notice,) = [part for part in client_page(made).parts if isinstance(part, Notice)]
    say = made.language.say
    topics = [Sentence(f"topic.{code}") for code in ("periods_stopped", "stress_fractures")]
    assert notice.items[-2:] == (say("about.also", what=topics), say("about.no_goals"))
    assert not any(item.lower() == say(topic).lower() for item in notice.items for topic in topics)


@pytest.mark.parametrize("language", ["en", "de", "es", "fr"])
def test_the_text_of_a_client_leaves_no_notice_out_either(language: str) -> None:
    """``explain --for client``, the page.txt of a session."""
    spoken = LANGUAGES[language]
    for rules in groups(careful=False):
        text = client_words(flagged("visit", rules, language).explanation, spoken)
        gone = [
            rule.code for rule in rules
            if (rule.level != "inform" or not any(x.level == "refer_urgently" for x in rules))
            and not any(spoken.sentences.get(f"{way}.{rule.code}", "\0").lower() in text.lower()
                        for way in ("flag", "topic"))
        ]  # fmt: skip
        assert gone == []


def test_the_text_of_a_client_stays_short() -> None:
    calm = [rule for rule in with_a_range() if rule.level in ("refer_soon", "advise")]
    calm = [rule for rule in calm if rule.code != "eating_concern"]
    for rules in combinations(calm, 2):
        text = client_words(flagged("disagreement", [*rules]).explanation)
        assert len(text.split()) <= 150


@pytest.mark.parametrize("rule", SOON, ids=lambda rule: rule.code)
def test_one_sentence_for_the_client_says_how_soon_by_itself(rule: Rule) -> None:
    """As the JSON tree, a FHIR bundle and the end of a session tell it, without a title above it."""
    when = "in the next few days" if rule.code == "thirst_and_urine" else "within two weeks"
    assert client_sentence(rule.code, rule.level).endswith(f"Please see a doctor {when}.")


def test_every_flag_has_its_words_for_a_full_page() -> None:
    assert {rule.code for rule in RULES if rule.level != "refer_urgently"} - set(TOPICS) <= {
        "eating_concern"
    }


def test_lists_whose_items_hold_commas_are_parted_by_semicolons() -> None:
    for language in LANGUAGES.values():
        topics = (Sentence("topic.pressure_raised"), Sentence("topic.stress_fractures"))
        sentence = language.say("about.weeks", what=topics)
        assert "; " in sentence


@pytest.mark.parametrize(
    ("language", "words"),
    [
        ("en", "within a few days"),
        ("de", "nächsten Tagen"),
        ("es", "en pocos días"),
        ("fr", "prochains jours"),
    ],
)
def test_a_topic_keeps_how_soon_beside_what_is_more_urgent(language: str, words: str) -> None:
    """Signs that go to a doctor within days, sooner than their level says, told beside urgent ones."""
    sooner = [code for code, soon in SOONER.items() if soon == "days" and code in TOPICS]
    assert sooner
    for code in sooner:
        assert words in LANGUAGES[language].say(f"topic.{code}")
