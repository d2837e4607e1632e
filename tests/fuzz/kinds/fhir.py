"""Texts that people type, through a visit into its FHIR bundle and onto its page.

The input of a case is JSON: the texts by where they are typed.
"""

from __future__ import annotations

import json
import random
import re
import unicodedata
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import foldspan
from fhir_checks import check, nodes, observations
from foldspan import FoldspanError, Visit
from fuzz.cases import Case, check_problems
from fuzz.odd import text_of

# embeddings, overrides, isolates (Unicode Annex 9), by class; the three marks by name
TURNS = ("LRE", "RLE", "LRO", "RLO", "PDF", "LRI", "RLI", "FSI", "PDI")
MARKS = {"\u061c", "\u200e", "\u200f"}
FORMAT = ("Cc", "Cf", "Cs", "Cn", "Co")
XHTML = "{http://www.w3.org/1999/xhtml}"
PAGE = 40  # an HTML page is made of one case in so many
PIECES = (
    "<script>alert(1)</script>", "<b>", "</div>", "<!--", "-->", "]]>", "&", "&amp;", "&#60;", '"',
    "'", "`", '"}],"entry":[{"', "{0.__class__}", "{code}", "{{7*7}}", "%s", "%(x)s", "${x}", "\\",
    "\\u003c", "\n", "\r", "\t", "\x00", "\x07", "\x1b[31m", "\x7f", "\x85", "\u2028", "\u202e",
    "\u202d", "\u2066", "\u2069", "\u200f", "\u200e", "\u061c", "\u200b", "\u200d", "\u00a0",
    "\ufeff", "\ud800", "\udfff", "\ufffe", "é", "e\u0301\u0301\u0301\u0301", "شلومو", "אבג", "測定",
    "👩‍🔬", "ﬁ", "Ａ", "K-014", "T-02", "left calf", "painful", ": ", ":", "a" * 90, " ", "1",
)  # fmt: skip
# where a text is typed → whether a visit file may hold it
PLACES = (
    "code",
    "tester",
    "calliper",
    "family_background",
    "condition",
    "note",
    "site",
    "why",
    "name",
)


def drawn(draw: random.Random, number: int) -> Case:
    """Texts for some of the places, and who reads the page."""
    texts = {place: _text(draw) for place in PLACES if draw.random() < draw.choice((0.2, 0.5))}
    if draw.random() < 0.8:
        texts.pop("condition", "")  # one that nobody knows is refused
    tree = {"reader": draw.choice(("client", "trainer", "clinician")), **texts}
    return Case("texts.json", json.dumps(tree).encode(), is_whole=number % PAGE == 0)


def _text(draw: random.Random) -> str:
    if draw.random() < 0.2:
        return text_of(draw)
    return "".join(draw.choice(PIECES) for _ in range(draw.choice((1, 1, 2, 3, 6))))


def tried(case: Case, folder: Path) -> str:
    """Make a bundle of a visit with these texts: as a file where it may hold them, else by hand."""
    texts = json.loads(case.data)
    reader = texts.pop("reader")
    client = {name: texts[name] for name in ("code", "family_background") if name in texts}
    lines = {name: texts[name] for name in ("tester", "calliper") if name in texts}
    intake = {"conditions": [texts["condition"]]} if "condition" in texts else {}
    came = "read"
    try:
        visit = _visit(client, lines, intake)
    except FoldspanError as error:
        check_problems(error, ("71.37", "168.25"))
        came, visit = "refused", _visit({}, {}, {})
        made = visit.client.model_copy(update=client)
        visit = visit.model_copy(update={"client": made, **lines})
    not_taken = [f"{texts.get('site', 'thigh')}: {texts.get('why', 'painful')}"]
    notes = [texts["note"]] if "note" in texts else []
    practice = _practice(texts.get("name", ""))
    page = foldspan.report(
        visit,
        reader=reader,
        notes=notes,
        not_taken=not_taken,
        practice=practice,
        agreed_to_share=True,
    )
    check_bundle(page.fhir(), texts, not_taken[0], reader)
    if case.is_whole:
        _check_page(page, folder)
    return came


def _visit(client: Any, lines: Any, intake: Any) -> Visit:
    tree = {
        "client": {"sex": "female", "age_years": 41} | client,
        "visit": {"date": "2026-03-04"} | lines,
        "mass_height": {"weight_kg": 71.37, "height_cm": 168.25},
        "girths_cm": {"waist_midpoint": [82.4, 82.9]},
        "intake": intake,
    }
    return Visit.from_dict(tree)


def _practice(name: str) -> foldspan.Practice | None:
    try:
        return foldspan.Practice(name=name) if name else None
    except FoldspanError as error:
        check_problems(error)
        return None


def readable(text: str) -> str:
    """What of a typed text can be read: letters and signs of every script, without blanks."""
    kept = (
        sign for sign in text if not sign.isspace() and unicodedata.category(sign) not in FORMAT
    )
    return "".join(sign for sign in kept if not unicodedata.combining(sign))


def check_bundle(tree: dict[str, Any], texts: dict[str, str], taken: str, reader: str) -> None:
    """A valid bundle with every text that can be read, no steering sign, and no tag but ours."""
    check(tree)
    assert json.loads(json.dumps(tree, allow_nan=False)) == tree
    json.dumps(tree, ensure_ascii=False).encode()  # no half of a pair
    for text in (node for node in nodes(tree) if isinstance(node, str)):
        assert not any(unicodedata.category(char) in ("Cc", "Cs") for char in text)
        assert not any(unicodedata.bidirectional(char) in TURNS for char in text)
        assert not MARKS & set(text)
    patients = [
        entry["resource"]
        for entry in tree["entry"]
        if entry["resource"]["resourceType"] == "Patient"
    ]
    for patient in patients:
        if "text" in patient:
            root = ElementTree.fromstring(patient["text"]["div"])
            assert [part.tag for part in root.iter()] == [f"{XHTML}div"]
    codes = {
        readable(known["value"]) for patient in patients for known in patient.get("identifier", ())
    }
    assert codes == ({readable(texts["code"])} if readable(texts.get("code", "")) else set())
    names = {
        readable(performer["display"])
        for each in observations(tree)
        for performer in each.get("performer", ())
    }
    assert names == ({readable(texts["tester"])} if readable(texts.get("tester", "")) else set())
    if reader != "client":
        said = {
            f"{observation['code'].get('text', '')}{observation['dataAbsentReason'].get('text', '')}"
            for observation in observations(tree)
            if "dataAbsentReason" in observation
        }
        # where the one ends and the other begins is not a sign of either
        wanted = readable(taken).replace(":", "")
        assert any(wanted in readable(line).replace(":", "") for line in said), "a site was lost"


def _check_page(page: Any, folder: Path) -> None:
    """An HTML page without a script or a tag that somebody typed, and a JSON file of the bundle."""
    html = page.html()
    assert "<script>alert" not in html
    assert not re.search(r"<(b|!--(?! ))>", html)
    out = folder / "page.fhir.json"
    page.write(str(out))
    assert json.loads(out.read_text(encoding="utf-8")) == page.fhir()
