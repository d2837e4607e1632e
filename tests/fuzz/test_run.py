"""A run of the fuzz: what fails is written beside what to do with it, and the run goes on."""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from fuzz import run
from fuzz.cases import KINDS, Case, seeds


class Fine:
    """A kind whose every case is read, or refused where its number is odd."""

    def drawn(self, draw: random.Random, number: int) -> Case:
        return Case("x.toml", f"{draw.random()} {number}".encode())

    def tried(self, case: Case, folder: Path) -> str:
        assert list(folder.iterdir()) == []
        return "refused" if case.number % 2 else "read"


class Broken(Fine):
    """A kind that fails from its third case on."""

    def tried(self, case: Case, folder: Path) -> str:
        assert case.number < 2, "something went wrong"
        return super().tried(case, folder)


@pytest.fixture
def worker(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> run.Worker:
    kinds = {"toml": Broken(), "fhir": Fine()}
    monkeypatch.setattr(run, "kind_of", kinds.__getitem__)
    return run.Worker(tuple(kinds), 5, tmp_path, [0, 0])


def test_a_fault_is_written_once_and_the_run_goes_on(worker: run.Worker, tmp_path: Path) -> None:
    shares = worker.run(0, 1, 0.3)
    fine, broken = shares["fhir"], shares["toml"]
    assert fine.cases == fine.last + 1 == fine.came["read"] + fine.came["refused"] > 4
    assert broken.came["FAULT"] == broken.cases - 2 > 2
    (said,) = broken.faults.values()
    assert "toml, seed 5, number 2: AssertionError" in said
    (folder,) = tmp_path.iterdir()
    wanted = Fine().drawn(random.Random("toml 5 2"), 2)
    assert (folder / wanted.name).read_bytes() == wanted.data
    text = (folder / "WHAT_TO_DO.txt").read_text(encoding="utf-8")
    assert "--kind toml --seed 5 --number 2" in text
    assert "something went wrong" in text


def test_time_is_shared_and_processes_try_different_cases(worker: run.Worker) -> None:
    seen: list[tuple[str, int]] = []
    worker.try_case = lambda kind, number: seen.append((kind, number)) or _spend(worker, kind)  # type: ignore
    worker.run(1, 3, 0.05)
    numbers = [number for kind, number in seen if kind == "fhir"]
    assert numbers[:3] == [1, 4, 7]
    assert abs(len(numbers) - sum(kind == "toml" for kind, _ in seen)) <= 1


def _spend(worker: run.Worker, kind: str) -> None:
    worker.shares[kind].seconds += 0.001


def test_a_line_a_kind_says_how_far_every_process_came() -> None:
    shares = [run.Share(cases=4, last=6, seconds=1.0), run.Share(cases=5, last=9, seconds=2.0)]
    shares[0].came.update(read=3, refused=1)
    shares[1].came.update(read=2, refused=2, FAULT=1)
    line = " ".join(run.line_of("toml", shares).split())
    assert line == "toml 9 cases, 3 refused, 5 read, 1 FAILED, 3.0 s, last number 6"


def test_every_kind_has_a_seed_that_is_kept() -> None:
    assert set(seeds()) == set(KINDS)
