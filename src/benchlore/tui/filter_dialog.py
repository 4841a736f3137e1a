"""What the search is to be narrowed to."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from textual import events
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical
from textual.widgets import Input, OptionList
from textual.widgets.option_list import Option

from benchlore.errors import BenchloreError
from benchlore.tui.base import Dialog
from benchlore.tui.display import Shown, line, row
from benchlore.tui.help_text import HelpText
from benchlore.tui.key_line import KeyLine
from benchlore.tui.safe_input import SafeInput
from benchlore.tui.session import Session
from benchlore.tui.words import matching_choices

if TYPE_CHECKING:
    from benchlore.index.stored import Filters

CHOSEN = ("system", "make", "engine")
FIELDS = (*CHOSEN, "since")


class FilterField(SafeInput):
    """One of the things the search can be narrowed to."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "submit", "Search", id="filters.apply", tooltip="Search with these"),
    ]


class FilterDialog(Dialog["Filters | None"]):
    """Gives back the filters; None when it was left by Escape."""

    ABOUT: ClassVar[HelpText] = HelpText(
        "Narrow the search",
        (
            "Fill in one field or more; an empty one narrows nothing. The list shows what your"
            " notes hold, with how many: Down goes into it, Enter takes the marked one.",
            "system and make must be written as in the notes, upper or lower case does not matter;"
            " of an engine code letters and digits count. since takes 2023, 2023-05 or 2023-05-14"
            " and leaves out notes without a date.",
            "Enter in a field searches; Ctrl+R takes everything off.",
        ),
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("ctrl+r", "take_off", "Take all off", id="filters.take_off", priority=True),
        Binding("down", "choices", "Choices", id="filters.choices"),
    ]

    def __init__(self, session: Session, filters: Filters | None) -> None:
        super().__init__()
        self._session = session
        self._filters = filters
        self._field = FIELDS[0]
        self._names: dict[str, list[tuple[str, int]]] = {}
        self._listed: list[tuple[str, int]] = []

    def compose(self) -> ComposeResult:
        """Four fields, their choices, a row for what is wrong."""
        with Vertical(classes="window", id="filters"):
            yield Shown(row("Only notes with ...", "bold"))
            with Horizontal():
                with Vertical(id="filter-fields"):
                    for name in FIELDS:
                        with Horizontal(classes="field"):
                            yield Shown(row(f"{name:<7}"), classes="field-name")
                            yield FilterField(
                                id=name, placeholder="any" if name in CHOSEN else "2023-05-14"
                            )
                yield OptionList(id="choices")
            yield Shown(id="wrong")
            yield KeyLine()

    def on_mount(self) -> None:
        """Fill in what is in force."""
        try:
            self._names = {name: self._session.store.names(name) for name in CHOSEN}
        except BenchloreError as error:
            self._say(str(error))
        if self._filters is not None:
            for name in FIELDS:
                self.query_one(f"#{name}", SafeInput).value = getattr(self._filters, name)
        self.query_one("#system").focus()

    def on_descendant_focus(self, event: events.DescendantFocus) -> None:
        """Show the choices of the field that is filled in now."""
        if isinstance(event.widget, SafeInput) and event.widget.id:
            self._field = event.widget.id
            self._list_choices()

    def on_input_changed(self, event: Input.Changed) -> None:
        """Show the choices that hold what is typed."""
        if event.input.id == self._field:
            self._list_choices()

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Enter in a field."""
        self._apply()

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        """Take a choice into its field."""
        field = self.query_one(f"#{self._field}", SafeInput)
        field.value = self._listed[event.option_index][0]
        field.focus()
        field.action_end()

    def action_choices(self) -> None:
        """Go into the list."""
        if self._listed:
            choices = self.query_one(OptionList)
            choices.focus()
            choices.highlighted = 0

    def action_take_off(self) -> None:
        """Narrow nothing."""
        from benchlore.index.stored import Filters

        self.dismiss(Filters())

    def _apply(self) -> None:
        """Give back what is filled in, if it can be understood."""
        from benchlore.index.stored import Filters

        values = {name: self.query_one(f"#{name}", SafeInput).value.strip() for name in FIELDS}
        # Imported here: it brings the layers below along; the first paint must not wait.
        from benchlore.search.since import HOW, since_date

        since = since_date(values["since"])
        if since is None:
            self._say(HOW)
            self.query_one("#since").focus()
        else:
            self.dismiss(Filters(**{**values, "since": since}))

    def _list_choices(self) -> None:
        choices = self.query_one(OptionList)
        choices.clear_options()
        typed = self.query_one(f"#{self._field}", SafeInput).value
        self._listed = matching_choices(self._names.get(self._field, []), typed)
        choices.add_options(Option(line(f"{name}  {count}")) for name, count in self._listed)

    def _say(self, text: str) -> None:
        self.query_one("#wrong", Shown).show(line(text, "bold"))
