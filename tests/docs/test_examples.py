"""The examples in docstrings run, and whoever documents parameters shows how they are used."""

from __future__ import annotations

import ast
import doctest
from importlib import import_module
from typing import TYPE_CHECKING

import pytest

from house import SOURCES, python_files

if TYPE_CHECKING:
    from pathlib import Path

MODULES = python_files(SOURCES / "science")


def name(path: Path) -> str:
    parts = path.relative_to(SOURCES.parent).with_suffix("").parts
    return ".".join(part for part in parts if part != "__init__")


@pytest.mark.parametrize("path", MODULES, ids=[name(path) for path in MODULES])
def test_the_examples_of_a_module_of_science_run(path: Path) -> None:
    assert doctest.testmod(import_module(name(path))).failed == 0


@pytest.mark.parametrize("path", MODULES, ids=[name(path) for path in MODULES])
def test_a_function_of_science_that_documents_its_parameters_has_an_example(path: Path) -> None:
    tree = ast.parse(path.read_text(encoding="utf-8"))
    told = {
        node.name: ast.get_docstring(node) or "" for node in tree.body if isinstance(node, ast.FunctionDef)
    }
    assert [f for f, text in told.items() if "Parameters\n---" in text and ">>> " not in text] == []
