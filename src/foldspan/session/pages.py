"""Pages: questions that are answered on one page, and the short word for each line of it.

A page is one prompt that answers several; each of its questions stays a prompt of its own, which comes
up by itself where it alone is open: after ``back``, or in a session of an earlier version.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from foldspan.session.answers import Kind, Known, Prompt

# Short words for the lines of a page, by the key of the question; what may be typed.
LINE_WORDS: dict[str, str] = {
    "pregnant": "pregnant", "birth_months_ago": "birth", "periods_stopped": "periods",
    "surgery_months_ago": "operation", "blood_pressure_mmhg": "pressure", "athlete": "training",
    "anabolic_drugs": "anabolic", "family_background": "family", "earlier_weight_kg": "weight",
    "consent.touch": "touch", "consent.pinch": "pinch", "consent.uncover": "uncover",
    "consent.mark": "mark", "consent.chest": "chest", "consent.writer": "writer",
    "consent.show": "show", "consent.share": "share",
    "prepared.skin": "skin", "prepared.rested": "rested",
    "sex": "sex", "age_years": "age", "eating_concern": "eating", "symptoms": "symptoms",
    "conditions": "conditions", "medicines": "medicines", "plan": "plan", "calliper": "calliper",
    "operated": "operated", "earlier_weight_months_ago": "months",
}  # fmt: skip
# Lines with a number or words of their own: typed behind the line, or asked for next.
WITH_DETAIL = (
    "birth_months_ago", "surgery_months_ago", "blood_pressure_mmhg", "family_background",
    "earlier_weight_kg", "sex", "age_years",
)  # fmt: skip
# Questions that belong to a line of another one, and have none of their own.
UNDER_ANOTHER = {
    "earlier_weight_months_ago": "earlier_weight_kg", "operated": "surgery_months_ago",
}  # fmt: skip
WORDS_TO_KEYS = {word: key for key, word in LINE_WORDS.items()}


def shown_lines(keys: Iterable[str]) -> tuple[str, ...]:
    """Return the questions that have a line of their own on a page, in its order."""
    return tuple(key for key in keys if key not in UNDER_ANOTHER)


def paged(known: Known, key: str, kind: Kind, items: Sequence[Prompt]) -> Iterator[Prompt]:
    """Yield a page where two or more of its questions are open, then the questions themselves."""
    open_keys = shown_lines(item.key for item in items if item.key not in known.answers)
    if key in known.answers or len(open_keys) > 1:
        from foldspan.session.answers import Prompt  # nobody else here needs a session

        yield Prompt(key, kind, words=open_keys, is_optional=kind == "those")
    yield from items
