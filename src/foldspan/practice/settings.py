"""Settings of a site: one file that every command reads, with the correction it chose and its practice.

What a site has settled is written down once, in ``settings.toml``, and holds for all its work.
"""

from __future__ import annotations

import os
from collections.abc import Mapping
from contextlib import suppress
from pathlib import Path
from typing import Any

from platformdirs import user_config_path

from foldspan.files.input import is_file, read_tree
from foldspan.practice.logo import LARGEST
from foldspan.practice.model import KEYS, Practice, problems_of
from foldspan.problems import FoldspanError, Problem

# names another settings file, or none where it is empty
SETTINGS_VARIABLE = "FOLDSPAN_SETTINGS"
SWITCHED_OFF = "none"
NAMES = ("local", "practice")


def settings_file() -> str:
    """Return the path of the site's settings file; "" where the environment says that there is none."""
    named = os.environ.get(SETTINGS_VARIABLE)
    if named is not None:
        return named
    return str(Path(user_config_path("foldspan", appauthor=False)) / "settings.toml")


def site_practice() -> Practice | None:
    """Return the practice from ``[practice]`` in the settings file; None if there is none.

    Raises
    ------
    FoldspanError
        E301 to E307 if the settings file cannot be read; E115 for an unknown name in it; E113, E121
        and E303 as in ``Practice``; E301 to E303 for a logo that cannot be read. All problems are
        raised at once, each with its place.
    """
    place = settings_file()
    section = _tree(place).get("practice", {})
    where = f"{place}: practice"
    if not isinstance(section, Mapping):
        remedy = "Write [practice] on a line of its own, and below it a line for each value."
        raise FoldspanError([Problem("E121", where, "not a section", remedy)])
    remedy = f"Use {', '.join(KEYS[:-1])} or {KEYS[-1]}."
    problems = [
        Problem("E115", f"{where}: {name}", "unknown name", remedy)
        for name in section
        if name not in KEYS
    ]
    given = {name: value for name, value in section.items() if name in KEYS}
    try:
        given["logo"] = _logo(given.get("logo", ""), place)
    except FoldspanError as error:
        problems += error.problems
        del given["logo"]
    problems += problems_of(given, where)
    if problems:
        raise FoldspanError(problems)
    return Practice(**given) if section else None


def files_of_settings() -> tuple[str, ...]:
    """Return the files that ``site_practice`` reads, none of which may be written over."""
    place = settings_file()
    section = _tree(place).get("practice", {})
    logo = section.get("logo", "") if isinstance(section, Mapping) else ""
    named = isinstance(logo, str) and logo
    return (place, str(_beside(place, logo))) if named else (place,)


def chosen_correction() -> str:
    """Return the path of the local correction in the settings file, "" where none is chosen.

    A path that is not absolute starts at the folder of the settings file.

    Raises
    ------
    FoldspanError
        As ``site_practice`` for the file, E121 for a line that is no text, E301 for a correction that is
        not there.
    """
    place = settings_file()
    chosen = _tree(place).get("local", "")
    if not isinstance(chosen, str):
        remedy = 'Write local = "our_site.toml", or local = "none".'
        raise FoldspanError([Problem("E121", f"{place}: local", "not a text", remedy)])
    if chosen in ("", SWITCHED_OFF):
        return ""
    found = _beside(place, chosen)
    if not is_file(found):
        what = f"there is no file {found}"
        remedy = "Correct the path there, or switch the correction off with --local none."
        raise FoldspanError([Problem("E301", f"{place}: local", what, remedy)])
    return str(found)


def _tree(place: str) -> dict[str, Any]:
    """Return what stands in the settings file, nothing where there is none."""
    if not place or (SETTINGS_VARIABLE not in os.environ and not Path(place).exists()):
        return {}
    tree = read_tree(place)
    for name in tree:
        if name not in NAMES:
            remedy = 'This file holds local = "our_site.toml" and a section [practice].'
            raise FoldspanError([Problem("E115", f"{place}: {name}", "unknown name", remedy)])
    return tree


def _logo(named: Any, place: str) -> bytes:
    """Return the bytes of the logo; a path that is not absolute starts at the settings file."""
    where, remedy = f"{place}: practice: logo", "Correct the path there, or leave the line out."
    if not isinstance(named, str):
        raise FoldspanError([Problem("E121", where, "not a text", 'Write logo = "our_logo.png".')])
    if not named:
        return b""
    found = _beside(place, named)
    try:
        with found.open("rb") as opened:
            logo = opened.read(LARGEST + 1)  # one byte too many tells that it is too large
    except FileNotFoundError:
        raise FoldspanError([Problem("E301", where, f"there is no file {found}", remedy)]) from None
    except (IsADirectoryError, NotADirectoryError):
        raise FoldspanError([Problem("E302", where, f"{found} is not a file", remedy)]) from None
    except (OSError, ValueError):
        raise FoldspanError([Problem("E303", where, f"{found} cannot be read", remedy)]) from None
    if not logo:
        raise FoldspanError([Problem("E306", where, f"{found} is empty", remedy)])
    return logo


def _beside(place: str, named: str) -> Path:
    path = Path(named)
    with suppress(RuntimeError):  # the home of somebody whom this computer does not know
        path = path.expanduser()
    return Path(place).resolve().parent / path
