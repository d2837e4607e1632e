"""On request: what the cards that stay out of the range print for one person, beside it.

They are worked out like all others, but nothing of them enters the range, its error or its verdict.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from foldspan.estimation.applicability import Applicability, Fit
from foldspan.estimation.batch import People
from foldspan.estimation.default_cards import cards_on_request, on_request_because
from foldspan.estimation.error_model import reference_shifts
from foldspan.estimation.select_equations import Selection
from foldspan.estimation.settings import Settings
from foldspan.measurement.waist_conversion import Bridged

# a reason to be left out that lies in the catalogue, not in the person
ON_REQUEST = "on_request"


@dataclass(frozen=True, slots=True)
class ListedOnRequest:
    """One card for person 0: ``percent`` on the stated scale, NaN where it has none; bits of ``Fit``.

    ``because`` is one of ``default_cards.REASONS``.
    """

    percent: float
    flags: int
    because: str


def beside_the_range(
    people: People, settings: Settings, bridged: Bridged
) -> dict[str, ListedOnRequest]:
    """Return what every card on request prints for person 0, by its key.

    Parameters
    ----------
    people : People
        One column.
    settings : Settings
        Scale and conversion.
    bridged : Bridged
        Their waists, those that were not measured filled from a neighbouring level.

    Returns
    -------
    dict of str to ListedOnRequest
        One card does not exclude another on the same people: none of them enters the range.
    """
    cards = cards_on_request(people.sex, levelled=settings.levels)
    moves = reference_shifts(cards, settings.reference_method)
    by_card: dict[str, ListedOnRequest] = {}
    applicability: Applicability | None = None
    for card, move in zip(cards, moves, strict=True):
        selection = Selection((card,), people, settings, bridged, applicability)
        applicability = selection.applicability  # the same people: every question once
        with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
            evaluated = selection.evaluate(0, card, every=True)
        bits = int(selection.flags[0, 0])
        percent = np.nan if evaluated is None else float(evaluated.percent[0] + move)
        because = on_request_because(card, people.sex, levelled=settings.levels)
        percent = np.nan if bits & int(Fit.NO_SOUND_VALUE) else percent
        by_card[card.key] = ListedOnRequest(percent, bits, because)
    return by_card
