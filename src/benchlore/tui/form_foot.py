"""Below the form: how the field is read, what fits into it, what the case does not say yet."""

from __future__ import annotations

import datetime
from typing import TYPE_CHECKING

from textual import work
from textual.app import ComposeResult
from textual.containers import Vertical
from textual.timer import Timer

from benchlore.errors import BenchloreError
from benchlore.tui.display import NOTHING, Shown, line, row, say
from benchlore.tui.form_fields import FormField
from benchlore.tui.form_pane import FormPane
from benchlore.tui.form_words import field_words, missing_words, offer_words
from benchlore.tui.free_text import FreeText
from benchlore.writeup.form import Fields
from benchlore.writeup.offering import Offers

if TYPE_CHECKING:
    from benchlore.tui.session import Session
    from benchlore.writeup.looking import Look
    from benchlore.writeup.shop_words import ShopWords

LOOK_AFTER_S = 0.25
"""Pause in the typing after which the whole case is looked at."""


class FormFoot(Vertical):
    """Three rows. Looking at the case happens in a thread."""

    def __init__(self, session: Session, form: FormPane, path: str) -> None:
        """`path` is the note's, empty for a new case."""
        super().__init__(id="form-foot")
        self._session = session
        self._form = form
        self._path = path
        self._pause: Timer | None = None
        self.offers = Offers(datetime.date.today())
        self.look: Look | None = None
        """What was understood last; None before the first time."""

    def compose(self) -> ComposeResult:
        """Its rows."""
        yield Shown(id="form-read")
        yield Shown(id="form-offers")
        yield Shown(id="form-missing")

    def on_mount(self) -> None:
        """Learn the shop's words."""
        self._gather_words()

    @property
    def words(self) -> ShopWords | None:
        """The words of this shop, once they are known."""
        return self.offers.words

    def edited(self, field: FormField | None) -> None:
        """Offer words at once; look at the whole when the typing pauses."""
        if field is not None:
            self.offer(field)
        if self._pause is not None:
            self._pause.stop()
        self._pause = self.set_timer(LOOK_AFTER_S, self._look_now)

    def offer(self, field: FormField) -> None:
        """Find the words that fit into `field`."""
        beside = self._form.beside(field)
        field.offers = self.offers.for_field(field.table, field.field, field.value, beside)
        if self.screen.focused is field:
            self.show_offers(field)

    def show_offers(self, field: FormField) -> None:
        """Say what Right would take."""
        says = [offer.says for offer in field.offers]
        self.query_one("#form-offers", Shown).show(offer_words(says))

    def show_field(self) -> None:
        """Tell how the focused field is read."""
        field = self.screen.focused
        shown = self.query_one("#form-read", Shown)
        if isinstance(field, FreeText):
            shown.show(row("Ctrl+R proposes what this text says"))
            self.query_one("#form-offers", Shown).show(NOTHING)
        elif isinstance(field, FormField) and self.look is not None:
            number = self._form.row_number(field)
            words = field_words(self.look.understood, field.table, field.field.key, number)
            shown.show(line(words))

    def _look_now(self) -> None:
        if self._form.is_mounted and self._form.is_filled:
            self._work_out(*self._form.typed())

    @work(thread=True, exclusive=True, group="look")
    def _work_out(self, fields: Fields, body: str) -> None:
        try:
            look = self._session.look_at(fields, body, self._path, self.words)
        except BenchloreError as error:
            self.call_later(say, self.app, f"{error}. {error.todo}", "warning")
        except Exception as error:  # help only: it must not end the program while somebody types
            self.call_later(say, self.app, f"this could not be looked at: {error!r}", "warning")
        else:
            self.call_later(self._show_look, look)

    def _show_look(self, look: Look) -> None:
        self.look = look
        self.offers.proposed = look.offered
        if isinstance(self.screen.focused, FormField):
            self.offer(self.screen.focused)
        self.show_field()
        width = self.size.width - 2
        self.query_one("#form-missing", Shown).show(missing_words(look, width))

    @work(thread=True, group="words")
    def _gather_words(self) -> None:
        try:
            self.offers.words = self._session.shop_words()
        except Exception:
            return  # without an index there are none; words are a help, no more
