"""The client's side of a session: what is read out or shown in their language."""

from __future__ import annotations

from foldspan.cli.lines import wrap
from foldspan.session.answers import Known, Prompt
from foldspan.text.catalogue import ENGLISH, Language
from foldspan.text.client_answers import answers_shown, background_words
from foldspan.text.client_session import client_sentences, list_rows, planned_sentence

# stands before every line for the client
BAR = "| "
WELCOME = (
    "Lines that begin with | are for the client, in {language}: read them out, or turn the screen"
    " round. Answers may be typed in {language} or in English."
)
NAMES = {"de": "German", "es": "Spanish", "fr": "French"}


class ClientSide:
    """What a session says to the client; in English the trainer's own prompts are read out."""

    def __init__(self, language: Language = ENGLISH) -> None:
        self.language = language
        self.is_english = language.code == ENGLISH.code

    def welcome(self) -> str:
        """Return how the client's lines are told from the others, "" in English."""
        return "" if self.is_english else WELCOME.format(language=NAMES[self.language.code])

    def before(self, prompt: Prompt, known: Known) -> list[str]:
        """Return what the client hears before a prompt; [] in English."""
        if self.is_english:
            return []
        lines = [wrap(text, BAR, BAR) for text in client_sentences(prompt, known, self.language)]
        if prompt.kind == "words":
            rows = list_rows(prompt.key, self.language)
            lines += [wrap(row, BAR, f"{BAR}  ") for row in rows]
        return lines

    def planned(self, known: Known) -> list[str]:
        """Return what will be measured, for the client; [] in English."""
        if self.is_english:
            return []
        return [wrap(planned_sentence(known, self.language), BAR, BAR)]

    def help(self, prompt: Prompt) -> list[str]:
        """Return the words of the client's language where a question takes words of their own."""
        if self.is_english or prompt.kind != "background":
            return []
        return [wrap(background_words(self.language), BAR, BAR)]

    def hint(self, prompt: Prompt) -> str:
        """Return the words of the client's language that may be typed, behind a question."""
        shown = "" if self.is_english else answers_shown(prompt, self.language)
        return f" ({shown})" if shown else ""
