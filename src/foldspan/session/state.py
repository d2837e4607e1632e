"""State: the guided measuring session as a pure state machine.

A session is its steps, in the order in which they were taken. What is asked next follows from them
alone, so a session that was kept can be taken up again anywhere, and a face only has to draw prompts
and hand back what was typed. Nothing here reads a clock, a disk or a screen.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Any

from foldspan.session.answers import Known, LastVisit, Prompt
from foldspan.session.events import (
    Amended,
    Answer,
    Answered,
    AskedAgain,
    Begun,
    Body,
    Ended,
    NextChosen,
    Noted,
    PageAnswered,
    PutOff,
    SessionEvent,
    Step,
    Undone,
    Value,
    event_of,
)
from foldspan.session.questions import script
from foldspan.session.sites import chooses

# Beginnings of the keys whose answers stay, also where the question does not come up any more.
LASTING_KEYS = (
    "1.", "2.", "3.", "mark.", "landmarks.", "consent.", "prepared.", "plan", "calliper", "blind",
    "still", "page.", "next",
)  # fmt: skip
# What a step may be: an answer, the answers of one page, a prompt to be asked again or at the end of its
# round, an answer that is changed later (a consent taken back), what an adaptive plan chose next.
STEPS = ("answer", "page", "again", "later", "amend", "next")
# Where the first round is over, beside the readings of later ones.
PAST_THE_ROUNDS = ("loss_wanted", "finish")


@dataclass(frozen=True, repr=False)
class State:
    """A session so far.

    ``facts`` are what was said when it began (tester, calliper, repeat rule, units, day); ``steps``
    what was done since; ``notes`` the prompt's key and the text; ``last``
    what the client measured the time before, to ask back what moved too far; ``touched`` the site that
    was read last, also where its reading was taken back since: its skin has to rest.
    """

    facts: Mapping[str, Value] = field(default_factory=dict)
    steps: tuple[Step, ...] = ()
    notes: tuple[tuple[str, str], ...] = ()
    has_ended: bool = False
    last: LastVisit | None = None
    touched: str = field(default="", compare=False)

    @property
    def known(self) -> Known:
        """Every answer by its key, and the prompts that were put off."""
        return self._stand[0]

    @property
    def prompts(self) -> tuple[Prompt, ...]:
        """Every prompt of the session in its order, answered or not, as far as it can be told yet."""
        return self._stand[1]

    @cached_property
    def _stand(self) -> tuple[Known, tuple[Prompt, ...]]:
        answers: dict[str, Answer] = {}
        later: list[str] = []
        for step in self.steps:
            match step:
                case AskedAgain(key):
                    answers.pop(key, None)
                    if key == "plan":  # an adaptive plan that is named again goes on choosing
                        answers.pop("next.enough", None)
                case NextChosen():
                    answers |= _after_choice(answers, step)
                case PutOff(key):
                    later.append(key)
                case PageAnswered(key, values):
                    answers |= {key: True} | dict(values)
                case Answered(key, value) | Amended(key, value):
                    answers[key] = value
        return _without_stale(Known(answers, tuple(later), self.facts, self.last))

    @cached_property
    def prompt(self) -> Prompt:
        """What is asked next; its kind is ``done`` when everything was."""
        prompt = next(prompt for prompt in self.prompts if prompt.key not in self.known.answers)
        if prompt.kind == "reading" and prompt.quantity == self.touched:
            return replace(prompt, rests=True)
        return prompt

    @cached_property
    def wants_next(self) -> bool:
        """Whether its plan has to choose what is measured next: nothing of the first round is open.

        Whoever conducts the session works the choice out (``measuring.next_site``) and hands it in as an
        event; without one the session goes on to its second round.
        """
        if not chooses(self.known) or self.has_ended:
            return False
        return self.prompt.turn > 1 or self.prompt.key in PAST_THE_ROUNDS

    def events(self) -> Iterator[tuple[str, Body]]:
        """Yield events that lead to this session as a journal keeps them, each its kind and body."""
        for event in self._happened():
            yield event.kind, event.body()

    def _happened(self) -> Iterator[SessionEvent]:
        yield Begun(self.facts)
        yield from self.steps
        for key, text in self.notes:
            yield Noted(key, text)
        if self.has_ended:
            yield Ended()

    def after_event(self, event: SessionEvent) -> State:
        """Return the session after an event."""
        match event:
            case Begun(facts):
                return replace(self, facts=dict(facts))
            case Undone():
                return replace(self, steps=_without_last(self.steps))
            case Noted(key, text):
                return replace(self, notes=(*self.notes, (key, text)))
            case Ended():
                return replace(self, has_ended=True)
            case _:
                touched = _site_read(event) if isinstance(event, Answered) else ""
                return replace(self, steps=(*self.steps, event), touched=touched or self.touched)

    def after(self, kind: str, body: Mapping[str, Any]) -> State:
        """Return the session after an event as a journal keeps it; see ``after_event``.

        Parameters
        ----------
        kind : str
            ``begun`` (facts), ``answer`` and ``amend`` (key, value), ``page`` (its key and its answers,
            ``values`` by their keys), ``again`` and ``later`` (key), ``undo``, ``note`` (key,
            text), ``ended``.
        body : mapping
            What belongs to it.

        Raises
        ------
        ValueError
            For an event that is none of these.
        """
        return self.after_event(event_of(kind, body))


def _without_last(steps: tuple[Step, ...]) -> tuple[Step, ...]:
    """Take back the last thing that somebody did, and what was chosen in answer to it.

    Else the choice alone would be taken back, and made again at once.
    """
    done = len(steps)
    while done and isinstance(steps[done - 1], NextChosen):
        done -= 1
    return steps[: max(done - 1, 0)]


def _after_choice(answers: Mapping[str, Answer], chosen: NextChosen) -> dict[str, Answer]:
    """What a choice adds to the answers: its sites, or that it was the last; and what to expect."""
    so_far = answers.get("next")
    sites = [*(map(str, so_far) if isinstance(so_far, list) else ()), *chosen.sites]
    widths = {"next.now": chosen.width_now, "next.expected": chosen.width_expected}
    return {"next": sites, "next.enough": not chosen.sites, **widths}


def _site_read(event: Answered) -> str:
    """The site of an answer, "" where it is no reading, or one that could not be taken."""
    start, _, name = event.key.partition(".")
    is_left_out = isinstance(event.value, Mapping) and "cannot" in event.value
    return name if start in ("1", "2", "3") and not is_left_out else ""


def _without_stale(known: Known) -> tuple[Known, tuple[Prompt, ...]]:
    """Leave out answers to questions that no longer come up: a pregnancy once the sex was corrected.

    Readings, landmarks and consents stay: they were taken, whatever the plan became. Returns what is
    left, and the prompts that follow from it.
    """
    while True:
        prompts = tuple(script(known))
        keys = {prompt.key for prompt in prompts}
        stale = [
            key for key in known.answers if key not in keys and not key.startswith(LASTING_KEYS)
        ]
        if not stale:
            return known, prompts
        kept = {key: value for key, value in known.answers.items() if key not in stale}
        known = replace(known, answers=kept)


def replayed(events: Iterable[tuple[str, Mapping[str, Any]]]) -> State:
    """Return the session that a list of events, each its kind and body, comes to."""
    state = State()
    for kind, body in events:
        state = state.after(kind, body)
    return state


def progress(state: State) -> tuple[int, int]:
    """Return how many readings were asked so far, and how many there will be as it looks now."""
    readings = [prompt for prompt in state.prompts if prompt.kind == "reading"]
    return sum(reading.key in state.known.answers for reading in readings), len(readings)
