"""What the whole solo does: the summary in sentences, then every bar's draft, to be kept or reworded."""

from __future__ import annotations

from collections.abc import Iterator
from html import escape

from PySide6.QtCore import QEvent, QUrl, Signal
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QFrame, QTextBrowser

from app import words_about as words
from app.cursor import Cursor
from app.document import Document
from app.line_work import LineWork
from app.places import Selected
from app.shown_words import rich
from app.spoken import bar_title
from app.style import link_colour
from core.line.drafts import Draft
from core.line.summary import summarise, summary_lines


class SoloView(QTextBrowser):
    """One text with links, for 720 bars too. taken: a draft is to be kept, and whether to reword it."""

    taken = Signal(object, bool)

    def __init__(self, document: Document, cursor: Cursor, line: LineWork) -> None:
        super().__init__()
        self._document, self._cursor, self._line = document, cursor, line
        self._shown = ""
        self.setAccessibleName(words.SOLO)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setOpenLinks(False)
        self.document().setDocumentMargin(12)
        self._colour()
        self.anchorClicked.connect(self._follow)
        line.ready.connect(self._refresh_if_seen)

    def showEvent(self, event: QShowEvent) -> None:  # noqa: N802
        super().showEvent(event)
        self.refresh()

    def changeEvent(self, event: QEvent) -> None:  # noqa: N802
        super().changeEvent(event)
        if event.type() == QEvent.Type.PaletteChange:
            self._colour()

    def _colour(self) -> None:
        self.document().setDefaultStyleSheet(f"a {{ color: {link_colour(self.palette())}; text-decoration: none; }}")
        self._shown = ""
        self._refresh_if_seen()

    def _refresh_if_seen(self) -> None:
        if self.isVisible():
            self.refresh()

    def refresh(self) -> None:
        """Tell it anew where it is another text; what is read stays in sight."""
        text = "".join(self._told())
        if text != self._shown:
            self._shown = text
            top = self.verticalScrollBar().value()
            self.setHtml(text)
            self.verticalScrollBar().setValue(top)

    def _told(self) -> Iterator[str]:
        study, told = self._document.study, self._line.told
        style = self._document.layout.template.style.chord_style
        yield f"<h3>{escape(words.SOLO_SUMMARY)}</h3>"
        for sentence in summary_lines(summarise(study, told.tones.bars, told.noticed, told.chosen), study):
            yield f"<p>{rich(sentence, style)}</p>"
        yield f"<h3>{escape(words.SOLO_DRAFTS)}</h3>"
        there = [draft for draft in self._line.drafts if draft]
        for draft in there:
            name = escape(bar_title(study, draft.bar))
            links = " &nbsp; ".join(f'<a href="{action}:{draft.bar}">{escape(text)}</a>'
                                    for action, text in (("accept", words.ACCEPT), ("reword", words.REWORD)))
            yield f'<p><a href="go:{draft.bar}">{name}</a> &nbsp;{rich(draft.text, style)}<br>{links}</p>'
        if not there:
            yield f"<p>{escape(words.NO_DRAFTS)}</p>"

    def _follow(self, link: QUrl) -> None:
        action, bar = link.scheme(), int(link.path())
        draft = self._line.drafts[bar] if bar < len(self._document.study.bars) else None
        if draft is None:
            return
        self._cursor.go(_notes_of(draft))
        if action != "go":
            self.taken.emit(draft, action == "reword")


def _notes_of(draft: Draft) -> Selected:
    return Selected(draft.bar, draft.first, draft.last if draft.last != draft.first else None)
