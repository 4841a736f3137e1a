"""What a text says, to be taken piece by piece."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.content import Content
from textual.widgets import OptionList

from benchlore.tui.base import Dialog
from benchlore.tui.choice_list import ChoiceList, enter
from benchlore.tui.display import Shown, joined, line, row
from benchlore.tui.help_text import HelpText
from benchlore.tui.key_line import KeyLine
from benchlore.writeup.form import value_words

if TYPE_CHECKING:
    from benchlore.writeup.proposing import Proposal


class ProposalList(ChoiceList):
    """What the text says."""

    BINDINGS: ClassVar[list[BindingType]] = [
        enter("Take it", "Take the marked row, or give it back")
    ]


class ProposalsDialog(Dialog["tuple[Proposal, ...] | None"]):
    """Gives back the proposals that were taken; None when it was left by Escape."""

    ABOUT: ClassVar[HelpText] = HelpText(
        "What the text says",
        (
            "Each row is one thing that was read in the free text, with its line. Enter takes the"
            " marked one or gives it back, and goes to the next; a takes all that replace nothing."
            " Ctrl+S puts what was taken into the form; Esc puts in nothing. The text stays.",
        ),
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("a", "all", "All", id="proposals.all", tooltip="Take all, or none"),
        Binding("ctrl+s", "put_in", "Put into the form", id="proposals.put_in"),
    ]

    def __init__(self, found: tuple[Proposal, ...], there: frozenset[str]) -> None:
        """`there` are the fields in which something stands that a proposal would replace."""
        super().__init__()
        self._found = found
        self._there = there
        self._taken: set[int] = set()

    def compose(self) -> ComposeResult:
        """The rows."""
        with Vertical(classes="window"):
            yield Shown(row("Take what is right:", "bold"))
            yield ProposalList(id="proposals")
            yield KeyLine()

    def on_mount(self) -> None:
        """List them, none taken."""
        self._list()
        self.query_one(ProposalList).focus()

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        """Take it or give it back, and go on."""
        self._taken ^= {event.option_index}
        self._list()
        choices = self.query_one(ProposalList)
        choices.highlighted = min(event.option_index + 1, len(self._found) - 1)

    def action_all(self) -> None:
        """All that replace nothing; none if all were taken."""
        every = {n for n, each in enumerate(self._found) if each.field not in self._there}
        self._taken = set() if self._taken >= every else self._taken | every
        self._list()

    def action_put_in(self) -> None:
        """Give back what was taken."""
        self.dismiss(tuple(self._found[place] for place in sorted(self._taken)))

    def _list(self) -> None:
        self.query_one(ProposalList).show([self._row(place) for place in range(len(self._found))])

    def _row(self, place: int) -> Content:
        proposal = self._found[place]
        taken = "taken  " if place in self._taken else "       "
        said = f"{proposal.field}: {value_words(proposal.value)}  (line {proposal.line})"
        instead = "  replaces what stands there" if proposal.field in self._there else ""
        return joined((row(taken, "bold"), line(said), row(instead, "bold")))
