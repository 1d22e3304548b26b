"""Runs commands as a grower would through a season: each on its day, with codes and ids that come out the same."""

from __future__ import annotations

import io
import random
from contextlib import ExitStack, redirect_stderr, redirect_stdout
from dataclasses import dataclass, field
from datetime import UTC, datetime
from typing import TYPE_CHECKING
from unittest import mock

from graftwright import bootstrap
from graftwright.cli.main import main

if TYPE_CHECKING:
    from pathlib import Path

    from graftwright.bootstrap import Book

_open_book = bootstrap.open_book


@dataclass(frozen=True)
class Told:
    """What a command answered."""

    exit_code: int
    out: str
    err: str


@dataclass
class Session:
    """Works on one notebook; `today` is the day at the bench, `seed` draws the codes."""

    notebook: Path
    today: str
    seed: int = 1
    ids: int = 0
    chance: random.Random = field(init=False)

    def __post_init__(self) -> None:
        """Seed the codes."""
        self.chance = random.Random(self.seed)

    def run(self, *words: str) -> Told:
        """Run one command on the notebook."""
        return self.bare("--notebook", str(self.notebook), *words)

    def bare(self, *words: str) -> Told:
        """Run one command as it is."""
        out, err, code = io.StringIO(), io.StringIO(), 0
        with ExitStack() as stack:
            stack.enter_context(mock.patch.object(bootstrap, "open_book", self._opened))
            stack.enter_context(mock.patch.object(bootstrap, "new_id", self._new_id))
            stack.enter_context(mock.patch("random.SystemRandom", return_value=self.chance))
            stack.enter_context(redirect_stdout(out))
            stack.enter_context(redirect_stderr(err))
            try:
                main(words)
            except SystemExit as left:
                code = int(left.code or 0)
        return Told(code, out.getvalue(), err.getvalue())

    def _opened(self, path: Path, now: datetime | None = None) -> Book:
        noon = datetime.fromisoformat(f"{self.today}T12:00:00").replace(tzinfo=UTC)
        return _open_book(path, now or noon)

    def _new_id(self) -> str:
        self.ids += 1
        return f"01J00000000000000000{self.ids:06d}"
