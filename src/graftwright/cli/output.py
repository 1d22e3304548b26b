"""One way to answer: lines for people, one JSON value for scripts."""

from __future__ import annotations

import json as _json
from typing import TYPE_CHECKING, Any

import click

if TYPE_CHECKING:
    from graftwright.errors import Trouble


def answer(ctx: click.Context, value: Any, lines: str) -> None:
    """Print `value` as JSON where it was asked for, else the `lines` for people."""
    wanted = ctx.find_root().meta.get("json", False)
    click.echo(_json.dumps(value, ensure_ascii=False, allow_nan=False) if wanted else lines)


def report_trouble(trouble: Trouble, *, json: bool) -> int:
    """Say what is wrong on standard error, as JSON too where asked, and give the exit code."""
    if json:
        click.echo(_json.dumps({"error": trouble.as_json()}, ensure_ascii=False))
    click.echo(_line(trouble), err=True)
    return trouble.exit_code


def _line(trouble: Trouble) -> str:
    """Say what is wrong in one line, without a place that the sentence names already."""
    named = trouble.where and trouble.where in trouble.sentence
    return f"{trouble.sentence} {trouble.do}".rstrip() if named else str(trouble)


def report_wrong_use(trouble: click.ClickException, *, json: bool) -> int:
    """Answer a command that was typed wrongly."""
    sentence = trouble.format_message()
    ctx = getattr(trouble, "ctx", None)
    help_line = f"See: {ctx.command_path} --help" if ctx else "See: graftwright --help"
    if json:
        error = {"code": "use", "sentence": sentence, "where": "", "do": help_line}
        click.echo(_json.dumps({"error": error}, ensure_ascii=False))
    click.echo(f"{sentence} {help_line}", err=True)
    return 2
