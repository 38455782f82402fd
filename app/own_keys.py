"""The keys of the commands: read off the menus, changed by the person, and kept from day to day."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from typing import Any, NamedTuple

from PySide6.QtCore import Qt
from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtWidgets import QMenu, QMenuBar

from app import words_around, words_fingering
from app import words_keys as words
from app.settings import Settings
from core.errors import BarglossError

_KEPT = "keys"
_Key = Qt.Key
_FUNCTION = range(_Key.Key_F1, _Key.Key_F12 + 1)
_RARE = range(_Key.Key_F13, _Key.Key_F35 + 1)  # some systems bind undo and the clipboard to them as well
_HELD = (Qt.KeyboardModifier.ControlModifier, Qt.KeyboardModifier.AltModifier, Qt.KeyboardModifier.MetaModifier)
_Keys = Sequence[QKeySequence]


class Command(NamedTuple):
    """One line of a menu. name: with the menus inside its own that lead to it; original: the keys it came with."""

    menu: str
    name: str
    action: QAction
    original: _Keys

    @property
    def place(self) -> str:
        """What its keys are kept under."""
        return f"{self.menu}: {self.name}"

    @property
    def keys(self) -> _Keys:
        return self.action.shortcuts()

    @property
    def told(self) -> str:
        """Its keys for a person; the page's own one stands after its words in the menu."""
        own = self.action.text().partition("\t")[2]
        return ", ".join(filter(None, [own, shown_keys(self.keys)]))

    @property
    def is_changed(self) -> bool:
        return list(self.keys) != list(self.original)


def commands_of(bar: QMenuBar) -> Iterator[Command]:
    """Every command of the menus, in order; the recent studies, which come and go, are none."""
    for top in bar.actions():
        menu = top.menu()
        if isinstance(menu, QMenu):
            for name, action in _inside(menu):
                yield Command(_plain(top.text()), name, action, tuple(action.shortcuts()))


def _inside(menu: QMenu, before: str = "") -> Iterator[tuple[str, QAction]]:
    for action in menu.actions():
        inner = action.menu()
        name = before + _name(action)
        if isinstance(inner, QMenu):
            if inner.title() != words_around.RECENT:
                yield from _inside(inner, f"{name}: ")
        elif not action.isSeparator():
            yield name, action


def _name(action: QAction) -> str:
    """Its words in the menu, but for the edit that Undo and Redo name there."""
    name, short = _plain(action.text()), _plain(action.iconText())
    return short if name.startswith(f"{short}: ") else name


def _plain(text: str) -> str:
    """A menu's words without what marks its keys."""
    return text.partition("\t")[0].replace("&&", "\0").replace("&", "").replace("\0", "&").removesuffix("…")


def shown_keys(keys: _Keys) -> str:
    """As this system writes them, without those few keyboards have."""
    kind = QKeySequence.SequenceFormat.NativeText
    return ", ".join(one.toString(kind) for one in keys
                     if one[0].key() not in _RARE and one[0].key() < _Key.Key_Super_L)


def fixed_keys() -> Iterator[tuple[str, QKeySequence]]:
    """What the page, the neck and every field do with keys of their own, and each such key."""
    for what, keys in (*words_around.PAGE_KEYS, *words_fingering.NECK_KEYS, *words.MOVING_KEYS):
        for key in keys.split(", "):
            yield what, QKeySequence(key)


class OwnKeys:
    """Of a window whose menus are all there."""

    def __init__(self, bar: QMenuBar, settings: Settings) -> None:
        self._settings = settings
        self.commands = list(commands_of(bar))
        self._mnemonics = [(_plain(top.text()), QKeySequence.mnemonic(top.text())) for top in bar.actions()]
        self._restore()

    def give(self, command: Command, key: QKeySequence) -> None:
        """This key, and no other from now on. Raises BarglossError where it is something else's."""
        trouble = self._unfit(command, key) or self._clash(command, [key])
        if trouble:
            raise BarglossError(trouble)
        self._set({command.place: [key]})

    def give_back(self, command: Command) -> None:
        """What it came with. Raises BarglossError where another command has that now."""
        trouble = self._clash(command, command.original)
        if trouble:
            raise BarglossError(trouble)
        self._set({command.place: command.original})

    def give_all_back(self) -> None:
        self._set({one.place: one.original for one in self.commands})

    def _set(self, keys: dict[str, _Keys]) -> None:
        for one in self.commands:
            if one.place in keys:
                one.action.setShortcuts(list(keys[one.place]))
        changed = {one.place: [key.toString() for key in one.keys] for one in self.commands if one.is_changed}
        self._settings.keep(_KEPT, json.dumps(changed))
        self._settings.write()

    def _restore(self) -> None:
        """What was kept, but for commands that are no more, and for keys that are something else's by now."""
        kept = _read(self._settings.text(_KEPT))
        given = [one for one in self.commands if one.place in kept]
        for one in given:
            one.action.setShortcuts(kept[one.place])
        while spoiled := next((one for one in given if self._no_good(one)), None):
            spoiled.action.setShortcuts(list(spoiled.original))
            given.remove(spoiled)

    def _no_good(self, command: Command) -> bool:
        return bool(self._clash(command, command.keys)) or any(self._unfit(command, key) for key in command.keys)

    def _clash(self, command: Command, keys: _Keys) -> str:
        """Which other command has one of these keys, in a line; "" for none."""
        for other in self.commands:
            both = [key for key in keys for own in other.keys if _overlap(key, own)]
            if other.action is not command.action and both:
                return words.TAKEN.format(key=shown_keys(both[:1]), name=other.place)
        return ""

    def _unfit(self, command: Command, key: QKeySequence) -> str:
        """Why no command, or not this one, may have the key; "" where it may."""
        shown = key.toString(QKeySequence.SequenceFormat.NativeText)
        for name, fixed in fixed_keys():
            if _overlap(key, fixed):
                return words.PAGE_HAS.format(key=shown, name=name)
        for name, opening in self._mnemonics:
            if _overlap(key, opening):
                return words.OPENS_MENU.format(key=shown, name=name)
        is_of_page = command.action.shortcutContext() == Qt.ShortcutContext.WidgetShortcut
        is_typed = key[0].key() not in _FUNCTION and not any(one & key[0].keyboardModifiers() for one in _HELD)
        return words.TYPED.format(key=shown) if is_typed and not is_of_page else ""


def _overlap(one: QKeySequence, other: QKeySequence) -> bool:
    """Whether one is the other, or begins it."""
    none = QKeySequence.SequenceMatch.NoMatch
    return not one.isEmpty() and not other.isEmpty() and (one.matches(other) != none or other.matches(one) != none)


def _read(text: str) -> dict[str, list[QKeySequence]]:
    """What was kept, as far as it is what we keep."""
    try:
        kept: Any = json.loads(text or "{}")
    except ValueError:
        return {}
    found = {}
    for place, keys in kept.items() if isinstance(kept, dict) else ():
        read = [QKeySequence(key) for key in keys if isinstance(key, str)] if isinstance(keys, list) else []
        if read and not any(key.isEmpty() or key[0].key() == _Key.Key_unknown for key in read):
            found[place] = read
    return found
