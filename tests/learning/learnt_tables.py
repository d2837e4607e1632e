"""Write what was learnt into the module that holds it, between two comments.

A table stands between ``# learnt: NAME`` and ``# end of what was learnt``; nothing else is touched.
"""

from __future__ import annotations

import re
import subprocess
import sys
from collections.abc import Iterable
from pathlib import Path

PACKAGE = Path(__file__).parents[2] / "src" / "foldspan"


def write(module: str, name: str, lines: Iterable[str]) -> None:
    """Put lines in the place of a table of a module, and let the formatter break the long ones.

    Raises
    ------
    ValueError
        If the module has no such marks, or has them twice.
    """
    path = PACKAGE / f"{module}.py"
    text, found = re.subn(
        rf"(?<=^# learnt: {name}\n).*?(?=^# end of what was learnt$)",
        lambda _: "".join(f"{line}\n" for line in lines),
        path.read_text(encoding="utf-8"),
        flags=re.DOTALL | re.MULTILINE,
    )
    if found != 1:
        raise ValueError(f"{path.name}: {name} is marked {found} times")
    path.write_text(text, encoding="utf-8")
    ruff = Path(sys.executable).with_name("ruff")
    subprocess.run([ruff, "format", "--quiet", path], check=True)
