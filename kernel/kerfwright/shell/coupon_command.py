"""`kerfwright coupon`: test pieces, and the hearing test of a controller."""

from __future__ import annotations

import importlib

import click

__all__ = ["command"]


class _Kinds(click.Group):
    """Kinds are imported when they are named."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        return ["controller", "rates", "fit"]

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        if cmd_name not in self.list_commands(ctx):
            return None
        found: click.Command = importlib.import_module(f"kerfwright.shell.coupon_{cmd_name}").command
        return found


@click.group("coupon", cls=_Kinds)
def command() -> None:
    """What a machine is asked before it is trusted: which dialect it understands, at which feeds it cuts well, how true it is.

    `rates` and `fit` write the job of a test piece, which `kerfwright make` makes and proves like any other.
    """
