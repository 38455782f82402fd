"""A source that went through the commands, read from its finished pages mark by mark."""

from __future__ import annotations

import json
from collections import defaultdict
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import pairwise
from pathlib import Path
from typing import Any

from music21 import harmony

from core.engraving.drawing import Glyph, Mark, Placed, Tag, Text
from core.files import load_study
from core.handout import Layout, lay_out, load_template
from core.study import Study
from tests.outside.corpus_scores import is_held, measures

SIGNS = {"accidentalDoubleFlat": -2, "accidentalFlat": -1, "accidentalNatural": 0, "accidentalSharp": 1,
         "accidentalDoubleSharp": 2}
LETTERS = {-2: "bb", -1: "b", 0: "n", 1: "#", 2: "##"}


class Ink:
    """One mark on its page, in staff spaces; left, top: of the drawing it is part of."""

    def __init__(self, page: int, placed: Placed, mark: Mark) -> None:
        self.page, self.bar, self.mark = page, placed.bar, mark
        self.left, self.top = placed.x / placed.scale, placed.y / placed.scale
        self.drawing = placed.drawing

    @property
    def x(self) -> float:
        return self.left + self.mark.x

    @property
    def y(self) -> float:
        return self.top + self.mark.y

    @property
    def sign(self) -> str:
        """A text, or an accidental as text."""
        return self.mark.text if isinstance(self.mark, Text) else LETTERS[SIGNS[self.mark.name]]


@dataclass
class Printed:
    """A source that went through the commands, and music21's score of it.

    is_torn: with a system break in every tie; is_plain: without courtesy signs.
    """

    folder: Path
    part: Any
    is_torn: bool = False
    is_plain: bool = False

    @cached_property
    def told(self) -> dict[str, Any]:
        return json.loads((self.folder / "tune.json").read_text(encoding="utf-8"))

    @cached_property
    def pdf(self) -> bytes:
        return (self.folder / "tune.pdf").read_bytes()

    @cached_property
    def layout(self) -> Layout:
        study = load_study(self.folder / "tune.study")
        lesson = load_template("lesson")
        if self.is_plain:
            lesson = replace(lesson, style=replace(lesson.style, courtesy="none"))
        return lay_out(torn(study) if self.is_torn else study, lesson)

    @cached_property
    def ink(self) -> list[Ink]:
        return [Ink(number, placed, mark) for number, page in enumerate(self.layout.pages.pages)
                for placed in page.placed for mark in placed.drawing.marks]

    @cached_property
    def by_tag(self) -> dict[tuple[int | None, Tag], list[Ink]]:
        found = defaultdict(list)
        for ink in self.ink:
            if ink.mark.__class__ in (Glyph, Text) and ink.mark.tag is not None:
                found[ink.bar, ink.mark.tag].append(ink)
        return found

    @cached_property
    def bars(self) -> list[tuple[int, Any, dict[str, Any]]]:
        """Index, measure and report of every bar."""
        pairs = zip(measures(self.part), self.told["bars"], strict=True)
        return [(index, measure, told) for index, (measure, told) in enumerate(pairs)]

    def staff_top(self, bar: int) -> float:
        """y of the top staff line of the system the bar is in."""
        system = next(one for one in self.layout.systems if one.bars.first <= bar < one.bars.end)
        return system.y / self.layout.template.space

    def system_of(self, bar: int) -> int:
        return next(i for i, one in enumerate(self.layout.systems) if one.bars.first <= bar < one.bars.end)


def torn(study: Study) -> Study:
    """A new system wherever a note is held over the barline."""
    bars = [study.bars[0]]
    for before, bar in pairwise(study.bars):
        is_tied = bool(before.events) and any(note.tie for note in before.events[-1].notes)
        bars.append(replace(bar, break_before="system") if is_tied else bar)
    return replace(study, bars=tuple(bars))


def heads_of(printed: Printed, kinds: tuple[str, ...]) -> dict[tuple[int, int, int], list[Ink]]:
    """Glyphs whose name begins so, by bar, event and note."""
    found = defaultdict(list)
    for (bar, tag), inks in printed.by_tag.items():
        if tag.kind in ("note", "rest"):
            for ink in inks:
                if ink.mark.name.startswith(kinds):
                    found[bar, tag.event, tag.note].append(ink)
    return found


def events_of(measure: Any) -> list[Any]:
    """Notes and rests in order."""
    return [each for each in measure.notesAndRests if not isinstance(each, harmony.Harmony)]


def read_back(inks: list[Ink]) -> str:
    """A chord symbol's marks as text: along the line, and lines in brackets from the top down."""
    row = sorted(inks, key=lambda ink: ink.x)
    opened = [ink.x for ink in row if ink.sign == "("]
    if not opened:
        return "".join(ink.sign for ink in row)
    closed = next(ink.x for ink in row if ink.sign == ")")
    inner = [ink for ink in row if opened[0] < ink.x < closed]
    texts = sorted({ink.y for ink in inner if isinstance(ink.mark, Text)})
    lines = ["".join(ink.sign for ink in inner if min(texts, key=lambda y: abs(y - ink.y)) == level)
             for level in texts]
    before = "".join(ink.sign for ink in row if ink.x < opened[0])
    return f"{before}({','.join(lines)}){''.join(ink.sign for ink in row if ink.x > closed)}"


def over_barlines(printed: Printed) -> int:
    """How many notes the source holds over a barline."""
    lasts = [events_of(measure)[-1] for _, measure, _ in printed.bars]
    return sum(not each.isRest and is_held(each) for each in lasts)
