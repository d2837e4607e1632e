"""A session begun in one language and gone on with in another is in the book as one in English."""

from __future__ import annotations

from pathlib import Path

from measure_driver import MAN, piped, place_of, record, script_of

QUICK = MAN | {"plan": "quick", "consent.mark": "n"}
# what is typed at a prompt instead, by its key: in French until the plan, then in German
FRENCH = {
    "sex": "homme", "consent.store": "oui", "eating_concern": "non", "symptoms": "aucun",
    "conditions": "aucune", "medicines": "rien",
}  # fmt: skip
GERMAN = {"page.consent": "kein Stift", "consent.witness": "nein", "prepared.rested": "ja"}


def test_the_book_is_the_same_in_every_language(tmp_path: Path) -> None:
    answers = {**QUICK, **dict.fromkeys(("symptoms", "conditions", "medicines"), "none")}
    script = script_of(answers)
    english, mixed = tmp_path / "english.sqlite", tmp_path / "mixed.sqlite"
    assert piped(english, [*(typed.line for typed in script), ""]).returncode == 0
    lines = [{**FRENCH, **GERMAN}.get(typed.key, typed.line) for typed in script]
    place = place_of(script, "plan")
    assert {typed.key for typed in script[:place]} >= set(FRENCH)
    assert {typed.key for typed in script[place:]} >= set(GERMAN)
    settings = tmp_path / "foldspan" / "settings.toml"
    settings.parent.mkdir(exist_ok=True)
    settings.write_text('[practice]\nlanguage = "fr"\n', encoding="utf-8")
    begun = piped(mixed, [*lines[:place], "stop"])
    assert "| Quel âge avez-vous" in begun.stderr
    assert "femme = female, homme = male" in " ".join(begun.stderr.split())
    ended = piped(mixed, [*lines[place:], ""], "--resume", "--language", "de")
    assert ended.returncode == 0, ended.stderr[-500:]
    assert "| Was sollen wir messen?" in ended.stderr
    assert record(mixed) == record(english)


def test_a_language_that_is_not_there_is_told_before_anything_is_asked(tmp_path: Path) -> None:
    ran = piped(tmp_path / "book.sqlite", [], "--language", "it")
    assert ran.returncode == 2
    assert "Use en, de, es or fr" in ran.stderr
    assert not (tmp_path / "book.sqlite").exists()
