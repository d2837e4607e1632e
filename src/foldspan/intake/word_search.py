"""Word search: words of the intake found in what was typed, however it was spelt.

One way of reading for the session, visit files and tables. Blanks, hyphens and underscores are the
same, so are cases, plurals and the two spellings of oedema; the longest known words win, so that
"chest pain" is not a chest and a pain. What is not understood is handed back: nobody may skip it.
"""

from __future__ import annotations

import difflib
import re
import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache

from foldspan.standards.intake_vocabulary import ALL_WORDS, EVERYDAY, OLD_WORDS, OWN_LINES
from foldspan.standards.intake_vocabulary_abroad import ABROAD

# How people say that none of the words applies.
NOTHING = frozenset(
    {"no", "none", "nil", "nothing", "false", "0", "n", "noneofthese", "noneofthem", "noneofthis",
     "noneapply", "noneapplies"}
)  # fmt: skip
# Words that say of what follows them, up to the next comma, that it does not apply.
_DENY = frozenset(
    ("no", "not", "without", "never", "denies", "denied", "nor", "neither", "none", "negative",
     "kein", "keine", "keinen", "keiner", "keinem", "nicht", "ohne", "nie", "nein", "verneint", "pas",
     "sans", "aucun", "aucune", "jamais", "non", "sin", "ningun", "ninguna", "nunca", "senza", "nessun")
)  # fmt: skip
# Words that deny a whole list, until one that says yes begins a new part of it.
_DENY_ALL = frozenset({"denies", "denied", "deny", "verneint"})
_AFFIRM = frozenset({"has", "have", "had", "reports", "complains", "admits", "hat", "yes", "ja"})
# Words after which what follows is not denied any longer.
_BUT = frozenset({"but", "however", "aber", "jedoch", "mais", "pero", "ma"})
# Words that change nothing beside a word that was understood.
_FILLERS = frozenset(
    ("a", "an", "the", "and", "or", "of", "with", "my", "his", "her", "their", "has", "have", "had",
     "is", "are", "am", "i", "he", "she", "they", "client", "some", "known", "on", "takes", "taking",
     "take", "also", "mild", "slight", "severe", "bad", "very", "often", "sometimes", "lately",
     "patient", "history", "past", "since", "diagnosed", "treated", "controlled", "well", "stable",
     "chronic",
     "acute", "currently", "previous", "previously", "weeks", "week", "months", "years", "year", "old",
     "new",
     "left", "right", "both", "seit", "jahren", "wochen", "monaten", "links", "rechts", "depuis", "ans",
     "yes", "ja", "oui", "recently", "now", "still", "again", "in", "at", "to", "for", "bit", "any",
     "ich", "er", "sie",
     "hat",
     "habe", "bin", "ist", "und", "oder", "mit", "ein", "eine", "einen", "der", "die", "das", "dem",
     "den",
     "im", "am", "etwas", "leichte", "starke", "bekannt", "je", "j", "ai", "il", "elle", "a", "est",
     "et",
     "ou", "avec", "le", "la", "les", "un", "une", "des", "du", "de", "d", "l", "y", "con", "e")
)  # fmt: skip
_PIECES = re.compile(r"[^\W_]+|[;,/|+&.\n]|\?+")
# A comma, what ends a list, and a sign of doubt.
_BREAK, _STOP, _DOUBT = ",", ";", "?"
# Likeness from which a word is taken for a slip of another (of difflib; ours).
_ALIKE = 0.75


@dataclass(frozen=True, slots=True, repr=False)
class WordsRead:
    """What a text says.

    ``words`` are the known words that it names, in order; ``elsewhere`` words of the intake that it
    names and that belong to another list or line; ``denied`` words of which it says that they do not
    apply ("no chest pain"); ``rest`` the pieces that were not understood, as typed.
    """

    words: tuple[str, ...] = ()
    elsewhere: tuple[str, ...] = ()
    denied: tuple[str, ...] = ()
    rest: tuple[str, ...] = ()

    @property
    def is_plain(self) -> bool:
        """Whether the text is known words of the list and nothing else."""
        return not (self.elsewhere or self.denied or self.rest)


def words_in(text: str, known: Iterable[str] = ALL_WORDS, *, reads_old: bool = True) -> WordsRead:
    """Return which words of the intake a text names.

    Parameters
    ----------
    text : str
        Words with commas, semicolons or blanks between them, or a sentence.
    known : iterable of str
        Keys of ``standards.intake_words`` that may stand here, such as one of its lists.
    reads_old : bool
        Whether words of earlier versions (``OLD_WORDS``) are read as what they meant.

    Returns
    -------
    WordsRead
        Every piece of the text is in one of its parts, but for words like "has a".
    """
    read = _Reading(frozenset(known), reads_old=reads_old)
    found = _PIECES.findall(text)
    are_words = [piece.isalnum() and piece.lower() not in _BUT for piece in found]
    pieces = [
        piece if is_word or piece[0] == _DOUBT else _BREAK if piece in ",/+&" else _STOP
        for piece, is_word in zip(found, are_words, strict=True)
    ]
    place = 0
    while place < len(pieces):
        place += read.step(pieces[place:])
    read.end_clause()
    if not any(piece not in (_BREAK, _STOP) for piece in pieces) and text.strip(" ;,\t\n"):
        return WordsRead(rest=(text.strip(),))  # signs alone, such as a dash
    return WordsRead(_once(read.words), _once(read.elsewhere), _once(read.denied), tuple(read.rest))


class _Reading:
    """One text as it is read, piece by piece."""

    def __init__(self, known: frozenset[str], *, reads_old: bool) -> None:
        self.known = known
        self.spelt, self.longest = _spellings(reads_old=reads_old)
        self.words: list[str] = []
        self.elsewhere: list[str] = []
        self.denied: list[str] = []
        self.rest: list[str] = []
        self._run: list[str] = []
        self._is_denied = self._has_word = self._denies_all = False
        self._last = self.words

    def step(self, pieces: list[str]) -> int:
        """Read on; return how many pieces were taken."""
        if pieces[0] in (_BREAK, _STOP):
            self.end_clause()
            # who denies, denies a whole list; a no is said of what stands up to the comma
            self._is_denied = self._denies_all = self._denies_all and pieces[0] == _BREAK
            self._has_word = False
            if len(pieces) > 1 and pieces[1].lower() in _AFFIRM:
                self._is_denied = self._denies_all = False
            return 1
        found, length = _longest(pieces[: self.longest], self.spelt)
        if not found:
            self._is_denied |= pieces[0].lower() in _DENY
            self._denies_all |= pieces[0].lower() in _DENY_ALL
            self._run.append(pieces[0])
            return 1
        self._has_word = True
        self.end_piece()
        home = self.words if found in self.known else self.elsewhere
        self._last = self.denied if self._is_denied else home
        self._last.append(found)
        return length

    def end_clause(self) -> None:
        """End what stands between two commas; a no at its very end is said of the word before it."""
        run = [word.lower() for word in self._run]
        answered_no = _DENY | {"0", "n"}
        is_no = any(word in answered_no for word in run) and all(
            word in answered_no | _FILLERS or word[0] == _DOUBT for word in run
        )
        if is_no and self._has_word:
            self._run = []
            if self._last is not self.denied:
                self.denied.append(self._last.pop())
        self.end_piece()

    def end_piece(self) -> None:
        """Hand back what named no word; words like "has a" count where nothing else is there."""
        run, self._run = self._run, []
        telling = [
            place
            for place, word in enumerate(run)
            if word.lower() not in _FILLERS
            and not word.isdigit()
            and not (self._is_denied and word.lower() in _DENY)
        ]
        if telling:
            self.rest.append(" ".join(run[telling[0] : telling[-1] + 1]))
        elif run and not self._has_word:
            self.rest.append(" ".join(run))


def says_nothing(text: str) -> bool:
    """Whether a text says that none of the words applies, such as ``none of these``."""
    return "".join(_PIECES.findall(text)).lower() in NOTHING


def names_an_old_word(text: str, known: Iterable[str] = ALL_WORDS) -> bool:
    """Whether a text names a word only as earlier versions wrote it, which may mean another thing."""
    read, today = words_in(text, known), words_in(text, known, reads_old=False)
    return bool({*read.words, *read.elsewhere} - {*today.words, *today.elsewhere})


def says_none(given: object) -> bool:
    """Whether a line of a visit says that its question was asked and does not apply; 0 is a number."""
    if isinstance(given, (list, tuple)) and len(given) == 1:
        given = given[0]
    return isinstance(given, str) and given.strip() != "0" and says_nothing(given)


def the_word(text: str, known: Iterable[str] = ALL_WORDS, *, reads_old: bool = True) -> str:
    """Return the one known word that a text names, "" where it names none, several or more."""
    read = words_in(text, known, reads_old=reads_old)
    return read.words[0] if len(read.words) == 1 and read.is_plain else ""


def near_words(text: str, known: Iterable[str] = ALL_WORDS, most: int = 3) -> tuple[str, ...]:
    """Return the known words that a text may have meant, the likeliest first; () where none is near.

    A word is near where it is spelt alike, or holds the text: ``pain`` is near ``chest_pain``.
    """
    allowed = frozenset(known)
    typed = _joined(_PIECES.findall(text))
    if len(typed) < 3:
        return ()
    spelt = {spelling: word for spelling, word in _short_spellings().items() if word in allowed}
    alike = difflib.get_close_matches(typed, spelt, n=2 * most, cutoff=_ALIKE)
    begun = sorted((spelling for spelling in spelt if spelling.startswith(typed)), key=len)
    holding = sorted(
        (spelling for spelling in spelt if typed in spelling and len(typed) > 3), key=len
    )
    return _once(spelt[spelling] for spelling in (*alike, *begun, *holding))[:most]


def _longest(pieces: list[str], spelt: dict[str, str]) -> tuple[str, int]:
    """The longest beginning of the pieces that spells a word, and how many pieces it takes."""
    for length in range(len(pieces), 0, -1):
        here = pieces[:length]
        if not here[-1].isalnum() or any(piece.startswith(_DOUBT) for piece in here):
            continue
        # legs before leg: one swollen leg means something else than two
        found = spelt.get(_joined(here, stems=False)) or spelt.get(_joined(here))
        if found:
            return found, length
    return "", 0


def _joined(pieces: Iterable[str], *, stems: bool = True) -> str:
    """Pieces as one spelling: no blanks or breaks, small letters, no accents, one spelling of oe."""
    kept = (_plain(piece) for piece in pieces if piece.isalnum())
    return "".join(_singular(piece) if stems else piece for piece in kept)


def _plain(word: str) -> str:
    bare = unicodedata.normalize("NFKD", word.casefold())
    return re.sub(
        "[ao]e", "e", "".join(letter for letter in bare if not unicodedata.combining(letter))
    )


def _singular(word: str) -> str:
    return word[:-1] if len(word) > 3 and re.search("[^sui]s$", word) else word


def _ways_of_saying(word: str) -> tuple[str, ...]:
    return (*EVERYDAY.get(word, ()), *ABROAD.get(word, ()))


@cache
def _short_spellings() -> dict[str, str]:
    """Spellings of the words themselves, without their meanings → the word."""
    return {
        _joined(_PIECES.findall(phrase), stems=stems): word
        for stems in (True, False)
        for word in (*ALL_WORDS, *OWN_LINES)
        for phrase in (*_ways_of_saying(word), word)
    }


@cache
def _spellings(*, reads_old: bool) -> tuple[dict[str, str], int]:
    """Every spelling of every word → the word, and how many pieces the longest has at most."""
    exact: dict[str, str] = {}
    singular: dict[str, str] = {}
    longest = 1
    meanings = {**ALL_WORDS, **OWN_LINES}
    old = [(old, word) for old, word in OLD_WORDS.items() if reads_old]
    spellings = [
        (phrase, word)
        for word, meaning in meanings.items()
        for phrase in (word, *_ways_of_saying(word), meaning, *meaning.split(";"))
    ]
    for phrase, word in (*spellings, *old):
        pieces = _PIECES.findall(phrase)
        longest = max(longest, len(pieces) + 2)
        exact.setdefault(_joined(pieces, stems=False), word)
        singular.setdefault(_joined(pieces), word)
    return singular | exact, longest


def _once(words: Iterable[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(words))
