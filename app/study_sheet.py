"""The study sheet: what the study says of itself at its head and foot, its key and meter, and the labels over bars."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import suppress
from typing import Any

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QFormLayout, QFrame, QHBoxLayout, QLabel, QScrollArea, QVBoxLayout, QWidget

from app import words_sheet as words
from app.cursor import Cursor
from app.details import DETAILS, Detail, read_meter, show_meter
from app.document import Document
from app.fields import Fault, Line
from app.key_change import KeyChange
from app.label_rows import CHORUSES, LETTERS, LabelRows
from app.sign_fields import choice
from app.tab_order import chain
from app.words import NOT_KEPT
from app.words_writing import FEELS
from core.errors import BarglossError
from core.study import edits
from core.study.remeter import set_meter

ON_SHEET = ("title", "foot", "label")
"""The kinds of ink that are written here."""


class StudySheet(QScrollArea):
    """Every field is a step that can be undone, and is on the page as it is typed.

    lost: what was typed and could not be kept, and why; news: what else an edit did.
    """

    lost, news = Signal(str), Signal(str)

    def __init__(self, document: Document, cursor: Cursor) -> None:
        super().__init__()
        self._document, self._cursor = document, cursor
        self.fields = {detail.name: Line(detail.label, detail.hint, detail.tip) for detail in DETAILS}
        self.feel = choice(words.FEEL, FEELS)
        self.meter = Line(words.METER, tip=words.METER_TIP)
        self.faults = {name: Fault() for name in (*self.fields, "meter")}
        self.key = KeyChange(document)
        self.choruses, self.letters = LabelRows(document, CHORUSES), LabelRows(document, LETTERS)
        self._chaining = QTimer(self, singleShot=True, interval=0)
        self._arrange()
        for detail in DETAILS:
            self._watch(detail)
        self.feel.activated.connect(lambda _: self._set("feel", self.feel.currentData()))
        self.meter.typing.typed.connect(lambda _: self.faults["meter"].tell(""))
        self.meter.typing.settled.connect(self._set_meter)
        self.key.news.connect(self.news)
        for part in (self.choruses, self.letters, self.key):
            part.grew.connect(self._chaining.start)
        document.opened.connect(self._forget)
        for changed in (document.changed, cursor.moved):
            changed.connect(self._refresh_if_seen)

    def _arrange(self) -> None:
        inside = QWidget()
        column = QVBoxLayout(inside)
        column.setContentsMargins(12, 8, 12, 10)
        column.setSpacing(4)
        column.addWidget(QLabel(words.SHEET, objectName="title"))
        form = QFormLayout(verticalSpacing=5)
        for detail in DETAILS:
            if detail.section:
                heading = QLabel(detail.section, objectName="heading")
                heading.setContentsMargins(0, 8, 0, 0)
                form.addRow(heading)
            form.addRow(detail.label, self._with_fault(detail.name))
            if detail.name == "tempo":
                form.addRow(words.FEEL, self.feel)
                form.addRow(words.KEY, self.key)
                form.addRow(words.METER, self._with_fault("meter"))
        column.addLayout(form)
        for name, rows in ((words.CHORUSES, self.choruses), (words.LETTERS, self.letters)):
            head = QHBoxLayout()
            head.addWidget(QLabel(name, objectName="heading"))
            head.addStretch(1)
            head.addWidget(rows.add)
            column.addSpacing(8)
            column.addLayout(head)
            column.addWidget(rows)
        column.addStretch(1)
        self._chaining.timeout.connect(lambda: chain(column))
        self.setWidget(inside)
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setAccessibleName(words.SHEET)

    def _with_fault(self, name: str) -> QWidget:
        both = QWidget()
        column = QVBoxLayout(both)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(2)
        column.addWidget(self.fields.get(name, self.meter))
        column.addWidget(self.faults[name])
        return both

    def _watch(self, detail: Detail) -> None:
        typing, fault = self.fields[detail.name].typing, self.faults[detail.name]

        def type_it(text: str) -> None:
            fault.tell("")
            if detail.is_live:
                with suppress(BarglossError):  # it may be half typed yet
                    self._set(detail.name, detail.read(text), typing=detail.name)

        def finish(text: str) -> None:
            try:
                value = detail.read(text.strip())
                self._set(detail.name, value, typing=detail.name)
                self._document.rest()
            except BarglossError as error:
                fault.tell(error.what)

        typing.typed.connect(type_it)
        typing.settled.connect(finish)

    def _set(self, name: str, value: Any, typing: str | None = None) -> None:
        self._document.edit(words.EDITS[name], lambda study: edits.set_details(study, **{name: value}), typing)

    def _set_meter(self, text: str) -> None:
        before = len(self._document.study.bars)
        try:
            meter = read_meter(text)
            self._document.edit(words.EDIT_METER, lambda study: set_meter(study, meter))
        except BarglossError as error:
            self.faults["meter"].tell("\n".join(error.lines()))
            return
        after = len(self._document.study.bars)
        if after != before:
            self.news.emit(words.BARRED.format(meter=meter.text, after=after, before=before))

    def showEvent(self, event: QShowEvent) -> None:  # noqa: N802
        super().showEvent(event)
        self.refresh()

    def _refresh_if_seen(self) -> None:
        if self.isVisible():
            self.refresh()

    def refresh(self) -> None:
        """Show what the study has."""
        study = self._document.study
        for detail in DETAILS:
            self.fields[detail.name].typing.show(detail.show(getattr(study, detail.name)))
        self.feel.setCurrentIndex(self.feel.findData(study.feel))
        self.meter.typing.show(show_meter(study.in_force[0].meter))
        self.key.refresh()
        for rows in (self.choruses, self.letters):
            rows.refresh(self._cursor.at.bar)

    def enter(self, kind: str = "title", index: int = 0) -> None:
        """Put the caret where that ink of the page is written: of the title block, the foot or a label."""
        if kind == "label":
            (self.letters if index else self.choruses).enter(self._cursor.at.bar)
            return
        name = "rights" if kind == "foot" else ("title", "tune", "tempo")[index]
        self.fields[name].setFocus()
        self.fields[name].selectAll()

    def settle(self) -> None:
        """Keep what was typed; tell what cannot be kept."""
        for field in (*self.fields.values(), self.meter):
            field.typing.settle()
        for what in (*self._told(), *self.choruses.settle(), *self.letters.settle()):
            self.lost.emit(NOT_KEPT.format(where=words.SHEET, what=what))
        for name, fault in self.faults.items():
            if fault.text():  # told once; then the field has what is kept
                (self.meter if name == "meter" else self.fields[name]).typing.forget()
                fault.tell("")
        self.refresh()

    def _told(self) -> Iterator[str]:
        return (fault.text() for fault in self.faults.values() if fault.text())

    def _forget(self) -> None:
        """It is another study."""
        for name, field in (*self.fields.items(), ("meter", self.meter)):
            field.typing.forget()
            self.faults[name].tell("")
        for rows in (self.choruses, self.letters):
            rows.forget()
        self.key.leave()
