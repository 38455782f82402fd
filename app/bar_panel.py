"""The selected bar: its chord symbols, readings, comment and callouts."""

from __future__ import annotations

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QPushButton, QScrollArea, QVBoxLayout, QWidget

from app import words, words_about
from app.callout_editor import CalloutEditor
from app.cursor import Cursor
from app.document import Document
from app.fields import Words
from app.findings_view import FindingsView
from app.line_work import LineWork
from app.marks_editor import CHORD_MARKS, READING_MARKS, MarksEditor
from app.sign_fields import SignFields
from app.spoken import bar_name, bar_title, pretty
from app.tab_order import chain
from app.token_completer import TokenCompleter, tokens_of
from core.study import edits


class BarPanel(QScrollArea):
    """Shows the bar under the cursor, and edits it. lost: what was typed and could not be kept, and why.

    went_in: the keyboard has come to a part of it, which therefore must be seen.
    """

    lost = Signal(str)
    went_in = Signal()

    def __init__(self, document: Document, cursor: Cursor, line: LineWork) -> None:
        super().__init__()
        self._document, self._cursor = document, cursor
        self.title, self.about = QLabel(), QLabel()
        self.setAccessibleName(words.BAR_PANEL)
        self.title.setObjectName("title")
        self.about.setObjectName("quiet")
        self.chords = MarksEditor(document, CHORD_MARKS)
        self.readings = MarksEditor(document, READING_MARKS)
        self.comment = Words(words.COMMENT, words.COMMENT_HINT, words.TOKENS_TIP, (3, 9))
        self.callouts = CalloutEditor(document, cursor)
        self.signs = SignFields(document, cursor)
        self.findings = FindingsView(document, line)
        TokenCompleter(self.comment, lambda: tokens_of(document.layout, self._bar))
        self._chaining = QTimer(self, singleShot=True, interval=0)
        self._arrange()
        self.comment.typing.typed.connect(self._set_comment)
        self.comment.typing.settled.connect(lambda _: document.rest())
        for part in (self.chords, self.readings, self.callouts, self.signs, self.findings):
            part.lost.connect(self.lost)
        for part in (self.chords, self.readings, self.findings, self.callouts):
            part.grew.connect(self._chaining.start)
        self.callouts.made.connect(self._reveal)
        self.findings.pointed.connect(self._reveal_findings)
        self.findings.kept.connect(self.enter)
        cursor.leaving.connect(self.settle)
        cursor.moved.connect(self._follow)
        document.changed.connect(self._follow)
        self._bar = -1
        self._shown: object = None
        self._follow()

    def _arrange(self) -> None:
        inside = QWidget()
        column = QVBoxLayout(inside)
        column.setContentsMargins(12, 8, 12, 10)
        column.setSpacing(4)
        head = QHBoxLayout()
        head.addWidget(self.title)
        head.addStretch(1)
        head.addWidget(self.about)
        column.addLayout(head)
        parts: list[tuple[str, QWidget, QPushButton | None]] = [
            (words.CHORDS, self.chords, self.chords.add), (words.READINGS, self.readings, self.readings.add),
            (words.COMMENT, self.comment, None), (words_about.FINDINGS, self.findings, None),
            (words.CALLOUTS, self.callouts, self.callouts.add), (words_about.SIGNS_HEADING, self.signs, None)]
        for name, widget, add in parts:
            label = QLabel(name)
            label.setObjectName("heading")
            line = QHBoxLayout()
            line.addWidget(label)
            if isinstance(widget, MarksEditor):
                line.addWidget(widget.none)
            line.addStretch(1)
            if add is not None:
                line.addWidget(add)
            column.addSpacing(6)
            column.addLayout(line)
            column.addWidget(widget)
        column.addStretch(1)
        self._chaining.timeout.connect(lambda: chain(column))
        self.setWidget(inside)
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)

    def settle(self) -> None:
        """Keep what was typed; tell what cannot be kept."""
        for part in (self.chords, self.readings, self.comment.typing, self.callouts):
            part.settle()

    def enter(self, kind: str, index: int) -> None:
        """Put the caret where that kind of ink is written: a chord symbol, a callout, else the comment."""
        self.went_in.emit()
        if kind == "chord":
            self.chords.enter(index)
        elif kind == "reading":
            self.readings.enter(index)
        elif kind == "callout":
            self.callouts.enter(index)
        else:
            self.comment.go_on()

    def enter_findings(self) -> None:
        """Put the keyboard onto the first finding."""
        self.went_in.emit()
        self.findings.enter()

    def _reveal(self, part: QWidget) -> None:
        """Scroll to a part once it has its place."""
        QTimer.singleShot(0, self, lambda: self.ensureWidgetVisible(part))

    def _reveal_findings(self, span: object) -> None:
        """The card that has the keyboard is seen whole."""
        card = self.findings.with_keyboard
        if span is not None and card is not None:
            self._reveal(card)

    def _follow(self) -> None:
        """Show the bar under the cursor, if it is another, or the study is."""
        shown = self._document.layout, self._cursor.at.bar
        if shown != self._shown:
            self._shown = shown
            self._refresh()

    def _refresh(self) -> None:
        bar, study = self._cursor.at.bar, self._document.study
        here = study.in_force[bar]
        if bar != self._bar:
            self.comment.typing.forget()
        self._bar = bar
        self.title.setText(bar_title(study, bar))
        self.about.setText(f"{pretty(here.key.name)}, {here.meter.text}")
        self.chords.show_bar(bar, words.NO_CHORDS.format(chord=pretty(here.chord)) if here.chord
                             else words.NO_CHORD_YET)
        self.readings.show_bar(bar, words.NO_READINGS)
        self.comment.typing.show(here.bar.comment)
        self.callouts.show_bar(bar)
        self.findings.show_bar(bar)

    def _set_comment(self, text: str) -> None:
        bar = self._bar
        name = words.EDIT_COMMENT.format(bar=bar_name(self._document.study, bar))
        self._document.edit(name, lambda study: edits.set_comment(study, bar, text), typing=("comment", bar))
