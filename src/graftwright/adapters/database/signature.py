"""Word of who is writing in a notebook, left beside its file for those who wait.

Written over in place and never shortened: a file system may flush a shortened file to the disk at
once, and that would cost as much as the entry itself.
"""

from __future__ import annotations

import os
import time
from contextlib import suppress
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pathlib import Path

_LENGTH = 60


def sign(path: Path) -> None:
    """Say that this process holds the pen."""
    _write(path, f"process {os.getpid()} since {time.strftime('%H:%M:%S')}")


def take_back(path: Path) -> None:
    """Say that nobody does."""
    _write(path, "")


def holder(path: Path) -> str:
    """Return who signed last and has not taken it back."""
    try:
        signed = beside(path).read_text(encoding="utf-8", errors="replace").strip()
    except OSError:
        signed = ""
    return signed or "an unknown process"


def beside(path: Path) -> Path:
    """Return the file that is signed."""
    return path.with_name(path.name + ".writer")


def _write(path: Path, text: str) -> None:
    with suppress(OSError):  # a folder that takes no such file: others wait without knowing for whom
        file = os.open(beside(path), os.O_WRONLY | os.O_CREAT, 0o666)
        try:
            os.write(file, text.ljust(_LENGTH).encode())
        finally:
            os.close(file)
