"""The write-up form: a case typed in, with what is understood of it below."""

from __future__ import annotations

import datetime
from typing import TYPE_CHECKING, ClassVar

from textual import events, work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType

from benchlore.errors import BenchloreError, NotWritten
from benchlore.keeping.saving import why_not_writable
from benchlore.tui.base import Page
from benchlore.tui.display import Shown, joined, line, row, rows, say
from benchlore.tui.form_fields import FormField
from benchlore.tui.form_foot import FormFoot
from benchlore.tui.form_pane import FormPane
from benchlore.tui.form_words import heading_words
from benchlore.tui.help_text import HelpText
from benchlore.tui.key_line import KeyLine
from benchlore.writeup.form import Fields, stands_already, value_at, with_added
from benchlore.writeup.sitting import ChangedMeanwhile, SavedBut, Sitting, same_number

if TYPE_CHECKING:
    from benchlore.tui.session import Session
    from benchlore.writeup.looking import Look
    from benchlore.writeup.merging import Take
    from benchlore.writeup.proposing import Proposal

DRAFT_EVERY_S = 2.0


class WriteScreen(Page):
    """One case: new, or opened to be changed."""

    ABOUT: ClassVar[HelpText] = HelpText(
        "Writing up a case",
        (
            "Every field may stay empty. Several conditions are parted by commas; a text that has"
            " a comma in it, by semicolons. Tab goes to the next field, Enter to the next line,"
            " PgDn to the next check or part.",
            "Right at the end of a field takes the grey word, Ctrl+N offers another: so the same"
            " thing is always written the same way.",
            "Below stands how the field is read, what the case does not say yet (Ctrl+L goes"
            " there), and how many cases are nearly the same (Ctrl+G lists them).",
            "Paste a job card into the free text at the end, then Ctrl+R: what it says is proposed"
            " piece by piece.",
            "What you type is kept as a draft every two seconds. Esc leaves the form, the draft"
            " stays; the form offers it again.",
        ),
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("ctrl+s", "save", "Save", id="write.save", tooltip="Save the case"),
        Binding("ctrl+r", "propose", "Read text", id="write.propose",
                tooltip="Propose what the free text says"),
        Binding("ctrl+l", "missing", "Missing", id="write.missing",
                tooltip="Go to the next thing that is still missing"),
        Binding("ctrl+g", "near", "Near cases", id="write.near",
                tooltip="Cases that are nearly the same"),
        Binding("ctrl+o", "editor", "Editor", id="write.editor",
                tooltip="Go on in your own editor"),
    ]  # fmt: skip

    def __init__(self, session: Session, sitting: Sitting) -> None:
        super().__init__()
        self._session = session
        self._sitting = sitting
        self._kept: tuple[Fields, str] | None = None
        self._saved = False
        self._saving = False
        self._near_seen = False
        self._next_missing = 0
        self._draft_words = ""
        self._notice = ""

    # what it looks like

    def compose(self) -> ComposeResult:
        """Heading, fields, what is understood, keys."""
        yield Shown(id="form-heading", classes="heading")
        form = FormPane()
        yield form
        yield FormFoot(self._session, form, self._sitting.path)
        yield KeyLine()

    async def on_mount(self) -> None:
        """Fill in what there is; say at once where nothing can be saved."""
        await self._fill()
        self.set_interval(DRAFT_EVERY_S, self._keep_draft)
        why = why_not_writable(self._session.shop.root)
        self._notice = self._sitting.notice
        if why:
            self._notice = f"kb/ takes no notes ({why}): what you write is kept as a draft"
        self._show_heading()

    @property
    def _form(self) -> FormPane:
        return self.query_one(FormPane)

    @property
    def _foot(self) -> FormFoot:
        return self.query_one(FormFoot)

    @property
    def _look(self) -> Look | None:
        return self._foot.look

    def typed(self) -> tuple[Fields, str]:
        """What the form says now: fields and free text."""
        return self._form.typed()

    async def _fill(self) -> None:
        """Put the case into fields; a note that is there is full enough without examples."""
        await self._form.fill(self._sitting.start, hint=not self._sitting.path)
        self._kept = None
        self._near_seen = False
        self._foot.edited(None)

    def go_from(self, field: FormField, key: str) -> None:
        """Move the focus from `field` to where `key` leads."""
        target = self._form.next_to(field, key)
        if target is not None:
            self.set_focus(target)

    def on_form_pane_edited(self, event: FormPane.Edited) -> None:
        """Look at it again."""
        self._foot.edited(event.field)

    def on_descendant_focus(self, event: events.DescendantFocus) -> None:
        """Tell how the field is read, and what fits into it."""
        if isinstance(event.widget, FormField):
            self._foot.offer(event.widget)
        self._foot.show_field()

    def on_form_field_offered(self, event: FormField.Offered) -> None:
        """Other words stand first."""
        self._foot.show_offers(event.field)
        event.field.value = event.field.value

    def _show_heading(self) -> None:
        heading = line(heading_words(self._sitting.path), "bold")
        draft = row(f"   {self._draft_words}" if self._draft_words else "")
        notice = (line(f"! {self._notice}", "bold $warning"),) if self._notice else ()
        shown = rows((joined((heading, draft)), *notice))
        self.query_one("#form-heading", Shown).show(shown)

    def _tell(self, notice: str) -> None:
        """Say it above the fields, where it stays."""
        self._notice = notice
        self._show_heading()

    # drafts

    def _keep_draft(self) -> None:
        """Keep what is typed, if it has changed."""
        if self._saved or not self._form.is_filled:
            return
        typed = self.typed()
        if typed != self._kept and self._sitting.is_changed(*typed):
            self._write_draft(*typed)

    @work(thread=True, exclusive=True, group="draft")
    def _write_draft(self, fields: Fields, body: str) -> None:
        now = datetime.datetime.now()
        try:
            self._sitting.keep_draft(fields, body, now)
        except BenchloreError as error:
            self.call_later(self._tell_draft, f"{error}. {error.todo}", None)
        else:
            words = f"draft kept {now:%H:%M:%S}"
            self.call_later(self._tell_draft, words, (fields, body))

    def _tell_draft(self, words: str, kept: tuple[Fields, str] | None) -> None:
        self._draft_words = words
        if kept is not None:
            self._kept = kept
        self._show_heading()

    def action_back(self) -> None:
        """Leave the form; the draft stays. Where none can be kept, stay."""
        if self._saving:
            return
        if not self.save_draft():
            self._tell("What you typed cannot be kept: save it, or Ctrl+Q twice leaves without it.")
            return
        if not self._saved and self._sitting.is_changed(*self.typed()):
            say(self.app, "Kept as a draft: F8 goes on with it.")
        self.dismiss()

    def save_draft(self) -> bool:
        """Keep what is typed before anything else happens; False where it cannot be kept."""
        if not self._form.is_filled:
            return True  # being filled with what is kept already
        typed = self.typed()
        if self._saved or typed == self._kept or not self._sitting.is_changed(*typed):
            return True
        try:
            self._sitting.keep_draft(*typed, datetime.datetime.now())
        except BenchloreError as error:
            self._tell(f"{error}. {error.todo}")
            return False
        self._kept = typed
        return True

    # saving

    def action_save(self) -> None:
        """Save; where nearly the same case is there already, show it before a new one is made."""
        if self._saving:
            return
        new = not self._sitting.path
        if new and self._look is not None and self._look.near and not self._near_seen:
            self._near_seen = True
            self._list_near(saving=True)
        else:
            self._start_saving()

    def _start_saving(self) -> None:
        """Nothing can be typed until it is saved: it would be in neither the note nor a draft."""
        if not self._saving:
            self._saving = True
            self._form.disabled = True
            self._save(*self.typed())

    def _end_saving(self) -> None:
        self._saving = False
        self._form.disabled = False
        self._form.focus_again()

    @work(thread=True, exclusive=True, group="save")
    def _save(self, fields: Fields, body: str) -> None:
        case = str(value_at(fields, "case"))
        try:
            path = self._sitting.save(fields, body)
        except ChangedMeanwhile as changed:
            self.call_later(self._ask_which, changed)
        except SavedBut as error:
            self.call_later(self._is_saved, error.path, (), f"{error}. {error.todo}")
        except BenchloreError as error:
            self.call_later(self._not_saved, error)
        except Exception as error:  # a fault of ours must not take the text with it
            self.call_later(self._not_saved, NotWritten(f"not saved: {error!r}"))
        else:
            others = same_number(self._session.shop.root, path, case)
            self.call_later(self._is_saved, path, others, "")

    def _not_saved(self, error: BenchloreError) -> None:
        self._end_saving()
        kept = f" Your text is kept in {self._sitting.draft_file}" if self.save_draft() else ""
        todo = f" {error.todo}." if error.todo else ""
        self._tell(f"{error}.{todo}{kept}")

    def _is_saved(self, path: str, others: tuple[str, ...], warning: str) -> None:
        self._saved = True
        self.app.note_saved(path)  # type: ignore[attr-defined]  # BenchloreApp
        while self.app.screen is not self:  # help, or a window that lies above the form
            self.app.pop_screen()
        self.dismiss()
        if warning:
            say(self.app, warning, "warning")
        if others:
            from benchlore.tui.same_number_dialog import SameNumberDialog

            self.app.push_screen(SameNumberDialog((path, *others)), self.app.open_if_chosen)  # type: ignore[attr-defined]

    def _ask_which(self, changed: ChangedMeanwhile) -> None:
        from benchlore.notes.parts import Parts
        from benchlore.tui.merge_dialog import MergeDialog
        from benchlore.writeup.merging import differences, merged

        self._end_saving()
        self.save_draft()
        fields, body = self.typed()
        found = differences(self._sitting.base, Parts(fields, body), changed.theirs)

        async def take(takes: dict[str, Take] | None) -> None:
            if takes is None:
                return
            both = merged(changed.theirs, found, takes)
            self._sitting.start_from(changed, *both)
            await self._fill()
            self._keep_draft()
            say(self.app, "Put together: look it over, then Ctrl+S saves it.")

        self.app.push_screen(MergeDialog(self._sitting.path, found), take)

    # the other keys

    def action_missing(self) -> None:
        """Go to the next thing that is missing."""
        missing = self._look.missing if self._look else ()
        if not missing:
            say(self.app, "Nothing is missing.")
            return
        said = missing[self._next_missing % len(missing)]
        self._next_missing += 1
        target = self._form.field_at(said.field, said.number or 0)
        if target is not None:
            target.focus()

    def action_near(self) -> None:
        """List the cases that are nearly the same."""
        self._list_near(saving=False)

    def _list_near(self, saving: bool) -> None:
        from benchlore.tui.near_dialog import NearDialog

        near = self._look.near if self._look else ()
        if not near:
            say(self.app, "No case is nearly the same.")
            return

        def answered(chosen: str | None) -> None:
            if chosen == NearDialog.SAVE:
                self._start_saving()
            elif chosen:
                self.app.open_if_chosen(chosen)  # type: ignore[attr-defined]  # BenchloreApp

        self.app.push_screen(NearDialog(near, saving), answered)

    def action_propose(self) -> None:
        """Propose what the free text says."""
        self._propose(*self.typed())

    @work(thread=True, exclusive=True, group="propose")
    def _propose(self, fields: Fields, body: str) -> None:
        try:
            found = self._session.propose(body, self._foot.words)
        except Exception as error:  # help only: it must not end the program while somebody types
            self.call_later(say, self.app, f"the text could not be read: {error!r}", "warning")
        else:
            self.call_later(self._show_proposals, found, fields)

    def _show_proposals(self, found: tuple[Proposal, ...], fields: Fields) -> None:
        from benchlore.tui.proposals_dialog import ProposalsDialog

        if not found:
            say(self.app, "The free text says nothing that could be proposed.")
            return

        async def take(chosen: tuple[Proposal, ...] | None) -> None:
            if not chosen:
                return
            now, body = self.typed()
            for proposal in chosen:
                now = with_added(now, proposal.field, proposal.value)
            self._sitting.put_in(now, body)
            await self._fill()

        there = frozenset(each.field for each in found if stands_already(fields, each.field))
        self.app.push_screen(ProposalsDialog(found, there), take)

    def action_editor(self) -> None:
        """Go on in the user's own editor."""
        from benchlore.tui.own_editor import edit_text

        async def put_in() -> None:
            fields, body = self.typed()
            changed = edit_text(self.app, fields, body)
            if changed is not None:
                self._sitting.put_in(*changed)
                await self._fill()

        self.save_draft()
        self.call_later(put_in)
