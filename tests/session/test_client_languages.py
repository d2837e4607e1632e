"""A session in the client's language: what they hear, what may be typed, and the same events in each."""

from __future__ import annotations

from dataclasses import replace
from itertools import cycle
from typing import Any

import pytest

from foldspan.intake.rules import LISTS
from foldspan.protocol.plans import PLAN_BY_KEY
from foldspan.protocol.site_guide import GUIDES, OTHERS
from foldspan.quantities import MEASURED
from foldspan.session.answer_words import in_english, phrase_of
from foldspan.session.answers import Known, LastVisit, Prompt
from foldspan.session.pages import LINE_WORDS, shown_lines
from foldspan.session.parse_input import parse_line
from foldspan.session.parse_page import PAGE_KINDS
from foldspan.session.parsed import ParsedLine
from foldspan.session.state import State
from foldspan.standards.referral_rules import REFUSALS, RULES
from foldspan.text.catalogue import ANSWER_KEYS, CLIENT_KEYS, LANGUAGES, Language
from foldspan.text.client_answers import alternatives, answer_words, answers_shown, shown_word
from foldspan.text.client_session import (
    FOLLOWED_UP,
    STANCES,
    client_sentences,
    flag_sentence,
    list_rows,
    planned_sentence,
)
from foldspan.text.questions import page_lines

FACTS: dict[str, Any] = {
    "tester": "T-02", "calliper": "ring", "repeat_rule": "growing", "girth_rule": "by_site",
    "units": "metric", "blind": True, "day": "2026-03-04",
}  # fmt: skip
OTHERS_THAN_ENGLISH = [language for language in LANGUAGES.values() if language.code != "en"]
# One invented woman, as her answers are typed by somebody who speaks the language; by key of the prompt.
TYPED: dict[str, dict[str, str]] = {
    "en": {
        "sex": "female", "consent.store": "y", "page.women": "birth 14 months ago",
        "eating_concern": "n", "symptoms": "joint pain, swelling", "conditions": "diabetes",
        "medicines": "water tablets",
        "page.more": "operation 14 months ago, pressure 128/82, weight 74 kg, 8 months ago, training,"
        " family south asian",
        "page.consent": "no chest, no mark", "consent.witness": "n",
        "go_on.E206": "y", "page.prepared": "y",
    },
    "de": {
        "sex": "weiblich", "consent.store": "ja", "page.women": "Geburt vor 14 Monaten",
        "eating_concern": "Nein", "symptoms": "Gelenkschmerzen, Schwellung", "conditions": "Diabetes",
        "medicines": "Wassertabletten",
        "page.more": "Operation vor 14 Monaten, Blutdruck 128/82, Gewicht 74 kg, vor 8 Monaten,"
        " Training, Herkunft südasiatisch",
        "page.consent": "keine Brust, kein Stift", "consent.witness": "nein",
        "go_on.E206": "ja", "page.prepared": "ja",
    },
    "es": {
        "sex": "mujer", "consent.store": "Sí", "page.women": "parto hace 14 meses",
        "eating_concern": "no", "symptoms": "dolor articular, hinchazón", "conditions": "diabetes",
        "medicines": "diurético",
        "page.more": "operación hace 14 meses, presión 128/82, peso 74 kg, hace 8 meses,"
        " entrenamiento, origen sur de Asia",
        "page.consent": "no pecho, no marcar", "consent.witness": "no",
        "go_on.E206": "sí", "page.prepared": "si",
    },
    "fr": {
        "sex": "femme", "consent.store": "oui", "page.women": "naissance il y a 14 mois",
        "eating_concern": "non", "symptoms": "douleurs articulaires, gonflement",
        "conditions": "diabète", "medicines": "diurétique",
        "page.more": "opération il y a 14 mois, tension 128/82, poids 74 kg, il y a 8 mois,"
        " entraînement, origine Asie du Sud",
        "page.consent": "non poitrine, pas feutre", "consent.witness": "non",
        "go_on.E206": "oui", "page.prepared": "oui",
    },
}  # fmt: skip
SAME = {"code": "K-203", "age_years": "41", "plan": "seven"}


def as_in_english(prompt: Prompt, line: str, code: str) -> str:
    line_in_english = in_english(prompt, line, answer_words(code))
    assert isinstance(line_in_english, str), line_in_english
    return line_in_english


def events(*codes: str) -> list[tuple[str, Any]]:
    """The events up to the landmarks; with several languages, one prompt in each by turns."""
    state, kept = State().after("begun", FACTS), []
    for code in cycle(codes):
        prompt = state.prompt
        if prompt.key == "mark.waist_midpoint_cm" or prompt.kind == "reading":
            return kept
        line = {**SAME, **TYPED[code]}.get(prompt.key, "")
        parsed = parse_line(state, as_in_english(prompt, line, code))
        assert parsed.event, (code, prompt.key, parsed.problem)
        kept.append((parsed.event, parsed.body))
        state = state.after(parsed.event, parsed.body or {})
    raise AssertionError


@pytest.mark.parametrize("codes", [("de",), ("es",), ("fr",), ("fr", "de", "en", "es")])
def test_the_same_answers_write_the_same_events_in_every_language(codes: tuple[str, ...]) -> None:
    english = events("en")
    assert dict(english)["page"]  # pages are among them
    assert events(*codes) == english


@pytest.mark.parametrize("language", OTHERS_THAN_ENGLISH, ids=lambda language: language.code)
def test_every_word_that_is_shown_is_understood(language: Language) -> None:
    state = State().after("begun", FACTS)
    for name, words in LISTS.items():
        prompt = Prompt(name, "words", is_optional=True)
        for word in words:
            for said in alternatives(language, f"word.{word}"):
                parsed = parse_line_at(state, prompt, said, language)
                assert dict(parsed.body or {})["value"] == [word], (said, parsed.problem)
    for key in ANSWER_KEYS:
        group, _, word = key.partition(".")
        for said in alternatives(language, key):
            if group == "choice":
                prompt = Prompt("sex", "choice", words=(word,))
            elif group == "background":
                prompt = Prompt("family_background", "background", is_optional=True)
            elif group == "line":
                page = Prompt("page", "those", words=(word,), is_optional=True)
                assert as_in_english(page, said, language.code) == LINE_WORDS[word]
                continue
            else:
                continue
            assert as_in_english(prompt, said, language.code) == word.replace("_", " ")


def parse_line_at(state: State, prompt: Prompt, line: str, language: Language) -> ParsedLine:
    from foldspan.session.parse_client_answers import ANSWER_PARSERS

    return ANSWER_PARSERS[prompt.kind](
        state, prompt, as_in_english(prompt, line, language.code), False
    )


@pytest.mark.parametrize("language", OTHERS_THAN_ENGLISH, ids=lambda language: language.code)
def test_no_word_stands_for_two_things(language: Language) -> None:
    seen: dict[tuple[str, tuple[str, ...]], str] = {}
    for key in ANSWER_KEYS:
        group = key.partition(".")[0]
        if group == "answer" and key not in ("answer.yes", "answer.no"):
            continue
        for said in alternatives(language, key):
            assert seen.setdefault((group, phrase_of(said)), key) == key, said
    # nor is a line called what English calls another one
    for key, word in LINE_WORDS.items():
        own = f"line.{key}"
        others = {other for other, name in LINE_WORDS.items() if name != word}
        if own in ANSWER_KEYS:
            names = {LINE_WORDS[other] for other in others}
            assert not set(phrase_of(shown_word(language, own))) & names


def test_a_letter_that_may_mean_either_sex_is_asked_back() -> None:
    """In Spanish M is mujer, and masculino too."""
    prompt = Prompt("sex", "choice", words=("female", "male", "both"))
    assert isinstance(in_english(prompt, "m", answer_words("es")), ParsedLine)
    assert as_in_english(prompt, "muj", "es") == "female"
    assert as_in_english(prompt, "h", "es") == as_in_english(prompt, "m", "de") == "male"
    assert as_in_english(prompt, "f", "fr") == "female"
    assert as_in_english(prompt, "w", "de") == as_in_english(prompt, "female", "de") == "female"


@pytest.mark.parametrize(
    ("kind", "line", "typed"),
    [
        ("yes_no", "ja", "y"), ("yes_no", "Keine", "n"), ("yes_no", "y", "y"),
        ("words", "keine", "none"), ("words", "keine Brustschmerzen", "keine chest pain"),
        ("background", "nicht weiß", "nicht weiß"), ("background", "Weiß", "white"),
        ("number", "8 Monate", "8 months"), ("pressure", "nichts", "none"),
        ("words", "undo", "undo"), ("reading", "18,5", "18,5"), ("word", "Ja", "Ja"),
    ],
)  # fmt: skip
def test_only_words_of_the_question_change(kind: Any, line: str, typed: str) -> None:
    assert as_in_english(Prompt("x", kind, is_optional=True), line, "de") == typed


CONSENTS = ("consent.touch", "consent.mark", "consent.show")
CLIENT_QUESTIONS = ("conditions", "blood_pressure_mmhg", "surgery_months_ago", "sex")


@pytest.mark.parametrize(
    ("kind", "code", "line", "typed"),
    [
        ("permit", "de", "nein", "n"), ("permit", "fr", "pas de feutre", "no mark"),
        ("permit", "es", "no marcar ni ver", "no mark no show"),
        ("still", "de", "ja, Blutdruck 131/84", "y, pressure 131/84"), ("still", "fr", "non", "n"),
        ("still", "es", "enfermedades, operación hace 2 meses", "conditions, operation 2 months"),
        ("still", "de", "Operation keine, Formeln weiblich", "operation none, sex female"),
        ("those", "de", "nichts davon", "none"), ("those", "fr", "aucun", "none"),
        ("those", "de", "opera 2", "operation 2"), ("those", "de", "pressure", "pressure"),
    ],
)  # fmt: skip
def test_a_page_takes_the_words_of_the_language(
    kind: Any, code: str, line: str, typed: str
) -> None:
    words = CONSENTS if kind == "permit" else CLIENT_QUESTIONS
    assert as_in_english(Prompt("page", kind, words=words, is_optional=True), line, code) == typed


@pytest.mark.parametrize(
    ("code", "line", "refused"),
    [
        ("de", "ja, außer Stift", "mark"), ("de", "ja, aber kein Stift", "mark"),
        ("de", "ja zu allem, bis auf den Stift", "mark"), ("de", "nein zu allem", "touch mark show"),
        ("de", "weder Berühren noch Sehen", "touch show"), ("fr", "oui à tout sauf le feutre", "mark"),
        ("fr", "non à tout", "touch mark show"), ("fr", "oui, mais pas de feutre", "mark"),
        ("es", "sí a todo excepto marcar", "mark"), ("es", "no a todo", "touch mark show"),
        ("es", "todo menos ver", "show"), ("es", "sí, pero no marcar", "mark"),
    ],
)  # fmt: skip
def test_what_is_refused_in_ones_own_words_is_refused(code: str, line: str, refused: str) -> None:
    state = State().after("begun", FACTS).after("answer", {"key": "plan", "value": ["seven"]})
    state = state.after("answer", {"key": "sex", "value": "male"})
    page = Prompt("page.consent", "permit", words=CONSENTS)
    parsed = PAGE_KINDS["permit"](state, page, as_in_english(page, line, code), False)
    assert parsed.problem is None, parsed.problem
    no = {key for key, value in dict(parsed.body or {})["values"].items() if not value}
    assert no == {f"consent.{item}" for item in refused.split()}


def walk(**answers: Any) -> list[tuple[Prompt, Known]]:
    """Every prompt of a session with these answers, with what is known there."""
    last = LastVisit({}, 26.0, {"conditions": ["diabetes"], "surgery_months_ago": 14.0,
                                "earlier_weight_kg": 74.0, "earlier_weight_months_ago": 8.0,
                                "athlete": True, "symptoms": []}, "female", 41.0)  # fmt: skip
    usual: dict[str, Any] = {
        "code": "K-203", "page.who": {}, "still": {}, "sex": "female", "age_years": 41.0,
        "plan": list(PLAN_BY_KEY), "symptoms": [], "conditions": [], "medicines": [],
        "blood_pressure_mmhg": [128.0, 82.0], "family_background": "chinese",
        "birth_months_ago": 3.0, "surgery_months_ago": 1.0, "operated": "elsewhere",
        "earlier_weight_kg": 74.0, "earlier_weight_months_ago": 8.0, "pregnant": False,
        "eating_concern": True, **answers,
    }  # fmt: skip
    state, found = State(last=last).after("begun", FACTS), []
    while state.prompt.kind != "done" and len(found) < 200:
        prompt = state.prompt
        found.append((prompt, state.known))
        if prompt.kind in ("those", "permit", "still"):
            body = {"key": prompt.key, "values": {}}
            state = state.after("page", body)
            continue
        value = usual.get(prompt.key, {"value": 70.0, "typed": "70"} if prompt.quantity else True)
        state = state.after("answer", {"key": prompt.key, "value": value})
    return found


WALKS: dict[str, dict[str, Any]] = {
    "all there is": {},
    "under 18": {"age_years": 15.0},
    "pregnant": {"pregnant": True},
    "urgent": {"symptoms": ["chest_pain", "swelling"], "conditions": ["limb_loss"]},
}


@pytest.mark.parametrize("question", WALKS)
def test_every_question_to_the_client_has_words_in_every_language(question: str) -> None:
    prompts = walk(**WALKS[question])
    assert any(prompt.key.startswith("go_on.") for prompt, _ in prompts)
    # a landmark, a code and a plan are the trainer's own
    own = ("code", "calliper", "finish", "page.prepared", "page.marks")
    for language in LANGUAGES.values():
        for prompt, known in prompts:
            said = client_sentences(prompt, known, language)
            is_own = prompt.key in own or prompt.key.startswith("mark.") or prompt.turn > 1
            assert bool(said) != is_own, prompt.key
            if prompt.kind in ("those", "permit", "still"):
                assert len(page_lines(prompt, known, language)) == len(shown_lines(prompt.words))
            assert all("{" not in text for text in said)


def test_a_reason_not_to_go_on_is_told_in_the_clients_language() -> None:
    prompts = {prompt.key: (prompt, known) for prompt, known in walk(**WALKS["urgent"])}
    for language in OTHERS_THAN_ENGLISH:
        sentences = client_sentences(*prompts["go_on.urgent"], language)
        assert sentences[0] == language.say("flag.heart_signs")
        assert sentences[-1] == language.say("ask.go_on")
    for refusal in REFUSALS:
        assert f"no_range_why.{refusal.problem}" in CLIENT_KEYS


def test_what_was_told_last_time_is_read_out_as_the_language_writes_it() -> None:
    still, known = next(pair for pair in walk() if pair[0].key == "still")
    german = dict(page_lines(still, known, LANGUAGES["de"]))
    assert german["conditions / Erkrankungen"] == "Diabetes"
    assert german["symptoms / Beschwerden"] == "keine"
    assert german["training"] == "ja"
    assert german["operation"] == "vor 14 Monaten"
    french = dict(page_lines(still, known, LANGUAGES["fr"]))
    assert french["weight / poids"] == "74 kg, il y a 8 mois"
    heavy = replace(known, last=known.last._replace(reported={
        "earlier_weight_kg": 74.5, "earlier_weight_months_ago": 1.0}))  # fmt: skip
    page = replace(still, words=("earlier_weight_kg",))
    assert dict(page_lines(page, heavy, LANGUAGES["es"])) == {
        "weight / peso": "74,5 kg, hace 1 mes"
    }


def test_the_client_hears_what_is_bared_and_how_to_stand() -> None:
    assert set(STANCES) == set(MEASURED) == {guide.name for guide in GUIDES}
    seated = [guide.name for guide in OTHERS if guide.posture.startswith("sitting")]
    assert seated == ["thigh_mm"]
    known = Known({"sex": "female", "plan": ["seven"], "consent.uncover": False})
    moved = replace(known, answers={**known.answers, "consent.uncover": True})
    german = LANGUAGES["de"]
    assert german.say("bare.belly") in planned_sentence(moved, german)
    assert german.say("bare.thigh") in planned_sentence(moved, german)
    assert german.say("bare.thigh") not in planned_sentence(known, german)


def test_what_has_a_follow_up_asks_for_the_number_alone() -> None:
    assert {key for key in CLIENT_KEYS if key.startswith("more.")} == {
        f"more.{key}" for key in FOLLOWED_UP
    }


@pytest.mark.parametrize("language", OTHERS_THAN_ENGLISH, ids=lambda language: language.code)
def test_what_may_be_typed_is_shown(language: Language) -> None:
    yes, no = (shown_word(language, f"answer.{word}") for word in ("yes", "no"))
    assert answers_shown(Prompt("x", "yes_no"), language) == f"{yes} = yes, {no} = no"
    for key, words in LISTS.items():
        rows = list_rows(key, language)
        assert len(rows) == len(words)
        for word, row in zip(words, rows, strict=True):
            assert row.startswith(
                f"{shown_word(language, f'word.{word}')} [{word.replace('_', ' ')}]"
            )
    for rule in RULES:
        said = flag_sentence(rule.code, rule.level, language)
        assert said.startswith(language.say(f"flag.{rule.code}"))


@pytest.mark.parametrize("code", [code for code in LANGUAGES if code != "en"])
def test_a_note_stays_in_the_words_in_which_it_was_typed(code: str) -> None:
    """What stands behind a command is no answer, even where it is a word of the list."""
    prompt = Prompt("conditions", "words", is_optional=True)
    for phrase, word in list(answer_words(code).lists.items())[:5]:
        said = " ".join(phrase)
        assert as_in_english(prompt, said, code) == word
        assert as_in_english(prompt, f"note {said}", code) == f"note {said}"
