"""Sessions: lines that nobody should type, journals whose events were changed, exports, damaged books.

The input of a case is JSON, a form for each: ``lines`` that are typed, ``events`` that a book holds,
an export, or ``bytes`` of a kept book, place by place.
"""

from __future__ import annotations

import json
import random
import shutil
from collections.abc import Callable
from dataclasses import replace
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any

import foldspan
from foldspan import FoldspanError
from foldspan.cli.printed.measure import help_lines, numbered_lines, reasons_lines, where_lines
from foldspan.cli.printed.records import client_page, clients_page, visit_page
from foldspan.files.input import parse_tree
from foldspan.measuring.conducted import ConductedSession
from foldspan.measuring.next_site import next_chosen
from foldspan.protocol.plans import PLAN_BY_KEY
from foldspan.records.book import Book, Event
from foldspan.records.export import client_csv, client_json, visit_toml
from foldspan.records.restore import is_client_export, take_in_client
from foldspan.records.visits import as_it_stands, kept_visit, last_visit, take_in, visits_before
from foldspan.session.pages import LINE_WORDS
from foldspan.session.parse_input import COMMANDS, REASON_WORDS, parse_line
from foldspan.session.parse_page import PAGE_KINDS
from foldspan.session.state import STEPS, State, replayed
from foldspan.text.catalogue import LANGUAGES
from foldspan.visit.model import Visit
from fuzz.cases import Case, check_notes, check_problems, check_result, has_range, may_get_range
from fuzz.odd import mutated_text, mutated_tree, text_of
from measure_driver import FACTS, MAN, line_at

BOOK = Path(__file__).parents[2] / "records" / "earlier" / "book_0_6.sqlite"
LATER = date(2026, 6, 1)  # a day after all these visits
AT = "2026-03-04T10:15:30.000+00:00"
PLANS = (*PLAN_BY_KEY, "three", "seven four", "tape three", "quick", "adaptive")
ANSWERS: tuple[dict[str, str], ...] = (
    {}, {"sex": "female", "pregnant": "n"}, {"sex": "female", "pregnant": "y"}, {"age_years": "15"},
    {"sex": "female", "birth_months_ago": "2"}, {"eating_concern": "y"}, {"consent.store": "n"},
    {"consent.uncover": "n", "consent.chest": "n"}, {"sex": "both"}, {"consent.touch": "n"},
    {"age_years": "71", "consent.share": "n"},
)  # fmt: skip
# earlier visits of the same invented man, the last with what he told then
BEFORE: tuple[dict[str, Any], ...] = (
    {
        "client": {"code": "K-041", "sex": "male", "age_years": 33},
        "visit": {"date": "2025-09-04", "tester": "T-05", "calliper": "ring"},
        "mass_height": {"weight_kg": [82.4, 82.5], "height_cm": 179.4},
        "skinfolds_mm": {"chest": [13.5, 13.0], "abdominal": [24.5, 25.0], "thigh": [18.5, 18.0]},
    },
    {
        "client": {"code": "K-041", "sex": "male", "age_years": 33, "athlete": True},
        "visit": {"date": "2025-12-04", "tester": "T-05", "calliper": "ring"},
        "mass_height": {"weight_kg": 81.3, "height_cm": 179.5},
        "girths_cm": {"waist_midpoint": [87.5, 87.0], "hip": 99.0},
        "intake": {
            "conditions": ["diabetes"],
            "medicines": ["blood_thinner"],
            "surgery_months_ago": 5,
        },
    },
)
Events = list[tuple[str, dict[str, Any]]]


def drawn(draw: random.Random, number: int) -> Case:
    """A case of one of the four forms."""
    make = (_typed, _typed, _journal, _export, _journal, _export, _bytes)[number % 7]
    tree, name = make(draw), make.__name__.removeprefix("_")
    data = tree if isinstance(tree, bytes) else json.dumps(tree, indent=1).encode()
    return Case(f"{name}.json", data)


def _odd_line(draw: random.Random, sound: str) -> str:
    """A line that somebody might type in a hurry, or by mistake."""
    kind = draw.randrange(9)
    if kind == 0:
        return text_of(draw)
    if kind == 1:
        command = draw.choice(COMMANDS if draw.random() < 0.1 else COMMANDS[:-3])
        return f"{command} {draw.choice((text_of(draw), *LINE_WORDS.values()))}"
    if kind == 2:
        return f"{sound}{draw.choice(('0', ',', '.', ' cm', ' kg', ' lb', '+', ' mm', '?', ' in'))}"
    if kind == 3:
        return (
            f"{draw.uniform(0, 200):.{draw.randrange(3)}f}{draw.choice(('', '', ' ', '+', ' lb'))}"
        )
    if kind == 4:
        rest = draw.choice((*LINE_WORDS.values(), *REASON_WORDS))
        start = draw.choice(("no", "yes", "yes to all except", "no to all but", "all but", "not"))
        return f"{start} {rest}, {draw.choice((*LINE_WORDS.values(), ''))}"
    if kind == 5:
        site = draw.choice(
            ("chest_1", "thigh_2", "code", "sex", "plan", "weight", "9", "waist", "")
        )
        return f"{draw.choice(('back', 'undo', 'cannot', 'left', 'note', 'where'))} {site}"
    if kind == 6:
        return draw.choice(("+", "-")) + draw.choice(("calf", "waist", "thigh", "hip", "x", ""))
    if kind == 7:
        return draw.choice(("y", "n", "", "?", "later", "undo", "blind", "cannot", "yes", "no"))
    return mutated_text(draw, sound.encode()).decode("utf-8", "replace").replace("\n", " ")


def _walked(draw: random.Random, *, odd: float) -> tuple[list[str], Events]:
    """Lines of a session, some of them odd, and the events that come of them."""
    facts = FACTS | {"tester": "T-05", "calliper": "blue", "day": "2026-03-04", "time": "10:15"}
    answers = MAN | {"plan": draw.choice(PLANS)} | draw.choice(ANSWERS)
    state, events = State().after("begun", facts), [("begun", facts)]
    lines: list[str] = []
    asked_back = meant = ""
    for _ in range(draw.choice((10, 40, 70, 100, 150, 200))):
        if state.prompt.kind == "done":
            break
        given = line_at(state, answers)
        sound = given if isinstance(given, str) else draw.choice(given)
        sound = asked_back if asked_back and draw.random() < 0.5 else sound
        lines.append(_odd_line(draw, sound) if draw.random() < odd else sound)
        try:
            parsed = parse_line(state, lines[-1], asked_back=asked_back, meant=meant)
            asked_back = " ".join(lines[-1].split()) if parsed.asks_back else ""
            meant = parsed.meant
            if parsed.moves is not None:
                state = state.after_event(parsed.moves)
                events.append((parsed.event, dict(parsed.body or {})))
            if state.wants_next and (chosen := next_chosen(state, {})) is not None:
                state = state.after_event(chosen)
                events.append((chosen.kind, chosen.body()))
        except Exception:
            break  # the case itself will say why
    return lines, events


def _typed(draw: random.Random) -> Any:
    lines, _ = _walked(draw, odd=draw.choice((0.03, 0.1, 0.2, 0.5)))
    language = draw.choice(("en", "en", *LANGUAGES))
    return {"language": language, "is_known": draw.random() < 0.4, "lines": lines}


@cache
def _some_walks() -> tuple[Events, ...]:
    """Sessions to change events of: a few, since a walk takes longer than what is done with it."""
    draw = random.Random("walks of the sessions")
    return tuple(_walked(draw, odd=0.05)[1] for _ in range(24))


def _kept(draw: random.Random) -> list[dict[str, Any]]:
    """The events of a journal as an export lists them, ended or not, corrected now and then."""
    events = list(draw.choice(_some_walks()))
    events = events[: draw.choice((len(events), len(events), draw.randint(1, len(events))))]
    events += [("note", {"key": "code", "text": "came late"})] if draw.random() < 0.2 else []
    events += [("ended", {})] if draw.random() < 0.7 else []
    if draw.random() < 0.4:
        name = draw.choice(("weight_kg", "sex", "date", "triceps_mm", "age_years", "symptoms"))
        value = draw.choice((71.5, "female", "2026-03-05", 12.5, None, ["fainting"], True))
        more = {"turn": draw.choice((0, 1, 2)), "value": value, "who": "T-09", "why": "slip"}
        events.append(("corrected", {"name": name, **more}))
    listed = enumerate(events, start=1)
    kept = [{"place": n, "at": AT, "kind": kind, "body": body} for n, (kind, body) in listed]
    kept = json.loads(json.dumps(kept))
    return kept


def _journal(draw: random.Random) -> Any:
    events = _kept(draw)
    kinds = (*STEPS, "undo", "note", "begun", "ended", "imported", "corrected")
    for _ in range(draw.choice((0, 1, 1, 2))):
        event = draw.choice(events)
        event["kind"] = draw.choice(kinds)
    bodies = [event["body"] for event in events]
    mutated_tree(draw, bodies, names=("key", "value", "values", "sites", "tree"), dates=False)
    kinds_left = [event["kind"] for event in events]
    return {
        "code": "K-041",
        "events": [list(pair) for pair in zip(kinds_left, bodies, strict=False)],
    }


def _export(draw: random.Random) -> Any:
    visits = [
        {"visit": n, "has_ended": True, "events": _kept(draw)}
        for n in range(1, draw.choice((2, 2, 3)))
    ]
    tree = {"schema_version": 1, "code": "K-041", "name": "the early bird", "visits": visits}
    if draw.random() < 0.75:
        places = [event for visit in visits for event in visit["events"]]
        bodies = [event["body"] for event in places if event["body"]]
        home = draw.choice((tree, visits, places, draw.choice(bodies), draw.choice(bodies)))
        mutated_tree(draw, home, names=("place", "at", "kind", "body", "key", "value"), dates=False)
        return tree
    return mutated_text(draw, json.dumps(tree, indent=1).encode())


def _bytes(draw: random.Random) -> Any:
    size, changes = BOOK.stat().st_size, []
    for _ in range(draw.choice((1, 1, 2, 4, 20))):
        start = draw.choice((0, draw.randrange(size), draw.randrange(size)))
        place = start + draw.randrange(100) if start == 0 else start
        changes.append([place, draw.randrange(256)])
    cut = draw.randrange(size) if draw.random() < 0.1 else size
    return {"bytes": changes, "cut": cut}


def tried(case: Case, folder: Path) -> str:
    """Try a case of any form."""
    form = case.name.split(".")[0].split("_")[0]
    try:
        return {
            "typed": try_typed,
            "journal": try_journal,
            "export": try_export,
            "bytes": try_bytes,
        }[form](case.data, folder)
    except FoldspanError as error:
        check_problems(error)
        return "refused"


def try_typed(data: bytes, folder: Path) -> str:
    """Type lines into a session that a book keeps; it is read from the book as it went."""
    given = json.loads(data)
    path, language = str(folder / "book.sqlite"), LANGUAGES[given["language"]]
    facts = FACTS | {"tester": "T-05", "day": "2026-03-04", "time": "10:15"}
    with Book.opened(path) as book:
        if given.get("is_known"):  # what was measured the time before is asked back
            for tree in BEFORE:
                take_in(book, "K-041", tree, "before.json")
        session = ConductedSession.begun(book, facts)
        asked_back = meant = ""
        for line in given["lines"]:
            if session.state.prompt.kind == "done":
                break
            outcome = session.enter(line, asked_back=asked_back, meant=meant, language=language)
            check_notes(outcome.problems)
            assert not outcome.faults
            parsed = outcome.parsed
            if parsed.command in ("help", "where", "reasons"):
                check_shown(session.state)
            assert parsed.moves or parsed.problem or parsed.command, "a line came to nothing"
            asked_back, meant = outcome.asked_back, parsed.meant
            if parsed.command in ("stop", "end"):
                break
        # what the client measured the time before stands in the book, not in the events
        again = replace(replayed(session.events), last=session.state.last)
        assert (again.prompt.key, again.known.answers) == (
            session.state.prompt.key, session.state.known.answers,
        )  # fmt: skip
        row = session.keeper.visit
        if row:
            kept = kept_visit(book, row, session.code)
            taken_up = ConductedSession.taken_up(book, kept, chooses=False)
            assert taken_up.state.prompt.key == session.state.prompt.key
            assert [event.body for event in kept.events] == json.loads(
                json.dumps([body for _, body in session.events])
            )
        session.end()
        return check_book(book)


def check_shown(state: State) -> None:
    """What help, where and cannot show at a prompt."""
    help_lines(state.prompt)
    if state.prompt.kind in PAGE_KINDS:
        numbered_lines(state.prompt, state.known)
    if state.prompt.kind == "reading":
        reasons_lines(state.prompt)
    where_lines(state, hides=True)


def try_journal(data: bytes, folder: Path) -> str:
    """Read a book that holds such events, each with a seal that is right."""
    given = json.loads(data)
    events = given["events"]
    with Book.opened(str(folder / "book.sqlite")) as book:
        book.begin_with(given["code"], [(str(kind), body) for kind, body in events])
        came = [_asked(lambda: check_book(book))]
        came.append(_asked(lambda: _taken_up(book)))
    return "read" if came == ["read", "read"] else "refused"


def _asked(ask: Callable[[], str]) -> str:
    try:
        return ask()
    except FoldspanError as error:
        check_problems(error)
        return "refused"


def _taken_up(book: Book) -> str:
    for row, code, _ in book.unfinished():
        session = ConductedSession.taken_up(book, kept_visit(book, row, code), chooses=False)
        if session.state.prompt.kind != "done":
            check_notes(session.enter("12.5").problems)
    return "read"


def try_export(data: bytes, folder: Path) -> str:
    """Import an export: all of it comes in and goes out as it was, or nothing is kept."""
    with Book.opened(str(folder / "book.sqlite")) as book:
        try:
            tree = parse_tree(data.decode("utf-8-sig", "surrogateescape"), "json", "export.json")
            if is_client_export(tree):
                found = take_in_client(book, tree, "export.json")
            else:
                read = Visit.from_dict(tree, where="export.json", accept_unusual=True)
                take_in(book, read.client.code, tree, "export.json")
                return check_book(book)
        except FoldspanError as error:
            check_problems(error)
            assert book.all_visits() == []
            return "refused"
        rows = book.visits(found.code)
        assert len(rows) == found.visits == len(tree["visits"])
        out = json.loads(
            client_json(found.code, "", [kept_visit(book, row, found.code) for row in rows])
        )
        assert [visit["events"] for visit in out["visits"]] == [
            visit["events"] for visit in tree["visits"]
        ]
        return check_book(book)


def try_bytes(data: bytes, folder: Path) -> str:
    """Read a book some bytes of which are others: damage is said, or nothing of it is seen."""
    given, path = json.loads(data), folder / "book.sqlite"
    shutil.copy(BOOK, path)
    sound = _said_of(path)
    raw = bytearray(BOOK.read_bytes())
    for place, byte in given["bytes"]:
        raw[place % len(raw)] = byte
    path.write_bytes(bytes(raw[: given["cut"]]))
    for beside in ("-wal", "-shm"):
        Path(f"{path}{beside}").unlink(missing_ok=True)
    assert _said_of(path) == sound, "damage was not noticed"
    return "read"


def _said_of(path: Path) -> dict[str, str]:
    with Book.opened(str(path), begins=False) as book:
        return {
            code: client_json(
                code, name, [kept_visit(book, row, code) for row in book.visits(code)]
            )
            for code, name, *_ in book.clients()
        }


def check_book(book: Book) -> str:
    """Ask a book for everything: how visits stand, their exports, what a next session is told."""
    came = "read"
    clients_page(book.clients(), [code for _, code, _ in book.unfinished()])
    for row, code in book.all_visits():
        kept = kept_visit(book, row, code)
        json.loads(client_json(code, "", [kept]))
        client_csv(code, [kept])
        check_events(kept.events, code)
        if not kept.has_ended:
            continue
        try:
            visit = kept.visit()
        except FoldspanError as error:
            check_problems(error)
            came = "refused"
            continue
        visit_toml(kept)
        result = foldspan.reconcile(visit)
        check_result(result)
        assert may_get_range(visit) or not has_range(result)
        visit_page(kept, visit, result)
        client_page([(kept, result)], None)
        visits_before(book, code)
        last_visit(book, code, LATER)
    return came


def check_events(events: tuple[Event, ...], code: str) -> None:
    """The same events come to the same visit, whoever asks."""
    first, again = (as_it_stands(events, 0, code, 0) for _ in range(2))
    assert json.dumps(first.tree) == json.dumps(again.tree)
