"""Refusals: why a request is not answered, in a sentence for a person and as JSON for a program."""

from __future__ import annotations

import json
import os
import traceback
from collections.abc import Iterable

from foldspan.problems import Problem

# what lies below is asked for by programs: they get JSON also where they get nothing else
API = "/api/v1"

FOREIGN_HOST = Problem(
    "E901", "Host", "this address does not belong to foldspan",
    "Use the address that foldspan serve printed.",
)  # fmt: skip
FOREIGN_ORIGIN = Problem(
    "E901", "Origin", "this request did not come from a foldspan page",
    "A program sends a token instead: foldspan serve --token-for NAME.",
)  # fmt: skip
NOT_FROM_THE_NETWORK = Problem(
    "E901", "Address", "this address works only on the computer that runs foldspan",
    "Open it there.",
)  # fmt: skip
NOT_LET_IN = Problem(
    "E901", "Device", "this device is not paired, or its pairing has expired",
    "Pair it; a program sends a token: foldspan serve --token-for NAME.",
)  # fmt: skip
TOKEN_ELSEWHERE = Problem(
    "E901", "Authorization", "a token works for the API only", f"Use an address under {API}."
)
NO_SUCH_TOKEN = Problem(
    "E901", "Authorization", "this token is no longer valid",
    "Create another: foldspan serve --token-for NAME.",
)  # fmt: skip
SHUT = Problem(
    "E901", "Device", "this device is locked or shows a client's page",
    "Unlock it, or go back to the trainer's page; a program sends a token instead.",
)  # fmt: skip
NOT_HERE = Problem(
    "E902", "Address", "there is nothing at this address, or not for this method",
    f"{API}/openapi.json lists the addresses and their methods.",
)  # fmt: skip
TOO_MUCH = Problem(
    "E903", "Body", "too much was sent at once", "Send fewer visits. Nothing was saved."
)
TOO_LARGE = Problem(
    "E903", "Body", "the table is larger than 200 MB",
    "Divide it and send the parts, or send .csv.gz or .parquet. Nothing was saved.",
)  # fmt: skip
UNREADABLE = Problem(
    "E903", "Body", "what was sent cannot be read", "Send JSON. Nothing was saved."
)


def is_for_programs(path: str) -> bool:
    """Whether an address is answered as JSON."""
    return path == API or path.startswith(f"{API}/")


def failed(place: str) -> Problem:
    """Return that foldspan itself failed; ``place`` names no value."""
    remedy = "Saved data has not changed. Please report this; it contains no client data."
    return Problem("E904", "foldspan", f"failed here ({place})", remedy)


def place_of(error: Exception) -> str:
    """Return what went wrong and where, never what was said of it: a value may stand there."""
    last = traceback.extract_tb(error.__traceback__)[-1]
    return f"{type(error).__name__} at {os.path.basename(last.filename)}:{last.lineno}"


def problems_json(problems: Iterable[Problem]) -> bytes:
    """Return problems as JSON, in the form that ``--json`` gives them; values typed are left out."""
    # not before somebody is refused
    from foldspan.results.result import SCHEMA_VERSION, problem_list

    found = {"schema_version": SCHEMA_VERSION, "problems": problem_list(tuple(problems))}
    return json.dumps(found, ensure_ascii=False, separators=(",", ":")).encode()


def as_text(problem: Problem) -> bytes:
    """Return a refusal for a person."""
    return f"{problem.what[:1].upper()}{problem.what[1:]}. {problem.advice()}\n".encode()
