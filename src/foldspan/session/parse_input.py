"""Parse input: what was typed at a prompt, as an event of the session or a reason to ask again."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace

from foldspan.measurement.site_names import sites_named
from foldspan.protocol.clothing import CORRECTED
from foldspan.protocol.plans import CANNOT
from foldspan.quantities import (
    BY_NAME,
    CENTIMETRES_PER,
    MEASURED,
    UnreadableValue,
    read_value,
)
from foldspan.session.answers import Prompt
from foldspan.session.checks import (
    REFUSES,
    distance_objection,
    line_meant,
    objections,
    urgent_if_right,
)
from foldspan.session.events import Amended, Noted, PageAnswered, PutOff, Undone, Value
from foldspan.session.parse_back import back_to
from foldspan.session.parse_client_answers import ANSWER_PARSERS, YES
from foldspan.session.parse_numbers import client_number, unit_at, with_unit
from foldspan.session.parse_page import PAGE_KINDS
from foldspan.session.parse_plan import amended, changes_plan, planned_by
from foldspan.session.parsed import ParsedLine, again, answer, back_once
from foldspan.session.questions import script
from foldspan.session.state import State

# What may be typed at any prompt besides its answer; words in text/measure.py.
COMMANDS = (
    "undo", "back", "later", "cannot", "left", "note", "where", "how", "withdraw", "blind", "stop",
    "end", "help",
)  # fmt: skip
REASON_WORDS = {
    "refused": "refused", "no": "refused", "thick": "thick", "too": "thick", "painful": "painful",
    "pain": "painful", "hurts": "painful", "lift": "lift", "skin": "skin", "skip": "skipped",
    "skipped": "skipped", "other": "other",
}  # fmt: skip
# Reasons that only a fold can have.
ONLY_FOLDS = ("thick", "lift")
# Consents that can be taken back in mid-session.
TAKEN_BACK = ("touch", "pinch", "uncover", "mark", "show", "share", "store")
# Distances between landmarks that a tape can show on a body [cm] (ours).
DISTANCES_CM = (1.0, 90.0)
# What can be taken on the other side: folds, limbs and bones, not weight, height, neck and trunk.
ONE_SIDED = tuple(
    name
    for name in MEASURED
    if BY_NAME[name].kind in ("skinfold", "breadth")
    or name.startswith(("thigh", "knee", "calf", "ankle", "arm", "forearm", "wrist"))
)


def parse_line(state: State, line: str, *, asked_back: str = "", meant: str = "") -> ParsedLine:
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
    meant : str
        What that line may have meant, as ``ParsedLine.meant`` said: a yes stands for it.
    """
    text = " ".join((meant if meant and line.strip().lower() in YES else line).split())
    word, _, rest = text.partition(" ")
    word = word.lower()
    stands = text != "" and text == asked_back
    prompt = state.prompt
    if word == "?":
        return ParsedLine(command="help")
    if word in COMMANDS:
        return _command(state, word, rest, stands)
    at_site = prompt.kind == "reading" or prompt.key.startswith("mark.")
    if prompt.kind in PAGE_KINDS:
        return PAGE_KINDS[prompt.kind](state, prompt, text, stands)
    if at_site and word in REASON_WORDS and word != "no":
        return _command(state, "cannot", text, stands)
    if prompt.kind != "plan" and changes_plan(text):
        return amended(state, text)
    if not text and prompt.kind != "sites":
        if prompt.kind == "ready" or prompt.is_optional:
            return answer(prompt, None)
        return again("E101", "nothing was typed", "Type the answer, or help.")
    return _BY_KIND[prompt.kind](state, prompt, text, stands)


def reasons_at(name: str) -> tuple[str, ...]:
    """Return the reasons for which a site may not be taken: only a fold is lifted or clamped."""
    is_fold = BY_NAME[name].kind == "skinfold"
    return tuple(reason for reason in CANNOT if is_fold or reason not in ONLY_FOLDS)


def _command(state: State, word: str, rest: str, stands: bool) -> ParsedLine:
    prompt = state.prompt
    if word in ("where", "how", "help", "stop", "end"):
        return ParsedLine(command=word)  # type: ignore[arg-type]
    if word == "undo":
        if not state.steps:
            return again("E113", "nothing to undo", "Answer the question.")
        return ParsedLine(moves=Undone())
    if word == "note":
        if not rest:
            return again("E101", "an empty note", "Type note, then the text.")
        return ParsedLine(moves=Noted(prompt.key, rest))
    if word == "back":
        return back_to(state, rest)
    if word == "withdraw":
        if rest not in TAKEN_BACK:
            known = ", ".join(TAKEN_BACK)
            return again(
                "E113", "not one of the consents", f"Type withdraw, then one of {known}.", rest
            )
        if rest == "store" and not stands:
            what = "deletes everything saved about this visit"
            return back_once("E113", what, "Type it again to confirm.")
        return ParsedLine(moves=Amended(f"consent.{rest}", False))
    if word == "blind":
        if rest not in ("on", "off"):
            return again("E113", "neither on nor off", "Type blind on or blind off.", rest)
        return ParsedLine(moves=Amended("blind", rest == "on"))
    if prompt.kind == "sites" and word == "cannot":
        return _marks(state, prompt, f"cannot {rest}", stands)
    if prompt.kind != "reading" and not (word == "cannot" and prompt.key.startswith("mark.")):
        return again("E113", "only works when a site is asked for", "Answer the question.", word)
    if word == "left":
        if prompt.quantity not in ONE_SIDED:
            label = BY_NAME[prompt.quantity].label
            return again("E113", f"{label} has no left or right side", "Type the number.", word)
        return _reading(state, prompt, rest, stands, side="left")
    if word == "later":
        if prompt.key in state.known.later:
            return answer(prompt, {"cannot": "skipped"})
        put_off = PutOff(prompt.key)
        is_last = state.after(put_off.kind, put_off.body()).prompt.key == prompt.key
        if is_last and not stands:
            what = "no other site is left in this round"
            return back_once("E113", what, "Type the number, or later again to leave the site out.")
        if is_last:
            return answer(prompt, {"cannot": "skipped"})
        return ParsedLine(moves=put_off)
    return _cannot(prompt, rest)


def _ready(state: State, prompt: Prompt, text: str, stands: bool) -> ParsedLine:
    remedy = (
        "Press Enter to finish." if prompt.key == "finish" else "Press Enter when it is marked."
    )
    return again("E113", "nothing to type here", remedy, text)


def _number(state: State, prompt: Prompt, text: str, stands: bool) -> ParsedLine:
    is_distance = prompt.key.startswith("mark.")
    return (_distance if is_distance else client_number)(state, prompt, text, stands)


def _distance(state: State, prompt: Prompt, text: str, stands: bool) -> ParsedLine:
    typed = with_unit(text, unit_at(state, prompt))
    try:
        value = read_value(typed, "cm")
    except UnreadableValue as error:
        return again(error.code, error.what, error.remedy, text)
    low, high = DISTANCES_CM
    if not low <= value <= high:
        per = CENTIMETRES_PER[unit_at(state, prompt)]
        what = f"outside {low / per:.3g} to {high / per:.3g} {unit_at(state, prompt)}"
        return again("E102", what, "Measure from landmark to landmark.", text)
    odd = distance_objection(state.known, prompt.quantity, value)
    if odd is not None and not stands:
        return ParsedLine(problem=replace(odd, given=text), asks_back=True)
    taken: dict[str, Value] = {"value": value, "typed": typed}
    taken |= {"confirmed": odd.code} if odd else {}
    return answer(prompt, taken)


def _marks(state: State, prompt: Prompt, text: str, stands: bool) -> ParsedLine:
    """All sites marked, a distance at one of them, one that cannot be marked, or one by one."""
    if not text:
        values = dict.fromkeys(prompt.words)
        return ParsedLine(moves=PageAnswered(prompt.key, values))
    if text.lower() in ("each", "one by one"):
        return ParsedLine(moves=Amended("landmarks.each", True))
    first, _, more = text.partition(" ")
    is_cannot = first.lower() == "cannot"
    typed = more if is_cannot else text
    prompts = {asks.quantity: asks for asks in script(state.known) if asks.key in prompt.words}
    name, rest = typed, ""
    if numbered := re.fullmatch(r"(\D*?)\s*(\d.*)", typed):
        name, rest = numbered.groups()
    elif is_cannot:
        name, _, rest = typed.rpartition(" ")
    sites = sites_named(name, prompts)
    if len(sites) == 1:
        site_prompt = prompts[sites[0]]
        return (
            _cannot(site_prompt, rest)
            if is_cannot
            else _BY_KIND[site_prompt.kind](state, site_prompt, rest, stands)
        )
    if sites:
        labels = "; ".join(BY_NAME[site].label for site in sites)
        return again("E115", "fits several sites", f"Type more of the name: {labels}.", text)
    site = BY_NAME[next(iter(prompts))].short_name.replace("_", " ")
    remedy = f"Press Enter when all are ready, or type a site and its distance, such as {site} 33."
    return again("E113", "not a site on this page", remedy, text)


def _cannot(prompt: Prompt, rest: str) -> ParsedLine:
    """A site that cannot be taken, and why."""
    first, _, more = rest.partition(" ")
    reason = REASON_WORDS.get(first.lower())
    if reason is None:
        return ParsedLine(command="reasons")
    if reason in ONLY_FOLDS and BY_NAME[prompt.quantity].kind != "skinfold":
        what = f"{BY_NAME[prompt.quantity].label} is not a skinfold: nothing is lifted or clamped"
        remedy = f"Give another reason: {', '.join(reasons_at(prompt.quantity))}."
        return again("E113", what, remedy, f"cannot {rest}")
    return answer(prompt, {"cannot": reason} | ({"why": more} if more else {}))


def _reading(state: State, prompt: Prompt, text: str, stands: bool, side: str = "") -> ParsedLine:
    quantity = BY_NAME[prompt.quantity]
    ended = quantity.kind == "skinfold" and text.endswith("+")
    bare = text[:-1].strip() if ended else text
    unit = unit_at(state, prompt)
    typed = with_unit(bare, unit) if unit != quantity.unit else bare
    try:
        value = read_value(typed, quantity.unit)
    except UnreadableValue as error:
        remedy = error.remedy if error.code != "E101" else _what_to_type(unit)
        return again(error.code, error.what, remedy, text)
    found = objections(state.known, prompt, value, at_least=ended, typed=text, unit=unit)
    if found and (found[0].code in REFUSES or not stands):
        return ParsedLine(
            problem=found[0],
            asks_back=found[0].code not in REFUSES,
            first=urgent_if_right(state.known, prompt, value),
            meant="" if side or ended else line_meant(state.known, prompt, value, text, unit),
        )
    taken: dict[str, Value] = {"value": value, "typed": f"{typed}+" if ended else typed}
    taken |= {"at_least": True} if ended else {}
    taken |= {"side": side} if side else {}
    if prompt.quantity in CORRECTED and state.known.get("consent.uncover") is False:
        taken["layer"] = True
    taken |= {"confirmed": found[0].code} if found else {}
    return answer(prompt, taken)


def _what_to_type(unit: str) -> str:
    return (
        f"Type the number in {unit}, or later, cannot or undo; help shows everything you can type."
    )


_BY_KIND: dict[str, Callable[[State, Prompt, str, bool], ParsedLine]] = {
    **ANSWER_PARSERS, "plan": planned_by, "number": _number, "ready": _ready, "reading": _reading,
    "sites": _marks,
}  # fmt: skip
assert set(CANNOT) == set(REASON_WORDS.values())
