"""Parse the plan: what a line means for the plan: plans, equations, minutes, sites in and out."""

from __future__ import annotations

import difflib
import re

from foldspan.measurement.site_names import sites_named
from foldspan.protocol.plans import ADAPTIVE, ALWAYS, PLAN_BY_KEY, minutes_of
from foldspan.quantities import BY_NAME
from foldspan.session.answers import Known, Prompt, is_narrow, sexes_of
from foldspan.session.events import Amended
from foldspan.session.parsed import ParsedLine, again, answer
from foldspan.session.sites import EQUATION_BY_KEY, chosen, sites_of_plan
from foldspan.session.state import State

# What measures a whole family of methods.
FAMILY_PLANS = {
    "skinfold": "seven", "skinfolds": "seven", "folds": "seven", "girth": "tape", "girths": "tape",
    "mass_height": "quick", "waist_height": "quick",
}  # fmt: skip
# A session is no longer than this [minutes] (ours).
MOST_MINUTES = 240
# who says arm girth and nothing more means the arm that hangs relaxed (common practice, no source)
RELAXED = "arm_relaxed_girth_cm"
ARMS = {RELAXED, "arm_flexed_girth_cm"}
# a sign before a site: at the beginning, or after a blank and before a blank or a letter
_SIGN = re.compile(r"(?:^|(?<=\s))([+-])\s*(?=[^\W\d_])")


def planned_by(state: State, prompt: Prompt, text: str, stands: bool) -> ParsedLine:
    """Return what is heard at the plan: names or numbers of plans, equations, minutes, + and - sites."""
    head, *signed = _SIGN.split(text)
    found = _named(state, prompt, head.strip())
    if isinstance(found, ParsedLine):
        return found
    changed = _changed(state.known, found, signed)
    return changed if isinstance(changed, ParsedLine) else answer(prompt, changed)


def changes_plan(text: str) -> bool:
    """Whether a line takes sites into the plan or out of it: ``+ calf girth``."""
    return _SIGN.match(text) is not None


def amended(state: State, text: str) -> ParsedLine:
    """Return what ``+ site`` and ``- site`` mean once there is a plan."""
    plan = state.known.words("plan")
    if not plan or is_narrow(state.known):
        return again("E113", "there is no plan to change", "Answer the question.", text)
    changed = _changed(state.known, list(plan), _SIGN.split(text)[1:])
    if isinstance(changed, ParsedLine):
        return changed
    if changed == list(plan):
        return again(
            "E113", "the plan already includes that", "Type where to see what is measured.", text
        )
    return ParsedLine(moves=Amended("plan", changed))


def _named(state: State, prompt: Prompt, text: str) -> list[str] | ParsedLine:
    """Plans by name or number, equations by key, or the minutes there are."""
    time = re.fullmatch(r"(\d+)\s*(min|mins|minutes)?", text.lower())
    if time and (time.group(2) or int(time.group(1)) > len(prompt.words)):
        return _fitting(int(time.group(1)), state.known, text)
    found = []
    for part in text.replace(",", " ").split():
        word = part.lower()
        word = FAMILY_PLANS.get(word, word)
        if word.isdigit() and 1 <= int(word) <= len(prompt.words):
            word = prompt.words[int(word) - 1]
        card = EQUATION_BY_KEY.get(word)
        if card is not None and card.sex not in ("both", *sexes_of(state.known)):
            return again("E113", "developed for the other sex", "Choose another equation.", part)
        if word not in prompt.words and card is None:
            near = difflib.get_close_matches(word, [*prompt.words, *EQUATION_BY_KEY], n=2)
            meant = f"Did you mean {' or '.join(near)}? " if near else ""
            remedy = (
                f"{meant}Type a plan above, or the key of an equation (see foldspan equations)."
            )
            return again("E115", "neither a plan nor an equation", remedy, part)
        found.append(word)
    if not found:
        remedy = "Type a name above, such as tape; + SITE and - SITE come after it."
        return again("E101", "no plan was named", remedy, text)
    return list(dict.fromkeys(found))


def _fitting(minutes: int, known: Known, text: str) -> list[str] | ParsedLine:
    """The richest plan that fits in the minutes."""
    if minutes > MOST_MINUTES:
        remedy = f"Type up to {MOST_MINUTES} minutes, or a name or number above."
        return again("E102", "longer than any session takes", remedy, text)
    # how long an adaptive plan will take nobody knows beforehand
    fixed = [key for key in PLAN_BY_KEY if key != ADAPTIVE]
    needed = {key: minutes_of(sites_of_plan(known, key)) for key in fixed}
    fitting = [key for key in needed if needed[key] <= minutes]
    if not fitting:
        return again("E113", "too short for any plan", "Allow more minutes.", text)
    return [max(fitting, key=lambda key: needed[key])]


def _changed(known: Known, plan: list[str], signed: list[str]) -> list[str] | ParsedLine:
    """The plan with sites taken in and out; ``signed`` are signs and names in turn."""
    changed = plan
    for sign, text in zip(signed[::2], signed[1::2], strict=True):
        is_adaptive = ADAPTIVE in changed
        names = _sites(text.strip(" ,"), chosen(known, changed) if sign == "-" else ())
        if sign == "-" and is_adaptive and isinstance(names, ParsedLine):
            names = _sites(text.strip(" ,"), ())  # one that it has not chosen yet
        if isinstance(names, ParsedLine):
            return names
        for name in names:
            if sign == "-" and name in ALWAYS:
                return again(
                    "E113", "weight and height are part of every plan", "Leave them in.", text
                )
            opposite = f"{'-' if sign == '+' else '+'}{name}"
            changed = [edit for edit in changed if edit not in (opposite, f"{sign}{name}")]
            if (name in chosen(known, changed)) != (sign == "+") or (sign == "-" and is_adaptive):
                changed = [*changed, f"{sign}{name}"]
    return changed


def _sites(text: str, among: tuple[str, ...]) -> list[str] | ParsedLine:
    """The sites that a text names: one as a whole, or several with commas between."""
    whole = _site(text, among)
    if not isinstance(whole, ParsedLine) or "," not in text:
        return whole
    found: list[str] = []
    for part in filter(None, (piece.strip() for piece in text.split(","))):
        names = _site(part, among)
        if isinstance(names, ParsedLine):
            return names
        found += names
    return found


def _site(text: str, among: tuple[str, ...]) -> list[str] | ParsedLine:
    names = sites_named(text, among) if among else sites_named(text)
    if len(names) == 1:
        return list(names)
    if set(names) == ARMS:
        return [RELAXED]
    if names:
        labels = "; ".join(BY_NAME[name].label for name in names)
        return again("E115", "fits several sites", f"Type more of the name: {labels}.", text)
    if among:
        return again("E115", "not a site in this plan", "Type where to see what is measured.", text)
    near = difflib.get_close_matches(text, [quantity.label for quantity in BY_NAME.values()], n=2)
    meant = f"Did you mean {' or '.join(near)}? " if near else ""
    remedy = f"{meant}Write the site as it is listed, such as calf girth."
    return again("E115", "no site by that name", remedy, text)
