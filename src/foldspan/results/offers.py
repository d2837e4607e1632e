"""Offers: which of the measurements that would narrow a range are offered, and to whom."""

from __future__ import annotations

from foldspan.explanation.next_measurement import NextMeasurement
from foldspan.quantities import Sex
from foldspan.results.explanation import Explanation

MOST_NEXT = 5
QUICK_MINUTES, LEAST_IF_INTIMATE = 2.0, 1.5


def offered(explanation: Explanation, sex: Sex | None) -> list[NextMeasurement]:
    """Return the best offers, with the best quick one and the best without the calliper among them.

    People differ in what they like to be done and bared, and sessions in the time they have. Sites that
    many women would rather not have measured are offered to them only where they tell much.
    """
    ranked = explanation.next_measurements
    if sex != "male":
        ranked = tuple(
            offer
            for offer in ranked
            if not offer.is_intimate or offer.narrower_by >= LEAST_IF_INTIMATE
        )
    if is_large(explanation):  # folds of large bodies are hard to lift and tell little
        ranked = tuple(offer for offer in ranked if not offer.needs_calliper)
    quick = [offer for offer in ranked if offer.minutes <= QUICK_MINUTES]
    tape = [offer for offer in ranked if not offer.needs_calliper]
    wanted = [*ranked[:1], *quick[:1], *tape[:1], *ranked[1:]]
    kept = list(dict.fromkeys(id(offer) for offer in wanted))[:MOST_NEXT]
    return [offer for offer in ranked if id(offer) in kept]


def is_measured_again(explanation: Explanation) -> bool:
    """Whether everything is to be measured again before the range is relied on: methods disagree."""
    return explanation.result.verdict == "disagree"


def is_large(explanation: Explanation) -> bool:
    """Whether few equations were built on bodies as large as this one."""
    return "large_body" in explanation.result.caution_codes
