"""What several test files use."""

from __future__ import annotations

import sys
from collections.abc import Callable

import pytest

from foldspan.cli import main


@pytest.fixture
def run(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> Callable[..., tuple[int, str, str]]:
    """Run the command line in this process; returns exit code, stdout and stderr."""
    monkeypatch.setenv("OPENBLAS_NUM_THREADS", "1")
    monkeypatch.delenv("FOLDSPAN_DEBUG", raising=False)

    def call(*words: str) -> tuple[int, str, str]:
        monkeypatch.setattr(sys, "argv", ["foldspan", *words])
        with pytest.raises(SystemExit) as caught:
            main()
        shown = capsys.readouterr()
        assert "Traceback" not in shown.out + shown.err
        assert "foldspan itself failed" not in shown.err
        return int(caught.value.code or 0), shown.out, shown.err

    return call
