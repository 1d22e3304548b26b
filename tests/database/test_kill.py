"""A program that is killed while it writes loses nothing that it had acknowledged."""

from __future__ import annotations

import os
import random
import signal
import subprocess
import sys
import threading
import time
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from database.books import new_notebook
from graftwright import bootstrap

if TYPE_CHECKING:
    from collections.abc import Iterator

LOOP = Path(__file__).with_name("writing_loop.py")


class Writer:
    """A process that starts children which write, so that one can be killed without a new start."""

    def __init__(self, process: subprocess.Popen[str]) -> None:
        self.process = process

    def write_and_kill(self, seed: int, wait: float) -> list[str]:
        """Let a child write for some time, kill it, and return the ids it had acknowledged."""
        assert self.process.stdin
        assert self.process.stdout
        self.process.stdin.write(f"{seed}\n")
        self.process.stdin.flush()
        word, pid = self.process.stdout.readline().split()
        assert word == "child"
        threading.Thread(target=kill_after, args=(int(pid), wait)).start()
        acknowledged = []
        for line in self.process.stdout:
            if line == "gone\n":
                return acknowledged
            acknowledged.append(line.strip())
        raise AssertionError("the writing process is gone")


def kill_after(pid: int, wait: float) -> None:
    time.sleep(wait)
    os.kill(pid, signal.SIGKILL)


@contextmanager
def writer(path: Path) -> Iterator[Writer]:
    process = subprocess.Popen(
        [sys.executable, LOOP, path], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    )
    with process:
        yield Writer(process)


def kill_again_and_again(path: Path, kills: int) -> int:
    new_notebook(path).close()
    chance, acknowledged = random.Random(kills), list[str]()
    with writer(path) as loop:
        for kill in range(kills):
            acknowledged += loop.write_and_kill(kill * 3 + 1, chance.uniform(0, 0.4))
            book = bootstrap.open_book(path)
            with book.notebook.reading() as reading:
                stored = {row.id for row in reading.every("entries")}
            assert set(acknowledged) <= stored, f"kill {kill}"
            assert len(stored) - len(acknowledged) <= kill + 1
            assert bootstrap.prove(book, windows=False).problems == (), f"kill {kill}"
            book.notebook.close()
    return len(acknowledged)


def test_twenty_kills_lose_nothing_acknowledged(tmp_path: Path) -> None:
    assert kill_again_and_again(tmp_path / "book.graftwright", 20) > 20


@pytest.mark.long
def test_two_hundred_kills_lose_nothing_acknowledged(tmp_path: Path) -> None:
    assert kill_again_and_again(tmp_path / "book.graftwright", 200) > 200
