"""A code in other letters is answered with the code of the book that was meant, and with no other."""

from __future__ import annotations

import pytest

from foldspan.cli.visits_given import _client_and_number
from foldspan.problems import FoldspanError

CODES = {"K-014", "K-203", "R:7"}


@pytest.mark.parametrize(
    ("given", "meant"),
    [("k-014", "Did you mean K-014? "), ("k-203:2", "Did you mean K-203? "), ("K-999", "")],
)
def test_the_code_that_was_meant_is_offered(given: str, meant: str) -> None:
    with pytest.raises(FoldspanError) as caught:
        _client_and_number(given, CODES)
    (problem,) = caught.value.problems
    assert problem.code == "E706"
    assert problem.remedy == f"{meant}Check the name; foldspan records list shows the clients."


@pytest.mark.parametrize(
    ("given", "found"),
    [
        ("K-014", ("K-014", "")),
        ("K-014:2", ("K-014", "2")),
        ("R:7", ("R:7", "")),
        ("R:7:1", ("R:7", "1")),
    ],
)
def test_a_code_and_the_number_of_a_visit(given: str, found: tuple[str, str]) -> None:
    assert _client_and_number(given, CODES) == found
