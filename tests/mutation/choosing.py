"""Which tests a mutant meets, the likeliest and cheapest first."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

from mutation.covering import IMPORTED, Covering, Mapped
from mutation.mutants import SOURCE, Mutant, Reading

FIRST = 5.0  # seconds of processor time of the first selection
SECOND = 30.0  # of the second, for what survives the first
WHOLE_FILES = 8  # at most in the first selection, since each has to be loaded
OWN_ROOM = 0.25  # how much cheaper a test of the module's own room counts


@dataclass
class Selection:
    """Tests in order, the files they are in, and the seconds they take without a change."""

    tests: list[str] = field(default_factory=list)
    files: list[str] = field(default_factory=list)
    seconds: float = 0.0

    def add(self, file: str, loading: float, test: str, seconds: float) -> None:
        """Put a test at the end."""
        if file not in self.files:
            self.files.append(file)
            self.seconds += loading
        self.tests.append(test)
        self.seconds += seconds


@dataclass
class Chosen:
    """Both selections of a mutant, and how many of its tests neither holds."""

    first: Selection
    second: Selection
    left: int


def chosen(mutant: Mutant, covering: Covering) -> Chosen:
    """Choose the tests that run the statement of a mutant."""
    runs = sorted(by_file(mutant, covering), key=lambda one: cost(mutant, *one[:2], one[2]))
    answer, left = Chosen(Selection(), Selection(), 0), 0
    for file, mapped, tests in runs:
        for test in tests:
            seconds = mapped.tests[test]["seconds"]
            room = file in answer.first.files or len(answer.first.files) < WHOLE_FILES
            if room and (not answer.first.tests or answer.first.seconds + seconds <= FIRST):
                answer.first.add(file, mapped.loading, test, seconds)
            elif answer.second.seconds + seconds <= SECOND:
                answer.second.add(file, mapped.loading, test, seconds)
            else:
                left += 1
    answer.left = left
    return answer


def by_file(mutant: Mutant, covering: Covering) -> Iterator[tuple[str, Mapped, list[str]]]:
    """Tests that run a mutant's statement, by file, the quickest first.

    A statement that runs while modules are imported matters to every test that comes to its module.
    """
    lines = Reading(SOURCE / mutant.module).statement_at(mutant.line)
    anywhere = range(1, 1000)
    for file, mapped in covering.files.items():
        at_import = not mutant.function or (
            IMPORTED in mapped.tests and mapped.runs(IMPORTED, mutant.module, lines)
        )
        wanted = anywhere if at_import else lines
        tests = [
            test
            for test in mapped.tests
            if test != IMPORTED and mapped.runs(test, mutant.module, wanted)
        ]
        if tests:
            yield file, mapped, sorted(tests, key=lambda test: mapped.tests[test]["seconds"])


def cost(mutant: Mutant, file: str, mapped: Mapped, tests: list[str]) -> float:
    """Seconds that a file asks for its first chance to notice a mutant."""
    seconds = mapped.loading + sum(mapped.tests[test]["seconds"] for test in tests[:20])
    room = mutant.module.split("/")[0]
    return seconds * (OWN_ROOM if file.startswith(f"tests/{room}/") else 1.0)
