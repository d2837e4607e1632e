"""Family backgrounds: self-described, optional, and asked only because something goes by them.

Health limits of several standards do, and on the scale of DXA the range of adults who say that they are
Black (``reference/background_offsets.py``). For every other background the equations were tried and
nothing got better, so a family background says nothing to them.
"""

from __future__ import annotations

import re
from functools import lru_cache
from typing import NamedTuple

BACKGROUNDS: tuple[str, ...] = (
    "white",
    "south_asian",
    "chinese",
    "japanese",
    "other_asian",
    "asian",
    "middle_eastern",
    "black_african",
    "african_caribbean",
    "african_american",
    "latin_american",
    "other",
)
# NICE (NG246, 2025): lower points for these. "asian" is Asian without saying which; all are named.
NICE_BACKGROUNDS = (
    "south_asian", "chinese", "japanese", "other_asian", "asian", "middle_eastern", "black_african",
    "african_caribbean",
)  # fmt: skip
ASIAN_BACKGROUNDS = ("south_asian", "chinese", "japanese", "other_asian", "asian")
BLACK_BACKGROUNDS = ("black_african", "african_caribbean", "african_american")
# What an ancestry that was stated for the equations says about family background; where it leaves a
# choice that a rule would need (black: African, African-Caribbean or African American), nothing.
BACKGROUND_OF_ANCESTRY = {"white": "white", "asian": "asian", "japanese": "japanese"}


# other words for some of them, as people say them
_OTHER_WORDS = {
    "caucasian": "white", "european": "white", "indian": "south_asian", "pakistani": "south_asian",
    "bangladeshi": "south_asian", "sri lankan": "south_asian", "nepali": "south_asian",
    "punjabi": "south_asian", "tamil": "south_asian", "arab": "middle_eastern",
    "caribbean": "african_caribbean", "hispanic": "latin_american", "latino": "latin_american",
    "latina": "latin_american",
}  # fmt: skip
_KNOWN_WORDS = {
    word.replace("_", " "): word for word in BACKGROUNDS if word != "other"
} | _OTHER_WORDS


class Background(NamedTuple):
    """What was stated: the ``word`` that limits go by or "", and whether all of it ``is_used``."""

    word: str
    is_used: bool


@lru_cache(maxsize=4096)
def read_background(stated: str) -> Background:
    """Return the family background that limits go by, from any words.

    The longest known word counts first. Of several the one with lower points of its own is used, else
    the first (ours): no limit was published for two. What holds no known word is kept, and not used.
    """
    left = " ".join(re.sub(r"[\W_]+", " ", stated.lower()).split())
    if re.search(r"\b(not|no|non)\b", left):  # whoever says what they are not has said no more
        return Background("", False)
    words_at: dict[int, str] = {}
    for known_word in sorted(_KNOWN_WORDS, key=len, reverse=True):
        match = re.search(rf"\b{known_word}\b", left)
        if match:
            words_at[match.start()] = _KNOWN_WORDS[known_word]
            left = left[: match.start()] + "#" * len(known_word) + left[match.end() :]
    words = [words_at[place] for place in sorted(words_at)]
    if not words:
        is_other = left == "other"
        return Background("other" if is_other else "", is_other or not stated.strip())
    named = [word for word in words if word in NICE_BACKGROUNDS]
    rest = re.sub(r"\b(and|or|half|mixed|part|british|family|background|origin)\b|[# ]", "", left)
    return Background((named or words)[0], not rest and len(set(words)) == 1)


def ancestry_of(family_background: str, ancestry: str) -> str:
    """Return the ancestry that equations go by: the one stated, else what a family background says.

    It says ``black`` where it names that and nothing else, in any words, such as "Black", "Black
    African" or "african_caribbean". Any other says nothing here.
    """
    return ancestry or ("black" if _says_black(family_background) else "")


@lru_cache(maxsize=4096)
def _says_black(stated: str) -> bool:
    read = read_background(stated)
    if not read.is_used:  # "black" alone leaves open which limits to use, not what is said here
        rest, replaced = re.subn(r"(?<![a-z])black(?![a-z])", " ", stated.lower())
        rest = re.sub(r"(?<![a-z])(british|american|person|woman|man)(?![a-z])", " ", rest)
        read = read_background(rest)
        if replaced and not rest.strip(" ,;_-/"):
            return True
        if not replaced:
            return False
    return read.is_used and read.word in BLACK_BACKGROUNDS


def background_of(family_background: str, ancestry: str) -> str:
    """Return the family background to go by: the one stated, else what the ancestry says, or ""."""
    return family_background or BACKGROUND_OF_ANCESTRY.get(ancestry, "")
