"""Counts: how many rows changed, which way, and why others are not compared, as whole numbers."""

from __future__ import annotations

from collections import Counter

import numpy as np

from foldspan.screening.before.columns import VERDICTS, Changes


def count_changes(changes: Changes) -> Counter[str]:
    """Return the counts of some rows; parts of a key have a bar between them."""
    count: Counter[str] = Counter()
    for kind, places in (("fat", changes.verdict), ("weight", changes.weight_verdict)):
        numbers = np.bincount(places, minlength=len(VERDICTS))
        for word, number in zip(VERDICTS[1:], numbers[1:], strict=True):
            count[f"{kind}|{word}"] += int(number)
    for pattern, number in changes.why.counts().items():
        for why in pattern:
            count[f"not|{why.code}|{why.reason}"] += number
    for codes, number in changes.notes.counts().items():
        for code in codes:
            count[f"note|{code}"] += number
    count["flagged"] += int(changes.losses.flagged.size)
    return Counter({key: number for key, number in count.items() if number})
