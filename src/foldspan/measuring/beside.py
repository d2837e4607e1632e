"""Beside the visits: what the records of a client hold that no visit holds by itself."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from foldspan.records.visits import KeptVisit
from foldspan.text.measure import not_taken


@dataclass(frozen=True, slots=True, repr=False)
class BesideVisits:
    """What the records of a client hold beside the readings."""

    agreed: bool | None = None
    """The last recorded answer to whether results may go to a clinician; None where there is none."""
    is_careful: bool = False
    """Whether any visit, shown or not, tells of a worry about eating."""
    wants_none: bool = False
    """Whether the client did not want to see the results of the visit that is shown."""
    was_asked: bool = False
    """Whether a session asked its questions at that visit."""
    prepared: Mapping[str, bool] = field(default_factory=dict)
    """Whether the skin was dry (``skin``) and the client rested (``rested``), where that was asked."""
    notes: tuple[str, ...] = ()
    """What was written down at that visit."""
    not_taken: tuple[str, ...] = ()
    """Sites that were not taken there, with the reason."""
    plan: str = ""
    """Key of its plan, "" where that is not known."""

    def for_report(self) -> dict[str, Any]:
        """Return it as options of ``api.report``."""
        return {
            "careful": self.is_careful, "was_asked": self.was_asked, "agreed_to_share": self.agreed,
            "notes": self.notes, "not_taken": self.not_taken, "prepared": self.prepared,
            "plan": self.plan,
        }  # fmt: skip


def beside_visits(every: Sequence[KeptVisit], shown: KeptVisit | None) -> BesideVisits:
    """Return what a client's records hold beside the visits.

    Parameters
    ----------
    every : sequence of KeptVisit
        All visits of the client, in any order, also those that are not shown or were never ended.
    shown : KeptVisit or None
        The visit that a page is about; None where it is of a file, about which no session tells more.
    """
    states = [visit.state for visit in sorted(every, key=moment) if visit.state is not None]
    shared = [
        answer for state in states
        if isinstance(answer := state.known.get("consent.share"), bool)
    ]  # fmt: skip
    state = None if shown is None else shown.state
    answers: Mapping[str, Any] = {} if state is None else state.known.answers
    return BesideVisits(
        agreed=shared[-1] if shared else None,
        is_careful=any(visit.tree.get("intake", {}).get("eating_concern") for visit in every),
        wants_none=answers.get("consent.show") is False,
        was_asked=state is not None,
        prepared={
            name: answer
            for name in ("skin", "rested")
            if isinstance(answer := answers.get(f"prepared.{name}"), bool)
        },
        notes=() if state is None else tuple(text for _, text in state.notes),
        not_taken=tuple(not_taken(answers)),
        plan=_plan_key(answers.get("plan")),
    )


def moment(visit: KeptVisit) -> tuple[str, bool, int]:
    """Return what puts visits in the order in which they were; one that nothing keeps is the latest."""
    return visit.day, not visit.row, visit.row


def _plan_key(plan: Any) -> str:
    """The key stands alone, or before the sites that were added to it and left out."""
    words = [plan] if isinstance(plan, str) else [str(word) for word in plan or ()]
    return words[0] if words else ""
