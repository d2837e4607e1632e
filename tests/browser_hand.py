"""A hand at the pages of ``foldspan serve``: reads the form that is shown, fills it, and sends it."""

from __future__ import annotations

import re
import time
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

from starlette.testclient import TestClient

from foldspan.browser.access.guard import Guard
from foldspan.browser.app import application
from foldspan.browser.desk import Desk
from foldspan.session.answers import Prompt
from foldspan.session.pages import LINE_WORDS, WITH_DETAIL
from foldspan.session.parse_client_answers import readable_word
from foldspan.session.state import State
from measure_driver import line_at

EXAMPLES = Path(__file__).parents[1] / "examples"
HOST = "testserver"
ORIGIN = f"http://{HOST}"
Answers = Mapping[str, "str | tuple[str, ...]"]


@dataclass
class Form:
    """One form of a page: where it goes, what it holds, and the buttons that carry something."""

    action: str = ""
    method: str = "get"
    id: str = ""
    fields: dict[str, str] = field(default_factory=dict)
    choices: dict[str, list[str]] = field(default_factory=dict)
    buttons: list[tuple[str, str]] = field(default_factory=list)


class _Forms(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.forms: list[Form] = []
        self.text: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = {name: value or "" for name, value in attrs}
        if tag == "form":
            self.forms.append(
                Form(given.get("action", ""), given.get("method", "get"), given.get("id", ""))
            )
        if not self.forms:
            return
        form, name = self.forms[-1], given.get("name", "")
        if tag == "button" and name:
            form.buttons.append((name, given.get("value", "")))
        elif tag == "input" and given.get("type") in ("checkbox", "radio"):
            form.choices.setdefault(name, []).append(given.get("value", "on"))
        elif tag == "input" and name:
            form.fields[name] = given.get("value", "")

    def handle_data(self, data: str) -> None:
        self.text.append(data)


def forms_of(page: str) -> list[Form]:
    """Return the forms of a page in order."""
    reader = _Forms()
    reader.feed(page)
    return reader.forms


def words_of(page: str) -> str:
    """Return what a page says, blanks made one."""
    reader = _Forms()
    reader.feed(page)
    return " ".join(" ".join(reader.text).split())


@contextmanager
def desk_at(
    book: Path, *, log: Callable[[str], None] | None = None, **more: Any
) -> Iterator[tuple[Desk, TestClient]]:
    """Lend the pages over a book, without having come in yet."""
    desk = Desk(str(book), **more)
    desk.start_key = "a-key-of-this-test"
    app = Guard(application(desk, log), desk.devices, [HOST])
    with TestClient(app, base_url=ORIGIN, headers={"origin": ORIGIN}) as client:
        yield desk, client


@contextmanager
def hand_at(book: Path, **more: Any) -> Iterator[Hand]:
    """Lend a hand at the pages over a book, come in at the own computer."""
    with desk_at(book, **more) as (desk, client):
        hand = Hand(desk, client)
        hand.come_in()
        yield hand


class Hand:
    """One who reads what a page shows and answers it; ``page`` is what is shown now."""

    def __init__(self, desk: Desk, client: TestClient) -> None:
        self.desk, self.client = desk, client
        self.page, self.address, self.status = "", "", 0

    def come_in(self) -> None:
        self._take(self.client.get(f"/enter/{self.desk.start_key}"))
        assert self.status == 200

    def go(self, address: str) -> None:
        self._take(self.client.get(address))

    def send(self, address: str, **fields: Any) -> None:
        self._take(self.client.post(address, data=fields))

    def begin(self, **fields: Any) -> None:
        self.go("/")
        self.send("/session", **{"rule": "growing", "units": "metric", **fields})

    def _take(self, response: Any) -> None:
        self.page, self.status = response.text, response.status_code
        self.address = response.url.path

    @property
    def form(self) -> Form:
        """The form in which the prompt is answered."""
        return next(form for form in forms_of(self.page) if form.id == "ask")

    @property
    def said(self) -> str:
        return words_of(self.page)

    @property
    def state(self) -> State:
        # not asked of the desk, which would read the book from this thread
        state: State = self.desk._sessions[self.address.split("/")[2]].state
        return state

    def fill(self, **fields: Any) -> None:
        """Send the form with these fields, as the page made it otherwise."""
        form = self.form
        self.send(form.action, **{**form.fields, **fields})

    def press(self, value: str, name: str = "line") -> None:
        """Press a button that stands on the page."""
        form = self.form
        assert (name, value) in form.buttons, (value, form.buttons)
        hidden = {key: given for key, given in form.fields.items() if key in HIDDEN}
        self.send(form.action, **hidden, **{name: value})

    def answer(self, answers: Answers) -> None:
        """Answer the prompt that is shown, by the key of its prompt or its quantity."""
        prompt = self.state.prompt
        given = line_at(self.state, answers)
        line = given if isinstance(given, str) else given[0]
        _AT.get(prompt.kind, _type)(self, prompt, line, answers)

    def walk(self, answers: Answers, *, until: str = "") -> None:
        """Answer everything until the session is done, or a prompt comes up."""
        for _ in range(150):
            if self.address.endswith("/result") or (until and self.state.prompt.key == until):
                return
            before = self.page
            self.answer(answers)
            assert self.status == 200, self.said
            if 'id="problem"' in self.page and self.page != before:
                self.press_right()
        raise AssertionError("the session does not end")

    def press_right(self) -> None:
        """Confirm a value that was asked back."""
        form = self.form
        value = form.fields["asked_back"]
        self.press(value)


HIDDEN = ("turn", "asked_back", "meant")


def _type(hand: Hand, prompt: Prompt, line: str, answers: Answers) -> None:
    if not line or ("line", line) in hand.form.buttons:
        hand.press(line)
    else:
        hand.fill(typed=line)


def _press(hand: Hand, prompt: Prompt, line: str, answers: Answers) -> None:
    hand.press(line)


def _words(hand: Hand, prompt: Prompt, line: str, answers: Answers) -> None:
    if line in ("", "none"):
        hand.press(line)
        return
    boxes = hand.form.choices["word"]
    words = [readable_word(word.strip()) for word in line.split(",")]
    ticked = [word for word in words if word in boxes]
    hand.fill(word=ticked, typed=", ".join(word for word in words if word not in boxes))


def _those(hand: Hand, prompt: Prompt, line: str, answers: Answers) -> None:
    """Tick what applies; what has a number to it is written behind its line at once."""
    lines = {key: str(answers.get(key, "")) for key in prompt.words}
    named = {key: text for key, text in lines.items() if text not in ("", "n", "none")}
    if not named:
        hand.press("none" if "n" in lines.values() else "")
        return
    hand.fill(**{LINE_WORDS[key]: "on" for key in named})


def _permit(hand: Hand, prompt: Prompt, line: str, answers: Answers) -> None:
    given = {LINE_WORDS[key]: str(answers.get(key, "y")) for key in prompt.words}
    hand.fill(**{word: "no" if text == "n" else "yes" for word, text in given.items()})


def _plan(hand: Hand, prompt: Prompt, line: str, answers: Answers) -> None:
    if ("plan", line) in hand.form.buttons:
        hand.press(line, "plan")
    else:
        hand.fill(typed=line)


_AT: dict[str, Callable[[Hand, Prompt, str, Answers], None]] = {
    "yes_no": _press, "choice": _press, "words": _words, "those": _those, "permit": _permit,
    "plan": _plan, "sites": _press, "ready": _press, "still": _press,
}  # fmt: skip
assert set(WITH_DETAIL) <= set(LINE_WORDS)


class TableHand:
    """One who sends a table and answers what the pages ask of it."""

    def __init__(self, hand: Hand) -> None:
        self.hand = hand

    @property
    def said(self) -> str:
        return self.hand.said

    @property
    def key(self) -> str:
        return self.hand.address.split("/")[2]

    def send(self, name: str, data: bytes) -> None:
        """Send a table, and wait until its columns are read."""
        self.hand._take(self.hand.client.post("/tables", files={"table": (name, data)}))
        self.wait()

    def wait(self) -> None:
        """Wait until nothing is worked on any more."""
        address = f"/tables/{self.key}"
        for _ in range(1200):
            if not self.hand.client.get(f"{address}/now").json()["is_at_work"]:
                break
            time.sleep(0.05)
        else:
            raise AssertionError("it never came to an end")
        self.hand.go(address)

    def chosen(self) -> dict[str, str]:
        """Return what the form for the columns holds."""
        found: dict[str, str] = {}
        for name, body in re.findall(
            r'<select name="(\w+)">(.*?)</select>', self.hand.page, flags=re.DOTALL
        ):
            options = re.findall(r"<option([^>]*)>([^<]*)</option>", body)
            values = [
                (re.findall('value="(.*?)"', given + f' value="{text}"')[0], "selected" in given)
                for given, text in options
            ]
            found[name] = next((value for value, at in values if at), values[0][0])
        return found

    def place_of(self, column: str) -> int:
        """Return the number of a column by its name in the table."""
        names = re.findall(r"<legend><bdi>(.*?)</bdi></legend>", self.hand.page)
        fields = re.findall(r'<select name="is_(\d+)">', self.hand.page)
        return int(fields[names.index(column)])

    def confirm(self, **changed: str) -> None:
        """Confirm the columns, some of them changed, and wait for the result."""
        self.hand.send(f"/tables/{self.key}/columns", **{**self.chosen(), **changed})
        if self.hand.status == 200:
            self.wait()

    def press(self, action: str, **fields: Any) -> None:
        """Send the form of the page that leads to an address below that of the table."""
        whole = f"/tables/{self.key}/{action}"
        assert any(form.action == whole for form in forms_of(self.hand.page)), whole
        self.hand.send(whole, **fields)

    def file(self, name: str) -> bytes:
        """Return a file that came of the table."""
        reply = self.hand.client.get(f"/tables/{self.key}/files/{name}")
        assert reply.status_code == 200, name
        return bytes(reply.content)
