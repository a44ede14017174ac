"""The command group and the border where our exceptions become one sentence and an exit status."""

from __future__ import annotations

import importlib
import os
import sys
from typing import Any

import click

from pipeline import __version__
from pipeline.errors import WitnessmarkError

# command -> "module:function", imported only when the command is called: `--help` stays fast.
COMMANDS = {
    "run": "pipeline.cli.run:run",
    "correct": "pipeline.cli.correct:correct",
    "extract": "pipeline.cli.extract:extract",
    "chapters": "pipeline.cli.chapters:chapters",
    "vocab": "pipeline.cli.vocab:vocab",
    "score": "pipeline.cli.score:score",
    "start": "pipeline.cli.build:start",
    "check": "pipeline.cli.build:check",
    "book": "pipeline.cli.build:book",
    "render": "pipeline.cli.render:render",
}


class _LazyGroup(click.Group):
    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        if cmd_name not in COMMANDS:
            return None
        module, _, name = COMMANDS[cmd_name].partition(":")
        command: click.Command = getattr(importlib.import_module(module), name)
        return command


@click.group(cls=_LazyGroup, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, "--version", message="%(prog)s %(version)s")
def witnessmark() -> None:
    """From what you said at the bench to a build log that shows its evidence.

    \b
    witnessmark run recording.m4a --into log          hear it and write the log
    witnessmark run --build penhallow day3.mp4        add a day to the book of a machine
    witnessmark check penhallow                       what is still open on it

    Everything stays on this machine. Exit status: 0 clean, 1 a person should look, 2 wrong use or failure.
    """


def main(args: list[str] | None = None) -> Any:
    """Entry point: our errors become one sentence on stderr and exit status 2, never a traceback."""
    try:
        status = witnessmark.main(args=args, prog_name="witnessmark", standalone_mode=False)
    except BrokenPipeError:
        sys.stderr.close()
        sys.exit(0)
    except click.exceptions.Abort:
        click.echo("witnessmark: stopped; what was finished is kept, run it again to go on", err=True)
        sys.exit(130)
    except click.ClickException as error:
        context = getattr(error, "ctx", None)
        hint = f" (see {context.command_path} --help)" if context is not None else ""
        click.echo(f"witnessmark: {error.format_message().rstrip('.')}{hint}", err=True)
        sys.exit(2)
    except WitnessmarkError as error:
        click.echo(f"witnessmark: {error}", err=True)
        sys.exit(2)
    except Exception as error:
        if os.environ.get("WITNESSMARK_DEBUG"):
            raise
        kind = type(error).__name__
        click.echo(
            f"witnessmark: a fault in the program itself ({kind}: {error}); what was heard is kept. "
            "WITNESSMARK_DEBUG=1 shows where it is, for a report",
            err=True,
        )
        sys.exit(2)
    sys.exit(status if isinstance(status, int) else 0)
