"""The documents as a site: every page in its navigation, every public name in its reference.

The site itself is built by ``.ci/run``, with warnings as errors; here is what needs no Sphinx.
"""

from __future__ import annotations

import importlib
import re
from pathlib import Path
from types import ModuleType

import pytest
from test_docs import PAGES, ROOT

SITE = ROOT / "docs" / "site"


@pytest.fixture
def stage(monkeypatch: pytest.MonkeyPatch) -> ModuleType:
    monkeypatch.syspath_prepend(str(SITE))
    return importlib.import_module("stage")


@pytest.fixture
def check(monkeypatch: pytest.MonkeyPatch) -> ModuleType:
    monkeypatch.syspath_prepend(str(SITE))
    return importlib.import_module("check")


def test_every_page_is_in_the_navigation_once(stage: ModuleType) -> None:
    home = (SITE / "index.md").read_text(encoding="utf-8")
    trees = re.findall(r"```{toctree}\n.*?\n\n(.*?)```", home, re.DOTALL)
    listed = [line.rpartition("<")[2].rstrip(">") for tree in trees for line in tree.split("\n")]
    names = {Path(name).stem for name in (*stage.places().values(), *stage.MADE.values())}
    assert sorted(name for name in listed if name) == sorted(names - {"index"})


def test_the_home_page_serves_three_readers_and_the_glossary(stage: ModuleType) -> None:
    home = (SITE / "index.md").read_text(encoding="utf-8")
    for page in ("first-day", "screening-day", "before-you-measure", "python", "glossary"):
        assert f"](../{page}.md)" in home


def test_every_public_name_is_in_the_reference(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.syspath_prepend(str(SITE))
    names = importlib.import_module("public_names")
    text = names.page()  # which raises for a name that is missing, or that is not public
    assert text.count(":: foldspan.") == text.count("{py:obj}`") + sum(
        map(len, names.HELD.values())
    )
    assert text.count(":: foldspan.") == sum(map(len, names.GROUPS.values())) + sum(
        map(len, names.HELD.values())
    )
    for module, held in names.HELD.items():
        assert all(hasattr(importlib.import_module(module), name) for name in held)


def test_examples_are_shown_on_pages_whose_examples_are_run(stage: ModuleType) -> None:
    """Contributors' commands are run by hand; the home page says so."""
    shown = {
        page
        for page in stage.places()
        if re.search(r"^```(sh|bat|python)", page.read_text(encoding="utf-8"), re.MULTILINE)
    }
    assert shown - set(PAGES) == {ROOT / "DEVELOPERS.md"}
    assert "run by hand" in (SITE / "index.md").read_text(encoding="utf-8")


def test_pages_are_staged_with_links_that_stay_on_the_site(
    stage: ModuleType, tmp_path: Path
) -> None:
    stage.stage(tmp_path / "pages")
    for page in (tmp_path / "pages").glob("*.md"):
        for link in stage.LINK.findall(page.read_text(encoding="utf-8")):
            file = link.partition("#")[0]
            if "://" not in link and file:
                target = (page.parent / file).resolve()
                assert target.is_relative_to(tmp_path), link
                assert target.exists() or file == "reference.md", link


@pytest.mark.parametrize(
    ("text", "what"),
    [
        ("See [this](nowhere.md).\n", "no such file"),
        ("```python\nprint(1)\n```\n", "no test runs"),
    ],
)
def test_a_page_with_a_fault_is_refused(
    stage: ModuleType, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, text: str, what: str
) -> None:
    page = tmp_path / "page.md"
    page.write_text(text, encoding="utf-8")
    monkeypatch.setattr(stage, "places", lambda: {page: "page.md"})
    with pytest.raises(stage.Broken, match=what):
        stage.stage(tmp_path / "pages")


SOUND = (
    '<h1 id="top">A</h1><a href="#top">up</a><img src="a.png" alt="words"><a href="b.html#x">b</a>'
)


@pytest.mark.parametrize(
    ("body", "what"),
    [
        (SOUND, ""),
        ('<a href="#none">x</a>', "leads nowhere"),
        ('<a href="b.html#none">x</a>', "leads nowhere"),
        ('<a href="c.html">x</a>', "leads nowhere"),
        ('<script src="https://example.org/a.js"></script>', "loads from elsewhere"),
        ('<img src="a.png" alt=" ">', "pictures without words"),
        (f"<p>{ROOT}/docs</p>", "a path of this machine"),
    ],
)
def test_what_is_wrong_with_a_built_site_is_found(
    check: ModuleType, tmp_path: Path, body: str, what: str
) -> None:
    (tmp_path / "a.html").write_text(body, encoding="utf-8")
    (tmp_path / "b.html").write_text('<p id="x">b</p>', encoding="utf-8")
    (tmp_path / "a.png").write_bytes(b"")
    found = check.faults(tmp_path)
    assert (len(found), [what in fault for fault in found]) == ((1, [True]) if what else (0, []))
