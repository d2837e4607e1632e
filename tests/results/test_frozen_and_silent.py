"""Answers stay as they were given, and what holds a client's values does not print them."""

from __future__ import annotations

import importlib
import pkgutil
from collections.abc import Iterator
from dataclasses import is_dataclass

import pytest

import foldspan
from foldspan.session.answers import Prompt

ROOMS = ("estimation", "followup", "interpretation", "records", "session")
# rooms whose objects hold what was measured of one client, or what she told
OF_CLIENTS = ("followup", "interpretation", "records", "session")


def dataclasses_of(room: str) -> Iterator[type]:
    """Every dataclass that a room defines."""
    for path in foldspan.__path__:
        for found in pkgutil.walk_packages([f"{path}/{room}"], f"foldspan.{room}."):
            module = importlib.import_module(found.name)
            for value in vars(module).values():
                is_ours = getattr(value, "__module__", "") == found.name
                if is_ours and isinstance(value, type) and is_dataclass(value):
                    yield value


@pytest.mark.parametrize("room", ROOMS)
def test_answers_cannot_be_changed(room: str) -> None:
    found = list(dataclasses_of(room))
    assert found
    assert [one.__name__ for one in found if not one.__dataclass_params__.frozen] == []


@pytest.mark.parametrize("room", OF_CLIENTS)
def test_a_log_shows_no_value_of_a_client(room: str) -> None:
    """Errors and logs print objects as they print themselves: here by their kind alone."""
    shown = {one for one in dataclasses_of(room) if one.__repr__ is not object.__repr__}
    assert shown <= {Prompt}  # it holds what is asked, not what was answered
