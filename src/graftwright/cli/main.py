"""The command `graftwright`: finds the command asked for and imports only that one."""

from __future__ import annotations

import sys
from dataclasses import dataclass
from importlib import import_module
from typing import TYPE_CHECKING

import click

from graftwright import __version__
from graftwright.cli.output import report_trouble, report_wrong_use
from graftwright.errors import Trouble, ValueComplaint, as_typed

if TYPE_CHECKING:
    from collections.abc import Sequence

# command -> (module in graftwright.cli, its one line in --help)
COMMANDS: dict[str, tuple[str, str]] = {
    "new": ("book", "make your own notebook"),
    "demo": ("book", "make the demo: a season in progress"),
    "serve": ("book", "open the pages"),
    "plan": ("plan", "how many to start; the season plan"),
    "record": ("record", "enter what was done or seen"),
    "correct": ("record", "put an entry right"),
    "cross-out": ("record", "mark entries as untrue, with a reason"),
    "today": ("look", "what is due, late and coming, and why"),
    "show": ("look", "what a code is, its history and next step"),
    "outlook": ("season", "whether the numbers will be made"),
    "away": ("record", "days you are gone"),
    "aside": ("look", "entries that wait for a person"),
    "verify": ("look", "prove that nothing was lost"),
    "backup": ("book", "copy the notebook and prove the copy"),
    "restore": ("book", "bring a backup back"),
    "findings": ("findings", "what took, how long it lasted, and whether it was luck"),
    "trial": ("trial", "design a comparison, lay it out, read it"),
    "handbook": ("handbook", "sheets, sources and values of your own"),
    "air": ("air", "how moist the air is, and its pull on a leaf"),
    "wean": ("wean", "steps from the closed bag to the open room"),
    "weather": ("weather", "chill, degree-days and frost dates from a file"),
    "mix": ("mix", "water, dilutions, light and pots"),
}


@dataclass(frozen=True)
class Door:
    """What the options before the command settled."""

    notebook: str | None = None
    json: bool = False
    debug: bool = False


class LazyCommands(click.Group):
    """A group that imports a command's module when the command is asked for."""

    def list_commands(self, ctx: click.Context) -> list[str]:  # noqa: ARG002
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:  # noqa: ARG002
        if cmd_name not in COMMANDS:
            return None
        module = import_module(f"graftwright.cli.{COMMANDS[cmd_name][0]}")
        command: click.Command = getattr(module, cmd_name.replace("-", "_"))
        return command

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """Find the command; for a word that is none, say which was meant."""
        if args[0] not in COMMANDS and not args[0].startswith("-"):
            raise self._no_command(ctx, args[0])
        return super().resolve_command(ctx, args)

    def _no_command(self, ctx: click.Context, word: str) -> click.UsageError:
        from graftwright.ledger.kinds import KINDS

        if word in KINDS:
            return click.UsageError(f"'{word}' is a kind of entry: graftwright record {word}.", ctx)
        return click.NoSuchCommand(as_typed(word), possibilities=list(COMMANDS), ctx=ctx)

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:  # noqa: ARG002
        with formatter.section("Commands"):
            formatter.write_dl([(name, line) for name, (_, line) in COMMANDS.items()])


@click.group(
    cls=LazyCommands,
    no_args_is_help=False,
    epilog="Every command takes --json. Exit codes: 0 done, 2 wrong use, 10-19 you can fix this, "
    "20-29 refused by a rule of the ledger, 70 our fault.",
)
@click.version_option(__version__, prog_name="graftwright")
@click.option("--notebook", metavar="PATH", envvar="GRAFTWRIGHT_NOTEBOOK", help="The notebook to work on.")
@click.option("--debug", is_flag=True, help="Show a traceback when something goes wrong.")
@click.pass_context
def graftwright(ctx: click.Context, notebook: str | None, debug: bool) -> None:
    """A propagation ledger that computes: what is due, what this is, and how many to start."""
    ctx.obj = Door(notebook=notebook, json=ctx.meta.get("json", False), debug=debug)


def main(argv: Sequence[str] | None = None) -> None:
    """Run one command; every way out is an exit code and at most one sentence."""
    words = list(sys.argv[1:] if argv is None else argv)
    json = "--json" in words
    words = [word for word in words if word != "--json"]
    sys.exit(run(words, json=json))


def run(words: list[str], *, json: bool) -> int:
    """Run the command in `words` and return its exit code."""
    try:
        with graftwright.make_context("graftwright", list(words), ignore_unknown_options=False) as ctx:
            ctx.meta["json"] = json
            graftwright.invoke(ctx)
    except click.exceptions.Exit as left:
        return left.exit_code
    except click.exceptions.Abort:
        return 2
    except click.NoSuchOption as trouble:
        return _unknown_option(trouble, json=json)
    except click.ClickException as trouble:
        return report_wrong_use(trouble, json=json)
    except Trouble as trouble:
        return report_trouble(trouble, json=json)
    except BrokenPipeError:
        return 0
    except Exception as fault:
        if "--debug" in words:
            raise
        return report_trouble(OurFault.of(fault), json=json)
    return 0


def _unknown_option(trouble: click.NoSuchOption, *, json: bool) -> int:
    """Say what the person meant: a count such as -3 looks like an option to the parser."""
    value = trouble.option_name
    if value == "--notebook" and trouble.ctx:
        command = trouble.ctx.command_path.partition(" ")[2]
        told = f"--notebook stands before the command: graftwright --notebook PATH {command}."
        return report_wrong_use(click.UsageError(told, trouble.ctx), json=json)
    if value.lstrip("-").replace(".", "").isdigit():
        sentence = f"{value} cannot be: counts and numbers of entries are whole and at least 1."
        return report_trouble(ValueComplaint(sentence, do="Type the number again."), json=json)
    return report_wrong_use(trouble, json=json)


class OurFault(Trouble):
    """An error nobody foresaw; nothing of the notebook is lost by it."""

    exit_code = 70
    key = "fault"

    @classmethod
    def of(cls, fault: Exception) -> OurFault:
        """Make the sentence, with a number that names this fault."""
        import zlib

        number = f"{zlib.crc32(repr(fault).encode()):08X}"
        return cls(
            f"Something went wrong on our side ({type(fault).__name__}, reference {number}).",
            do="Nothing is lost. Run it again with --debug to see where.",
        )
