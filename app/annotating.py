"""Annotating in the window: its menu, and what joins the findings, the page and the side."""

from __future__ import annotations

from collections.abc import Callable
from typing import Protocol

from PySide6.QtWidgets import QMainWindow, QMenu

from app import words_about as words
from app.actions import add_action
from app.bar_panel import BarPanel
from app.cursor import Cursor
from app.document import Document, Edit
from app.line_work import LineWork
from app.message_bar import MessageBar
from app.note_panel import NotePanel
from app.page_view import PageView
from app.places import span_of
from app.pointer import Pointer
from app.side import Side
from app.spoken import bar_name
from core.errors import BarglossError
from core.line.drafts import Draft
from core.study import DYNAMICS, JUMPS, edits, hairpin_over


class Home(Protocol):
    """What is needed of the window."""

    document: Document
    selection: Cursor
    page: PageView
    line: LineWork
    bar_panel: BarPanel
    side: Side
    note_panel: NotePanel
    message: MessageBar


class Annotating:
    """Each public method is what an action of the Annotate menu does."""

    def __init__(self, window: QMainWindow, home: Home) -> None:
        self._home, self._document, self._cursor = home, home.document, home.selection
        self.pointer = Pointer(home.document, home.page)
        findings = home.bar_panel.findings
        findings.pointed.connect(self.pointer.point)
        home.bar_panel.went_in.connect(lambda: home.side.setCurrentWidget(home.bar_panel))
        home.side.currentChanged.connect(lambda _: self._make_room())
        home.side.lost.connect(home.message.refusal)
        home.page.verticalScrollBar().valueChanged.connect(lambda _: self.pointer.update())
        self._build(window)

    def _build(self, window: QMainWindow) -> None:
        menu = window.menuBar().addMenu(words.ANNOTATE)
        add_action(menu, words.CALLOUT_SELECTION, self.callout, ["Ctrl+Shift+C"])
        menu.addSeparator()
        add_action(menu, words.TO_FINDINGS, self.to_findings, ["Ctrl+Shift+F"])
        add_action(menu, words.ACCEPT_DRAFT, lambda: self.take_draft(False), ["Ctrl+Shift+A"])
        add_action(menu, words.REWORD_DRAFT, lambda: self.take_draft(True), ["Ctrl+Shift+R"])
        menu.addSeparator()
        add_action(menu, words.NEXT_UNFINISHED, lambda: self.go_unfinished(1), ["Ctrl+Shift+PgDown"])
        add_action(menu, words.PREVIOUS_UNFINISHED, lambda: self.go_unfinished(-1), ["Ctrl+Shift+PgUp"])
        menu.addSeparator()
        self._choices(menu.addMenu(words.DYNAMIC_MENU), {one: one or words.NONE for one in DYNAMICS}, self.dynamic)
        self._choices(menu.addMenu(words.HAIRPIN_OVER), words.HAIRPINS_OVER, self.hairpin)
        self._choices(menu.addMenu(words.SIGN_MENU), words.SIGNS, self.sign)
        self._choices(menu.addMenu(words.JUMP_MENU), {one: one or words.NONE for one in JUMPS}, self.jump)
        menu.addSeparator()
        for number, name in enumerate(words.SHOW_TABS, 1):
            add_action(menu, words.SHOW_TABS[name], lambda name=name: self._home.side.show_tab(name), [f"Alt+{number}"])

    @staticmethod
    def _choices(menu: QMenu, names: dict[str, str], do: Callable[[str], None]) -> None:
        for value, shown in names.items():
            add_action(menu, shown, lambda value=value: do(value))

    def _settle(self) -> None:
        self._home.bar_panel.settle()

    def _make_room(self) -> None:
        """What is about a single note stands aside for the lists of the whole study."""
        shown = self._home.side.currentWidget() in (self._home.side.bar, self._home.side.notes)
        self._home.note_panel.parentWidget().setVisible(shown)

    # Words

    def callout(self) -> None:
        """A new callout about what is selected, ready to be written."""
        self._settle()
        self._home.side.setCurrentWidget(self._home.bar_panel)
        self._home.bar_panel.callouts.add_about_selection()

    def to_findings(self) -> None:
        self._home.side.setCurrentWidget(self._home.bar_panel)
        self._home.bar_panel.enter_findings()

    def take_draft(self, to_reword: bool) -> None:
        self._settle()
        draft: Draft | None = self._home.line.drafts[self._cursor.at.bar]
        if draft is None:
            self._home.message.news(words.NO_DRAFT)
        else:
            self._home.bar_panel.findings.take_draft(draft, to_reword)

    def go_unfinished(self, by: int) -> None:
        if not self._home.side.unfinished.go(by):
            self._home.message.news(words.NONE_FURTHER if by > 0 else words.NONE_BEFORE)

    # Marks

    def dynamic(self, value: str) -> None:
        place = span_of(self._document.study, self._cursor.at)[0]
        self._edit(words.EDIT_DYNAMIC, lambda study: edits.set_dynamic(study, place, value))

    def hairpin(self, value: str) -> None:
        first, last = span_of(self._document.study, self._cursor.at)
        self._edit(words.EDIT_HAIRPIN, lambda study: hairpin_over(study, first, last, value))

    def sign(self, value: str) -> None:
        bar = self._cursor.at.bar
        self._edit(words.EDIT_SIGN, lambda study: edits.set_sign(study, bar, value))

    def jump(self, value: str) -> None:
        bar = self._cursor.at.bar
        self._edit(words.EDIT_JUMP, lambda study: edits.set_jump(study, bar, value))

    def _edit(self, name: str, change: Edit) -> None:
        self._settle()
        bar = bar_name(self._document.study, self._cursor.at.bar)
        try:
            self._document.edit(name.format(bar=bar), change)
        except BarglossError as error:
            self._home.message.refusal("\n".join(error.lines()))
