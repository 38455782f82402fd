"""What the groups of commands share: the study they change, where the person is in it, and how a fault is shown."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import AbstractContextManager

from app.cursor import Cursor
from app.document import Document
from app.pen import Pen
from app.places import span_of
from app.spoken import bar_name
from core.study import NotePlace, Study

Telling = Callable[[], AbstractContextManager[None]]


class Work:
    """telling: shows what goes wrong inside it."""

    def __init__(self, document: Document, cursor: Cursor, pen: Pen, telling: Telling) -> None:
        self._document, self._cursor, self._pen, self._telling = document, cursor, pen, telling

    @property
    def _study(self) -> Study:
        return self._document.study

    @property
    def _span(self) -> tuple[NotePlace, NotePlace]:
        return span_of(self._study, self._cursor.at)

    @property
    def _bars(self) -> tuple[int, int]:
        """First and last bar that something is selected of."""
        first, last = self._span
        return first.bar, last.bar

    def _edit(self, name: str, bar: int, change: Callable[[Study], Study]) -> bool:
        """Make an edit of a name in which {bar} is filled in; whether it was done."""
        with self._telling():
            self._document.edit(name.format(bar=bar_name(self._study, bar)), change)
            return True
        return False
