"""Correction used: the site's own correction that an answer holds, so that it can be named."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from foldspan.estimation.local_correction import by_family
from foldspan.explanation.what_if import Case


@dataclass(frozen=True, slots=True)
class LocalUsed:
    """A site's own correction, as far as an answer has to name it."""

    reference_method: str
    """The reference method: ``density`` or ``dxa``."""
    people: int
    """Number of people it was fitted to."""
    made: str
    """The date, "" if not recorded."""
    is_applied: bool
    """False if it does not cover this sex and these methods."""

    def to_dict(self) -> dict[str, Any]:
        """Return the JSON tree."""
        return {
            "reference_method": self.reference_method,
            "people": self.people,
            "made": self.made or None,
            "is_applied": self.is_applied,
        }


def local_used(case: Case) -> LocalUsed | None:
    """Return the site's own correction as an answer about this case has to name it."""
    local = case.settings.local
    if local is None:
        return None
    present = np.isfinite(case.answer.families[:, 0])
    known = by_family(local, case.people.sex).known
    return LocalUsed(
        local.reference_method, local.people, local.made, bool((present & known).any())
    )


def local_tree(local: LocalUsed | None) -> dict[str, Any] | None:
    """Return a site's correction as a mapping, None where there is none."""
    return None if local is None else local.to_dict()
