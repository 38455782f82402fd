"""Everything the menus, the tool bar and the keys can do, as named actions.

Keys: where the system has a usual one for opening, saving, undoing, zooming or leaving, that one. Of the rest each
is the first letter of its word, arrows that go the way they point, or with Alt the number of a tab of the side.
Return (on the page, where it is no shortcut but a key of the page's own) goes in to write, and Escape comes out again.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import NamedTuple, Protocol

from PySide6.QtGui import QAction, QActionGroup, QKeySequence
from PySide6.QtWidgets import QMainWindow, QMenu, QToolBar

from app import words, words_rows, words_sheet, words_writing
from app.document import Look
from core.handout import PAPERS, template_names

_Std = QKeySequence.StandardKey
_Keys = Sequence[QKeySequence | QKeySequence.StandardKey | str]


class Files(Protocol):
    """What the File menu does."""

    def new(self) -> None: ...
    def open(self) -> None: ...
    def save(self) -> bool: ...
    def save_as(self) -> bool: ...
    def bring(self) -> None: ...
    def export_handout(self) -> None: ...
    def export_as(self) -> None: ...
    def open_demo(self, name: str) -> None: ...


class Work(Protocol):
    """What the window does when an action is called."""

    def study_sheet(self) -> None: ...
    def undo(self) -> None: ...
    def redo(self) -> None: ...
    def zoom_in(self) -> None: ...
    def zoom_out(self) -> None: ...
    def own_size(self) -> None: ...
    def fit_width(self) -> None: ...
    def fit_page(self) -> None: ...
    def next_bar(self) -> None: ...
    def previous_bar(self) -> None: ...
    def write_about(self) -> None: ...
    def back_to_page(self) -> None: ...
    def show_notices(self) -> None: ...
    def choose_template(self, name: str) -> None: ...
    def choose_paper(self, name: str) -> None: ...
    def show_rows(self) -> None: ...
    def turn_strip(self) -> None: ...
    def close(self) -> bool: ...


class Actions(NamedTuple):
    """Those whose look changes with the study. templates, papers: by name."""

    save: QAction
    undo: QAction
    redo: QAction
    templates: dict[str, QAction]
    papers: dict[str, QAction]
    strip: QAction

    def show_look(self, look: Look) -> None:
        """Tick what the page has."""
        self.templates[look.template].setChecked(True)
        self.papers[look.paper].setChecked(True)
        self.strip.setChecked(look.strip)


class _View(NamedTuple):
    """What of the View menu is wanted elsewhere."""

    fit: QAction
    templates: dict[str, QAction]
    papers: dict[str, QAction]
    strip: QAction


def build(window: QMainWindow, work: Work, files: Files, demos: Sequence[tuple[str, str]]) -> Actions:
    """Fill a window's menus and tool bar. demos: file name and title of each."""
    file = window.menuBar().addMenu(words.FILE)
    add_action(file, words_writing.NEW, files.new, [_Std.New])
    opening = add_action(file, words.OPEN, files.open, [_Std.Open])
    demo = file.addMenu(words.OPEN_DEMO)
    for name, title in demos:
        add_action(demo, title, lambda name=name: files.open_demo(name))
    file.addSeparator()
    save = add_action(file, words.SAVE, files.save, [_Std.Save])
    add_action(file, words.SAVE_AS, files.save_as, [_Std.SaveAs])
    file.addSeparator()
    add_action(file, words_sheet.SHEET_MENU, work.study_sheet, [words_sheet.SHEET_KEY])
    file.addSeparator()
    add_action(file, words.BRING, files.bring, ["Ctrl+B"])
    handout = add_action(file, words.HANDOUT, files.export_handout, ["Ctrl+H"])
    add_action(file, words.EXPORT, files.export_as, ["Ctrl+E"])
    file.addSeparator()
    add_action(file, words.QUIT, work.close, [_Std.Quit])

    edit = window.menuBar().addMenu(words.EDIT)
    undo = add_action(edit, words.UNDO, work.undo, [_Std.Undo])
    redo = add_action(edit, words.REDO, work.redo, [_Std.Redo])
    edit.addSeparator()
    add_action(edit, words.TO_PANEL, work.write_about)
    add_action(edit, words.TO_PAGE, work.back_to_page, ["Esc"])

    view = _view_menu(window, work)
    _go_menu(window, work)

    bar = QToolBar(words.TOOLBAR, window)
    bar.setMovable(False)
    bar.toggleViewAction().setEnabled(False)
    window.addToolBar(bar)
    for action, name in ((opening, words.BAR_TOOL_OPEN), (save, words.BAR_TOOL_SAVE), (undo, words.BAR_TOOL_UNDO),
                         (redo, words.BAR_TOOL_REDO), (handout, words.BAR_TOOL_HANDOUT),
                         (view.fit, words.BAR_TOOL_FIT)):
        action.setIconText(name)
        bar.addAction(action)
        if action in (save, redo, handout):
            bar.addSeparator()
    return Actions(save, undo, redo, view.templates, view.papers, view.strip)


def _view_menu(window: QMainWindow, work: Work) -> _View:
    view = window.menuBar().addMenu(words.VIEW)
    add_action(view, words.ZOOM_IN, work.zoom_in, [_Std.ZoomIn, "Ctrl+="])
    add_action(view, words.ZOOM_OUT, work.zoom_out, [_Std.ZoomOut])
    add_action(view, words.OWN_SIZE, work.own_size, ["Ctrl+1"])
    fit = add_action(view, words.FIT_WIDTH, work.fit_width, ["Ctrl+0"])
    add_action(view, words.WHOLE_PAGE, work.fit_page, ["Ctrl+Shift+P"])
    view.addSeparator()
    templates = _choice(view.addMenu(words.TEMPLATE), {name: name.capitalize() for name in template_names()},
                        work.choose_template)
    papers = _choice(view.addMenu(words.PAPER), {name: words.PAPERS.get(name, name) for name in PAPERS},
                     work.choose_paper)
    strip = add_action(view, words_rows.STRIP, work.turn_strip)
    strip.setCheckable(True)
    add_action(view, words_rows.ROWS_MENU, work.show_rows)
    view.addSeparator()
    add_action(view, words.SHOW_NOTICES, work.show_notices)
    return _View(fit, templates, papers, strip)


def _go_menu(window: QMainWindow, work: Work) -> None:
    go = window.menuBar().addMenu(words.GO)
    add_action(go, words.NEXT_BAR, work.next_bar, ["Ctrl+Right", "Ctrl+PgDown"])
    add_action(go, words.PREVIOUS_BAR, work.previous_bar, ["Ctrl+Left", "Ctrl+PgUp"])


def add_action(menu: QMenu, name: str, do: Callable[[], object], keys: _Keys = ()) -> QAction:
    action = QAction(name, menu)
    sequences: list[QKeySequence] = []
    for key in keys:
        sequences += QKeySequence.keyBindings(key) if isinstance(key, QKeySequence.StandardKey) else [QKeySequence(key)]
    action.setShortcuts(list(dict.fromkeys(sequences)))
    action.triggered.connect(lambda _checked: do())
    menu.addAction(action)
    return action


def _choice(menu: QMenu, names: dict[str, str], do: Callable[[str], None]) -> dict[str, QAction]:
    """names: what each is shown as."""
    group, actions = QActionGroup(menu), {}
    for name, shown in names.items():
        action = add_action(menu, shown, lambda name=name: do(name))
        action.setCheckable(True)
        group.addAction(action)
        actions[name] = action
    return actions
