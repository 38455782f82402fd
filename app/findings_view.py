"""The findings of one bar: the chosen ones first, each to be kept, reworded or dismissed; and the bar's draft."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QLabel, QPushButton, QVBoxLayout, QWidget

from app import deciding
from app import words_about as words
from app.document import Document
from app.finding_card import FindingCard
from app.line_work import LineWork
from app.spoken import bar_name
from core.errors import BarglossError
from core.line.drafts import Draft
from core.line.finding import Finding
from core.line.telling import tell

_OFFERED, _GONE, _DRAFT = ("accept", "reword", "dismiss"), ("restore",), ("accept", "reword")


class _Shown(NamedTuple):
    """What a card stands for."""

    what: Finding | Draft
    actions: tuple[str, ...]


class FindingsView(QWidget):
    """Cards for the bar shown. pointed: at these notes, or None; lost: why something could not be done.

    kept: something was accepted to be reworded: "callout" or "reading", and its place in the bar's list of such.
    grew: there is one card more.
    """

    pointed = Signal(object)
    lost = Signal(str)
    kept = Signal(str, int)
    grew = Signal()

    def __init__(self, document: Document, line: LineWork) -> None:
        super().__init__()
        self._document, self._line, self._bar = document, line, 0
        self._shown: list[_Shown] = []
        self._cards: list[FindingCard] = []
        self.setAccessibleName(words.FINDINGS)
        self.none = QLabel(words.LOOKING)
        self.none.setObjectName("quiet")
        self.more, self.gone = QPushButton(), QPushButton()
        self._column = QVBoxLayout(self)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(4)
        self._column.addWidget(self.none)
        for button in (self.more, self.gone):
            button.setFlat(True)
            button.setCheckable(True)
            button.toggled.connect(lambda _: self.refresh())
            self._column.addWidget(button, 0, Qt.AlignmentFlag.AlignLeft)
        self._put([], 0, 0)
        self.none.setText(words.LOOKING)
        line.ready.connect(self.refresh)

    def show_bar(self, bar: int) -> None:
        is_other, self._bar = bar != self._bar, bar
        if is_other:
            for button in (self.more, self.gone):
                button.blockSignals(True)
                button.setChecked(False)
                button.blockSignals(False)
        if self._line.is_ready:
            self.refresh()
        elif is_other:
            self._put([], 0, 0)
            self.none.setText(words.LOOKING)

    def refresh(self) -> None:
        """Show what is offered now. The keyboard stays at its place in the list."""
        told, bar = self._line.told, self._bar
        if bar >= len(told.bars):
            return
        chosen = told.chosen[bar]
        others = [finding for finding in told.bars[bar] if finding not in chosen]
        gone = deciding.dismissed_in(self._line, self._document.study, bar)
        draft = self._line.drafts[bar]
        shown = [_Shown(draft, _DRAFT)] if draft and len(draft.kinds) > 1 else []
        shown += [_Shown(finding, _OFFERED) for finding in chosen]
        shown += [_Shown(finding, _OFFERED) for finding in others if self.more.isChecked()]
        shown += [_Shown(finding, _GONE) for finding in gone if self.gone.isChecked()]
        self._put(shown, len(others), len(gone))

    def enter(self) -> None:
        """Put the keyboard onto the first card."""
        self.refresh()
        if self._shown:
            self._cards[0].take_keyboard()
        else:
            next((button for button in (self.more, self.gone) if not button.isHidden()), self).setFocus()

    @property
    def with_keyboard(self) -> FindingCard | None:
        """The card that has it."""
        return next((card for card in self._cards if card.held), None)

    def _put(self, shown: list[_Shown], others: int, gone: int) -> None:
        held = next(((index, card.held) for index, card in enumerate(self._cards) if card.held), None)
        is_same, self._shown = shown == self._shown, shown
        for button, names, count in ((self.more, words.MORE, others), (self.gone, words.DISMISSED, gone)):
            button.setText(names[not button.isChecked()].format(count=count))
            button.setVisible(count > 0)
        self.none.setText(words.NO_FINDINGS)
        self.none.setVisible(not shown)
        if is_same:
            return
        while len(self._cards) < len(shown):
            self._cards.append(self._made(len(self._cards)))
        for card, one in zip(self._cards, shown, strict=False):
            self._tell(card, one)
            card.show()
        if held is not None:
            self._hold(min(held[0], len(shown) - 1), held[1])
        for card in self._cards[len(shown):]:
            card.hide()

    def _hold(self, at: int, action: str) -> None:
        """Keep the keyboard in the list, on the same action if it can be, when what it was on has gone."""
        if at < 0:
            left = [button for button in (self.more, self.gone) if not button.isHidden()]
            if left:
                left[0].setFocus()
            return
        self._cards[at].take_keyboard(action)
        self._cards[at].point()

    def _tell(self, card: FindingCard, one: _Shown) -> None:
        what, style = one.what, self._document.layout.template.style.chord_style
        if isinstance(what, Draft):
            card.tell(what.text, words.DRAFT, (what.first, what.last), style, one.actions)
            return
        kind = words.KINDS[what.kind]
        if what.last.bar > what.first.bar:
            kind = words.TO_BAR.format(kind=kind, bar=bar_name(self._document.study, what.last.bar))
        card.tell(tell(what), kind, (what.first, what.last), style, one.actions, what.kind == "reading")

    def _made(self, index: int) -> FindingCard:
        card = FindingCard()
        card.pointed.connect(self.pointed)
        card.done.connect(lambda action: self._do(action, self._shown[index].what))
        card.stepped.connect(lambda by: self._step(index, by))
        self._column.insertWidget(1 + index, card)
        self.grew.emit()
        return card

    def _step(self, index: int, by: int) -> None:
        if 0 <= index + by < len(self._shown):
            self._cards[index + by].take_keyboard(self._cards[index].held)

    def _do(self, action: str, what: Finding | Draft) -> None:
        if isinstance(what, Draft):
            self.take_draft(what, action == "reword")
        elif action in ("dismiss", "restore"):
            change = deciding.dismiss if action == "dismiss" else deciding.restore
            self._try(lambda: change(self._document, what))
        elif deciding.is_offered(self._line, what) and self._try(lambda: deciding.accept(self._document, what)) and (
                action == "reword"):
            self._reword(what)

    def take_draft(self, draft: Draft, to_reword: bool) -> None:
        """Keep a draft as a callout, and go on to write it anew."""
        if draft == self._line.drafts[draft.bar] and self._try(lambda: deciding.take_draft(self._document, draft)) and (
                to_reword):
            self.kept.emit("callout", len(self._document.study.bars[draft.bar].callouts) - 1)

    def _reword(self, finding: Finding) -> None:
        study = self._document.study
        bar = study.bars[finding.first.bar]
        if finding.kind == "reading":
            onset = study.event_at(finding.first).onset
            begun = [index for index, reading in enumerate(bar.readings) if reading.offset <= onset]
            self.kept.emit("reading", begun[-1] if begun else 0)
        else:
            self.kept.emit("callout", len(bar.callouts) - 1)

    def _try(self, change: Callable[[], None]) -> bool:
        before = self._document.study
        try:
            change()
        except BarglossError as error:
            self.lost.emit("\n".join(error.lines()))
        self._line.told  # noqa: B018  (what is decided shows at once)
        return self._document.study is not before
