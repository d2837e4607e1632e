"""The example visits that can be read: every visit file of the examples but the faulty one."""

from __future__ import annotations

from pathlib import Path

EXAMPLES = Path(__file__).parents[1] / "examples"
SOUND = tuple(
    path
    for path in sorted(EXAMPLES.iterdir())
    if path.suffix in (".toml", ".json") and path.stem != "faulty"
)
