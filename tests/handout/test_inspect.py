"""The proof-reader: a clean page has no flaw, and each flaw planted in it is found.

The page is one of ours, whole; a plant moves one of its marks or adds one, as a slip in the engraver would.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from functools import cache

import pytest

from core.engraving.arcs import arc, moved
from core.engraving.drawing import Arc, Drawing, Frame, Glyph, Line, Mark, Pages, Polygon, Tag, Text
from core.handout import Layout, lay_out, load_template
from core.handout.inspect import flaws, proofread
from core.study import Callout, Change, Chorus
from tests.engraving.scenes import bar, study

BARS = (
    "Bb3:4. F#4 r:4 A3 E3",  # 0: a dot, an accidental, a free flag, ledgers under the staff to come
    "[3:2 C4 D4 E4 ] G4 A4 F4:4 F4:4",  # 1: a tuplet
    "E5 F5:4 D5 Bb4~:4 Bb4:4",  # 2: beyond the ledger lines, a flag, a tie
    "^D4 E4:4 E4 G4 G4+B4:4 C4:4",  # 3: a grace note, a double stop
    "E4 A4 G4 F#4 E4 D4 Bb3 G3",  # 4: a slur
    "E2:1",
)


@cache
def layout() -> Layout:
    bars = [bar(text, changes=(Change(Fraction(0), "C7"), Change(Fraction(2), "F7")) if index != 5 else ())
            for index, text in enumerate(BARS)]
    row = bars[4].events
    slurred = (replace(row[0], slur="start"), *row[1:3], replace(row[3], slur="stop"),
               replace(row[4], articulations=("accent",)), *row[5:])
    bars[4] = replace(bars[4], events=slurred, rehearsal="B")
    bars[0] = replace(bars[0], callouts=(Callout(Fraction(0), Fraction(2), heading="One", text="Hear it first.",
                                                neck=True),))
    bars[1] = replace(bars[1], ending="1", callouts=(
        Callout(Fraction(0), Fraction(2), heading="Two", text="Then play it."),))
    return lay_out(study(*bars, title="A clean page", choruses=(Chorus("Chorus 1", 0),)), load_template("lesson"))


def clean() -> Pages:
    return layout().pages


Pick = Callable[[Mark], bool]


def nth(kind: type, place: int = 0, **facts: object) -> Pick:
    """The mark number `place` of that class whose attributes are as given (name, ink: by what they hold)."""
    count = -1

    def pick(mark: Mark) -> bool:
        nonlocal count
        fits = isinstance(mark, kind) and all(
            wanted in getattr(mark, fact) if fact == "name" else getattr(mark, fact) == wanted
            for fact, wanted in facts.items())
        count += fits
        return fits and count == place
    return pick


def slip(index: int | None, pick: Pick, change: Callable[[Mark], Mark]) -> Pages:
    """The clean pages with one mark of a bar changed."""
    done = False
    placed = []
    for one in clean().pages[0].placed:
        marks = []
        for mark in one.drawing.marks:
            if not done and one.bar == index and pick(mark):
                done, mark = True, change(mark)  # noqa: PLW2901
            marks.append(mark)
        placed.append(one._replace(drawing=Drawing(tuple(marks))))
    assert done, "no mark to plant"
    page = replace(clean().pages[0], placed=tuple(placed))
    return replace(clean(), pages=(page, *clean().pages[1:]))


def added(index: int, *marks: Mark) -> Pages:
    """The clean pages with marks more, from where the bar's notation has its origin."""
    page = clean().pages[0]
    row = notation(index)
    return replace(clean(), pages=(replace(page, placed=(*page.placed, row._replace(drawing=Drawing(marks)))),))


def notation(index: int):
    return next(one for one in clean().pages[0].placed if one.bar == index and any(
        isinstance(mark, Glyph) and mark.name.startswith("notehead") for mark in one.drawing.marks))


def the(index: int, pick: Pick) -> Mark:
    return next(mark for one in clean().pages[0].placed if one.bar == index for mark in one.drawing.marks if pick(mark))


def head(index: int, event: int, note: int = 0) -> Glyph:
    return the(index, nth(Glyph, name="notehead", tag=Tag("note", event, note)))


def to(**places: float) -> Callable[[Mark], Mark]:
    return lambda mark: mark._replace(**places)


def by(dx: float = 0.0, dy: float = 0.0) -> Callable[[Mark], Mark]:
    def move(mark: Mark) -> Mark:
        if isinstance(mark, Arc):
            return moved(mark, dy)
        if isinstance(mark, Polygon):
            return mark._replace(points=tuple((x + dx, y + dy) for x, y in mark.points))
        if isinstance(mark, Line):
            return mark._replace(x1=mark.x1 + dx, x2=mark.x2 + dx, y1=mark.y1 + dy, y2=mark.y2 + dy)
        if isinstance(mark, Frame):
            return mark._replace(left=mark.left + dx, right=mark.right + dx, top=mark.top + dy, bottom=mark.bottom + dy)
        return mark._replace(x=mark.x + dx, y=mark.y + dy)
    return move


def on_page(index: int, pick: Pick, x: float, y: float) -> Callable[[Mark], Mark]:
    """Moves a glyph or text to where x, y of the bar's notation lies."""
    mark = next(mark for one in clean().pages[0].placed if one.bar == index for mark in one.drawing.marks if pick(mark))
    home = next(one for one in clean().pages[0].placed if one.bar == index and mark in one.drawing.marks)
    row = notation(index)
    return to(x=(row.x - home.x) / home.scale + x, y=(row.y - home.y) / home.scale + y)


def kinds(pages: Pages) -> set[str]:
    """What is told, "a over b" in alphabetical order."""
    told = set()
    for flaw in flaws(pages):
        told.add(" over ".join(sorted(flaw.what.split(" over "))))
    return told


def test_a_clean_page_has_no_flaw():
    assert flaws(clean()) == ()
    assert proofread(layout()) == ()
    names = [mark.name for one in clean().pages[0].placed for mark in one.drawing.marks if isinstance(mark, Glyph)]
    for part in ("accidental", "flag", "augmentationDot", "tuplet", "artic", "rest"):
        assert any(part in name for name in names), part


NECK = Tag("callout", 0, 1)


def string_at_a_name(mark: Mark) -> bool:
    """Whether it is a piece of a string on a neck that ends at a ring."""
    ends = [one.start[0] for one in the_marks(0) if isinstance(one, Arc) and one.tag == NECK]
    return (isinstance(mark, Line) and mark.tag == NECK and mark.ink == "staff" and mark.y1 == mark.y2
            and any(abs(mark.x2 - end) < 1.2 for end in ends))


def the_marks(index: int) -> list[Mark]:
    return [mark for one in clean().pages[0].placed if one.bar == index for mark in one.drawing.marks]


STEM = {"tag": Tag("note", 1), "ink": "ink"}
PLANTS = {
    "an accidental over the head before": (lambda: slip(
        0, nth(Glyph, name="accidental"), to(x=head(0, 0).x + 0.3, y=head(0, 0).y)), "accidental over head"),
    "a slur through a head": (lambda: slip(4, nth(Arc), by(dy=1.2)), "arc over head"),
    "a slur through a fret number": (lambda: added(4, arc((0.0, 9.0), (16.0, 9.0), 2.5)), "arc over tab"),
    "a tie over an accidental": (lambda: added(2, Glyph(
        head(2, 3).x + 2.0, head(2, 3).y - 0.8, "accidentalFlat", 1.0, "ink", Tag("note", 7))), "accidental over arc"),
    "a beam through a head": (lambda: slip(1, nth(Polygon), by(dy=-2.6)), "beam over head"),
    "a tuplet number over its beam": (lambda: slip(1, nth(Glyph, name="tuplet"), by(dy=-1.4)), "beam over tuplet"),
    "a tuplet number over a slur": (lambda: added(4, Glyph(
        head(4, 1).x, the(4, nth(Arc)).near[0][1] + 0.8, "tuplet3", 0.8)), "arc over tuplet"),
    "a tuplet number over a label": (lambda: added(4, Glyph(
        label(4).left - notation_shift(4) + 0.4, label(4).bottom - 0.2, "tuplet3", 0.8)), "label over tuplet"),
    "an articulation over a slur": (lambda: added(4, Glyph(
        head(4, 0).x, the(4, nth(Arc)).start[1] - 0.2, "articAccentAbove", 1.0, "ink", Tag("note", 0))),
        "arc over articulation"),
    "an articulation over a beam": (lambda: slip(
        4, nth(Glyph, name="artic"), to(y=the(4, nth(Polygon)).points[1][1] + 0.3, x=head(4, 2).x)),
        "articulation over beam"),
    "a flag over the next head": (lambda: slip(2, nth(Glyph, name="flag"), to(
        x=head(2, 1).x, y=head(2, 1).y + 2.5)), "flag over head"),
    "a chord symbol over a high note": (lambda: slip(
        2, nth(Text, tag=Tag("chord", 0)), on_page(2, nth(Text, tag=Tag("chord", 0)), head(2, 0).x, head(2, 0).y)),
        "chord over head"),
    "a chord symbol over a slur": (lambda: slip(
        4, nth(Text, tag=Tag("chord", 0)), on_page(
            4, nth(Text, tag=Tag("chord", 0)), head(4, 1).x, the(4, nth(Arc)).near[0][1] + 1.0)), "arc over chord"),
    "a chord symbol over a tuplet number": (lambda: added(1, the(1, nth(
        Glyph, name="tuplet"))._replace(name="tuplet3"), Text(
            the(1, nth(Glyph, name="tuplet")).x - 0.4, the(1, nth(Glyph, name="tuplet")).y, "C7", "sans", 2.6, "ink",
            Tag("chord", 0))), "chord over tuplet"),
    "a label over a chord": (lambda: added(4, Text(
        label(4).left - notation_shift(4) + 0.4, label(4).bottom - 0.4, "C7", "sans", 2.6, "ink", Tag("chord", 7))),
        "chord over label"),
    "an ending over a chord": (lambda: slip(1, nth(Line, width=0.16, tag=None), by(dy=2.6)), "chord over hook"),
    "a callout's line through another's box": (lambda: added(1, Line(
        3.0, 10.0, 3.0, 30.0, 0.13, "rule", Tag("callout", 3))), "callout over callout"),
    "a neck picture over the edge of its box": (lambda: slip(0, nth(Text, tag=NECK), to(x=14.7)), "callout over neck"),
    "a neck picture over the words": (lambda: slip(0, nth(Text, tag=NECK), to(x=-17.5, y=1.3)), "callout over neck"),
    "a neck picture over another's bracket": (lambda: added(1, the(0, nth(Line, tag=NECK))._replace(
        x1=0.0, x2=20.0, y1=20.0, y2=20.0), Line(2.0, 19.0, 2.0, 21.0, 0.13, "rule", Tag("callout", 3))),
        "callout over neck"),
    "a neck picture off the page": (lambda: slip(0, nth(Text, tag=NECK), by(dx=-60)), "neck stands off the page"),
    "two names on a neck on each other": (lambda: slip(0, nth(Text, tag=NECK), to(
        x=the(0, nth(Text, 1, tag=NECK)).x, y=the(0, nth(Text, 1, tag=NECK)).y)), "neck over neck"),
    "a string through a name on a neck": (lambda: slip(
        0, string_at_a_name, lambda mark: mark._replace(x2=mark.x2 + 3.0)), "neck over neck"),
    "a dot on a line": (lambda: slip(0, nth(Glyph, name="augmentationDot"), by(dy=0.5)), "dot over staff line"),
    "a dot over the head after": (lambda: slip(
        0, nth(Glyph, name="augmentationDot"), to(x=head(0, 1).x + 0.3, y=head(0, 1).y)), "dot over head"),
    "two accidentals on each other": (lambda: added(0, the(
        0, nth(Glyph, name="accidental"))._replace(tag=Tag("note", 0, 0))), "accidental"),
    "two accidentals of a chord on each other": (lambda: added(0, the(
        0, nth(Glyph, name="accidental"))._replace(tag=Tag("note", 1, 1))), "accidental over accidental"),
    "a fret number over a barline": (lambda: slip(1, nth(Text, tag=Tag("tab", 0)), to(x=-0.6)), "barline over tab"),
    "a line through a fret number": (lambda: slip(
        0, nth(Line, 1, ink="staff", tag=None), lambda mark: mark._replace(x1=0.0, x2=60.0)), "staff line over tab"),
    "a degree over a degree": (lambda: slip(1, nth(Text, tag=Tag("degree", 4)), by(dx=-2.8)), "degree over degree"),
    "a ledger line into another's": (lambda: slip(
        2, nth(Line, ink="staff", tag=Tag("note", 0)), lambda mark: mark._replace(x2=mark.x2 + 3)),
        "ledger over ledger"),
    "ink off the page": (lambda: slip(0, nth(Text, tag=Tag("chord", 0)), by(dx=-60)), "chord stands off the page"),
    "a stem too short": (lambda: slip(
        1, nth(Line, tag=Tag("note", 5), ink="ink"), lambda mark: mark._replace(y2=mark.y1 + 2.3)),
        "a stem is too short"),
    "a stem that stops before the middle line": (lambda: slip(
        2, nth(Line, tag=Tag("note", 1), ink="ink"), lambda mark: mark._replace(y2=1.6)),
        "a stem does not reach the middle line"),
    "a stem off its head": (lambda: slip(
        1, nth(Line, tag=Tag("note", 5), ink="ink"), lambda mark: mark._replace(y1=mark.y1 + 1.0)),
        "a stem does not meet its head"),
    "a stem on the wrong side": (lambda: slip(
        1, nth(Line, tag=Tag("note", 5), ink="ink"), lambda mark: mark._replace(
            x1=2 * head(1, 5).x + 1.18 - mark.x1, x2=2 * head(1, 5).x + 1.18 - mark.x1)),
        "a stem stands on the wrong side of its head"),
    "a beam off its stem": (lambda: slip(1, nth(Polygon), by(dx=0.4)), "a beam ends off its stem"),
    "a degree off its line": (lambda: slip(1, nth(Text, tag=Tag("degree", 4)), by(dy=0.3)),
                              "a degree stands off its row's line"),
    "a degree beside its head": (lambda: slip(1, nth(Text, tag=Tag("degree", 4)), by(dx=0.2)),
                                 "a degree stands beside its note"),
    "a fret number beside its head": (lambda: slip(1, nth(Text, tag=Tag("tab", 4)), by(dx=-0.2)),
                                      "a fret number stands beside its note"),
    "a chord symbol beside its head": (lambda: slip(1, nth(Text, tag=Tag("chord", 0)), by(dx=0.3)),
                                       "a chord symbol stands beside its note"),
}


def label(index: int) -> Frame:
    return the(index, nth(Frame, tag=Tag("label", 1)))


def notation_shift(index: int) -> float:
    """From a system's left edge to where the bar's notation begins, in staff spaces."""
    row = notation(index)
    home = next(one for one in clean().pages[0].placed if one.bar == index and label(index) in one.drawing.marks)
    return (row.x - home.x) / row.scale


@pytest.mark.parametrize("name", PLANTS)
def test_a_planted_flaw_is_found(name):
    pages, what = PLANTS[name]
    told = kinds(pages())
    assert any(what in one for one in told), told


def test_a_grace_notes_stem_may_be_short():
    stem = the(3, nth(Line, tag=Tag("note", 0), ink="ink"))
    assert abs(stem.y2 - head(3, 0).y) <= 2.5
    assert flaws(clean()) == ()


def test_flaws_name_their_page_and_bar():
    pages = slip(1, nth(Text, tag=Tag("degree", 4)), by(dx=0.2))
    doubled = replace(pages, pages=(*clean().pages, *pages.pages))
    assert [(flaw.page, flaw.bar) for flaw in flaws(doubled)] == [(len(clean().pages) + 1, 1)]
