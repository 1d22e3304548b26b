"""The project as files: what belongs to it, and how long its functions are."""

from __future__ import annotations

import ast
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator

ROOT = Path(__file__).parents[1]
SOURCES = ROOT / "src" / "graftwright"
MADE_BY_TOOLS = {"__pycache__", "build", "dist"}


@dataclass(frozen=True)
class Function:
    """One function and the lines it takes."""

    where: str
    lines: int


def project_files(folder: Path = ROOT) -> Iterator[Path]:
    """Walk over what people wrote; nothing that a tool left lying about."""
    for path in sorted(folder.iterdir()):
        hidden = path.name.startswith(".") and path.name not in {".ci", ".gitignore"}
        if hidden or path.name in MADE_BY_TOOLS or path.suffix == ".egg-info":
            continue
        if path.is_dir():
            yield from project_files(path)
        else:
            yield path


def python_files(folder: Path = ROOT) -> list[Path]:
    return [path for path in project_files(folder) if path.suffix == ".py"]


def functions(source: str, name: str) -> Iterator[Function]:
    """Measure each function; its docstring is knowledge, not length."""
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            told = node.body[0] if ast.get_docstring(node) is not None else None
            yield Function(f"{name}:{node.lineno} {node.name}", _lines(node) - (_lines(told) if told else 0))


def imports(source: str) -> Iterator[str]:
    """Name the top-level package of everything a module imports, inside functions too."""
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Import):
            yield from (alias.name.split(".")[0] for alias in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module and not node.level:
            yield node.module.split(".")[0]


def _lines(node: ast.stmt) -> int:
    return (node.end_lineno or node.lineno) - node.lineno + 1
