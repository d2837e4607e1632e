"""Table request: what was chosen on a page or sent by a program, as the screening takes it."""

from __future__ import annotations

import base64
import pickle
from collections.abc import Mapping
from typing import Any

from foldspan.screening.run.processes import get_ready, usual_workers


def practice_of(request: Mapping[str, Any]) -> Any:
    """Return the practice that sends letters, None for none."""
    return _unpacked(request)[1]


def options_of(request: Mapping[str, Any]) -> dict[str, Any]:
    """Return the options of ``screen_table`` for a request."""
    chosen = request["chosen"]
    return {
        **_unpacked(request)[0],
        "names": chosen.get("names", {}), "units": chosen.get("units", {}),
        "words": chosen.get("words", {}), "sheet": chosen.get("sheet", ""),
        "accept_unusual": bool(chosen.get("accept_unusual")), "before": _earlier(request),
    }  # fmt: skip


def _earlier(request: Mapping[str, Any]) -> Any:
    if not request["before"]:
        return None
    from foldspan.screening.before.given import EarlierTable

    return EarlierTable(**request["before"])


def workers_for(source: str) -> int:
    """Return how many processes suit a table; they load what they need meanwhile."""
    workers = usual_workers(source)
    get_ready(workers)
    return workers


def _unpacked(request: Mapping[str, Any]) -> tuple[dict[str, Any], Any]:
    found: tuple[dict[str, Any], Any] = pickle.loads(base64.b64decode(request["settings"]))
    return found
