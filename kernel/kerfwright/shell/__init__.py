"""The command line, one file a command. Heavy imports wait until a command runs."""

from __future__ import annotations

import os
import sys

import click

from kerfwright import __version__

__all__ = ["main", "run"]


class _Lazy(click.Group):
    """Commands are imported when they are named."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        return [
            "make", "batch", "check", "draft", "adjust", "rates", "resume", "coupon", "list", "explain", "schema",
        ]  # fmt: skip

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        import importlib

        if cmd_name not in self.list_commands(ctx):
            return None
        command: click.Command = importlib.import_module(f"kerfwright.shell.{cmd_name}_command").command
        return command


@click.group(cls=_Lazy, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="kerfwright")
def cli() -> None:
    """Programs for cutting flat parts from sheet on a light router, proved on their own text before they leave.

    Exit: 0 done, 1 a program did not pass its checks and none was written, 2 the input is wrong, 3 an internal fault.
    """


def run(arguments: list[str]) -> int:
    """The exit code of one call; no exception leaves it."""
    try:
        code = cli.main(arguments, prog_name="kerfwright", standalone_mode=False)
        return code if isinstance(code, int) else 0
    except click.ClickException as e:
        e.show()
        return 2
    except click.exceptions.Exit as e:
        return e.exit_code
    except (click.Abort, KeyboardInterrupt):
        click.echo("stopped", err=True)
        return 130
    except OSError as e:
        return _output_lost(e)
    except Exception as e:  # the last door: a bug is said to be one, with its details in a file
        from kerfwright.shell.common import internal_fault

        return internal_fault(e)


def _output_lost(error: OSError) -> int:
    """Nobody reads on, or the disk behind the output is full: not a bug of the tool. Nothing more is written there."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), 1)
    if not isinstance(error, BrokenPipeError):
        click.echo(f"error: the output cannot be written: {error.strerror or error}", err=True)
    return 2


def main() -> None:
    """Run the command line and leave with its exit code."""
    code = run(sys.argv[1:])
    try:
        sys.stdout.flush()
    except OSError as e:
        code = max(code, _output_lost(e))
    sys.exit(code)
