"""Fat, waist and weight in one sentence: what is clear is said, what is low or open is left out."""

from __future__ import annotations

from dataclasses import replace

import pytest

import foldspan
from foldspan.pages.taken_together import taken_together
from foldspan.results.spoken import SpokenBand
from foldspan.text.catalogue import ENGLISH

VISIT = foldspan.Visit.from_file("examples/visit.toml")
BANDS = {
    measure: next(band for band in foldspan.reconcile(VISIT).bands if band.measure == measure)
    for measure in ("fat_percent", "waist_to_height", "bmi")
}
CODES = {
    "fat_percent": {"low": "lighter_match", "usual": "healthy_match", "high": "above_match"},
    "waist_to_height": {"usual": "under_half", "high": "half_or_more"},
    "bmi": {"low": "low", "usual": "usual", "high": "above"},
}


def band(measure: str, word: str, chance: float = 0.9) -> SpokenBand:
    codes = CODES[measure]
    rest = next(code for name, code in codes.items() if name != word)
    return replace(BANDS[measure], probabilities={codes[word]: chance, rest: 1.0 - chance})


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("usual", "usual", "usual"), "Your body fat, waist and weight all look usual."),
        (("usual", "usual", "high"),
         "Your body fat and waist look usual; weight alone looks a little high, which is common"
         " with muscle."),
        (("usual", "high", "usual"),
         "Your body fat and weight look usual; your waist is large for your height. You can talk about"
         " it with us or a doctor."),
        (("high", "high", "high"), "Your body fat, waist and weight all look higher than usual."),
        (("high", "usual", "high"),
         "Your waist looks usual; your body fat and weight look higher than usual."),
    ],
)  # fmt: skip
def test_the_three_are_said_in_one_sentence(words: tuple[str, ...], said: str) -> None:
    bands = [band(measure, word) for measure, word in zip(CODES, words, strict=True)]
    sentence = taken_together(bands)
    assert sentence is not None
    assert ENGLISH.say(sentence) == said


def test_what_is_open_or_low_is_not_said() -> None:
    usual = band("fat_percent", "usual")
    assert taken_together([usual]) is None
    assert taken_together([usual, band("bmi", "high", 0.6)]) is None
    assert taken_together([band("fat_percent", "low"), band("bmi", "usual")]) is None
    two = taken_together([usual, band("waist_to_height", "usual"), band("bmi", "high", 0.6)])
    assert two is not None
    assert ENGLISH.say(two) == "Your body fat and waist look usual."
