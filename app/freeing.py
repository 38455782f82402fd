"""Free the fingering: what was set for the hands at the selected notes, given back to Bargloss."""

from __future__ import annotations

from typing import TYPE_CHECKING

from app import words_fingering as words
from app.actions import add_action
from app.passage import selected_heads
from app.work import Telling, Work
from core.study import freed, is_set

if TYPE_CHECKING:
    from app.window import Window


class Freeing(Work):
    """A command of the Fingering menu, which is there already; it can be chosen where something is set."""

    def __init__(self, window: Window, telling: Telling) -> None:
        super().__init__(window.document, window.selection, window.pen, telling)
        self._action = add_action(window.fingering.menu, words.FREE, self.free, [words.FREE_KEY])
        window.document.changed.connect(self.refresh)
        window.selection.moved.connect(self.refresh)
        self.refresh()

    def refresh(self) -> None:
        self._action.setEnabled(is_set(self._study, selected_heads(self._study, self._cursor.at)))

    def free(self) -> None:
        chosen = selected_heads(self._study, self._cursor.at)
        self._edit(words.FREE_EDIT, chosen[0].bar, lambda study: freed(study, chosen))
