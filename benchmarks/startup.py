"""How long a person waits for the first answer, beside a bare start of the interpreter."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path
from tempfile import TemporaryDirectory

from _pair import command, compare

GRAFTWRIGHT = Path(sys.executable).with_name("graftwright")
BARE = ("bare interpreter", command(sys.executable, "-c", "pass"))


def demo_in(home: str) -> dict[str, str] | None:
    """Make the demo in an empty home and return the environment it is found in; None if that failed."""
    env = os.environ | {"HOME": home, "XDG_DATA_HOME": home}
    env.pop("GRAFTWRIGHT_NOTEBOOK", None)
    made = subprocess.run([GRAFTWRIGHT, "demo"], env=env, capture_output=True, text=True, check=False)
    return env if made.returncode == 0 else None


def main() -> None:
    compare(("graftwright --help", command(GRAFTWRIGHT, "--help")), BARE, at_most=5)
    air = command(GRAFTWRIGHT, "air", "--temperature", "23", "--humidity", "60")
    compare(("graftwright air", air), BARE, at_most=12)
    with TemporaryDirectory() as home:
        env = demo_in(home)
        if env is None:
            print("graftwright today: not measured, because the demo is missing and could not be made")
        else:
            today = command(GRAFTWRIGHT, "today", env=env)
            compare(("graftwright today on the demo", today), BARE, at_most=30, rounds=10)


if __name__ == "__main__":
    main()
