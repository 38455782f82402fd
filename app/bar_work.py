"""What is done to whole bars: put in, taken out, split, joined, repeated; and the changes typed over them."""

from __future__ import annotations

from fractions import Fraction

from app import words_writing as words
from app.pen import Caret
from app.places import first_of_bar
from app.spoken import bar_name
from app.work import Work
from core.errors import BarglossError, Faults
from core.harmony.changes import read_changes
from core.study import Bar, chorus_span, delete_bars, edits, insert_bars
from core.study.rebar import join_bars, repeat_bars, split_bar, toggle_repeat_signs
from core.study.writing import settle_ties


class BarWork(Work):
    """Each method is one command of the Bars menu."""

    def insert_before(self) -> None:
        self._insert(self._bars[0])

    def insert_after(self) -> None:
        self._insert(self._bars[1] + 1)

    def _insert(self, index: int) -> None:
        if self._edit(words.INSERT_BAR_EDIT, self._bars[0], lambda study: settle_ties(
                insert_bars(study, index, [Bar()]), max(0, index - 1), index)):
            self._pen.go(Caret(index, Fraction(0)))

    def delete_bars(self) -> None:
        first, last = self._bars
        if self._edit(words.DELETE_BAR_EDIT, self._bars[0], lambda study: settle_ties(
                delete_bars(study, first, last), max(0, first - 1))):
            self._cursor.go(first_of_bar(self._study, min(first, len(self._study.bars) - 1)))

    def split_bar(self) -> None:
        bar, onset = self._pen.caret
        if self._edit(words.SPLIT_EDIT, self._bars[0], lambda study: split_bar(study, bar, onset)):
            self._pen.go(Caret(bar + 1, Fraction(0)))

    def join_bars(self) -> None:
        bar = self._bars[0]
        self._edit(words.JOIN_EDIT, self._bars[0], lambda study: join_bars(study, bar))

    def repeat_bars(self) -> None:
        first, last = self._bars
        if self._edit(words.REPEAT_EDIT, self._bars[0], lambda study: repeat_bars(study, first, last)):
            self._cursor.go(first_of_bar(self._study, last + 1))

    def repeat_signs(self) -> None:
        first, last = self._bars
        self._edit(words.REPEAT_SIGNS_EDIT, self._bars[0], lambda study: toggle_repeat_signs(study, first, last))

    # Changes typed as a line

    def selected_bars(self) -> tuple[int, int]:
        return self._bars

    def chorus_bars(self) -> tuple[int, int]:
        """First and last bar of the chorus that is selected; of the study, where none is marked."""
        study, bar = self._study, self._bars[0]
        number = sum(chorus.bar <= bar for chorus in study.choruses)
        if number:
            return chorus_span(study, number)
        return 0, (study.choruses[0].bar if study.choruses else len(study.bars)) - 1

    def changes_text(self, first: int, last: int) -> str:
        """What the bars have, as it would be typed."""
        return " | ".join(" ".join(change.symbol for change in bar.changes) for bar in self._study.bars[first:last + 1])

    def set_changes(self, text: str, first: int, shown: str) -> None:
        """Type changes over the bars from `first` on. A bar whose text is as it was shown stays as it is.

        Raises BarglossError, told with the printed bar number.
        """
        study = self._study
        number = study.in_force[first].number
        try:
            rows = read_changes(text, [here.meter for here in study.in_force[first:]])
        except BarglossError as fault:
            raise numbered(fault, number) from None
        before, now = shown.split("|"), text.strip().strip("|").split("|")
        kept = [study.bars[first + at].changes if at < len(before) and before[at].split() == now[at].split() else row
                for at, row in enumerate(rows)]
        name = words.CHANGES_EDIT.format(bar=bar_name(study, first))
        self._document.edit(name, lambda one: edits.set_changes(one, first, kept))


def numbered(fault: BarglossError, first: int) -> BarglossError:
    """Told by the printed numbers of the bars, the first of which is this."""
    if isinstance(fault, Faults):
        return Faults(tuple(numbered(one, first) for one in fault.faults))
    return fault if fault.bar is None else BarglossError(fault.what, bar=fault.bar - 1 + first)
