"""A TOML text under its name, so that every complaint can say file and line."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from graftwright.handbook import errors
from graftwright.handbook.toml_lines import Path, key_lines


@dataclass(frozen=True)
class Paper:
    """A TOML text and its name; `place` says where in it a key stands."""

    name: str
    text: str = ""

    @cached_property
    def _lines(self) -> dict[Path, int]:
        return key_lines(self.text)

    def place(self, path: Path) -> str:
        """File and line of a key, or of the nearest table round it."""
        for length in range(len(path), 0, -1):
            if path[:length] in self._lines:
                return f"{self.name}, line {self._lines[path[:length]]}"
        return self.name

    def read(self) -> dict[str, Any]:
        """Give the text's values; complain if it is empty or no TOML."""
        try:
            data = tomllib.loads(self.text)
        except RecursionError:
            raise errors.NotToml(self.name, "it is nested too deeply") from None
        except ValueError as trouble:
            reason = str(trouble)
            raise errors.NotToml(self.name, reason[:1].lower() + reason[1:]) from None
        if not data:
            raise errors.EmptyFile(self.name)
        return data
