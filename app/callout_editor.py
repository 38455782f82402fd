"""The callouts of one bar: heading, text, the notes they speak of, and whether a picture of the neck goes with them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from itertools import chain, count
from typing import NamedTuple

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QValidator, QWheelEvent
from PySide6.QtWidgets import (
    QCheckBox,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QSpinBox,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from app import words
from app.cursor import Cursor
from app.document import Document
from app.fields import Fault, Line, Words
from app.places import Selected
from app.spoken import bar_name, pretty
from app.token_completer import TokenCompleter, tokens_of
from core.errors import BarglossError
from core.study import Callout, Study, edits, sounding_number

_Change = Callable[[Study, int], Study]
_REACH = 8  # bars that a callout may be stretched over here


class Onset(NamedTuple):
    """A place in the study where something begins. bar: index."""

    bar: int
    at: Fraction


def onsets(study: Study, first: int, last: int) -> list[Onset]:
    """Every onset of the bars from index `first` to `last`, in order."""
    bars = range(first, min(last + 1, len(study.bars)))
    return [Onset(bar, at) for bar in bars for at in sorted(study.bars[bar].onsets)]


def place_name(study: Study, onset: Onset) -> str:
    """`bar 7, note 3 (E♭4)`, `bar 7, rest`: what begins there."""
    bar, name = study.bars[onset.bar], bar_name(study, onset.bar)
    at = next((index for index, event in enumerate(bar.events) if event.onset == onset.at and not event.grace), None)
    if at is None or bar.events[at].is_rest:
        return words.REST_PLACE.format(bar=name)
    pitches = "/".join(pretty(note.pitch.name) for note in bar.events[at].notes)
    return words.NOTE_PLACE.format(bar=name, number=sounding_number(bar, at), pitch=pitches)


def ends_of(bar: int, callout: Callout) -> tuple[Onset, Onset]:
    return Onset(bar, callout.start), Onset(bar + callout.bars_on, callout.stop)


def selected_ends(study: Study, at: Selected) -> tuple[Onset, Onset]:
    """What a callout about the selection speaks of: its notes, or the whole bar."""
    if at.span is None:
        own = sorted(study.bars[at.bar].onsets)
        return Onset(at.bar, own[0]), Onset(at.bar, own[-1])
    first, last = (Onset(place.bar, study.event_at(place).onset) for place in at.span)
    return first, last


def with_ends(study: Study, bar: int, index: int, ends: tuple[Onset, Onset]) -> Study:
    """The study with a callout on other notes; it moves to the bar of the first of them."""
    first, last = ends
    last = max(first, last)
    old = study.bars[bar].callouts[index]
    new = replace(old, start=first.at, stop=last.at, bars_on=last.bar - first.bar)
    if first.bar == bar:
        return edits.replace_callout(study, bar, index, new)
    return edits.add_callout(edits.remove_callout(study, bar, index), first.bar, new)


def _new_heading(study: Study, bar: int) -> str:
    """One that no callout of the bar has."""
    there = {callout.heading for callout in study.bars[bar].callouts}
    numbered = (f"{words.NEW_CALLOUT} {number}" for number in count(2))
    return next(heading for heading in chain([words.NEW_CALLOUT], numbered) if heading not in there)


class OnsetSpin(QSpinBox):
    """Steps through onsets of a study. The list may grow; value is an index into it."""

    def __init__(self, name: str) -> None:
        super().__init__()
        self._study: Study | None = None
        self._onsets: list[Onset] = []
        self.setAccessibleName(name)
        self.setToolTip(name)
        self.lineEdit().setReadOnly(True)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMinimumHeight(self.sizeHint().height())

    def show(self, study: Study, onsets: list[Onset], index: int) -> None:  # type: ignore[override]
        """Show the one at an index of these."""
        self._study, self._onsets = study, onsets
        self.blockSignals(True)
        self.setRange(0, len(onsets) - 1)
        self.setValue(index)
        self.lineEdit().setText(self.textFromValue(index))
        self.blockSignals(False)

    def wheelEvent(self, event: QWheelEvent) -> None:  # noqa: N802
        """As `Choice`: only while it has the keyboard."""
        super().wheelEvent(event) if self.hasFocus() else event.ignore()

    def textFromValue(self, value: int) -> str:  # noqa: N802
        known = self._study is not None and value < len(self._onsets)
        return place_name(self._study, self._onsets[value]) if known else ""

    def valueFromText(self, text: str) -> int:  # noqa: N802
        return self.value()  # it is stepped through, and not typed into

    def validate(self, text: str, at: int) -> tuple[QValidator.State, str, int]:
        return QValidator.State.Acceptable, text, at


class _Card(QWidget):
    """One callout."""

    removed = Signal()
    worded = Signal()
    stretched = Signal()
    chosen = Signal()
    pictured = Signal(bool)

    def __init__(self, number: int) -> None:
        super().__init__()
        name = words.CALLOUT.format(number=number)
        self.setObjectName("card")
        self.heading = Line(f"{name}: {words.HEADING}", words.HEADING, words.TOKENS_TIP)
        self.text = Words(f"{name}: {words.TEXT}", words.TEXT, words.TOKENS_TIP, (2, 6))
        self.first, self.last = OnsetSpin(words.FROM_NAME), OnsetSpin(words.TO_NAME)
        self.use = QPushButton(words.USE_NOTES, toolTip=words.USE_NOTES_TIP)
        self.use.setFlat(True)
        self.neck = QCheckBox(words.NECK_PICTURE, toolTip=words.NECK_PICTURE_TIP,
                              accessibleName=f"{name}: {words.NECK_PICTURE}")
        self.remove = QToolButton(text="×", toolTip=words.REMOVE, accessibleName=f"{words.REMOVE}: {name}")
        self.remove.setAutoRaise(True)
        self.fault = Fault()
        grid = QGridLayout()
        grid.addWidget(QLabel(words.FROM), 0, 0)
        grid.addWidget(self.first, 0, 1)
        grid.addWidget(self.use, 0, 2)
        grid.addWidget(QLabel(words.TO), 1, 0)
        grid.addWidget(self.last, 1, 1)
        grid.setColumnStretch(1, 1)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 8)
        column.setSpacing(4)
        column.addWidget(self.heading)
        column.addWidget(self.text)
        column.addLayout(grid)
        last = QHBoxLayout()
        last.addWidget(self.neck)
        last.addStretch(1)
        last.addWidget(self.remove)  # where Tab comes last: the words of a callout are typed one after another
        column.addLayout(last)
        column.addWidget(self.fault)
        self.remove.clicked.connect(self.removed)
        self.use.clicked.connect(self.chosen)
        self.neck.clicked.connect(self.pictured)
        for field in (self.heading, self.text):
            field.typing.typed.connect(lambda _: self.worded.emit())
        for spin in (self.first, self.last):
            spin.valueChanged.connect(lambda _: self.stretched.emit())


class CalloutEditor(QWidget):
    """The callouts of the bar shown. add: its button, for whoever places the editor. lost: why none could be added.

    made: the part of the editor with a callout that is new, or gone into. grew: there is one part more.
    """

    lost = Signal(str)
    made = Signal(QWidget)
    grew = Signal()

    def __init__(self, document: Document, cursor: Cursor) -> None:
        super().__init__()
        self._document, self._cursor, self._bar = document, cursor, 0
        self._cards: list[_Card] = []
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(4)
        self.add = QPushButton(words.ADD_CALLOUT, toolTip=words.USE_NOTES_TIP)
        self.add.setFlat(True)
        self.add.clicked.connect(self.add_about_selection)

    def show_bar(self, bar: int) -> None:
        study = self._document.study
        callouts = study.bars[bar].callouts
        while len(self._cards) < len(callouts):
            self._cards.append(self._made(len(self._cards)))
        for index, card in enumerate(self._cards):
            if bar != self._bar or index >= len(callouts):
                card.heading.typing.forget()
                card.text.typing.forget()
                card.fault.tell("")
            card.setVisible(index < len(callouts))
            if index < len(callouts):
                self._show(card, bar, callouts[index])
        self._bar = bar

    def _show(self, card: _Card, bar: int, callout: Callout) -> None:
        card.heading.typing.show(callout.heading)
        card.text.typing.show(callout.text)
        card.neck.setChecked(callout.neck)
        study, (first, last) = self._document.study, ends_of(bar, callout)
        own, later = self._choices(bar, callout)
        card.first.show(study, own, own.index(first))
        card.last.show(study, later, later.index(last))

    def _choices(self, bar: int, callout: Callout) -> tuple[list[Onset], list[Onset]]:
        """Where it may begin: in its bar; and end: from there on."""
        study = self._document.study
        later = onsets(study, bar, bar + max(_REACH, callout.bars_on))
        return onsets(study, bar, bar), [one for one in later if one >= (bar, callout.start)]

    def enter(self, index: int) -> None:
        """Put the caret into the text of a callout of the bar."""
        self._cards[index].text.go_on()
        self.made.emit(self._cards[index])

    def settle(self) -> None:
        for card in self._cards:
            card.heading.typing.settle()
            card.text.typing.settle()

    def _made(self, index: int) -> _Card:
        card = _Card(index + 1)
        for field in (card.heading, card.text):
            TokenCompleter(field, lambda: tokens_of(self._document.layout, self._bar))
        card.removed.connect(lambda: self._edit(card, words.REMOVE_CALLOUT, lambda study, bar: edits.remove_callout(
            study, bar, index)))
        card.worded.connect(lambda: self._word(card, index))
        card.stretched.connect(lambda: self._stretch(card, index))
        card.chosen.connect(lambda: self._use_selected(card, index))
        card.pictured.connect(lambda is_so: self._picture(card, index, is_so))
        for field in (card.heading, card.text):
            field.typing.settled.connect(lambda _: self._document.rest())
        self._column.insertWidget(index, card)
        self.grew.emit()
        return card

    def _word(self, card: _Card, index: int) -> None:
        heading, text = card.heading.typing.text, card.text.typing.text
        self._edit(card, words.EDIT_CALLOUT, lambda study, bar: edits.replace_callout(
            study, bar, index, replace(study.bars[bar].callouts[index], heading=heading, text=text)),
            typing=("callout", self._bar, index))

    def _stretch(self, card: _Card, index: int) -> None:
        callout = self._document.study.bars[self._bar].callouts[index]
        own, later = self._choices(self._bar, callout)
        ends = own[card.first.value()], later[card.last.value()]
        self._edit(card, words.EDIT_CALLOUT_NOTES, lambda study, bar: with_ends(study, bar, index, ends))

    def _use_selected(self, card: _Card, index: int) -> None:
        ends = selected_ends(self._document.study, self._cursor.at)
        self._edit(card, words.EDIT_CALLOUT_NOTES, lambda study, bar: with_ends(study, bar, index, ends))

    def _picture(self, card: _Card, index: int, neck: bool) -> None:
        self._edit(card, words.EDIT_CALLOUT_NECK, lambda study, bar: edits.replace_callout(
            study, bar, index, replace(study.bars[bar].callouts[index], neck=neck)))
        card.neck.setChecked(self._document.study.bars[self._bar].callouts[index].neck)  # as it was, if refused

    def add_about_selection(self) -> None:
        """A new callout about the selected notes, in the bar of the first of them, with the caret in its heading."""
        study, at = self._document.study, self._cursor.at
        first, last = selected_ends(study, at)
        index = len(study.bars[first.bar].callouts)
        callout = Callout(first.at, last.at, last.bar - first.bar, _new_heading(study, first.bar))
        if first.bar != self._bar and at.span is not None:
            self._cursor.go(Selected(first.bar, *at.span))
        self._edit(None, words.NEW_CALLOUT_EDIT, lambda study, _: edits.add_callout(study, first.bar, callout))
        if len(self._document.study.bars[first.bar].callouts) > index:
            self._cards[index].heading.setFocus()
            self._cards[index].heading.selectAll()
            self.made.emit(self._cards[index])

    def _edit(self, card: _Card | None, name: str, change: _Change, typing: object = None) -> None:
        bar = self._bar
        named = name.format(bar=bar_name(self._document.study, bar))
        try:
            self._document.edit(named, lambda study: change(study, bar), typing)
        except BarglossError as error:
            if card is None:
                self.lost.emit(str(error))
            else:
                card.fault.tell(error.what)
            return
        if card is not None:
            card.fault.tell("")
