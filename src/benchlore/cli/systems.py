"""The system names that notes use, for completion on the command line."""

from __future__ import annotations

import click
from click.shell_completion import CompletionItem


def complete_system(
    context: click.Context, parameter: click.Parameter, incomplete: str
) -> list[CompletionItem]:
    """The systems that start with what was typed so far."""
    # Imported here: a search needs no list of systems.
    from benchlore.evidence.cautions import systems

    return [CompletionItem(name) for name in systems() if name.startswith(incomplete.casefold())]
