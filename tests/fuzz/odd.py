"""Odd things: values, texts and slips that inputs of every kind are mutated with."""

from __future__ import annotations

import json
import math
import random
from datetime import date, datetime, time
from typing import Any

TEXTS = (
    "", " ", "none", "no", "yes", "female", "male", "both", "unknown", "n/a", "nan", "inf", "-inf",
    "null", "2026-01-15", "15.01.2026", "04/03/2026", "2026-13-40", "0000-00-00", "9999-12-31",
    "60+", "+60", "71,3", "1.234,5", "1,234.5", "1e999", "1e-999", "-5", "0", "00", "0x1f", "½",
    "32 1/2", "5'7\"", "5 ft 7 in", "157 lb", "11 st 3", "71.3 kg", "71.3 mm", "1 2 3", "=1+1",
    "@SUM(A1)", "<script>", "&amp;", "</div>", "]]>", "{0}", "{{7*7}}", "%s", "${x}", "\\", "\\n",
    "\x00", "\x07\x1b[31m", "\u202e", "\u200f", "\ufeff", "\u2028", "\ud7ff", "\uffff",
    "\U0001f600", "é", "é", "測定", "٣", "ﬁ", "x" * 300, "9" * 400, "a\nb", "a\tb", '"', "'",
    "„müde“", "K-\u00a01", "~nobody/x", "../x", "/dev/null", "C:\\x", "-", "symptoms", "fainting",
    "insulin", "pregnant", "code", "true",
)  # fmt: skip
NUMBERS: tuple[Any, ...] = (
    0, -0.0, -1, 1, 17, 17.99, 18, 200, 1e-300, 1e300, -1e300, 10**25, 10**400, math.inf, -math.inf,
    math.nan, 0.1, 3, 65.37, 171.53, True, False,
)  # fmt: skip
TIMES: tuple[Any, ...] = (
    date(1, 1, 1), date(9999, 12, 31), date(2026, 2, 28), datetime(2026, 1, 1, 12, 30), time(0, 0),
    time(23, 59, 59, 999999),
)  # fmt: skip
PASTED = (
    "\x00", '"', '"""', "'", "'''", "[", "]", "[[", "]]", "{", "}", "=", ":", ",", ",,", ".", "-",
    "+", "#", "\\", "\\u0000", "\\ud800", "\n", "\r", "\r\n", "\n\n", "\t", "\u2028", "\ufeff",
    "\u202e", "9" * 60, "9" * 5_000, "1e999", "-1e999", "nan", "inf", "null", "true", "false",
    "[" * 600, "{" * 600, "[client]\n", "\nsex = 1\n", '"sex": 1,', "a.b.c = 1\n", "½", "٣", "é",
    "x" * 2_000,
)  # fmt: skip
SWAPS = (
    ('"', "'"), ('"', ""), ("=", ":"), ("=", " "), (".", ","), (",", "."), (",", ";"), ("[", "("),
    ("]", ""), ("_", "-"), ("_", " "), ("\n", "\r\n"), ("\n", "\r"), ("\n", " "), ("e", "é"),
    (":", "="),
)  # fmt: skip


def text_of(draw: random.Random) -> str:
    """A text that somebody may type, or nobody."""
    kind = draw.randrange(6)
    if kind < 3:
        return draw.choice(TEXTS)
    if kind == 3:
        return draw.choice(TEXTS) + draw.choice(TEXTS)
    if kind == 4:
        return "".join(chr(draw.choice((32, 0x600, 0x1F600)) + draw.randrange(96)) for _ in "12345")
    return " ".join(draw.choice(TEXTS) for _ in range(draw.randrange(1, 4)))


def value_of(draw: random.Random, *, depth: int = 2, dates: bool = True) -> Any:
    """A value of any form, nested now and then."""
    kind = draw.randrange(12)
    if depth and kind == 0:
        return [value_of(draw, depth=depth - 1, dates=dates) for _ in range(draw.randrange(6))]
    if depth and kind == 1:
        return {
            draw.choice(TEXTS): value_of(draw, depth=depth - 1, dates=dates)
            for _ in range(draw.randrange(4))
        }
    if kind == 2 and dates:
        return draw.choice(TIMES)
    if kind == 3:
        return draw.uniform(-10.0, 250.0)
    if kind in (4, 5):
        return round(draw.uniform(1.0, 200.0), 1)
    return draw.choice(NUMBERS) if kind < 9 else text_of(draw)


def mutated_text(draw: random.Random, data: bytes) -> bytes:
    """One to four slips anywhere in a text."""
    for _ in range(draw.choice((1, 1, 1, 2, 3, 4))):
        place = draw.randint(0, len(data))
        end = min(place + draw.choice((1, 1, 2, 5, 20, 80)), len(data))
        kind = draw.randrange(8)
        if kind == 0 and place < len(data):
            bit = bytes([data[place] ^ (1 << draw.randrange(8))])
            data = data[:place] + bit + data[place + 1 :]
        elif kind == 1:
            data = data[:place] + data[end:]
        elif kind == 2:
            data = data[:end] + data[place:end] + data[end:]
        elif kind == 3:
            other = draw.randint(0, len(data))
            data = data[:other] + data[place:end] + data[other:]
        elif kind == 4:
            old, new = (sign.encode() for sign in draw.choice(SWAPS))
            data = data[:place] + data[place:].replace(old, new, draw.choice((1, 1, 2, -1)))
        elif kind == 5:
            pasted = json.dumps(text_of(draw), ensure_ascii=False)
            data = data[:place] + pasted.encode("utf-8", "surrogatepass") + data[place:]
        else:
            data = (
                data[:place] + draw.choice(PASTED).encode("utf-8", "surrogatepass") + data[place:]
            )
    return data


def _homes(tree: Any) -> list[Any]:
    """Every table and list in a tree that holds something."""
    inner = tree.values() if isinstance(tree, dict) else tree if isinstance(tree, list) else ()
    found = [tree] if isinstance(tree, dict | list) and tree else []
    return found + [home for item in inner for home in _homes(item)]


def _nearby(draw: random.Random, home: Any) -> bool:
    """Put a number beside its own, as a slip does; whether there was one."""
    places = range(len(home)) if isinstance(home, list) else [*home]
    known = [at for at in places if type(home[at]) in (int, float) and abs(home[at]) < 1e12]
    for at in known[:1] and [draw.choice(known)]:
        home[at] = round(float(home[at]) * draw.choice((0.5, 0.9, 1.1, 2, 10)), 2)
    return bool(known)


def mutated_tree(
    draw: random.Random, tree: Any, *, names: tuple[str, ...] = (), dates: bool = True
) -> None:
    """Change one to four things in a tree: values, names, order; ``names`` are those it may know."""
    for _ in range(draw.choice((1, 1, 1, 1, 2, 3, 4))):
        homes = _homes(tree)
        if not homes:
            return
        home = draw.choice(homes)
        if draw.random() < 0.45 and _nearby(draw, home):
            continue
        value = value_of(draw, dates=dates)
        if isinstance(home, list):
            place = draw.randrange(len(home))
            kind = draw.randrange(4)
            if kind == 0:
                del home[place]
            elif kind == 1:
                home.insert(place, home[draw.randrange(len(home))])
            elif kind == 2:
                home.insert(place, value)
            else:
                home[place] = value
            continue
        name = draw.choice([*home])
        kind = draw.randrange(6)
        if kind == 0:
            del home[name]
        elif kind == 1 and names:
            home[draw.choice(names)] = value
        elif kind == 2:
            home[text_of(draw)] = home[name]
        elif kind == 3:
            home[name] = [home[name]] * draw.choice((1, 2, 4))
        else:
            home[name] = value
