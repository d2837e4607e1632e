"""The same bits with any number of threads, and the same answers to 1e-9 whatever the processor.

The matrix library picks its kernel by the processor and shares large products out among threads; both
add up in another order. ``OPENBLAS_CORETYPE`` makes it take the kernel of another processor.
"""

from __future__ import annotations

import io
import os
import subprocess
import sys
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from foldspan.numerics import ordered_sums
from foldspan.quantities import SEXES

ROOT = Path(__file__).parents[2]
# with the instructions it needs, as Linux lists them
CORES = {"Haswell": "avx2", "Zen": "avx2", "SkylakeX": "avx512f", "Sandybridge": "avx"}
THREADS = ("1", "4")
# everything a table, a visit and their reasons rest on, as arrays of numbers
ASKED = """
import sys, numpy as np, crowds as here, foldspan
from foldspan.estimation.pipeline import reconcile_people
from foldspan.reference.body_dimensions import moments

said = {}
for sex in ("female", "male"):
    rows = np.arange(600)
    people = here.some_of(here.crowd(sex, 0.33, variants=True), rows)
    for name in ("density", "dxa"):
        answer = reconcile_people(here.SETTINGS[name].cards_for(sex), people, here.SETTINGS[name])
        for key, values in here.numbers_of(people, answer).items():
            said[f"{sex}|{name}|{key}"] = np.asarray(values, dtype=float)
    said[f"{sex}|pattern"] = moments(sex)[1]
for name in ("disagreement", "strong_build"):
    told = foldspan.explain(foldspan.Visit.from_file(sys.argv[1] + f"/examples/{name}.toml"))
    pairs = [one for one in told.to_dict()["pairs"]]
    said[name] = np.array([r["points"] for p in pairs for r in p["reasons"]], dtype=float)
np.savez(sys.stdout.buffer, **said)
"""


@cache
def instructions() -> frozenset[str]:
    listed = Path("/proc/cpuinfo")
    if not listed.exists():
        return frozenset()
    lines = listed.read_text(encoding="utf-8").splitlines()
    return frozenset(word for line in lines if line.startswith("flags") for word in line.split())


@cache
def said_with(core: str, threads: str) -> bytes:
    """Everything asked, by a process whose matrix library takes this kernel and these threads."""
    tests = str(ROOT / "tests")
    more = {"OPENBLAS_CORETYPE": core, "OPENBLAS_NUM_THREADS": threads, "PYTHONPATH": tests}
    words = [sys.executable, "-c", ASKED, str(ROOT)]
    return subprocess.run(words, capture_output=True, check=True, env=os.environ | more).stdout


def numbers(core: str) -> dict[str, np.ndarray]:
    with np.load(io.BytesIO(said_with(core, "1"))) as arrays:
        return {name: arrays[name] for name in arrays.files}


def with_cores(cores: dict[str, str]) -> pytest.MarkDecorator:
    """Run a test with each of these kernels whose instructions are here."""
    return pytest.mark.parametrize(
        "core",
        [
            pytest.param(
                core,
                marks=pytest.mark.skipif(needs not in instructions(), reason=f"no {needs} here"),
            )
            for core, needs in cores.items()
        ],
    )


cores = with_cores(CORES)
every_core = with_cores(CORES | {"Nehalem": "sse4_2", "Prescott": "ssse3"})


@cores
def test_threads_of_the_matrix_library_change_nothing(core: str) -> None:
    found = {said_with(core, threads) for threads in THREADS}
    assert len(found) == 1


@cores
def test_another_processor_changes_nothing_that_counts(core: str) -> None:
    """Kernels round in other places; what is left of it is far below what anybody reads."""
    usual, other = numbers("Haswell"), numbers(core)
    assert usual.keys() == other.keys()
    assert len(usual) > 40
    for name, values in usual.items():
        assert values.size, name
        np.testing.assert_allclose(other[name], values, rtol=1e-9, atol=1e-9, err_msg=name)


def test_no_product_reaches_the_library_in_pieces_it_shares_out(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Every shape a catalogue of 600 equations could bring goes in small pieces, or not at all."""
    sizes: list[int] = []
    real = np.matmul

    def noted(left: np.ndarray, right: np.ndarray, out: np.ndarray) -> np.ndarray:
        sizes.append(left.shape[0] * left.shape[1] * right.shape[-1])
        assert len(left) % ordered_sums.ROWS == 0
        return real(left, right, out=out)

    monkeypatch.setattr(np, "matmul", noted)
    rng = np.random.default_rng(5)
    for rows, columns in [
        (4, 1),
        (4, 41),
        (44, 1),
        (44, 41),
        (100, 53),
        (600, 511),
        (4, 600),
    ]:
        correlation = rng.normal(size=(rows, columns))
        blocks = rng.normal(size=(2, 3, columns, 256))
        found = np.empty((2, 3, rows, 256))
        ordered_sums.blocks_product(correlation, blocks, found)
        np.testing.assert_allclose(found, np.einsum("mk,abkn->abmn", correlation, blocks))
    assert sizes
    assert max(sizes) <= ordered_sums.NEVER_SHARED


LEFT_OUT = """
import numpy as np
from foldspan.numerics import ordered_sums as sums

def check():
    rng = np.random.default_rng(8)
    for _ in range(300):
        rows, columns = sums.ROWS * rng.integers(1, 16), rng.integers(1, 60)
        left, blocks = rng.normal(size=(rows, columns)), rng.normal(size=(2, columns, 256))
        used = rng.random(columns) < rng.random()
        used[rng.integers(columns)] = True
        blocks[:, ~used] = 0.0
        chosen = rng.permutation(rows)[: sums.ROWS * rng.integers(1, rows // sums.ROWS + 1)]
        whole, part = np.empty((2, rows, 256)), np.empty((2, chosen.size, 256))
        sums.blocks_product(left, blocks, whole)
        sums.blocks_product(left[np.ix_(chosen, used)], blocks[:, used], part)
        if not np.array_equal(whole[:, chosen], part):
            return f"{rows} {columns} {chosen.size} {used.sum()}"
    return "the same"

print("openblas:", check())
sums._keeps_its_order = lambda: False
print("another:", check())
"""


@cache
def left_out_with(core: str) -> list[str]:
    """What leaving out rows of zeros makes of sums, a line for each library."""
    more = {"OPENBLAS_CORETYPE": core}
    words = [sys.executable, "-c", LEFT_OUT]
    done = subprocess.run(words, check=True, text=True, capture_output=True, env=os.environ | more)
    return done.stdout.splitlines()


@every_core
@pytest.mark.parametrize("name", ["openblas", "another"])
def test_rows_of_zeros_leave_no_trace(core: str, name: str) -> None:
    """An equation that nobody in a batch uses is left out of the products."""
    assert f"{name}: the same" in left_out_with(core)


@pytest.mark.parametrize("sex", SEXES)
def test_matrices_given_to_the_library_whole_are_small(
    monkeypatch: pytest.MonkeyPatch, sex: str
) -> None:
    """Inverses, solutions and factors: below 64 rows the library works in one thread."""
    from foldspan import Visit, change, explain
    from foldspan.reference import body_dimensions, population

    largest: dict[str, int] = {}
    for name in ("inv", "solve", "cholesky", "eigh", "slogdet"):
        real = getattr(np.linalg, name)

        def noted(*given: np.ndarray, name: str = name, real: object = real) -> object:
            largest[name] = max(largest.get(name, 0), *(max(array.shape[-2:]) for array in given))
            return real(*given)  # type: ignore[operator]

        monkeypatch.setattr(np.linalg, name, noted)
    population.reference_people.cache_clear()
    population.quasi_normals.cache_clear()
    body_dimensions.moments.cache_clear()
    population.reference_people(sex)
    body_dimensions.moments(sex)
    explain(Visit.from_file(ROOT / "examples" / "disagreement.toml"))
    visits = [
        Visit.from_file(ROOT / "examples" / f"{name}.toml") for name in ("visit", "visit_later")
    ]
    change(*visits)
    assert largest.keys() >= {"inv", "solve", "cholesky", "eigh"}
    assert max(largest.values()) <= ordered_sums.LARGEST
