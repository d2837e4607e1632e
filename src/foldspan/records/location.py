"""Location: where the book of records lies if none is named."""

from __future__ import annotations

from pathlib import Path

from platformdirs import user_data_path


def book_path(given: str) -> str:
    """Return the file of the book: the one named, or the one in the user's data folder."""
    if given:
        return given
    return str(Path(user_data_path("foldspan", appauthor=False)) / "book.sqlite")


def browser_folder() -> str:
    """Return the folder in which the browser's face keeps who was let in and its certificate."""
    return str(Path(user_data_path("foldspan", appauthor=False)) / "browser")
