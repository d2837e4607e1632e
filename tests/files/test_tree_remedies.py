"""What a file that is no TOML is told: what its author most likely meant."""

from __future__ import annotations

import pytest

from foldspan.files.input import parse_tree
from foldspan.problems import FoldspanError

MEANT = [
    ("[visit]\ndate = 04/03/2026\n", "2026-03-04 is 4 March 2026"),
    ("[visit]\ndate = 4.3.2026\n", "2026-03-04 is 4 March 2026"),
    ("[visit]\ndate = 2026-3-4\n", "2026-03-04 is 4 March 2026"),
    ("[girths_cm]\nneck = 33,1\n", "with a point"),
    ("[girths_cm]\nneck = 33.1\nneck = 34.0\n", "given twice"),
    ("[girths_cm]\nneck: 33.1\n", "Write = between"),
]


@pytest.mark.parametrize("text, remedy", MEANT)
def test_a_line_that_is_no_toml_is_told_what_to_write(text: str, remedy: str) -> None:
    with pytest.raises(FoldspanError) as caught:
        parse_tree(text, "toml", "visit.toml")
    (problem,) = caught.value.problems
    assert problem.code == "E305"
    assert remedy in problem.remedy
    assert "33.1" not in problem.sentence()
