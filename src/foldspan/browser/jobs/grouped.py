"""Grouped: the summary without individuals, in the form that is asked for."""

from __future__ import annotations

import pickle
from typing import Any

from foldspan.browser.jobs.child import Say
from foldspan.browser.jobs.job import MADE
from foldspan.browser.jobs.screened import KEPT

GROUP = "group"


def work(request: dict[str, Any], say: Say) -> dict[str, Any]:
    """Write it, and return the name of its file."""
    from foldspan.api.group_summary import group_summary

    with open(f"{MADE}/{KEPT}", "rb") as kept:
        screening = pickle.load(kept)
    name = f"{GROUP}.{request['as']}"
    content = group_summary(screening).content(name)
    with open(f"{MADE}/{name}", "wb") as file:
        file.write(content if isinstance(content, bytes) else content.encode())
    return {"file": name}
