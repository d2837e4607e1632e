"""Settings of the site: Sphinx reads the staged pages with these. See build.py."""

from __future__ import annotations

import re
import sys
import tomllib
from importlib import import_module
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parent))
from public_names import HELD

_PROJECT = tomllib.loads(
    (Path(__file__).parents[2] / "pyproject.toml").read_text(encoding="utf-8")
)["project"]

project = "foldspan"
author = "the foldspan contributors"
version = release = _PROJECT["version"]
language = "en"
extensions = ["myst_parser", "sphinx.ext.autodoc", "sphinx.ext.napoleon"]
source_suffix = {".md": "markdown"}
nitpicky = True
smartquotes = False

myst_heading_anchors = 4
myst_enable_extensions = ["colon_fence"]

autodoc_member_order = "bysource"
autodoc_preserve_defaults = True
autodoc_typehints = "none"
autodoc_default_options = {"members": True, "exclude-members": "model_config"}
napoleon_google_docstring = False
napoleon_use_rtype = False
napoleon_use_ivar = True
napoleon_preprocess_types = True
# words of docstrings that name a kind of thing and no class of ours
napoleon_type_aliases = {
    word: f":code:`{word}`"
    for word in ("DataFrame", "callable", "iterable", "mapping", "path", "sequence")
} | {name: f"~{module}.{name}" for module, names in HELD.items() for name in names}
python_use_unqualified_type_names = True
add_module_names = False

pygments_style = "bw"
html_theme = "alabaster"
html_title = f"foldspan {release}"
html_short_title = "foldspan"
templates_path = ["templates"]
html_static_path = ["static"]
html_css_files = ["site.css"]
html_copy_source = False
html_show_sourcelink = False
html_show_copyright = False
html_show_sphinx = False
html_last_updated_fmt = None
html_show_search_summary = False  # else it fetches pages, which a browser forbids for files
html_use_index = False
html_domain_indices = False
html_sidebars = {"**": ["about.html", "searchfield.html", "navigation.html"]}
html_theme_options = {
    "description": "One honest body-fat range from skinfolds, girths, BMI and waist-to-height",
    "fixed_sidebar": False,
    "show_powered_by": False,
    "page_width": "1100px",
    "sidebar_width": "240px",
    "font_family": "sans-serif",
    "show_relbar_bottom": True,
}


def setup(app: Any) -> None:
    """Take part in how docstrings are read; tables of a spreadsheet are shown as they are."""
    from pygments.lexers.special import TextLexer

    app.add_lexer("csv", TextLexer)
    app.connect("html-page-context", _framed)
    app.connect("autodoc-process-signature", _signature)
    app.connect("autodoc-process-docstring", _set_aside, priority=400)
    app.connect("autodoc-process-docstring", _as_written, priority=600)


def _framed(app: Any, page: str, template: str, context: dict[str, Any], tree: Any) -> None:
    """Put what may be wider than a small screen into a frame that can be moved with the keys."""
    body = context.get("body", "")

    def frame(found: re.Match[str]) -> str:
        # what holds a link can be reached by it
        reached = "" if "<a " in found[0] else ' tabindex="0"'
        return f'<div class="wide"{reached}>{found[0]}</div>'

    body = re.sub(r"<table class=\"docutils.*?</table>", frame, body, flags=re.DOTALL)
    body = body.replace("<pre>", '<pre tabindex="0">')
    body = body.replace('<th class="head"><p></p></th>', "<td></td>")  # no heading of anything
    language = page.rpartition("-")[2]
    if language in ("de", "es", "fr"):
        body = f'<div lang="{language}">{body}</div>'
    context["body"] = body


def _signature(
    app: Any, what: str, name: str, thing: Any, options: Any, signature: str, returned: str
) -> tuple[str, str] | None:
    """A result is made by foldspan, not by its reader: how its class is called is left out."""
    made_by_readers = ("Practice", "Repeat", "EarlierTable")
    if what == "class" and name.rpartition(".")[2] not in made_by_readers:
        return "", ""
    return None


_WRITTEN: dict[str, list[str]] = {}


def _set_aside(app: Any, what: str, name: str, thing: Any, options: Any, lines: list[str]) -> None:
    """Keep the words about a field: what stands before a colon in them is no type."""
    if what in ("attribute", "property"):
        _WRITTEN[name] = list(lines)


def _as_written(app: Any, what: str, name: str, thing: Any, options: Any, lines: list[str]) -> None:
    """Put the words about a field back, behind its type as the source has it."""
    if name not in _WRITTEN:
        return
    lines[:] = _WRITTEN.pop(name)
    path, _, field = name.rpartition(".")
    module, _, owner = path.rpartition(".")
    kinds = getattr(getattr(import_module(module), owner), "__annotations__", {})
    if lines and field in kinds:
        lines[0] = f"``{kinds[field]}`` · {lines[0]}"
