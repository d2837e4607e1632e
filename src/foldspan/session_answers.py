"""Session answers: what was typed at a prompt, as an event of the session or a reason to ask again."""

from __future__ import annotations

import difflib
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, Literal

from foldspan.intake_reader import LISTS, MOST_MONTHS, PRESSURES, one_word
from foldspan.problems import Problem
from foldspan.protocol.clothing import CORRECTED
from foldspan.protocol.plans import CANNOT, PLAN_BY_KEY, minutes_of
from foldspan.quantities import BY_NAME, MEASURED, UnreadableValue, read_value
from foldspan.session import State
from foldspan.session_checks import objections
from foldspan.session_known import Prompt
from foldspan.session_plan import EQUATION_BY_KEY
from foldspan.session_script import script
from foldspan.visit_reader import LONGEST_CODE

# What may be typed at any prompt besides its answer; words in wording_measure.py.
COMMANDS = (
    "undo", "back", "later", "cannot", "left", "note", "where", "how", "withdraw", "blind", "stop",
    "end", "help",
)  # fmt: skip
REASON_WORDS = {
    "refused": "refused", "no": "refused", "thick": "thick", "too": "thick", "painful": "painful",
    "pain": "painful", "hurts": "painful", "lift": "lift", "skin": "skin", "skip": "skipped",
    "skipped": "skipped", "other": "other",
}  # fmt: skip
# What measures a whole family of methods.
FAMILY_PLANS = {
    "skinfold": "seven", "skinfolds": "seven", "folds": "seven", "girth": "tape", "girths": "tape",
    "mass_height": "quick", "waist_height": "quick",
}  # fmt: skip
# Consents that can be taken back in mid-session.
TAKEN_BACK = ("touch", "pinch", "uncover", "mark", "show", "share", "store")
YES, NO = ("y", "yes"), ("n", "no")
# Distances between landmarks that a tape can show on a body [cm] (ours).
DISTANCES_CM = (1.0, 90.0)
# What can be taken on the other side: folds, limbs and bones, not weight, height, neck and trunk.
ONE_SIDED = tuple(
    name
    for name in MEASURED
    if BY_NAME[name].kind in ("skinfold", "breadth")
    or name.startswith(("thigh", "knee", "calf", "ankle", "arm", "forearm", "wrist"))
)
# Months ago that an earlier weight may have been taken.
LEAST_MONTHS = {"earlier_weight_months_ago": 0.1}
YOUNGEST, OLDEST = 5.0, 110.0


@dataclass(frozen=True, slots=True, repr=False)
class Heard:
    """What was made of a line.

    ``event`` with its ``body`` moves the session on; ``problem`` says why it does not; ``asks_back``
    that the same line, typed again, stands; ``command`` is for the face to do.
    """

    event: str = ""
    body: Mapping[str, Any] | None = None
    problem: Problem | None = None
    asks_back: bool = False
    command: Literal["", "where", "how", "help", "stop", "end", "reasons"] = ""


def hear(state: State, line: str, *, asked_back: str = "") -> Heard:
    """Return what a typed line means at the prompt of a session.

    Parameters
    ----------
    state : State
        The session as it stands.
    line : str
        What was typed, without its end of line.
    asked_back : str
        The line that was asked back just before, single blanks between its words, "" if none was:
        typed again, it stands.
    """
    text = " ".join(line.split())
    word, _, rest = text.partition(" ")
    word = word.lower()
    stands = text != "" and text == asked_back
    prompt = state.prompt
    if word == "?":
        return Heard(command="help")
    if word in COMMANDS:
        return _command(state, word, rest, stands)
    at_site = prompt.kind == "reading" or prompt.key.startswith("mark.")
    if at_site and word in REASON_WORDS and word != "no":
        return _command(state, "cannot", text, stands)
    if not text:
        if prompt.kind == "ready" or prompt.is_optional:
            return _answer(prompt, None)
        return _again("E101", "nothing was typed", "Type the answer, or help.")
    return _BY_KIND[prompt.kind](state, prompt, text, stands)


def unit_at(state: State, prompt: Prompt) -> str:
    """Return the unit in which a bare number is read at a prompt, "" where it has none."""
    is_us = state.facts.get("units") == "us"
    if prompt.kind == "reading" or prompt.key.startswith("mark."):
        kind = BY_NAME[prompt.quantity].kind
        if prompt.key.startswith("mark."):
            return "in" if is_us else "cm"
        if is_us and kind != "skinfold":
            return "lb" if kind == "mass" else "in"
        return BY_NAME[prompt.quantity].unit
    if prompt.key == "earlier_weight_kg":
        return "lb" if is_us else "kg"
    return {"age_years": "years"}.get(prompt.key, "months" if "months" in prompt.key else "")


def _again(code: str, what: str, remedy: str, given: str = "") -> Heard:
    return Heard(problem=Problem(code, "That", what, remedy, given))


def _back_once(code: str, what: str, remedy: str, given: str = "") -> Heard:
    """Ask back once; the same line stands when it is typed again."""
    return Heard(problem=Problem(code, "That", what, remedy, given), asks_back=True)


def _answer(prompt: Prompt, value: Any) -> Heard:
    return Heard(event="answer", body={"key": prompt.key, "value": value})


def _command(state: State, word: str, rest: str, stands: bool) -> Heard:
    prompt = state.prompt
    if word in ("where", "how", "help", "stop", "end"):
        return Heard(command=word)  # type: ignore[arg-type]
    if word == "undo":
        if not state.steps:
            return _again("E113", "there is nothing to undo", "Answer what is asked.")
        return Heard(event="undo", body={})
    if word == "note":
        if not rest:
            return _again("E101", "an empty note", "Type note and the text.")
        return Heard(event="note", body={"key": prompt.key, "text": rest})
    if word == "back":
        return _back(state, rest)
    if word == "withdraw":
        if rest not in TAKEN_BACK:
            known = ", ".join(TAKEN_BACK)
            return _again("E113", "not a consent", f"Type withdraw and one of {known}.", rest)
        if rest == "store" and not stands:
            what = "takes out of the book what was kept of this visit"
            return _back_once("E113", what, "Type it once more to do so.")
        return Heard(event="amend", body={"key": f"consent.{rest}", "value": False})
    if word == "blind":
        if rest not in ("on", "off"):
            return _again("E113", "neither on nor off", "Type blind on or blind off.", rest)
        return Heard(event="amend", body={"key": "blind", "value": rest == "on"})
    if prompt.kind != "reading" and not (word == "cannot" and prompt.key.startswith("mark.")):
        return _again("E113", "only at a site", "Answer what is asked.", word)
    if word == "left":
        if prompt.quantity not in ONE_SIDED:
            label = BY_NAME[prompt.quantity].label
            return _again("E113", f"{label} has no left and right", "Type the number.", word)
        return _reading(state, prompt, rest, stands, side="left")
    if word == "later":
        if prompt.key in state.known.later:
            return _answer(prompt, {"cannot": "skipped"})
        return Heard(event="later", body={"key": prompt.key})
    first, _, more = rest.partition(" ")
    reason = REASON_WORDS.get(first.lower())
    if reason is None:
        return Heard(command="reasons")
    return _answer(prompt, {"cannot": reason} | ({"why": more} if more else {}))


def _back(state: State, rest: str) -> Heard:
    """Take one answer back: the one named, or the last one."""
    given = [one for one in script(state.known) if one.key in state.known.answers]
    if not rest:
        return Heard(event="undo", body={}) if given else _again("E113", "no answer yet", "Go on.")
    wanted = one_word(rest)
    for one in reversed(given):
        names = {one.key, one.key.rpartition(".")[2]}
        if one.quantity:
            names |= {one.quantity, BY_NAME[one.quantity].short_name}
            names |= {f"{BY_NAME[one.quantity].short_name}_{one.turn}"}
        if wanted in names:
            return Heard(event="again", body={"key": one.key})
    remedy = "Type back and the name of a site as where shows it, such as back triceps."
    return _again("E115", "no answer by that name", remedy, rest)


def _ready(state: State, prompt: Prompt, text: str, stands: bool) -> Heard:
    remedy = (
        "Press Enter to finish." if prompt.key == "finish" else "Press Enter when it is marked."
    )
    return _again("E113", "no number is asked here", remedy, text)


def _word(state: State, prompt: Prompt, text: str, stands: bool) -> Heard:
    if len(text) > LONGEST_CODE or not text.isprintable():
        return _again("E121", "too long for a code", f"Up to {LONGEST_CODE} plain characters.")
    looks_like_a_name = re.fullmatch(r"[^\W\d_]{2,}[ ,]+[^\W\d_]{2,}", text) is not None
    if prompt.key in ("code", "tester") and looks_like_a_name and not stands:
        remedy = "Use a code of your own, such as K-014. If it is a code, type it once more."
        return _back_once("E121", "looks like a name; names are not kept", remedy)
    return _answer(prompt, text)


def _yes_no(state: State, prompt: Prompt, text: str, stands: bool) -> Heard:
    if text.lower() in (*YES, *NO):
        return _answer(prompt, text.lower() in YES)
    return _again("E113", "neither yes nor no", "Type y or n.", text)


def _choice(state: State, prompt: Prompt, text: str, stands: bool) -> Heard:
    typed = one_word(text)
    near = [word for word in prompt.words if word.startswith(typed)]
    if typed in prompt.words or len(near) == 1:
        return _answer(prompt, typed if typed in prompt.words else near[0])
    return _again("E113", "not one of the words", f"Type one of {', '.join(prompt.words)}.", text)


def _words(state: State, prompt: Prompt, text: str, stands: bool) -> Heard:
    known = LISTS[prompt.key]
    if text.lower() in (*NO, "none"):
        return _answer(prompt, None)
    parts = re.split(r"[,;]\s*|\s+", text) if "," not in text else re.split(r"[,;]\s*", text)
    listed: list[str] = []
    for word in (one_word(part) for part in parts if part):
        if word not in known:
            begins = [one for one in known if one.startswith(word)]
            if len(begins) != 1:
                near = difflib.get_close_matches(word, known, n=2, cutoff=0.75)
                meant = f"Did you mean {' or '.join(near)}? " if near else ""
                remedy = f"{meant}Type the words with commas between, or help to see them."
                return _again("E113", "not a word of the list", remedy, word)
            word = begins[0]
        listed.append(word)
    return _answer(prompt, list(dict.fromkeys(listed)))


def _plan(state: State, prompt: Prompt, text: str, stands: bool) -> Heard:
    """Plans by name or number, equations by key, or the minutes there are."""
    sex = state.known.get("sex")
    time = re.fullmatch(r"(\d+)\s*(min|mins|minutes)?", text.lower())
    if time and not time.group(2) and int(time.group(1)) <= len(prompt.words):
        time = None  # the number of a plan
    if time:
        fitting = [
            plan
            for plan in PLAN_BY_KEY.values()
            if minutes_of(plan.sites(sex)) <= int(time.group(1))
        ]
        if not fitting:
            return _again("E113", "too short for any plan", "Allow more minutes.", text)
        richest = max(fitting, key=lambda plan: minutes_of(plan.sites(sex)))
        return _answer(prompt, [richest.key])
    found = []
    for part in text.replace(",", " ").split():
        word = part.lower()
        word = FAMILY_PLANS.get(word, word)
        if word.isdigit() and 1 <= int(word) <= len(prompt.words):
            word = prompt.words[int(word) - 1]
        card = EQUATION_BY_KEY.get(word)
        if card is not None and card.sex not in ("both", sex):
            return _again("E113", "built for the other sex", "Name another equation.", part)
        if word not in prompt.words and card is None:
            near = difflib.get_close_matches(word, [*prompt.words, *EQUATION_BY_KEY], n=2)
            meant = f"Did you mean {' or '.join(near)}? " if near else ""
            remedy = f"{meant}Type a name above, or a key that foldspan equations lists."
            return _again("E115", "neither a plan nor an equation", remedy, part)
        found.append(word)
    if not found:
        return _again("E101", "no plan was named", "Type a name above, such as tape.", text)
    return _answer(prompt, list(dict.fromkeys(found)))


def _pressure(state: State, prompt: Prompt, text: str, stands: bool) -> Heard:
    match = re.fullmatch(r"(\d{2,3})\s*/\s*(\d{2,3})", text)
    upper, lower = map(float, match.groups()) if match else (0.0, 0.0)
    low, high = PRESSURES
    if not low <= lower < upper <= high:
        return _again("E101", "not a blood pressure", "Type it as 142/91, or Enter.", text)
    return _answer(prompt, [upper, lower])


def _number(state: State, prompt: Prompt, text: str, stands: bool) -> Heard:
    if prompt.key.startswith("mark."):
        return _distance(state, prompt, text)
    unit = unit_at(state, prompt)
    try:
        if prompt.key == "earlier_weight_kg":
            low, high = BY_NAME["weight_kg"].possible(None)
            value = read_value(_with_unit(text, unit), "kg")
            unit = "kg"
        elif prompt.key == "age_years":
            low, high = YOUNGEST, OLDEST
            value = read_value(text, "years")
        else:
            low, high = LEAST_MONTHS.get(prompt.key, 0.0), MOST_MONTHS
            value = read_value(text, "months" if unit == "months" else "")
    except UnreadableValue as error:
        return _again(error.code, error.what, error.remedy, text)
    except ValueError:
        return _again("E101", "not a number", f"Type a number of {unit}.", text)
    if not low <= value <= high:
        return _again("E102", f"outside {low:g} to {high:g} {unit}", "Check and type again.", text)
    return _answer(prompt, value)


def _with_unit(text: str, unit: str) -> str:
    """A bare number with the unit of its prompt written out."""
    return f"{text} {unit}" if unit and re.fullmatch(r"[\d.,\s/]+", text) else text


def _distance(state: State, prompt: Prompt, text: str) -> Heard:
    typed = _with_unit(text, unit_at(state, prompt))
    try:
        value = read_value(typed, "cm")
    except UnreadableValue as error:
        return _again(error.code, error.what, error.remedy, text)
    low, high = DISTANCES_CM
    if not low <= value <= high:
        what = f"outside {low:g} to {high:g} cm"
        return _again("E102", what, "Measure from landmark to landmark.", text)
    return _answer(prompt, {"value": value, "typed": typed})


def _reading(state: State, prompt: Prompt, text: str, stands: bool, side: str = "") -> Heard:
    quantity = BY_NAME[prompt.quantity]
    ended = quantity.kind == "skinfold" and text.endswith("+")
    bare = text[:-1].strip() if ended else text
    unit = unit_at(state, prompt)
    typed = _with_unit(bare, unit) if unit != quantity.unit else bare
    try:
        value = read_value(typed, quantity.unit)
    except UnreadableValue as error:
        remedy = error.remedy if error.code != "E101" else _what_to_type(unit)
        return _again(error.code, error.what, remedy, text)
    found = objections(state.known, prompt, value, at_least=ended)
    if found and (found[0].code in ("E102", "E107") or not stands):
        return Heard(problem=found[0], asks_back=found[0].code not in ("E102", "E107"))
    answer: dict[str, Any] = {"value": value, "typed": f"{typed}+" if ended else typed}
    answer |= {"at_least": True} if ended else {}
    answer |= {"side": side} if side else {}
    if prompt.quantity in CORRECTED and state.known.get("consent.uncover") is False:
        answer["layer"] = True
    answer |= {"confirmed": found[0].code} if found else {}
    return _answer(prompt, answer)


def _what_to_type(unit: str) -> str:
    return f"Type the number in {unit}, or later, cannot, undo; help shows everything that can be typed."


_BY_KIND: dict[str, Callable[[State, Prompt, str, bool], Heard]] = {
    "word": _word, "yes_no": _yes_no, "choice": _choice, "words": _words, "plan": _plan,
    "number": _number, "pressure": _pressure, "ready": _ready, "reading": _reading,
}  # fmt: skip
assert set(CANNOT) == set(REASON_WORDS.values())
