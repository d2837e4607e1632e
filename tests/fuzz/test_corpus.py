"""Every input that ever found a fault, and the first few new cases of each kind, are tried again.

The big numbers run by themselves: ``.venv/bin/python tests/fuzz/run.py --seconds 120``, as ``.ci/run``
does.
"""

from __future__ import annotations

import tomllib
from dataclasses import replace
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest

from fuzz.cases import (
    HERE,
    KINDS,
    Case,
    draw_for,
    in_memory,
    kind_of,
    nothing_aside,
    seeds,
    tried_alone,
)

CORPUS = HERE / "corpus"
INDEX = tomllib.loads((CORPUS / "index.toml").read_text(encoding="utf-8"))["input"]
# fresh cases of a kind: what two seconds of a processor allow
FRESH = {"visits": 28, "tables": 200, "sheets": 60, "sessions": 56, "fhir": 24, "toml": 200}


@pytest.fixture(autouse=True)
def no_settings(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("FOLDSPAN_SETTINGS", "")


def test_the_index_names_every_file_once() -> None:
    named = [entry["file"] for entry in INDEX]
    there = {str(path.relative_to(CORPUS)) for path in CORPUS.rglob("*") if path.is_file()}
    assert sorted(named) == sorted(there - {"index.toml"})
    assert all(len({"went_wrong", "shows"} & set(entry)) == 1 for entry in INDEX)


@pytest.mark.parametrize("entry", INDEX, ids=lambda entry: str(entry["file"]))
def test_what_once_failed_holds(entry: dict[str, str], tmp_path: Path) -> None:
    path = CORPUS / entry["file"]
    case = Case(path.name, path.read_bytes())
    assert tried_alone(Path(entry["file"]).parts[0], case, tmp_path) == entry["ends"]


@pytest.mark.parametrize("name", KINDS)
def test_fresh_cases_hold(name: str) -> None:
    """The same as a run of the fuzz begins with; both ends come up, else it would prove nothing."""
    kind, came = kind_of(name), set()
    for number in range(FRESH[name]):
        case = replace(kind.drawn(draw_for(name, seeds()[name], number), number), number=number)
        with TemporaryDirectory(dir=in_memory()) as folder, nothing_aside():
            came.add(kind.tried(case, Path(folder)))
    assert [(case.number, error) for case, error in getattr(kind, "finished", list)()] == []
    assert came == {"read", "refused"}


def test_a_case_is_the_same_bytes_each_time() -> None:
    for name in KINDS:
        for number in range(8):
            first, again = (
                kind_of(name).drawn(draw_for(name, 7, number), number) for _ in range(2)
            )
            assert first == again
