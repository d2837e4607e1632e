"""One command renews what follows from the cards: its steps are there, and each writes its own table."""

from __future__ import annotations

import importlib.util
import re
from pathlib import Path

import pytest
from house_rooms import PACKAGE, ROOT
from renew import STEPS

from learning import learnt_tables

MARKED = re.compile(
    r"^# learnt: (\w+)\n(\w+).*?^# end of what was learnt$", re.DOTALL | re.MULTILINE
)
SMALL = """OTHER = (1,)
# learnt: RATES
RATES = {"a": 1.0}
# end of what was learnt
# learnt: MORE
MORE = {"a": 1.0}
# end of what was learnt
"""


@pytest.mark.parametrize("step", STEPS.values(), ids=lambda step: Path(step[-1]).stem)
def test_every_step_can_be_run(step: tuple[str, ...]) -> None:
    if step[0] == "-m":
        assert importlib.util.find_spec(step[1])
        assert (ROOT / step[2]).exists()
    else:
        assert "__main__" in (ROOT / step[0]).read_text(encoding="utf-8")


def test_every_learnt_table_is_written_by_a_step() -> None:
    scripts = [ROOT / step[0] for step in STEPS.values() if step[0] != "-m"]
    text = " ".join(path.read_text(encoding="utf-8") for path in scripts)
    found = {
        path: MARKED.findall(path.read_text(encoding="utf-8")) for path in PACKAGE.rglob("*.py")
    }
    names = [pair for some in found.values() for pair in some]
    assert len(names) == 8
    for name, assigned in names:
        assert name == assigned
        assert f'"{name}"' in text, name


def test_nothing_but_the_named_table_is_written(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(learnt_tables, "PACKAGE", tmp_path)
    place = tmp_path / "small.py"
    place.write_text(SMALL, encoding="utf-8")
    learnt_tables.write("small", "RATES", ["RATES = {", '    "a": 2.0,', "}"])
    expected = SMALL.replace('RATES = {"a": 1.0}', 'RATES = {\n    "a": 2.0,\n}')
    assert place.read_text(encoding="utf-8") == expected
    with pytest.raises(ValueError, match="marked 0 times"):
        learnt_tables.write("small", "OTHER", ["OTHER = (2,)"])
