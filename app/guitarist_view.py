"""Who plays, and on what: a way of playing by name, its parts, and the instrument."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from typing import Any

from PySide6.QtWidgets import QCheckBox, QComboBox, QFormLayout, QSpinBox, QWidget

from app import words_fingering as words
from app.document import Document
from app.fields import Fault, Line
from app.sign_fields import choice
from core.errors import BarglossError
from core.guitar import TUNINGS, load_preset, preset_names
from core.study import Guitarist, Instrument, Study, edits


def read_strings(text: str, count: int) -> tuple[int, ...]:
    """The strings named, in order; none for all. `2 3 4 5` and `2,3,4,5` name four, and so does `2-5`.

    count: of the strings there are. Raises BarglossError.
    """
    named: set[int] = set()
    for part in re.sub(r"\s*[-–]\s*", "-", text).replace(",", " ").split():
        ends = [int(end) if end.isdecimal() else 0 for end in part.split("-")]
        if len(ends) > 2 or not all(1 <= end <= count for end in ends):
            raise BarglossError(words.BAD_STRINGS.format(text=text.strip(), count=count))
        named |= {*range(min(ends), max(ends) + 1)}
    return tuple(sorted(named))


class GuitaristView(QWidget):
    """Every field is a step that can be undone."""

    def __init__(self, document: Document) -> None:
        super().__init__()
        self._document = document
        self.preset = choice(words.PRESET, {"": words.OWN_PRESET} | {
            name: load_preset(name).about for name in preset_names()})
        self.span, self.open = choice(words.SPAN, words.SPANS), choice(words.OPEN, words.OPENS)
        self.picking = choice(words.PICKING, words.PICKINGS)
        self.position = QSpinBox(minimum=0, maximum=24, specialValueText=words.ANY_POSITION)
        self.strings = Line(words.STRINGS, words.STRINGS_HINT, words.STRINGS_TIP)
        self.left_handed = QCheckBox(words.LEFT_HANDED)
        self.tuning = choice(words.TUNING, {"": words.OWN_TUNING} | {name: name for name in TUNINGS})
        self.frets, self.capo = QSpinBox(minimum=1, maximum=36), QSpinBox(minimum=0, maximum=35)
        self.fault = Fault()
        self.setFocusProxy(self.preset)
        self._arrange()
        for box, name in ((self.span, "span"), (self.open, "open_strings"), (self.picking, "picking")):
            box.activated.connect(lambda _, box=box, name=name: self._set(**{name: box.currentData()}))
        self.preset.activated.connect(lambda _: self._take_preset())
        self.position.editingFinished.connect(lambda: self._set(position=self.position.value() or None))
        self.strings.typing.settled.connect(self._set_strings)
        self.left_handed.clicked.connect(lambda is_so: self._set(left_handed=is_so))
        self.tuning.activated.connect(lambda _: self._take_tuning())
        self.frets.editingFinished.connect(lambda: self._set_instrument(frets=self.frets.value()))
        self.capo.editingFinished.connect(lambda: self._set_instrument(capo=self.capo.value()))
        document.changed.connect(self.refresh)
        self.refresh()

    def _arrange(self) -> None:
        self.capo.setSpecialValueText(words.NO_CAPO)
        self.position.setToolTip(words.POSITION_TIP)
        self.picking.setToolTip(words.PICKING_TIP)
        rows = QFormLayout(self)
        fields: list[tuple[str, QWidget]] = [
            (words.PRESET, self.preset), (words.SPAN, self.span), (words.POSITION, self.position),
            (words.OPEN, self.open), (words.PICKING, self.picking), (words.STRINGS, self.strings),
            (words.TUNING, self.tuning), (words.FRETS, self.frets), (words.CAPO, self.capo)]
        for name, field in fields:
            field.setAccessibleName(name)
            rows.addRow(name, field)
        rows.addRow(self.left_handed)
        rows.addRow(self.fault)

    def refresh(self) -> None:
        """Show what the study has."""
        who, instrument = self._document.study.guitarist, self._document.study.instrument
        named = next((name for name in preset_names() if _as_by(load_preset(name).guitarist, who) == who), "")
        tuned = next((name for name, tuning in TUNINGS.items() if tuning == instrument.tuning), "")
        for box, value in ((self.preset, named), (self.span, who.span), (self.open, who.open_strings),
                           (self.picking, who.picking), (self.tuning, tuned)):
            _show(box, value)
        self.position.setValue(who.position or 0)
        self.strings.typing.show(" ".join(map(str, who.strings)))
        self.left_handed.setChecked(who.left_handed)
        self.frets.setValue(instrument.frets)
        self.capo.setValue(instrument.capo)

    def _take_preset(self) -> None:
        name = self.preset.currentData()
        if name:
            self._edit(words.EDIT_GUITARIST, lambda study: edits.set_details(
                study, guitarist=_as_by(load_preset(name).guitarist, study.guitarist)))
        self.refresh()

    def _set_strings(self, text: str) -> None:
        try:
            self._set(strings=read_strings(text, len(self._document.study.instrument.tuning)))
        except BarglossError as error:
            self.fault.tell(error.what)

    def _set(self, **parts: Any) -> None:
        self._edit(words.EDIT_GUITARIST, lambda study: edits.set_details(
            study, guitarist=replace(study.guitarist, **parts)))

    def _take_tuning(self) -> None:
        name = self.tuning.currentData()
        if name:
            self._set_instrument(tuning=TUNINGS[name])
        self.refresh()

    def _set_instrument(self, **parts: Any) -> None:
        def changed(study: Study) -> Study:
            instrument: Instrument = replace(study.instrument, **parts)
            return edits.set_details(study, instrument=instrument)

        self._edit(words.EDIT_INSTRUMENT, changed)

    def _edit(self, name: str, change: Callable[[Study], Study]) -> None:
        self.fault.tell("")
        try:
            self._document.edit(name, change)
        except BarglossError as error:
            self.fault.tell("\n".join(error.lines()))
            self.refresh()


def _as_by(preset: Guitarist, who: Guitarist) -> Guitarist:
    """The way of playing, by a guitarist who stays left- or right-handed."""
    return replace(preset, left_handed=who.left_handed)


def _show(box: QComboBox, value: str) -> None:
    box.setCurrentIndex(max(0, box.findData(value)))
