"""Lazy pyarrow: pyarrow without pandas, for processes that need no data frames.

Pyarrow loads pandas when it makes its first array, to know a data frame when it is given one: a third
of the time that the start of a command takes.
"""

from __future__ import annotations

import sys
from collections.abc import Sequence
from importlib.abc import MetaPathFinder
from importlib.machinery import ModuleSpec
from types import ModuleType

import pyarrow as pa


class _NoPandas(MetaPathFinder):
    def find_spec(
        self, fullname: str, path: Sequence[str] | None, target: ModuleType | None = None
    ) -> ModuleSpec | None:
        if fullname == "pandas":
            raise ModuleNotFoundError("not looked for", name=fullname)
        return None


def forgo_pandas() -> None:
    """Let pyarrow make its first array now, while pandas cannot be found.

    It looks once in the life of a process. Pandas can be loaded afterwards as ever, but pyarrow does not
    know its series, categories and missing values then; where it is loaded already nothing changes. So
    this is for a process of our own. No other thread may load pandas at this moment.
    """
    if "pandas" in sys.modules:
        return
    finder = _NoPandas()
    sys.meta_path.insert(0, finder)
    try:
        pa.scalar(0)
    finally:
        sys.meta_path.remove(finder)
