"""Words on a page: what a question says where it is answered by tapping, not by typing words."""

from __future__ import annotations

import math

from foldspan.quantities import BY_NAME
from foldspan.session.answers import Known, Prompt
from foldspan.session.sites import guide_of
from foldspan.text.measure import question
from foldspan.text.questions import without_a_pen

# Questions whose words for a terminal say what to type.
ON_PAGE: dict[str, str] = {
    "code": "Client code",
    "tester": "Your own code, as the tester",
    "calliper": "Your name for this calliper",
    "sex": "Which equations fit best?",
    "consent.store": "May we keep what you tell us and what we measure today?",
    "symptoms": "Have you had any of these in the last few weeks?",
    "conditions": "Do you have any of these?",
    "medicines": "Do you take any of these?",
    "birth_months_ago": "How many months since giving birth?",
    "surgery_months_ago": "How many months since the operation?",
    "operated": "Where was the operation?",
    "blood_pressure_mmhg": "A recent blood pressure",
    "earlier_weight_kg": "Weight a few months ago",
    "earlier_weight_months_ago": "How many months ago was that?",
    "anabolic_drugs": "Anabolic drugs, such as testosterone? Only if the client wishes to say.",
    "family_background": "Family background, if the client wishes to say",
    "plan": "What would you like to measure?",
    "finish": "All sites are done.",
    "page.women": "Which of these apply?",
    "page.more": "Which of these apply?",
    "page.consent": "Consent, line by line",
    "page.prepared": "Before the first reading",
    "page.who": "Is this still correct?",
    "still": "Is this still correct?",
    "page.marks": "Find and mark every site",
}
# What stands below a question, in small letters.
BELOW: dict[str, str] = {
    "code": "A code of your own, such as K-014. Never a name.",
    "tester": "Leave it empty for none.",
    "calliper": "The same name every time. Leave it empty for none.",
    "sex": "This need not be the client's gender. Both gives two results.",
    "consent.store": "If not, the results are shown once and not kept.",
    "symptoms": "Ask in private. The client may skip any question.",
    "conditions": "The client may skip any question.",
    "medicines": "The client may skip any question.",
    "birth_months_ago": "0 for this month.",
    "surgery_months_ago": "0 for this month.",
    "blood_pressure_mmhg": "Such as 142/91.",
    "age_years": "In years.",
    "family_background": (
        "In the client's own words. Some health limits differ, and the range differs for Black adults."
    ),
}
CHOICES: dict[str, str] = {
    "female": "Female", "male": "Male", "both": "Both", "belly": "Belly", "chest": "Chest",
    "elsewhere": "Elsewhere",
}  # fmt: skip
# unit of a reading → the other one in which it may be typed, and how that is chosen
OTHER_UNITS: dict[str, tuple[str, str]] = {
    "cm": ("in", "In inches"), "in": ("cm", "In centimetres"),
    "kg": ("lb", "In pounds"), "lb": ("kg", "In kilograms"),
}  # fmt: skip
LANGUAGE_NAMES: dict[str, str] = {
    "en": "English", "de": "Deutsch", "es": "Español", "fr": "Français",
}  # fmt: skip
WHY_HIDDEN: dict[str, str] = {
    "wants_none": "The client preferred not to see the results today.",
    "careful": (
        "Numbers may do harm here: the client mentioned a worry about eating, weight or being"
        " measured. Turn the page round for words without numbers."
    ),
}
STAFF_WORDS: dict[str, str] = {
    "pin": "Practice PIN",
    "back": "Back to the trainer",
    "staff": "I am the trainer",
    "wrong": "That PIN is wrong.",
    "gone": "This page can no longer be shown.",
}
NOTE_KEPT = "The note was added."
NOT_RIGHT = "That is not correct."
NOTHING_TICKED = ("nothing is ticked", "Tick what applies, or press None of these, or Skip.")
ANSWERED_FIRST = (
    "This has already been answered in another window or on another device. What you sent was not used;"
    " the current question is below."
)
ENDED_FIRST = (
    "This session has already been ended in another window or on another device. What you sent was"
    " not used."
)
CORRECTED_FIRST = (
    "This visit has since been changed in another window or on another device. Check it, then"
    " send your correction again."
)
YOU_SENT = "You sent: {sent}"


def wait_sentence(seconds: float) -> str:
    """Return how long nothing is taken after too many wrong tries [s]."""
    minutes = math.ceil(seconds / 60.0)
    return f"Too many wrong attempts. Try again in {minutes} minute{'' if minutes == 1 else 's'}."


def asked_on_page(prompt: Prompt, known: Known, unit: str) -> str:
    """Return what a page asks, without what a terminal would have one type."""
    if prompt.kind == "reading":
        label = BY_NAME[prompt.quantity].label
        return label[:1].upper() + label[1:]
    if prompt.key.startswith("mark."):
        return _landmark(prompt, known)
    if prompt.key.startswith("go_on."):
        return "Continue measuring today?"
    sentence = ON_PAGE.get(prompt.key) or question(prompt, known, "")
    return without_a_pen(sentence, known) if prompt.kind == "sites" else sentence


def below_on_page(prompt: Prompt) -> str:
    """Return what stands below a question, "" for nothing."""
    return BELOW.get(prompt.key, "")


def _landmark(prompt: Prompt, known: Known) -> str:
    mark = guide_of(known, prompt.quantity).mark
    label = BY_NAME[prompt.quantity].label
    if mark is None:
        return f"{label[:1].upper()}{label[1:]}: find the place"
    return f"Distance from {mark.first} to {mark.last}"
