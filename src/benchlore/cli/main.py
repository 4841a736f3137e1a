"""The `benchlore` command."""

from __future__ import annotations

import contextlib
import os
import sys

import click

from benchlore import __version__, errors
from benchlore.cli import output
from benchlore.cli.lazy import LazyGroup
from benchlore.cli.place import Place

COMMANDS = {
    "find": "benchlore.cli.find:find_command",
    "show": "benchlore.cli.show:show_command",
    "read": "benchlore.cli.read:read_command",
    "add": "benchlore.cli.add:add_command",
    "edit": "benchlore.cli.edit:edit_command",
    "due": "benchlore.cli.due:due_command",
    "check": "benchlore.cli.check:check_command",
    "import": "benchlore.cli.import_:import_command",
    "build": "benchlore.cli.build:build_command",
    "init": "benchlore.cli.init:init_command",
}

EXIT_CODES = """\b
Exit codes:
  0  done (find: something was found)
  1  nothing close in the notes (check: something was found)
  2  wrong use
  3  done, but the files named need a look
  4  shop folder or index cannot be used
  5  could not write; nothing was changed
  6  another benchlore is writing the index
  130  stopped by Ctrl-C
"""


@click.group(
    cls=LazyGroup,
    commands_at=COMMANDS,
    invoke_without_command=True,
    context_settings={"help_option_names": ["-h", "--help"]},
    epilog=EXIT_CODES,
)
@click.option(
    "--shop", metavar="PATH", help="Shop folder (else BENCHLORE_SHOP, else here or above)."
)
@click.option(
    "--index", metavar="PATH", help="Index folder (else BENCHLORE_INDEX, else SHOP/index)."
)
@click.version_option(__version__, message="benchlore %(version)s")
@click.pass_context
def benchlore(context: click.Context, shop: str | None, index: str | None) -> None:
    """Search the workshop's own case notes and symptom articles, offline.

    Without a command it opens the search screen.

    \b
    Examples:
      benchlore
      benchlore find "hums above 50 km/h, gone when coasting"
      benchlore --shop ~/workshop build
    """
    context.obj = Place(shop, index)
    if context.invoked_subcommand is None:
        context.exit(_open_screen(context.obj))


def _open_screen(place: Place) -> int:
    if not (sys.stdin.isatty() and sys.stdout.isatty()) or os.environ.get("TERM") == "dumb":
        raise errors.UsageError(
            "the search screen needs a terminal", 'try: benchlore find "what the customer notices"'
        )
    # Imported here: `find` must start without Textual.
    from benchlore.tui.app import run as run_app

    return run_app(place.shop())


def run() -> None:
    """Run the command line and leave the process with one of the documented exit codes."""
    # Before numpy is imported: its second thread spins where the encoder is being loaded (0.06 s of
    # `find`), and the products of a search are too small to share.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    code = errors.DONE
    try:
        code = benchlore.main(prog_name="benchlore", standalone_mode=False) or errors.DONE
        output.finish()
    except BrokenPipeError:
        _close_stdout()
    except errors.BenchloreError as error:
        code = _tell(error)
    except click.ClickException as error:
        error.show(sys.stderr)
        code = errors.WRONG_USE
    except (KeyboardInterrupt, click.Abort):
        code = errors.INTERRUPTED
        sys.stderr.write("stopped\n")
    sys.exit(code)


def _tell(error: errors.BenchloreError) -> int:
    with contextlib.suppress(BrokenPipeError, errors.NotWritten):
        output.warn(f"benchlore: {error}" + (f"\n  {error.todo}" if error.todo else ""))
    if isinstance(error, errors.NotWritten):
        _close_stdout()
    return error.exit_code


def _close_stdout() -> None:
    """Python writes what is held back once more when it ends; there is nowhere to write it to."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
