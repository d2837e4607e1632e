"""Taken together: how fat, waist and weight read side by side, in one sentence.

A client who sees weight above the usual and fat in it is left with two numbers and no answer; the
sentence says what the three come to. What is not clear by itself is left out of it.
"""

from __future__ import annotations

from collections.abc import Sequence

from foldspan.results.spoken import SpokenBand
from foldspan.standards.card import REACH
from foldspan.text.catalogue import Sentence

# a band is read as clear from this chance on
CLEAR = 0.7
MEASURES = ("fat_percent", "waist_to_height", "bmi")


def taken_together(bands: Sequence[SpokenBand]) -> Sentence | None:
    """Return what fat, waist and weight come to; None with fewer than two clear, or one low."""
    read = {band.measure: _reading(band) for band in bands if band.measure in MEASURES}
    clear = {measure: reading for measure, reading in read.items() if reading}
    if len(clear) < 2 or "low" in clear.values():
        return None
    # one whole sentence for each case, so that a language puts it in its own way
    return Sentence(f"together.{'_'.join(clear.get(measure, 'unclear') for measure in MEASURES)}")


def _reading(band: SpokenBand) -> str:
    """``low``, ``usual`` or ``high`` where that is clear, else ""."""
    chances = {"low": 0.0, "usual": 0.0, "high": 0.0}
    for code, chance in band.probabilities.items():
        reach = REACH[code]
        chances["high" if reach == "a" else "low" if reach == "b" else "usual"] += chance
    word, chance = max(chances.items(), key=lambda item: item[1])
    return word if chance >= CLEAR else ""
