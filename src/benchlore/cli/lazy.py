"""A command group that imports a command's module only when that command is used."""

from __future__ import annotations

import importlib
from collections.abc import Mapping
from typing import Any

import click


class LazyGroup(click.Group):
    """`commands_at` gives each command as `module:name`, in the order in which help lists them.

    Building loads much that finding does not need, and a search must start at once.
    """

    def __init__(self, *args: Any, commands_at: Mapping[str, str], **settings: Any) -> None:  # noqa: ANN401
        super().__init__(*args, **settings)
        self._commands_at = commands_at

    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(self._commands_at)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        place = self._commands_at.get(cmd_name)
        if place is None:
            return None
        module, _, name = place.partition(":")
        command: click.Command = getattr(importlib.import_module(module), name)
        return command
