"""Print every transcript of the pages anew, by hand, after wording or numbers have changed.

    python tests/house/renew_transcripts.py

Look at ``git diff`` afterwards: a transcript that changed unexpectedly is a finding, not a chore.
"""

from __future__ import annotations

import sys
from pathlib import Path

sys.path.append(str(Path(__file__).parents[1]))

import prompt_table
import session_transcript
from test_docs import PAGES, TRANSCRIPT, printed_by, shown_of


def renewed(path: Path) -> str:
    """The page with what its commands print now."""
    text = path.read_text(encoding="utf-8")
    for found in TRANSCRIPT.finditer(text):
        shown = shown_of(printed_by(found["arguments"]), found)
        marked = found[0].removesuffix(f"{found['printed']}\n```")
        text = text.replace(found[0], f"{marked}{shown}\n```")
    for printed in session_transcript.MARK.findall(text):
        text = text.replace(f"\n{printed}\n", f"\n{session_transcript.transcript()}\n")
    for printed in prompt_table.MARK.findall(text):
        text = text.replace(f"\n{printed}\n", f"\n{prompt_table.table()}\n")
    return text


def main() -> None:
    """Renew README.md and every page of docs/."""
    for path in PAGES:
        path.write_text(renewed(path), encoding="utf-8")


if __name__ == "__main__":
    main()
