"""Tapped: what a terminal tells one to type, said for a page, where it is tapped or entered.

Sentences of a session are written for a terminal; a page shows them with its own buttons and fields.
"""

from __future__ import annotations

import re

from foldspan.text.en.findings import place_in_words

# how a terminal says it → how a page does; the first that fits a part of a sentence is used
_SAID: tuple[tuple[str, str], ...] = (
    (r" ?\(To change it: back code\)", " To change it, go back to code (under More)."),
    (r" ?If it is the same person, type it again\.", ""),
    (r" ?If (it is a code|it is correct|all are right[^.]*), type it again\.", ""),
    (r"type undo and answer y\b", "press Undo and answer yes"),
    (r"type back show and answer y\b", "go back to show (under More) and answer yes"),
    (
        r"type: cannot skin\. Or measure on the left and type, for example: left 18\.5\.",
        "press Cannot be measured. Or tick Left side and measure on the left.",
    ),
    (
        r"Type back and the name of a site, such as back triceps; where shows the names\.",
        "Enter the name of a site, such as triceps, or of a question, such as age.",
    ),
    (r"type:? back ([^.;]+?)(?= and |\.| first)", r"go back to \1 (under More)"),
    (r" ?Type y if so\.", ""),
    (r"Type y or n\.", "Answer yes or no."),
    (r"Type words from this list, or none\.", "Choose words from this list, or None of these."),
    (r"Type only what applies, or none\.", "Choose only what applies, or None of these."),
    (
        r"Type cortisone tablets if that is right, or none;",
        "Tick cortisone tablets if that is right, or press None of these;",
    ),
    (
        r"Type words separated by commas, none, or help for their meaning\.",
        "Tick words of the list, or write them with commas between.",
    ),
    (r"Type it as 142/91, or none\.", "Enter it as 142/91, or press None."),
    (r"Type the answer, or help\.", "Enter the answer."),
    (r"Type note, then the text\.", "Write the note first, then save it."),
    (r" ?Type it again to confirm\.", ""),
    (
        r"Type the number, or later again to leave the site out\.",
        "Enter the number, or leave the site out.",
    ),
    (r"Type the number in ([^,]+), or later, .*", r"Enter the number in \1."),
    (r"Type the number\.", "Enter the number."),
    (r"Type a number of", "Enter a number of"),
    (r"Check and type again\.", "Check it and enter it again."),
    (
        r"Type .*, none, or Enter if it was not asked or not answered\.",
        "Tick what applies, or press None of these, or Skip.",
    ),
    (
        r"Type y for yes to all, n for no to all, or .*",
        "Answer every line, or press Yes to all or No to all.",
    ),
    (
        r"Type y if nothing has changed, n to ask everything again, or .*",
        "Tick what has changed, or press Nothing has changed.",
    ),
    (r"Type where to see what is measured\.", "The plan is listed under More."),
    (r"Type a plan above, or the key", "Choose a plan above, or enter the key"),
    (
        r"Type a name above, such as tape; \+ SITE and - SITE come after it\.",
        "Choose a plan, such as tape, together with the sites to add or remove.",
    ),
    (r"Type up to (\d+) minutes, or a name or number above\.", r"Enter up to \1 minutes."),
    (r"Type one of", "Choose one of"),
    (r"Press Enter to finish\.", "Press Show the result."),
    (r"Press Enter when it is marked\.", "Press It is marked."),
    (
        r"Press Enter when all are ready, or type a site and its distance, such as .*",
        "Enter a distance at its site.",
    ),
    (
        r"type a recent one, such as y, pressure 142/91",
        "tick it and enter a recent one, such as 142/91",
    ),
    (
        r"type another, such as y, weight 74 kg, 6 months ago",
        "tick it and enter another, with its date",
    ),
    # of the record and the settings: what is done with commands there is done by pages here
    (
        r"End one of the two, then continue with measure --resume\.",
        "End one of the two, then go on here.",
    ),
    (
        r"Continue with foldspan measure --resume, and use back SITE there\.",
        "Continue the session, and go back to the site there (under More).",
    ),
    (r"See foldspan records list\.", "Today lists the clients."),
    (
        r"Start one with foldspan measure, or give another: --book FILE\.",
        "Start foldspan again: it begins one, or opens another.",
    ),
    (r"give another file: --book FILE\.", "start foldspan again with another book."),
    (r"Give another file: --book FILE\.", "Start foldspan again with another book."),
    (r"or the next number to add one: --reading\.", "or the next number to add one."),
    (r"or switch the correction off with --local none\.", "or start foldspan again without it."),
    (r"Create it again with foldspan calibrate TABLE --fit FILE\.", "Create the correction again."),
    (r"Create one: foldspan precision -o\.", "Create one from your own repeats."),
    (r"Import a file as foldspan records export wrote it\.", "Import a file as it was exported."),
)
# what is written in a visit file → what is done about it on a page
_WRITTEN: tuple[tuple[str, str], ...] = (
    (" ([client] family_background, optional).", "."),
    ("; family_background in [client] can say which (optional).", "; the client may say which."),
    (" (foldspan precision)", ""),
    (" Write tester in [visit].", " Enter your tester code before a session."),
    (" Write calliper in [visit].", " Enter your name for the calliper before a session."),
)
# where something stands in a visit file, before what is wrong with it
_AT_PLACE = re.compile(r"(?P<place>\[\w+\] \w+): ")
_PATTERNS = tuple((re.compile(said), shown) for said, shown in _SAID)


def tapped(sentence: str) -> str:
    """Return a sentence of a session as a page says it: what to press or enter, not what to type."""
    for said, shown in _PATTERNS:
        sentence = said.sub(shown, sentence)
    return sentence.strip()


def unwritten(sentence: str) -> str:
    """Return a sentence of a result as a page says it, whose visit stands in no file."""
    for said, shown in _WRITTEN:
        sentence = sentence.replace(said, shown)
    found = _AT_PLACE.match(sentence)
    if found is None:
        return sentence
    place = place_in_words(found["place"])
    return f"{place[:1].upper()}{place[1:]}: {sentence[found.end() :]}"
