"""Made with: what an answer was made with that is not usual, so that every page can say so."""

from __future__ import annotations

from typing import Protocol

from foldspan.explanation.correction_used import LocalUsed
from foldspan.text.en.reconcile import LOCAL_LEFT, LOCAL_USED, PRINTED_SENTENCES, REFERENCE_NAMES


class Answer(Protocol):
    """What every answer names of the settings it was made with."""

    @property
    def reference_method(self) -> str:
        """The reference method."""

    @property
    def local(self) -> LocalUsed | None:
        """The site's own correction."""

    @property
    def as_printed(self) -> bool:
        """Whether equations were taken as printed."""


def local_sentence(local: LocalUsed | None) -> str:
    """Return which correction of the site's own an answer holds, "" where none was asked for."""
    if local is None:
        return ""
    if not local.is_applied:
        return LOCAL_LEFT
    made = f"; dated {local.made}" if local.made else ""
    return LOCAL_USED.format(
        people=local.people, reference_method=REFERENCE_NAMES[local.reference_method], made=made
    )


def printed_sentence(answer: Answer) -> str:
    """Return that equations were taken as printed, "" where they were not."""
    return PRINTED_SENTENCES[answer.reference_method] if answer.as_printed else ""


def made_with(answer: Answer) -> str:
    """Return what an answer was made with that is not usual, in sentences; "" for the usual."""
    return " ".join(filter(None, (local_sentence(answer.local), printed_sentence(answer))))
