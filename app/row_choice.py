"""The rows of a template as the teacher would have them: which are shown, and in what order."""

from __future__ import annotations

from typing import NamedTuple

from core.engraving import ROWS, check_rows
from core.errors import BarglossError
from core.handout import Template

_HIDDEN = "-"


class Row(NamedTuple):
    name: str
    shown: bool


Rows = tuple[Row, ...]


def rows_of(template: Template) -> Rows:
    """Every row there is: the template's own shown, in its order, each other hidden above those it belongs over."""
    names, usual = list(template.style.rows), list(ROWS)
    for name in ROWS:
        if name not in names:
            under = [names.index(one) for one in usual[usual.index(name) + 1:] if one in names]
            names.insert(min(under, default=len(names)), name)
    if "callouts" not in names:
        names.append("callouts")
    return tuple(Row(name, name in template.style.rows) for name in names)


def shown(rows: Rows) -> tuple[str, ...]:
    return tuple(row.name for row in rows if row.shown)


def turned(rows: Rows, index: int) -> Rows:
    """With one row shown that was hidden, or hidden that was shown. Raises BarglossError where that cannot be."""
    row = rows[index]
    return _checked((*rows[:index], row._replace(shown=not row.shown), *rows[index + 1:]))


def moved(rows: Rows, index: int, by: int) -> Rows:
    """With one row that much lower. Raises BarglossError where it cannot stand there."""
    others = [*rows[:index], *rows[index + 1:]]
    return _checked((*others[:index + by], rows[index], *others[index + by:]))


def can_move(rows: Rows, index: int, by: int) -> bool:
    """Whether there is a place to go to: callouts stand under all rows."""
    to = index + by
    return 0 <= to < len(rows) and "callouts" not in (rows[index].name, rows[to].name)


def _checked(rows: Rows) -> Rows:
    check_rows(shown(rows))
    return rows


def as_text(rows: Rows) -> str:
    """To be kept: their names in order, hidden ones marked."""
    return " ".join(("" if row.shown else _HIDDEN) + row.name for row in rows)


def from_text(text: str, template: Template) -> Rows:
    """What was kept; the template's own where it is not every row there is, or cannot be shown."""
    rows = tuple(Row(name.removeprefix(_HIDDEN), not name.startswith(_HIDDEN)) for name in text.split())
    own = rows_of(template)
    if sorted(row.name for row in rows) != sorted(row.name for row in own) or rows[-1].name != own[-1].name:
        return own
    try:
        return _checked(rows)
    except BarglossError:
        return own
