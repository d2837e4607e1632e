"""The order of rooms, and what breaches it, read from the folders and imports of a package."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache, cached_property
from pathlib import Path

ROOT = Path(__file__).parents[2]
PACKAGE = ROOT / "src" / "foldspan"
LONGEST_FILE, MOST_FILES, MOST_AT_THE_TOP = 400, 20, 8

# from the ground up: a room imports only itself and rooms before it; "" are the modules at the top
ORDER = (
    "",
    "files",
    "catalogue",
    "protocol",
    "standards",
    "text.en",
    "numerics",
    "reference",
    "measurement",
    "intake",
    "estimation.families",
    "estimation",
    "external",
    "explanation",
    "interpretation",
    "followup",
    "visit",
    "results",
    "session",
    "records",
    "tables",
    "text",
    "practice",
    "screening",
    "validation",
    "figures",
    "pages",
    "export",
    "api",
    "measuring",
    "browser.access",
    "browser.jobs",
    "browser",
    "cli",
)
# from here up a room may ask for words; below it a result is codes and numbers
SPEAKS_FROM = "visit"
PLACE = {room: place for place, room in enumerate(ORDER)}


def room_of(module: str) -> str:
    """The room of a module: the longest beginning of its name that is one."""
    if module == "__main__":
        return "cli"  # ``python -m`` looks for it at the top, and it does nothing but call the commands
    parts = module.split(".")
    below = (".".join(parts[:stop]) for stop in range(len(parts), 0, -1))
    return next((room for room in below if room in PLACE), "")


@cache
def syntax_of(path: Path) -> ast.Module:
    """The syntax tree of a file."""
    return ast.parse(path.read_text(encoding="utf-8"))


def imports_of(path: Path) -> Iterator[str]:
    """Absolute names of everything imported anywhere in a file, also inside functions."""
    for node in ast.walk(syntax_of(path)):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path.name}: imports are absolute here"
            for alias in node.names:
                assert alias.name != "*", f"{path.name}: no star imports"
                yield f"{node.module}.{alias.name}"


@dataclass(frozen=True)
class House:
    """A package by its folders: ``modules`` by their dotted names below it, "" for the package."""

    package: Path

    @cached_property
    def modules(self) -> dict[str, Path]:
        """Every module and its file."""
        return {self._name_of(path): path for path in sorted(self.package.rglob("*.py"))}

    def _name_of(self, path: Path) -> str:
        parts = path.relative_to(self.package).with_suffix("").parts
        return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)

    def used_by(self, module: str) -> set[str]:
        """Modules of the package that a module imports, the longest part of each name that is one."""
        found = set()
        for name in imports_of(self.modules[module]):
            parts = name.split(".")
            if parts[0] == self.package.name:
                below = [".".join(parts[1:stop]) for stop in range(len(parts), 0, -1)]
                found.add(next(module for module in below if module in self.modules))
        return found

    def imports_upward(self) -> Iterator[str]:
        """Imports of a room from a room above it, or of the whole package from within."""
        for module in self.modules:
            if not module:
                continue  # the package's own __init__ only names things
            room = room_of(module)
            for other in sorted(self.used_by(module)):
                if other and PLACE[room_of(other)] > PLACE[room]:
                    yield f"{module} ({room}) imports {other} ({room_of(other)})"

    def early_words(self) -> Iterator[str]:
        """Imports of the words of a language by a room that computes: sentences come last."""
        computing = ORDER[PLACE["text.en"] + 1 : PLACE[SPEAKS_FROM]]
        for module in self.modules:
            if room_of(module) in computing:
                words = [name for name in self.used_by(module) if name.startswith("text")]
                yield from (f"{module} imports {name}" for name in words)

    def sentences_compared(self) -> Iterator[str]:
        """Places outside ``text`` that compare with a sentence: one of a language, or one typed out."""
        for module, path in self.modules.items():
            if module.split(".")[0] != "text":
                words = _words_of_a_language(path)
                for node in ast.walk(syntax_of(path)):
                    if isinstance(node, ast.Compare) and any(
                        _is_sentence(side, words) for side in (node.left, *node.comparators)
                    ):
                        yield f"{module}, line {node.lineno}"

    def cycles(self) -> set[str]:
        """Modules that need each other: peel off what needs nothing until nothing is left."""
        needs = {module: self.used_by(module) - {module, ""} for module in self.modules if module}
        while free := {module for module, needed in needs.items() if not needed}:
            needs = {
                module: needed - free for module, needed in needs.items() if module not in free
            }
        return set(needs)

    def unplaced_rooms(self) -> set[str]:
        """Folders at the top that have no place in the order, and places without a folder."""
        folders = {path.parent.name for path in self.package.glob("*/__init__.py")}
        return folders ^ {room.split(".")[0] for room in ORDER if room}

    def at_the_top(self) -> list[str]:
        """Modules beside the rooms."""
        return sorted(path.name for path in self.package.glob("*.py"))

    def rooms_called_like(self, names: set[str]) -> set[str]:
        """Folders at the top whose name is a public function: one would hide the other."""
        return {path.parent.name for path in self.package.glob("*/__init__.py")} & names


# properties of results that hold sentences, and how many words at least make one
SAID = {"text", "for_client", "for_clinician", "cautions", "apart", "shown"}
SENTENCE_WORDS = 5


def _words_of_a_language(path: Path) -> set[str]:
    """Tables of words that a module takes from a language, by the names they have there."""
    return {
        alias.asname or alias.name
        for node in ast.walk(syntax_of(path))
        if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("foldspan.text")
        for alias in node.names
        if alias.name.isupper()
    }


def _is_sentence(side: ast.expr, words: set[str]) -> bool:
    """Whether one side of a comparison is a sentence: an entry of a table of words, or typed out."""
    if isinstance(side, ast.Subscript):
        return isinstance(side.value, ast.Name) and side.value.id in words
    if isinstance(side, ast.Call):
        return isinstance(side.func, ast.Attribute) and side.func.attr == "sentence"
    if isinstance(side, ast.Attribute):
        return side.attr in SAID
    return (
        isinstance(side, ast.Constant)
        and isinstance(side.value, str)
        and len(side.value.split()) >= SENTENCE_WORDS
    )


def long_files(folder: Path) -> dict[str, int]:
    """Python files of more lines than a file may have."""
    lengths = {
        str(path.relative_to(folder)): len(path.read_text(encoding="utf-8").splitlines())
        for path in sorted(folder.rglob("*.py"))
    }
    return {name: lines for name, lines in lengths.items() if lines > LONGEST_FILE}


def full_folders(folder: Path) -> dict[str, int]:
    """Folders of more files than a folder may hold, its own folders not counted."""
    counts = {
        inner: sum(path.is_file() for path in inner.iterdir())
        for inner in (folder, *sorted(folder.rglob("*")))
        if inner.is_dir() and inner.name != "__pycache__"
    }
    return {
        str(inner.relative_to(folder)): count
        for inner, count in counts.items()
        if count > MOST_FILES
    }
