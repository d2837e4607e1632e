"""Visits of one invented woman for tests of what was told, and the problems of refused ones."""

from __future__ import annotations

import traceback
from collections.abc import Mapping
from datetime import date
from typing import Any

import pytest

from foldspan import FoldspanError, Problem, Visit
from foldspan.standards.intake_vocabulary import CONDITIONS, MEDICINES, SYMPTOMS

WEIGHT = 71.362
WORDS = (*SYMPTOMS, *CONDITIONS, *MEDICINES)


def tree_of(
    intake: object, client: Mapping[str, Any] | None = None, **sections: object
) -> dict[str, Any]:
    """A woman without any flag, with numbers that no message would hold by chance."""
    tree: dict[str, Any] = {
        "client": {"code": "K-063", "sex": "female", "age_years": 41.375} | dict(client or {}),
        "visit": {"date": date(2025, 11, 17)},
        "mass_height": {"weight_kg": WEIGHT, "height_cm": 168.274},
        "girths_cm": {"waist_midpoint": 78.437},
    }
    return tree | {"intake": intake} | sections


def typed_values(tree: object) -> list[str]:
    """Every value of the tree that a message could only hold by repeating it."""
    if isinstance(tree, Mapping):
        return [text for value in tree.values() for text in typed_values(value)]
    if isinstance(tree, (list, tuple)):
        return [text for value in tree for text in typed_values(value)]
    if (
        tree is None
        or isinstance(tree, bool)
        or tree in ("K-063", "female", "male", "white", *WORDS)
    ):
        return []
    text = "0" * 20 if isinstance(tree, int) and tree > 10**20 else str(tree)
    return [text] if len(text) > 4 else []


def problems_of(tree: Mapping[str, Any]) -> list[Problem]:
    """The problems of a faulty tree; no form of the error repeats what was typed."""
    with pytest.raises(FoldspanError) as caught:
        Visit.from_dict(tree, where="K-063.toml")
    error = caught.value
    shown = f"{error!s} {error!r} {error.problems!r} {''.join(traceback.format_exception(error))}"
    assert not [value for value in typed_values(tree) if value in shown]
    return list(error.problems)
