"""The project's own files, for the tests that hold the rules of the house."""

import ast
from collections.abc import Iterator
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
# Made by running the site or its tools; git ignores them.
MADE = {"var", "uv.lock", "__pycache__"}


def entries(folder: Path) -> list[Path]:
    """Return what lies in a folder, without dot-entries and what running the site leaves behind."""
    return sorted(path for path in folder.iterdir() if path.name not in MADE and not path.name.startswith("."))


def folders(*tops: str) -> Iterator[Path]:
    """Yield these top folders and all folders below."""
    for top in tops:
        yield ROOT / top
        for path in entries(ROOT / top):
            if path.is_dir():
                yield from folders(str(path.relative_to(ROOT)))


def files(suffix: str, *tops: str) -> Iterator[Path]:
    """Yield the files below these top folders whose name ends so."""
    for folder in folders(*tops):
        yield from (path for path in entries(folder) if path.is_file() and path.name.endswith(suffix))


def modules(*tops: str) -> Iterator[Path]:
    """Yield our Python files below these top folders, migrations apart: Django writes those."""
    yield from (path for path in files(".py", *tops) if "migrations" not in path.parts)


def short(path: Path) -> str:
    """Return a path as a person of this project says it."""
    return path.relative_to(ROOT).as_posix()


def dotted(path: Path) -> str:
    """Return the name under which a Python file is imported."""
    parts = path.relative_to(ROOT).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


def tree(path: Path) -> ast.Module:
    """Return the syntax tree of a Python file."""
    return ast.parse(path.read_text(encoding="utf-8"), filename=short(path))


def imports(path: Path) -> Iterator[str]:
    """Yield the dotted names that a Python file imports."""
    for node in ast.walk(tree(path)):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            yield "." * node.level + (node.module or "")
