"""Pages made by hand, with every kind of mark, for the painters' tests."""

from __future__ import annotations

from core.engraving.drawing import (
    Arc,
    Bookmark,
    Drawing,
    Frame,
    Glyph,
    Line,
    Link,
    Mark,
    Page,
    Pages,
    Placed,
    Polygon,
    Tag,
    Text,
)

COLOURS = {
    "ink": "#000000", "staff": "#303030", "quiet": "#606060", "chord-tone": "#000000", "tension": "#0072B2",
    "altered": "#D55E00", "passing": "#707070", "reading": "#009E73", "rule": "#404040",
}


def bar() -> Drawing:
    """A bar with all six kinds of mark, in several inks, some over one another."""
    staff: list[Mark] = [Line(0, line, 26, line, 0.13, "staff") for line in range(5)]
    chord, note = Tag("chord"), Tag("note", 1)
    return Drawing((
        *staff,
        Glyph(0.6, 3, "gClef8vb"), Glyph(3.8, 1, "timeSig4"), Glyph(3.8, 3, "timeSig4"),
        Glyph(7, 2, "noteheadHalf", tag=Tag("note", 0)), Line(7.06, 2.2, 7.06, 5.5, 0.12, tag=Tag("note", 0)),
        Glyph(10.6, 1.5, "accidentalFlat", tag=note), Glyph(12, 1.5, "noteheadBlack", 1.0, "altered", note),
        Line(13.12, 1.3, 13.12, -2.2, 0.12, tag=note), Line(17.12, 0.3, 17.12, -3.0, 0.12, tag=Tag("note", 2)),
        Polygon(((13.06, -2.2), (17.18, -3.0), (17.18, -2.5), (13.06, -1.7)), tag=note),
        Glyph(16, 0.5, "noteheadBlack", 1.0, "tension", Tag("note", 2)),
        Glyph(19, -0.5, "noteheadWhole", 0.7, "passing", Tag("note", 3)),
        Arc((12.6, 2.4), (19.6, 1.2), ((14.5, 3.9), (17.6, 3.3)), ((14.5, 4.2), (17.6, 3.6)), tag=note),
        Text(7, -4, "B", "sans-semibold", 2.6, tag=chord), Glyph(8.65, -4.6, "accidentalFlat", 0.7, tag=chord),
        Text(9.3, -4, "7(", "sans-semibold", 2.6, tag=chord), Glyph(11.6, -4.6, "accidentalSharp", 0.7, tag=chord),
        Text(12.3, -4, "11)", "sans-semibold", 2.6, tag=chord),
        Text(7, 9, "Ça △ größer (a\\b)", "serif", 1.9, "reading", Tag("callout")),
        Line(7, 7, 20, 7, 0.16, "rule", dash=(0.5, 0.25)), Line(22, 5, 24.5, 8, 0.3, "quiet"),
        Frame(0.2, -6, 4.4, -3.6, 0.16, "ink", Tag("bar")), Text(0.8, -4.2, "A", "sans-semibold", 2.2),
        Line(25.7, 0, 25.7, 4, 0.5),
    ))


def pages() -> Pages:
    """Two pages: the same bar placed at three sizes and a tie as under a lens, a bookmark on each, a link on one.

    In the Ç two contours of its outline overlap.
    """
    one, tie = bar(), Drawing((Arc((0, 0), (1.5, 0.3), ((0.4, -0.3), (1, -0.3)), ((0.4, -0.5), (1, -0.5)), "rule"),))
    first = Page(420, 300, (Placed(one, 30, 80, 5, 0), Placed(one, 200, 200, 7.3, 1)))
    second = Page(420, 260, (Placed(one, 40, 100, 12, 2), Placed(tie, 350, 245, 30)),
                  (Link("https://example.org/a?b=c d", 20, 30, 120, 44),))
    return Pages((first, second), "A Study in B♭", "A. Teacher", "Lesson sheet", "Bravura", COLOURS,
                 (Bookmark("Chorus 1", 0, 70), Bookmark("Chorus 2 ♭", 1, 90)))
