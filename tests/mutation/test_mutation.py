"""Mutants are drawn the same way every time, and the list of those left alive stays true."""

from __future__ import annotations

import random
from collections import Counter
from dataclasses import replace

import pytest

from mutation import survivors
from mutation.mutants import Mutant, Reading, drawn, shared

SURVIVORS = survivors.listed()


def made_up(module: str, places: int) -> list[Mutant]:
    """Mutants of a module that is not there, three ways at each place."""
    return [
        Mutant(module, f"core/{way}", at, at, 0, (at, 1), "one", f"x = {at}", 0)
        for at in range(places)
        for way in ("Less", "More", "Not")
    ]


def test_the_draw_is_the_same_in_any_order() -> None:
    every = [*made_up("a.py", 60), *made_up("b.py", 30)]
    once = drawn(every, 30, 7)
    assert Counter(one.module for one in once) == {"a.py": 20, "b.py": 10}
    assert len({one.place for one in once}) == 30
    assert len({one.operator for one in once}) == 3
    random.Random(1).shuffle(every)
    assert drawn(every, 30, 7) == once
    assert drawn(every, 30, 8) != once


def test_a_changed_module_leaves_the_draw_of_others_alone() -> None:
    every = [*made_up("a.py", 60), *made_up("b.py", 30)]
    before = [one for one in drawn(every, 30, 7) if one.module == "a.py"]
    moved = [replace(one, function="two", line=one.line + 5) for one in every[180:]]
    after = drawn([*every[:180], *moved], 30, 7)
    assert [one for one in after if one.module == "a.py"] == before


def test_what_is_no_python_makes_room_for_the_next() -> None:
    every = made_up("a.py", 20)
    fine = drawn(every, 10, 7, lambda one: one.operator == "core/Not")
    assert len(fine) == 10
    assert {one.operator for one in fine} == {"core/Not"}


def test_shares_add_up() -> None:
    assert shared({"a": 5, "b": 3, "c": 2}, 7) == {"a": 4, "b": 2, "c": 1}
    assert shared({"a": 2, "b": 1}, 10) == {"a": 2, "b": 1}


def test_a_line_belongs_to_its_function_and_statement() -> None:
    read = Reading(survivors.SOURCE / "session" / "checks.py")
    heads = [n for n, line in enumerate(read.lines, start=1) if line.startswith("def objections(")]
    assert read.function_at(heads[0]) == ""  # runs when the module is loaded
    assert read.function_at(heads[0] + 30) == "objections"
    calls = [n for n, line in enumerate(read.lines, start=1) if "found = span_problem(" in line]
    assert list(read.statement_at(calls[0] + 1)) == [calls[0], calls[0] + 1, calls[0] + 2]


@pytest.mark.parametrize("one", SURVIVORS, ids=lambda one: one.name)
def test_a_mutant_left_alive_is_still_in_the_source(one: survivors.Survivor) -> None:
    assert one.is_in_source, "the line is gone: run tests/mutation/run.py, and renew the list"
    assert len(one.reason) > 20


def test_the_page_lists_them_all() -> None:
    assert len({one.name for one in SURVIVORS}) == len(SURVIVORS)
    assert survivors.table(SURVIVORS) in survivors.PAGE.read_text(encoding="utf-8")
