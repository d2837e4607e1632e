"""Session: the guided measuring session as a pure state machine.

A session is its answers, in the order in which they were given. What is asked next follows from them
alone, so a session that was kept can be taken up again anywhere, and a face only has to draw prompts
and hand back what was typed. Nothing here reads a clock, a disk or a screen.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any, Literal

from foldspan.protocol.plans import CANNOT, CONSENT, PLAN_BY_KEY, PLANS
from foldspan.protocol.repeat_rules import RULE_BY_KEY, tolerance
from foldspan.protocol.site_guide import GUIDE_BY_NAME
from foldspan.quantities import BY_NAME

Kind = Literal["word", "yes_no", "choice", "number", "reading", "done"]
# What may be typed at any prompt besides an answer.
COMMANDS = ("undo", "skip", "note", "stop")
COVERED = (
    "chest_mm", "midaxillary_mm", "subscapular_mm", "abdominal_mm", "suprailiac_anterior_mm",
    "suprailiac_midaxillary_mm", "supraspinale_mm", "thigh_mm",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Prompt:
    """What is asked: ``quantity`` and ``turn`` (1 to 3) for a reading, ``words`` for a choice."""

    key: str
    kind: Kind
    quantity: str = ""
    turn: int = 0
    words: tuple[str, ...] = ()
    is_optional: bool = False


@dataclass(frozen=True, slots=True, repr=False)
class State:
    """A session so far: its answers in their order, by the keys of their prompts."""

    answers: tuple[tuple[str, Any], ...] = ()
    notes: tuple[tuple[str, str], ...] = ()

    @property
    def by_key(self) -> dict[str, Any]:
        """Every answer by its key."""
        return dict(self.answers)

    @property
    def prompt(self) -> Prompt:
        """What is asked next."""
        known = self.by_key
        return next(one for one in script(known) if one.key not in known)

    def with_answer(self, value: Any) -> State:
        """Return the session with an answer to what is asked."""
        return replace(self, answers=(*self.answers, (self.prompt.key, value)))

    def undone(self) -> State:
        """Return the session without its last answer."""
        return replace(self, answers=self.answers[:-1])

    def with_note(self, text: str) -> State:
        """Return the session with a note at the place where it stands."""
        return replace(self, notes=(*self.notes, (self.prompt.key, text)))


def script(known: Mapping[str, Any]) -> Iterator[Prompt]:
    """Yield every prompt of a session, in order, as far as the answers so far tell them."""
    yield Prompt("code", "word")
    yield Prompt("sex", "choice", words=("female", "male"))
    yield Prompt("age_years", "number")
    for item in CONSENT:
        yield Prompt(f"consent.{item}", "yes_no")
    yield Prompt("skin_ready", "yes_no")
    yield Prompt("rested", "yes_no")
    if known.get("sex") == "female":
        yield Prompt("pregnant", "yes_no")
        if known.get("pregnant"):
            yield Prompt("done", "done")
            return
    yield Prompt("plan", "choice", words=tuple(plan.key for plan in PLANS))
    if "plan" not in known or "sex" not in known:
        return
    sites = planned(known)
    for name in sites:
        guide = GUIDE_BY_NAME[name]
        if guide.mark_share is not None and known.get("consent.mark"):
            yield Prompt(f"mark.{name}", "number", name, is_optional=True)
    for turn in (1, 2):
        for name in sites:
            if taken(known, name, 1) is None and turn == 2 and f"1.{name}" in known:
                continue  # it could not be taken
            yield Prompt(f"{turn}.{name}", "reading", name, turn)
    for name in sites:
        if wants_third(known, name):
            yield Prompt(f"3.{name}", "reading", name, 3)
    yield Prompt("done", "done")


def planned(known: Mapping[str, Any]) -> tuple[str, ...]:
    """Return the sites of the session: those of its plan less what the client does not want."""
    sites = PLAN_BY_KEY[known["plan"]].sites(known["sex"])
    if not known.get("consent.touch", True):
        sites = tuple(name for name in sites if BY_NAME[name].kind != "skinfold")
    if not known.get("consent.uncover", True):
        sites = tuple(name for name in sites if name not in COVERED)
    return tuple(sorted(sites, key=lambda name: _ORDER[BY_NAME[name].kind]))


# weight and height, then tape, then folds: pressing comes last (ours)
_ORDER = {"mass": 0, "height": 0, "girth": 1, "breadth": 1, "skinfold": 2}


def taken(known: Mapping[str, Any], name: str, turn: int) -> float | None:
    """Return a reading in the quantity's unit, or None where none was taken."""
    answer = known.get(f"{turn}.{name}")
    return answer.get("value") if isinstance(answer, Mapping) else None


def wants_third(known: Mapping[str, Any], name: str) -> bool:
    """Whether two readings of a site lie further apart than the rule of the session allows."""
    first, second = (taken(known, name, turn) for turn in (1, 2))
    if first is None or second is None:
        return False
    rule = RULE_BY_KEY[known.get("rule", "2mm")]
    step = float(known.get("step_mm", 0.0))
    return abs(first - second) > tolerance(name, (first + second) / 2.0, rule, step) + 1e-9


def progress(known: Mapping[str, Any]) -> tuple[int, int]:
    """Return how many readings were asked so far, and how many there will be as it looks now."""
    readings = [one for one in script(known) if one.kind == "reading"]
    return sum(one.key in known for one in readings), len(readings)


def visit_tree(known: Mapping[str, Any], *, day: str, tester: str) -> dict[str, Any]:
    """Return the session as the tree of a visit file.

    Sites that could not be taken are left out; a reading at the end of the scale is written ``"60+"``.
    """
    tree: dict[str, Any] = {
        "client": {key: known[key] for key in ("code", "sex", "age_years") if known.get(key)},
        "visit": {"date": day, "tester": tester},
    }
    if known.get("pregnant"):
        tree["client"]["pregnant"] = True
    sections = {
        "mass": "mass_height", "height": "mass_height", "skinfold": "skinfolds_mm",
        "girth": "girths_cm", "breadth": "breadths_cm",
    }  # fmt: skip
    for name in planned(known) if "plan" in known else ():
        readings: list[Any] = []
        for turn in (1, 2, 3):
            value = taken(known, name, turn)
            if value is not None:
                ended = known[f"{turn}.{name}"].get("at_least", False)
                readings.append(f"{value:g}+" if ended else value)
        if readings:
            quantity = BY_NAME[name]
            section = sections[quantity.kind]
            key = name if section == "mass_height" else quantity.short_name
            tree.setdefault(section, {})[key] = readings
    variants = {
        BY_NAME[name].short_name: GUIDE_BY_NAME[name].variant
        for name in planned(known)
        if GUIDE_BY_NAME[name].variant and taken(known, name, 1) is not None
    } if "plan" in known else {}  # fmt: skip
    if variants:
        tree["site_variants"] = variants
    return tree


__all__ = ["CANNOT", "COMMANDS", "Prompt", "State", "planned", "progress", "script", "visit_tree"]
