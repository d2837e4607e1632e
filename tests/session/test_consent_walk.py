"""No later prompt presupposes what was refused: every combination of consents, walked item by item.

What a prompt presupposes is typed here a second time, from its words and not from the code.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest

from foldspan.catalogue import EQUATIONS
from foldspan.estimation.evaluate import needed
from foldspan.protocol.plans import PLAN_BY_KEY
from foldspan.quantities import BY_NAME
from foldspan.session.answers import Known, Prompt
from foldspan.session.parse_input import parse_line
from foldspan.session.questions import script
from foldspan.session.sites import guide_of, planned
from foldspan.session.state import State
from foldspan.text.measure import HEADINGS, bared_words, landmark_question, question
from foldspan.text.questions import without_a_pen

BASE: dict[str, Any] = {
    "consent.store": True, "code": "K-081", "tester": "T-02", "age_years": 40.0, "pregnant": False,
    "birth_months_ago": "none", "periods_stopped": False, "eating_concern": False, "symptoms": [],
    "conditions": [], "medicines": [], "surgery_months_ago": "none", "blood_pressure_mmhg": "none",
    "earlier_weight_kg": "none", "athlete": False, "anabolic_drugs": False,
    "family_background": "none",
}  # fmt: skip
CONDITIONS: dict[str, dict[str, Any]] = {
    "nothing": {},
    "blood thinner": {"medicines": ["blood_thinner"]},
    "bruises": {"symptoms": ["easy_bruising"]},
    "hernia": {"conditions": ["hernia"]},
    "belly operated": {"surgery_months_ago": 1.0, "operated": "belly"},
    "chest operated": {"surgery_months_ago": 1.0, "operated": "chest"},
    "wound": {"conditions": ["wound"]},
    "minor": {"age_years": 15.0, "guardian": True, "go_on.E201": True},
    "pregnant": {"pregnant": True, "go_on.E202": True},
}  # fmt: skip
# one equation with a girth of the breast, one with a breadth
BREAST = next(equation.key for equation in EQUATIONS if "breast_girth_cm" in needed(equation))
BREADTH = next(equation.key for equation in EQUATIONS if "knee_breadth_cm" in needed(equation))
PLANS = [*([plan] for plan in PLAN_BY_KEY), ["seven", "tape"], [BREAST], [BREADTH]]
YES_NO = ("consent.touch", "consent.pinch", "consent.uncover", "consent.mark", "consent.chest",
          "prepared.skin")  # fmt: skip
# neither changes what is asked: a yes is enough
IDLE = ("consent.writer", "consent.show", "consent.share", "consent.witness", "prepared.rested")
TRUNK = ("chest", "midaxillary", "subscapular", "abdominal", "suprailiac_anterior",
         "suprailiac_midaxillary", "supraspinale", "thigh", "breast_girth", "chest_girth",
         "thigh_upper_girth", "thigh_mid_girth")  # fmt: skip
WAISTS_AND_HIP = ("waist_narrowest", "waist_midpoint", "waist_iliac", "abdomen_navel", "hip")


def presupposes(prompt: Prompt, known: Known) -> set[str]:
    """What a prompt takes for granted: hands on the client, folds, bare skin, a pen, a dry skin."""
    if prompt.key in ("consent.pinch", "consent.chest"):
        sites = planned(Known({**known.answers, prompt.key: True}, (), known.facts))
        is_fold = any(BY_NAME[name].kind == "skinfold" for name in sites)
        if prompt.key == "consent.chest":
            text = question(prompt, known, "")
            return {"folds", "hands"} if "olds" in text else set()
        return {"hands", "folds"} if not is_fold else {"hands"}
    if prompt.key == "consent.mark":
        return {"hands", "skin to mark"}
    if prompt.key in ("prepared.skin", "calliper"):
        return {"folds"}
    if not prompt.quantity:
        return set()
    kind, short = BY_NAME[prompt.quantity].kind, BY_NAME[prompt.quantity].short_name
    found = {"hands", "folds", "dry skin"} if kind == "skinfold" else set()
    if kind == "breadth":
        found |= {"hands"}
    if short in TRUNK:
        found |= {"bare"}
    if short in ("chest", "midaxillary", "chest_girth", "breast_girth"):
        found |= {"chest"}
    if short in (*WAISTS_AND_HIP[:-1], "abdominal", "suprailiac_anterior", "suprailiac_midaxillary",
                 "supraspinale"):  # fmt: skip
        found |= {"belly"}
    if prompt.key.startswith("mark.") and "marked" in landmark_question(
        guide_of(known, prompt.quantity), known, "cm"
    ):
        found |= {"pen"}
    return found


def refused(known: Known) -> set[str]:
    """What the answers so far have refused, or ruled out."""
    no = {key for key, value in known.answers.items() if value is False}
    found = set()
    if "consent.touch" in no:
        found |= {"hands", "folds", "pen"}
    if "consent.pinch" in no or known.reported("blood_thinner", "easy_bruising"):
        found |= {"folds"}
    if "consent.uncover" in no:
        found |= {"bare"}
    if "consent.mark" in no:
        found |= {"pen"}
    if "consent.chest" in no and known.get("sex") == "female":
        found |= {"chest"}
    if "prepared.skin" in no:
        found |= {"dry skin"}
    if known.reported("hernia") or known.get("operated") == "belly":
        found |= {"belly"}
    if known.get("operated") == "chest":
        found |= {"chest"}
    if known.get("age_years", 99) < 18 or known.get("pregnant"):
        found |= {"folds", "bare", "pen", "hands", "chest"}
    return found


def ahead(known: Known) -> list[Prompt]:
    """Every question that is still to come as the answers stand; pages are their lines."""
    return [
        typed
        for typed in script(known)
        if typed.key not in known.answers and typed.kind not in ("those", "permit", "sites", "done")
    ]


def walks(known: Known) -> Iterator[Known]:
    """Every way through the consents, each answer given when its question is the next one."""
    waiting = [prompt for prompt in ahead(known) if prompt.key in (*YES_NO, *IDLE)]
    if not waiting:
        return
    key = waiting[0].key
    for value in (True, False) if key in YES_NO else (True,):
        after = Known({**known.answers, key: value}, (), known.facts)
        yield after
        yield from walks(after)


@pytest.mark.parametrize("condition", CONDITIONS)
@pytest.mark.parametrize("sex", ["female", "male"])
def test_no_later_prompt_presupposes_what_was_refused(sex: str, condition: str) -> None:
    seen = 0
    for plan in PLANS:
        answers = {**BASE, "sex": sex, "plan": plan, **CONDITIONS[condition]}
        begun = Known(answers, (), {"repeat_rule": "2mm"})
        for known in walks(begun):
            no = refused(known)
            for prompt in ahead(known):
                clash = presupposes(prompt, known) & no
                assert not clash, (plan, prompt.key, clash, known.answers)
            seen += 1
    assert seen > (4 if condition in ("minor", "pregnant") else 100)


@pytest.mark.parametrize("sex", ["female", "male"])
def test_a_page_of_consents_keeps_no_yes_that_a_no_has_settled(sex: str) -> None:
    """All on one page: no to touch and y to the rest must not record a yes to the pen."""
    state = State().after("begun", {"repeat_rule": "2mm", "tester": "T-02", "calliper": "ring"})
    for key, value in {**BASE, "sex": sex, "plan": ["seven"]}.items():
        state = state.after("answer", {"key": key, "value": value})
    assert state.prompt.key == "page.consent"
    parsed = parse_line(state, "no touch")
    assert parsed.event == "page"
    values = dict(parsed.body or {})["values"]
    assert values["consent.touch"] is False
    assert not {"consent.pinch", "consent.mark", "consent.chest"} & {
        key for key, value in values.items() if value
    }
    after = state.after(parsed.event, parsed.body or {})
    assert not [
        prompt.key for prompt in ahead(after.known) if presupposes(prompt, after.known) & {"hands"}
    ]


@pytest.mark.parametrize("refusal", ["consent.touch", "consent.mark"])
def test_the_page_of_landmarks_speaks_of_no_mark_after_a_no(refusal: str) -> None:
    page = Prompt("page.marks", "sites", words=("mark.triceps_mm", "mark.waist_midpoint_cm"))
    for known, is_marked in ((Known(), True), (Known({refusal: False}), False)):
        said = question(page, known, "") + without_a_pen(HEADINGS["page.marks"], known)
        assert ("mark" in said.replace("Landmarks", "")) is is_marked
        assert "find" in said


def test_no_skin_is_to_be_bared_after_a_no_to_moving_clothing() -> None:
    assert "; uncovered: upper arm" in bared_words(("triceps_mm",))
    assert "; only if already uncovered: upper arm" in bared_words(("triceps_mm",), is_moved=False)
