"""Write docs/reference/commands.md: what each command answers to --help."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click
from _generated import keep

from graftwright.cli.main import graftwright

if TYPE_CHECKING:
    from collections.abc import Iterator

HEAD = """# Commands

Each command says what it does and takes when asked with `--help`; this page is those answers in one place.
`--notebook` stands before the command, `--json` anywhere after it.
"""


def sections(command: click.Command, name: str, parent: click.Context | None = None) -> Iterator[str]:
    """Give the section of a command, then those of the commands inside it."""
    ctx = click.Context(command, parent=parent, info_name=name, terminal_width=100, max_content_width=100)
    told = "\n".join(line.rstrip() for line in ctx.get_help().splitlines())
    yield f"## {ctx.command_path}\n\n```text\n{told}\n```\n"
    if isinstance(command, click.Group):
        for inner in command.list_commands(ctx):
            found = command.get_command(ctx, inner)
            assert found is not None, inner
            yield from sections(found, inner, ctx)


if __name__ == "__main__":
    keep("reference/commands.md", "\n".join([HEAD, *sections(graftwright, "graftwright")]))
