"""Short scenes for the engraving tests: a bar written as text, and the ink that comes of it."""

from __future__ import annotations

from fractions import Fraction

from core.engraving import BarShape, Galley, Style, SystemInk, SystemPlan, engrave, set_system
from core.engraving.bar import ink_bar
from core.engraving.drawing import Frame, Glyph, Line, Mark, Text
from core.engraving.view import RowInk
from core.guitar import finger
from core.line import analyse
from core.study import Bar, Event, Note, Study, Tuplet, parse_pitch


def events(text: str) -> tuple[Event, ...]:
    """`C4 F#4:4. r:8 C4+E4~:2 ^D4 [3:2 C4 D4 E4 ]`: sounding pitches, eighths unless a value is given.

    `~` ties, `?` makes a ghost, `^` a grace note; brackets enclose a tuplet.
    """
    made: list[Event] = []
    tuplets: list[Tuplet] = []
    at = Fraction(0)
    for word in text.split():
        if word[0] == "[":
            tuplets.append(Tuplet(*map(int, word[1:].split(":")), starts=True))
        elif word == "]":
            tuplets.pop()
        else:
            names, _, value = word.lstrip("^").partition(":")
            length = _length(value or "8")
            if word[0] == "^":
                made.append(Event(at, length, _notes(names), grace=True))
                continue
            for tuplet in tuplets:
                length = length * tuplet.normal / tuplet.actual
            made.append(Event(at, length, _notes(names), tuple(tuplets)))
            at += length
            tuplets = [tuplet._replace(starts=False) for tuplet in tuplets]
    return tuple(made)


def _length(value: str) -> Fraction:
    figure = value.rstrip(".")
    return Fraction(4, int(figure)) * (2 - Fraction(1, 2 ** (len(value) - len(figure))))


def _notes(names: str) -> tuple[Note, ...]:
    if names == "r":
        return ()
    return tuple(Note(parse_pitch(name.strip("~?")), "~" in name, "?" in name) for name in names.split("+"))


def bar(text: str, **facts: object) -> Bar:
    return Bar(events(text), **facts)


def study(*bars: Bar | str, **facts: object) -> Study:
    """Bars given as text are as long as what stands in them."""
    row = [one if isinstance(one, Bar) else _fitting(one) for one in bars]
    return Study(bars=tuple(row), **facts)


def _fitting(text: str) -> Bar:
    row = events(text)
    return Bar(row, length=row[-1].end if row else None)


def galley(whole: Study, style: Style | None = None) -> Galley:
    return engrave(whole, analyse(whole), finger(whole), style or Style())


def shape(whole: Study | str, place: int = 0, style: Style | None = None) -> BarShape:
    return galley(study(whole) if isinstance(whole, str) else whole, style).bars[place]


def row(name: str, whole: Study | str, place: int = 0, stretch: float = 2.9, style: Style | None = None) -> RowInk:
    """One row of one bar, inked."""
    return ink_bar(shape(whole, place, style), stretch).rows[name]


def system(
    whole: Study, width: float = 102.9, stretch: float | None = None, style: Style | None = None, **facts: object
) -> SystemInk:
    """All bars of the study as one system that opens it."""
    plan = dict(bars=galley(whole, style).bars, numbers=tuple(here.number for here in whole.in_force), opens=True,
                before=None, tied_in=(), slurred_in=False, carried=())
    return set_system(SystemPlan(width=width, stretch=stretch, **{**plan, **facts}))


def glyphs(marks: tuple[Mark, ...], part: str) -> list[Glyph]:
    """The glyphs whose SMuFL name holds `part`, in the order they are drawn."""
    return [mark for mark in marks if isinstance(mark, Glyph) and part in mark.name]


def stems(ink: RowInk) -> dict[int, Line]:
    """By event."""
    return {mark.tag.event: mark for mark in ink.drawing.marks
            if isinstance(mark, Line) and mark.tag is not None and mark.tag.kind == "note" and mark.x1 == mark.x2}


def stood(mark: Mark, x: float, y: float) -> Mark:
    """A text, stroke or frame where it stands if its drawing is at x, y."""
    if isinstance(mark, Line):
        return mark._replace(x1=mark.x1 + x, y1=mark.y1 + y, x2=mark.x2 + x, y2=mark.y2 + y)
    if isinstance(mark, Frame):
        return mark._replace(left=mark.left + x, top=mark.top + y, right=mark.right + x, bottom=mark.bottom + y)
    return mark._replace(x=mark.x + x, y=mark.y + y) if isinstance(mark, Text) else mark
