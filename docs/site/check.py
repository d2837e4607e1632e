"""Check: what the built site must keep to, read from its files."""

from __future__ import annotations

import re
from collections import defaultdict
from html.parser import HTMLParser
from pathlib import Path
from urllib.parse import unquote

ROOT = Path(__file__).parents[2]
LOADING = {"img": "src", "script": "src", "link": "href", "iframe": "src", "source": "src"}


class Page(HTMLParser):
    """What a page names, loads and leads to."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.anchors: set[str] = set()
        self.links: list[str] = []
        self.loads: list[str] = []
        self.without_words = 0
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Take down one element."""
        given = {name: value or "" for name, value in attrs}
        self.anchors |= {given[name] for name in ("id", "name") if name in given}
        if tag == "a" and "href" in given:
            self.links.append(given["href"])
        if tag in LOADING and LOADING[tag] in given:
            self.loads.append(given[LOADING[tag]])
        self.without_words += tag == "img" and not given.get("alt", "").strip()


def faults(site: Path) -> list[str]:
    """Return what is wrong with a built site: nothing, it is to be hoped."""
    pages = {path: Page(path.read_text(encoding="utf-8")) for path in sorted(site.rglob("*.html"))}
    found: dict[str, list[str]] = defaultdict(list)
    for path, page in pages.items():
        name = path.relative_to(site).as_posix()
        found["leads nowhere"] += [
            f"{name}: {link}" for link in page.links if not _leads(link, path, pages)
        ]
        found["loads from elsewhere, or what is not there"] += [
            f"{name}: {link}"
            for link in page.loads
            if ":" in link.split("/")[0] or link.startswith("/") or not _leads(link, path, pages)
        ]
        if page.without_words:
            found["pictures without words"].append(f"{name}: {page.without_words}")
    for path in sorted(site.rglob("*")):
        if path.suffix in (".html", ".js", ".css", ".json", ".txt", ".inv"):
            text = path.read_text(encoding="utf-8", errors="replace")
            if any(place in text for place in (f"{ROOT}/", f"{Path.home()}/", f"{site}/")):
                found["a path of this machine"].append(path.name)
            if path.suffix == ".css" and re.search(r"url\(['\"]?(https?:)?//", text):
                found["loads from elsewhere, or what is not there"].append(path.name)
    return [f"{what}: {place}" for what, listed in found.items() for place in listed]


def _leads(link: str, path: Path, pages: dict[Path, Page]) -> bool:
    """Whether a link of a page leads somewhere: elsewhere on the network is taken as given."""
    if re.match(r"[a-z]+:", link):
        return link.startswith(("https://", "http://", "mailto:"))
    file, _, anchor = unquote(link.partition("?")[0]).partition("#")
    target = (path.parent / file).resolve() if file else path
    if anchor and target in pages:
        return anchor in pages[target].anchors
    return target.exists()
