"""How many prompts stand before the first reading: at most 20 for a new client, 12 for one who returns.

Counted for every kind of client, with what they tell typed behind its line. A reason not to measure adds
the one question whether to go on: it fits, also where a page was left unanswered the time before.
"""

from __future__ import annotations

from collections.abc import Mapping
from itertools import product
from typing import Any

import pytest
from prompt_table import walk

from foldspan.records.visits import KeptVisit, reported_at
from foldspan.session.answers import LastVisit
from foldspan.session.state import State
from foldspan.session.to_visit import visit_tree

NEW, RETURNING = 20, 12
ALWAYS = {
    "code": "K-203", "tester": "T-02", "consent.store": "y", "guardian": "y", "eating_concern": "n",
    "symptoms": "none", "conditions": "none", "medicines": "none", "plan": "seven",
    "page.consent": "y", "consent.touch": "y", "consent.witness": "n", "page.prepared": "y",
    "prepared.rested": "y", "calliper": "ring", "page.marks": "", "page.who": "y", "still": "y",
    "pregnant": "n", "operated": "belly", "surgery_months_ago": "none",
    "page.women": "none", "page.more": "none", "consent.show": "y", "consent.share": "y",
    "consent.writer": "y",
    **{f"go_on.{code}": "y" for code in
       ("E201", "E202", "E203", "E204", "E205", "E206", "urgent", "eating_concern")},
}  # fmt: skip
PEOPLE = tuple(product(("female", "male", "both"), ("16", "31", "72")))
WOMEN = ("none", "pregnant", "birth 14 months ago, periods", "")
MORE = (
    "none", "", "pressure 190/125", "pressure 148/93", "weight 92 kg none",
    "pressure 148/93, weight 92 kg, 8 months ago",
    "operation 14 months ago, training", "operation 1, pressure 148/93, weight 92 6 months ago,"
    " family south asian, anabolic",
)  # fmt: skip
REASONS: tuple[Mapping[str, str], ...] = (
    {}, {"eating_concern": "y"}, {"symptoms": "chest pain"}, {"conditions": "limb loss"},
    {"symptoms": "joint pain", "conditions": "diabetes, hernia", "medicines": "blood thinner"},
)  # fmt: skip
KINDS = [
    {"sex": sex, "age_years": age, "page.women": women, "page.more": more, "calliper": calliper}
    for (sex, age), women, more, calliper in product(PEOPLE, WOMEN, MORE, ("ring", ""))
    # a page that does not come up, and a second word for the calliper, change nothing
    if (age == "31" and sex == "female") or (women == "none" and calliper == "")
]


def typed_by(kind: Mapping[str, str]) -> dict[str, str]:
    """What is typed for a kind of client: under 18 the page of more has one line, asked by itself."""
    typed = ALWAYS | dict(kind)
    lines = [part.strip() for part in typed["page.more"].split(",")]
    if typed.get("eating_concern") == "y":  # no earlier weight is asked for then
        lines = [line for line in lines if not line.startswith("weight") and "months" not in line]
    if typed["page.women"] == "pregnant" and typed["sex"] != "male" and typed["age_years"] == "31":
        lines = [line for line in lines if line.startswith(("operation", "pressure", "none"))]
    elif typed["page.more"] == "weight 92 kg none":
        lines = ["weight 92 kg"] if lines else []
        typed["earlier_weight_months_ago"] = ""
    typed["page.more"] = ", ".join(lines) if lines else "none"
    return typed


def last_of(state: State, months: float) -> LastVisit:
    """The next visit's look back on a session, so many months on."""
    kept = KeptVisit(1, "K-203", "", visit_tree(state), state)
    sex, age = str(state.known.get("sex")), state.known.get("age_years")
    return LastVisit({}, 4.348 * months, reported_at(kept, 4.348 * months), sex, age, "2025-09-03")


def both_walks(kind: Mapping[str, str], months: float) -> tuple[list[Any], list[Any]]:
    typed = typed_by(kind)
    new, state = walk(typed)
    again, _ = walk(typed | {"still": "y"}, last_of(state, months))
    return new, again


@pytest.mark.parametrize("reason", REASONS, ids=str)
def test_no_kind_of_client_meets_more_prompts_than_asked_for(reason: Mapping[str, str]) -> None:
    most = {"new": 0, "again": 0}
    for kind in KINDS:
        new, again = both_walks(
            {**kind, **reason}, 1.0 if "operation 1," in kind["page.more"] else 6.0
        )
        assert len(new) <= NEW, (kind, [row[0] for row in new])
        assert len(again) <= RETURNING, (kind, [row[0] for row in again])
        most = {"new": max(most["new"], len(new)), "again": max(most["again"], len(again))}
    assert most["again"] > 9  # counted at all


def test_a_new_pressure_is_typed_at_the_page_and_none_is_carried_over() -> None:
    kind = typed_by({"sex": "female", "age_years": "41", "page.more": "pressure 128/82, training"})
    _, first = walk(kind)
    for line, expected in (
        ("y", None), ("y, pressure 142/91", [142.0, 91.0]), ("pressure 142/91", [142.0, 91.0]),
        ("pressure none", "none"), ("training, pressure 142/91", [142.0, 91.0]),
    ):  # fmt: skip
        again, state = walk(kind | {"still": line, "athlete": "n"}, last_of(first, 6.0))
        assert state.known.get("blood_pressure_mmhg") == expected
        assert visit_tree(state)["intake"].get("blood_pressure_mmhg") == expected
        assert len(again) <= RETURNING + ("training" in line)
        assert state.known.get("athlete") is ("training" not in line)
