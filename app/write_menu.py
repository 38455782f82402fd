"""The menus of writing, and the keys.

Keys hold while the page has the keyboard, and by this reason: a letter A to G is that note, and after a + one more
head for the note that is there. A figure is the value it names (4 a quarter, 8 an eighth; 16 and 32 by one figure
each, 6 and 3), and on the tab the fret it prints. What has a sign of its own is typed by the key that looks most like
it (a dot, the accent's >, the ghost note's bracket, # a sharp, and a flat the b, with Shift since B is a note). Up and
down move what is selected up and down, by a half step with Alt, a step with Shift, from string to string with Control,
and an octave, the farthest, with Control and Shift. All else is the first letter of its word, or of its other name: L
longer, Q quicker, O ornament, M move, T tie, S slur, U tuplet (with Shift or Control the rarer ones), V value, N name,
P position, I insert, J join, X for a cut, H harmony. Letters and figures that would write wait until the pen is out.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import NamedTuple

from PySide6.QtCore import Qt
from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtWidgets import QMenu, QMenuBar, QWidget

from app import words_writing as words
from app.actions import add_action
from app.bar_work import BarWork
from app.own_keys import shown_keys
from app.passage import Passage
from app.writer import BASES, Writer
from core.study import ARTICULATIONS, STEPS

_Std = QKeySequence.StandardKey
_TUPLET_KEYS = {3: "U", 5: "Shift+U", 6: "Ctrl+U", 7: "Ctrl+Shift+U"}
_SIGNS = {"accent": ">", "marcato": "^", "staccato": "'", "tenuto": "_", "slide": "/", "fall": "\\", "turn": "~"}


class WriteActions(NamedTuple):
    """writing: goes in and out of the mode; keyboard: of hearing a keyboard. pen: those that only work in the mode.

    told: those whose keys are told elsewhere too, by their names there.
    """

    writing: QAction
    keyboard: QAction
    pen: tuple[QAction, ...]
    told: dict[str, QAction]

    def keys(self) -> dict[str, str]:
        """Of each that is told, as it has them now."""
        return {name: shown_keys(action.shortcuts()) for name, action in self.told.items()}


class Asking(NamedTuple):
    """What opens a line or a dialog first."""

    notes: Callable[[], None]
    changes_here: Callable[[], None]
    changes_chorus: Callable[[], None]
    position: Callable[[], None]
    keyboard: Callable[[], None]


class _Menus:
    """Adds actions that hold while the page has the keyboard."""

    def __init__(self, page: QWidget) -> None:
        self._page = page
        self.told: dict[str, QAction] = {}

    def add(self, menu: QMenu, name: str, do: Callable[[], object],
            keys: Sequence[QKeySequence.StandardKey | str] = (), told: str = "") -> QAction:
        action = add_action(menu, name, do, keys)
        action.setShortcutContext(Qt.ShortcutContext.WidgetShortcut)
        self._page.addAction(action)
        if told:
            self.told[told] = action
        return action


def build(bar: QMenuBar, before: QAction, edit: QMenu, page: QWidget, commands: tuple[Writer, Passage, BarWork],
          asking: Asking) -> WriteActions:
    """Fill the menus. before: the menu that they stand in front of; edit: the Edit menu."""
    writer, passage, bars = commands
    menus = _Menus(page)
    _edit_menu(menus, edit, passage)
    write, notes, of_bars = (QMenu(name, bar) for name in (words.WRITE, words.NOTES, words.BARS))
    for menu in (write, notes, of_bars):
        bar.insertMenu(before, menu)
    _notes_menu(menus, notes, passage, asking)
    _bars_menu(menus, of_bars, bars, asking)
    return _write_menu(menus, write, writer, asking)


def _edit_menu(menus: _Menus, edit: QMenu, passage: Passage) -> None:
    edit.addSeparator()
    menus.add(edit, words.CUT, passage.cut, [_Std.Cut])
    menus.add(edit, words.COPY, passage.copy, [_Std.Copy])
    menus.add(edit, words.PASTE, passage.paste, [_Std.Paste])
    menus.add(edit, words.PASTE_NOTES, passage.paste_notes, ["Ctrl+Shift+V"])
    menus.add(edit, words.DELETE, passage.delete, ["Del"])
    menus.add(edit, words.SELECT_ALL, passage.select_all, [_Std.SelectAll])


def _write_menu(menus: _Menus, menu: QMenu, writer: Writer, asking: Asking) -> WriteActions:
    writing = menus.add(menu, words.WRITING, writer.toggle, ["W"], "writing")
    writing.setCheckable(True)
    menu.addSeparator()
    pen = []
    letters, added, figures = (menu.addMenu(name) for name in (words.LETTERS, words.ADDED, words.FIGURES))
    for step in sorted(STEPS):
        pen.append(menus.add(letters, words.LETTER.format(step=step), lambda step=step: writer.letter(step), [step]))
        pen.append(menus.add(added, words.ADDED_LETTER.format(step=step), lambda step=step: writer.add(step),
                             [f"+,{step}"]))
    for figure in range(10):
        pen.append(menus.add(added, words.ADDED_FRET.format(figure=figure),
                             lambda figure=figure: writer.add_figure(figure), [f"+,{figure}"]))
        name = words.FIGURE if figure in BASES else words.FIGURE_FRET
        pen.append(menus.add(figures, name.format(figure=figure, value=words.VALUES.get(figure, "")),
                             lambda figure=figure: writer.figure(figure), [str(figure)], str(figure)))
    tuplets = menu.addMenu(words.TUPLET_MENU)
    for actual, name in words.TUPLETS.items():
        pen.append(menus.add(tuplets, name, lambda actual=actual: writer.tuplet(actual), [_TUPLET_KEYS[actual]],
                             f"tuplet {actual}"))
    for name, do, key, told in ((words.PUT_REST, writer.rest, "R", "rest"), (words.BACK, writer.back, "Backspace", ""),
                                (words.GO_ON, writer.go_on, "Space", "go_on"), (words.DOT, writer.dot, ".", "dot"),
                                (words.LONGER, writer.longer, "L", "longer"),
                                (words.QUICKER, writer.quicker, "Q", "quicker"),
                                (words.GRACE, writer.grace, "O", "grace"), (words.TO_TAB, writer.switch, "M", "tab")):
        pen.append(menus.add(menu, name, do, [key], told))
    menu.addSeparator()
    menus.add(menu, words.SHARPER, lambda: writer.alter(1), ["#"], "sharper")
    menus.add(menu, words.FLATTER, lambda: writer.alter(-1), ["Shift+B"], "flatter")
    menus.add(menu, words.TIE, writer.tie, ["T"], "tie")
    menus.add(menu, words.GIVE_VALUE, writer.give_value, ["V"])
    menus.add(menu, words.TYPE_NOTES, asking.notes, ["Ctrl+T"])
    keyboard = menus.add(menu, words.MIDI_KEYBOARD, asking.keyboard, ["Ctrl+K"])
    keyboard.setCheckable(True)
    return WriteActions(writing, keyboard, tuple(pen), menus.told)


def _notes_menu(menus: _Menus, menu: QMenu, passage: Passage, asking: Asking) -> None:
    for name, do, key in ((words.HALF_UP, lambda: passage.by_half_steps(1), "Alt+Up"),
                          (words.HALF_DOWN, lambda: passage.by_half_steps(-1), "Alt+Down"),
                          (words.STEP_UP, lambda: passage.by_steps(1), "Shift+Up"),
                          (words.STEP_DOWN, lambda: passage.by_steps(-1), "Shift+Down"),
                          (words.OCTAVE_UP, lambda: passage.by_octaves(1), "Ctrl+Shift+Up"),
                          (words.OCTAVE_DOWN, lambda: passage.by_octaves(-1), "Ctrl+Shift+Down"),
                          (words.RESPELL, passage.respell, "N")):
        menus.add(menu, name, do, [key])
    menu.addSeparator()
    menus.add(menu, words.SLUR, passage.slur, ["S"])
    menus.add(menu, words.GHOST, passage.ghost, ["("])
    marks = menu.addMenu(words.ARTICULATIONS)
    for mark in ARTICULATIONS:
        menus.add(marks, mark.capitalize(), lambda mark=mark: passage.articulation(mark),
                  [_SIGNS[mark]] if mark in _SIGNS else [])
    menu.addSeparator()
    menus.add(menu, words.STRING_UP, lambda: passage.next_string(-1), ["Ctrl+Up"])
    menus.add(menu, words.STRING_DOWN, lambda: passage.next_string(1), ["Ctrl+Down"])
    menus.add(menu, words.POSITION, asking.position, ["P"])


def _bars_menu(menus: _Menus, menu: QMenu, bars: BarWork, asking: Asking) -> None:
    menus.add(menu, words.CHANGES_HERE, asking.changes_here, ["H"], "changes")
    menus.add(menu, words.CHANGES_CHORUS, asking.changes_chorus, ["Shift+H"])
    menu.addSeparator()
    menus.add(menu, words.INSERT_BEFORE, bars.insert_before, ["I"])
    menus.add(menu, words.INSERT_AFTER, bars.insert_after, ["Shift+I"])
    menus.add(menu, words.DELETE_BARS, bars.delete_bars, ["Ctrl+Backspace"])
    menus.add(menu, words.SPLIT, bars.split_bar, ["X"])
    menus.add(menu, words.JOIN, bars.join_bars, ["J"])
    menus.add(menu, words.REPEAT, bars.repeat_bars, ["Ctrl+R"])
    menus.add(menu, words.REPEAT_SIGNS, bars.repeat_signs, ["Shift+R"])
