"""The system names that notes use, for completion on the command line."""

from __future__ import annotations

import click
from click.shell_completion import CompletionItem

from benchlore.evidence.cautions import systems


def complete_system(
    context: click.Context, parameter: click.Parameter, incomplete: str
) -> list[CompletionItem]:
    """The systems that start with what was typed so far."""
    return [CompletionItem(name) for name in systems() if name.startswith(incomplete.casefold())]
