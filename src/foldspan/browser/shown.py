"""Shown: pages from their templates; every text is escaped."""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import cache
from importlib import resources
from typing import Any
from urllib.parse import quote

from starlette.responses import HTMLResponse, RedirectResponse, Response

from foldspan.browser.access.refusals import problems_json
from foldspan.problems import Problem
from foldspan.text.en.findings import place_in_words
from foldspan.text.tapped import tapped


def page(template: str, http_status: int = 200, **values: Any) -> Response:
    """Return a page: a template of ``templates/`` with its values."""
    return HTMLResponse(_shelf().get_template(f"{template}.html").render(**values), http_status)


def go_to(address: str) -> Response:
    """Return the way to another page, to be asked for anew: nothing is sent twice by going back."""
    return RedirectResponse(address, 303)


def remember(response: Response, name: str, value: str, *, is_encrypted: bool) -> None:
    """Have the device remember what holds for the next session, too."""
    response.set_cookie(
        f"foldspan_{name}", quote(value), max_age=31_536_000, httponly=True, samesite="strict",
        secure=is_encrypted,
    )  # fmt: skip


def error_page(
    problems: Iterable[Problem], status: int, place: str = "", *, said: str = "", to: str = ""
) -> Response:
    """Return a page that says what went wrong and how to go on."""
    lines = [said] * bool(said) + [tapped(problem.sentence()) for problem in problems]
    return page("error", status, lines=lines, place=place, status=status, to=to)


def problem_line(problem: Problem, where: str = "") -> str:
    """Return a problem as it stands above a form: its field by the label there, and no code."""
    field = where or place_in_words(problem.where)
    said = f"{problem.what}. {tapped(problem.advice(problem.given))}"
    # the name of a file stays as it is
    start = field[:1] if re.search(r"\.\w+$", field) else field[:1].upper()
    return f"{start}{field[1:]}: {said}".strip()


def problems_response(problems: Iterable[Problem], status: int) -> Response:
    """Return problems for a program."""
    return Response(problems_json(problems), status, media_type="application/json")


@cache
def _shelf() -> Any:
    import jinja2

    from foldspan import __version__

    # the parts of a printed document are set on a screen by the same template
    rooms = (resources.files("foldspan.browser") / "templates", resources.files("foldspan.pages"))
    shelf = jinja2.Environment(
        loader=jinja2.FileSystemLoader([str(room) for room in rooms]),
        autoescape=True,
        undefined=jinja2.StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        auto_reload=False,
    )
    shelf.globals["version"] = __version__
    return shelf
