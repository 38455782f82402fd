"""How hard the study is at its tempo: the hardest spots and why, a practice plan, and every bar in figures."""

from __future__ import annotations

from collections.abc import Iterator
from html import escape

from PySide6.QtCore import QUrl
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QSpinBox, QTextBrowser, QVBoxLayout

from app import words_fingering as words
from app.cursor import Cursor
from app.document import Document
from app.places import first_of_bar
from app.seen_view import SeenView
from app.style import link_colour
from app.words import BAR, PICKUP
from core.guitar import Difficulty, difficulty, practice_plan
from core.study import Study, notes_named

_SITTING = 20


class HardView(SeenView):
    """A link selects its bar."""

    def __init__(self, document: Document, cursor: Cursor) -> None:
        super().__init__()
        self._document, self._cursor = document, cursor
        self.minutes = QSpinBox(minimum=10, maximum=120, value=_SITTING, singleStep=5, toolTip=words.MINUTES_TIP)
        self.minutes.setAccessibleName(words.MINUTES)
        self.text = QTextBrowser(accessibleName=words.HARD, openLinks=False)
        self.text.setFrameShape(QFrame.Shape.NoFrame)
        line = QHBoxLayout()
        line.addWidget(QLabel(words.MINUTES))
        line.addWidget(self.minutes)
        line.addStretch(1)
        self.setFocusProxy(self.text)
        column = QVBoxLayout(self)
        column.addLayout(line)
        column.addWidget(self.text)
        self.minutes.valueChanged.connect(lambda _: self.refresh())
        self.text.anchorClicked.connect(self._follow)
        document.changed.connect(self.refresh_soon)

    def refresh(self) -> None:
        study = self._document.study
        hard = difficulty(study, self._document.layout.fingering)
        self.text.document().setDefaultStyleSheet(f"a {{ color: {link_colour(self.palette())}; }}")
        top = self.text.verticalScrollBar().value()
        self.text.setHtml("".join(_told(study, hard, self.minutes.value())))
        self.text.verticalScrollBar().setValue(top)

    def _follow(self, link: QUrl) -> None:
        bar = int(link.path())
        if bar < len(self._document.study.bars):
            self._cursor.go(first_of_bar(self._document.study, bar))


def _told(study: Study, hard: Difficulty, minutes: int) -> Iterator[str]:
    yield f"<h3>{escape(words.COUNTS.format(tempo=study.tempo))}</h3>"
    if hard.highest_tempo is not None:
        yield f"<p>{escape(words.HIGHEST.format(tempo=hard.highest_tempo))}</p>"
    if hard.hardest:
        yield f"<h3>{escape(words.SPOTS)}</h3>"
    for spot in hard.hardest:
        told = words.SPOT.format(where=notes_named(study, spot.place).capitalize(), why=spot.why, tempo=spot.tempo)
        yield f'<p><a href="go:{spot.place.bar}">{escape(told)}</a></p>'
    plan = practice_plan(study, hard, minutes)
    yield f"<h3>{escape(words.PLAN)}</h3>"
    for rung in plan.rungs:
        told = words.RUNG.format(minutes=rung.minutes, words=rung.words)
        yield f'<p><a href="go:{rung.bars[0]}">{escape(told)}</a></p>'
    yield f"<p><i>{escape(plan.caution)}</i></p>"
    yield f"<h3>{escape(words.BY_BAR)}</h3>"
    for index, bar in enumerate(hard.bars):
        told = words.BAR_LINE.format(
            bar=BAR.format(number=bar.number) if bar.number else PICKUP, notes=bar.notes_per_second, shifts=bar.shifts,
            crossings=bar.crossings, stretches=bar.stretches)
        yield f'<p><a href="go:{index}">{escape(told)}</a></p>'
