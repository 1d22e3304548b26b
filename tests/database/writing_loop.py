"""Writes season after season into a notebook until it is told to stop, or killed.

    python writing_loop.py NOTEBOOK        each line read is a seed: a child writes that season until killed
    python writing_loop.py NOTEBOOK BYTES  writes one season where no file can grow beyond so many bytes

Each id is printed after its entry was acknowledged.
"""

from __future__ import annotations

import os
import resource
import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from database.books import new_notebook
from database.histories import Season
from graftwright import bootstrap
from graftwright.actions.enter import Answer
from graftwright.errors import Trouble


def say(*words: object) -> None:
    sys.stdout.write(" ".join(map(str, words)) + "\n")
    sys.stdout.flush()


def write(path: Path, seed: int) -> None:
    book = bootstrap.open_book(path)
    season = Season(book.notebook, seed)
    while True:
        answer = season.one()
        if isinstance(answer, Answer) and answer.entry:
            say(answer.entry.id)


def warm_up(path: Path) -> None:
    """Load what writing needs, so that a child has to load nothing."""
    notebook = new_notebook(path.with_name("warm.graftwright"))
    Season(notebook, 1).write(30)
    notebook.close()


def killed_again_and_again(path: Path) -> None:
    warm_up(path)
    for line in sys.stdin:
        child = os.fork()
        if not child:
            say("child", os.getpid())
            write(path, int(line))
        os.waitpid(child, 0)
        say("gone")


def until_the_disk_is_full(path: Path, limit: int) -> None:
    resource.setrlimit(resource.RLIMIT_FSIZE, (limit, limit))
    try:
        write(path, 1)
    except Trouble as trouble:
        say(type(trouble).__name__, trouble.exit_code, trouble)


if __name__ == "__main__":
    if len(sys.argv) > 2:
        until_the_disk_is_full(Path(sys.argv[1]), int(sys.argv[2]))
    else:
        killed_again_and_again(Path(sys.argv[1]))
