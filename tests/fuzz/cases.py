"""Cases of the fuzz: an input that is drawn, where it is tried, and what has to hold whatever it is.

A case is found again by its kind, its seed and its number: nothing else goes into what is drawn.
"""

from __future__ import annotations

import json
import math
import os
import random
import re
import sys
import tomllib
import warnings
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from importlib import import_module
from pathlib import Path
from typing import Any, Protocol

from foldspan import Visit
from foldspan.problems import CODES, FoldspanError, Problem
from foldspan.results.result import Result

HERE = Path(__file__).parent
EXAMPLES = HERE.parents[1] / "examples"
KINDS = ("visits", "tables", "sheets", "sessions", "fhir", "toml")


@dataclass(frozen=True)
class Case:
    """One input: the name of its file, whose ending says how it is read, and its bytes.

    ``known`` is what was known when it was drawn and cannot be told from its bytes, such as which rows
    may get a range; nothing for an input of the corpus. ``is_whole`` asks for what takes long, too:
    pages beside answers. ``number`` is set by whoever drew it.
    """

    name: str
    data: bytes
    known: Mapping[str, Any] = field(default_factory=dict)
    is_whole: bool = True
    number: int = 0


class Kind(Protocol):
    """What a module of ``kinds/`` has.

    One whose cases wait for others has ``finished`` too, which yields what failed of them.
    """

    def drawn(self, draw: random.Random, number: int) -> Case:
        """Return the case of a number."""

    def tried(self, case: Case, folder: Path) -> str:
        """Try a case in an empty folder; returns ``read`` or ``refused``, raises where it fails."""


def draw_for(kind: str, seed: int, number: int) -> random.Random:
    """What a case is drawn with."""
    return random.Random(f"{kind} {seed} {number}")


def kind_of(name: str) -> Kind:
    """The module of a kind."""
    kind: Any = import_module(f"fuzz.kinds.{name}")
    return kind


def tried_alone(kind: str, case: Case, folder: Path) -> str:
    """Try one case whole, with nothing that waits; returns ``read`` or ``refused``."""
    module = kind_of(kind)
    with nothing_aside():
        came = module.tried(case, folder)
        for _, error in getattr(module, "finished", list)():
            raise error
    return came


def seeds() -> dict[str, int]:
    """The seed of each kind that is kept."""
    return {
        kind: int(found["seed"])
        for kind, found in tomllib.loads((HERE / "seeds.toml").read_text("utf-8")).items()
    }


def in_memory() -> str | None:
    """A folder that is no disk, where there is one: no case cuts the power."""
    return "/dev/shm" if os.access("/dev/shm", os.W_OK) else None


@contextmanager
def nothing_aside() -> Iterator[None]:
    """A warning is an error, and so is whatever the interpreter could only print."""
    unraised: list[Any] = []
    hook, sys.unraisablehook = sys.unraisablehook, unraised.append
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error")
            yield
    finally:
        sys.unraisablehook = hook
    assert not unraised, f"printed past the program: {unraised[0].exc_value!r}"


@contextmanager
def left_as_they_were(folder: Path, *, new: Iterable[str] = ()) -> Iterator[None]:
    """Every file in a folder stays as it is; ``new`` may be written beside them."""
    before = {path.name: path.read_bytes() for path in folder.iterdir()}
    yield
    after = {path.name: path.read_bytes() for path in folder.iterdir() if path.name not in new}
    assert after == before, "a file was changed, taken away or left behind"


def check_problems(error: FoldspanError, personal: Iterable[str] = ()) -> None:
    """Every problem says where, what and how to put it right, and no value of a client."""
    assert error.problems
    for problem in error.problems:
        assert problem.is_error
    check_notes(error.problems)
    said = f"{error!s}{error!r}{error.problems!r}"
    found = [value for value in personal if value in said]
    assert not found, f"a personal value is said: {found}"


def check_notes(problems: Iterable[Problem]) -> None:
    """A problem or warning has a known code, a place, a meaning and a remedy."""
    for problem in problems:
        assert problem.code in CODES
        assert problem.where
        assert problem.what
        assert problem.remedy
        # a fault of the program would be told as a disk that cannot be written
        assert "cannot be written" not in problem.what


def check_result(result: Result) -> None:
    """A result is finite, its ends are in order, and fat is from 0 to 100 per cent."""
    json.dumps(result.to_dict(), allow_nan=False)
    for spread, most in (
        (result.fat_percent, 100.0),
        (result.fat_mass_kg, math.inf),
        (result.fat_free_mass_kg, math.inf),
    ):
        if spread.estimate is None:
            assert (spread.se, spread.range_80, spread.range_95) == (None, None, None)
            continue
        assert spread.range_80 is not None
        assert spread.range_95 is not None
        assert spread.se is not None
        assert 0.0 < spread.se < math.inf
        ends = (spread.range_95[0], spread.range_80[0], spread.range_80[1], spread.range_95[1])
        assert 0.0 <= ends[0] <= ends[1] <= spread.estimate <= ends[2] <= ends[3] <= most, ends
        assert math.isfinite(ends[3])
    for method in result.methods:
        assert math.isfinite(method.estimate)
        assert 0.0 < method.se < math.inf
    check_notes(result.problems)
    for _, other in result.by_sex:
        check_result(other)


def has_range(result: Result) -> bool:
    """Whether anybody is given a number for fat."""
    return result.fat_percent.estimate is not None or any(
        has_range(other) for _, other in result.by_sex
    )


def may_get_range(visit: Visit) -> bool:
    """Whether a client is of age and not pregnant."""
    return visit.client.age_years >= 18 and not visit.client.pregnant


def measured_values(text: str) -> list[str]:
    """Numbers as only a reading has them: with so many decimals that no limit is one."""
    return re.findall(r"(?<![\d.])(?:\d{2,}\.\d{2,}|\d\.\d{3,})(?![\d.])", text)
