"""The order in which bars are heard, against music21's `repeat.Expander` and against orders written out by hand."""

from __future__ import annotations

from dataclasses import replace

import music21
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.sound.order import LONGEST, play_order
from core.study import Bar, Study
from tests.strategies import CALM, studies

BACK, TO_HERE = Bar(repeat_end=2), Bar(repeat_start=True)
COMMANDS = {
    "Fine": music21.repeat.Fine, "To Coda": music21.repeat.Coda, "D.C.": music21.repeat.DaCapo,
    "D.C. al Fine": music21.repeat.DaCapoAlFine, "D.C. al Coda": music21.repeat.DaCapoAlCoda,
    "D.S.": music21.repeat.DalSegno, "D.S. al Fine": music21.repeat.DalSegnoAlFine,
    "D.S. al Coda": music21.repeat.DalSegnoAlCoda, "segno": music21.repeat.Segno, "coda": music21.repeat.Coda}


def heard(*bars: Bar) -> str:
    order = play_order(Study(bars=bars))
    assert order.trouble is None
    return " ".join(map(str, order.bars))


def plain(count: int, marks: dict[int, Bar]) -> list[Bar]:
    return [marks.get(at, Bar()) for at in range(count)]


@pytest.mark.parametrize(("bars", "order"), [
    ([Bar(), Bar()], "0 1"),
    ([Bar(), BACK, Bar()], "0 1 0 1 2"),
    ([Bar(), TO_HERE, BACK, Bar()], "0 1 2 1 2 3"),
    ([Bar(), Bar(repeat_end=3)], "0 1 0 1 0 1"),
    ([TO_HERE, Bar(ending="1", repeat_end=2), Bar(ending="2"), Bar()], "0 1 0 2 3"),
    ([Bar(), Bar(ending="1, 2", repeat_end=3), Bar(ending="3"), Bar()], "0 1 0 1 0 2 3"),
    ([Bar(), Bar(ending="1", repeat_end=2), Bar(ending="2", repeat_end=2), Bar(ending="3")], "0 1 0 2 0 3"),
    ([Bar(), Bar(ending="1", repeat_end=2), Bar(ending="2"), Bar(), BACK], "0 1 0 2 3 4 3 4"),
    ([Bar(repeat_start=True, repeat_end=2), TO_HERE, BACK], "0 0 1 2 1 2"),
    # D.C. and D.S., plain
    ([Bar(), Bar(), Bar(jump="D.C.")], "0 1 2 0 1 2"),
    ([Bar(), Bar(sign="segno"), Bar(), Bar(jump="D.S."), Bar()], "0 1 2 3 1 2 3 4"),
    ([Bar(), Bar(jump="Fine"), Bar(jump="D.C.")], "0 1 2 0 1"),
    # al Fine: Fine is passed over the first time, and repeats are not taken again
    ([Bar(), Bar(jump="Fine"), Bar(), Bar(jump="D.C. al Fine")], "0 1 2 3 0 1"),
    ([Bar(), Bar(sign="segno", jump="Fine"), Bar(jump="D.S. al Fine")], "0 1 2 1"),
    ([Bar(), BACK, Bar(jump="Fine"), Bar(jump="D.C. al Fine")], "0 1 0 1 2 3 0 1 2"),
    ([Bar(), Bar(repeat_end=2, jump="D.C. al Fine"), Bar(jump="Fine")], "0 1 0 1 0 1 2"),
    # al Coda: the first time past To Coda, the second time away
    ([Bar(), Bar(jump="To Coda"), Bar(jump="D.C. al Coda"), Bar(sign="coda"), Bar()], "0 1 2 0 1 3 4"),
    ([Bar(), Bar(sign="segno"), Bar(jump="To Coda"), Bar(), Bar(jump="D.S. al Coda"), Bar(sign="coda")],
     "0 1 2 3 4 1 2 5"),
    # what lies between the jump and the coda is not heard; the coda's own repeat is
    ([Bar(), Bar(jump="To Coda"), Bar(jump="D.C. al Coda"), Bar(), Bar(sign="coda", repeat_start=True), BACK],
     "0 1 2 0 1 4 5 4 5"),
    ([Bar(jump="To Coda"), Bar(jump="D.C. al Coda"), Bar(sign="coda"), BACK], "0 1 0 2 3 2 3"),
    # after the jump each passage ends with its last ending
    ([Bar(), Bar(ending="1", repeat_end=2), Bar(ending="2"), Bar(jump="D.C. al Fine"), Bar(jump="Fine")],
     "0 1 0 2 3 0 2 3 4"),
    ([Bar(), Bar(ending="1, 3", repeat_end=2), Bar(ending="2", repeat_end=2), Bar(ending="4", jump="Fine"),
      Bar(jump="D.C. al Fine")], "0 1 0 2 0 1 0 3 4 0 3"),
    ([Bar(), Bar(ending="1", jump="D.C."), Bar(ending="2")], "0 1 0 2"),
    ([Bar(), Bar(sign="segno"), Bar(ending="1", repeat_end=2), Bar(ending="2", jump="To Coda"),
      Bar(jump="D.S. al Coda"), Bar(sign="coda")], "0 1 2 0 1 3 4 1 3 5"),
])
def test_repeats_and_jumps_are_played_out(bars, order):
    """Common practice, no source; each order written out by hand."""
    assert heard(*bars) == order


@pytest.mark.parametrize(("bars", "told"), [
    ([Bar(), Bar(jump="D.S.")], "bar 2: D.S. leads nowhere, for there is no segno; add it"),
    ([Bar(sign="segno"), Bar(sign="segno"), Bar(jump="D.S.")], "bar 2: a second segno"),
    ([Bar(), Bar(jump="D.C. al Coda"), Bar(sign="coda")], "bar 2: D.C. al Coda leads nowhere, for there is no To Coda"),
    ([Bar(jump="To Coda"), Bar(jump="D.C. al Coda")], "no coda"),
    ([Bar(jump="To Coda"), Bar(sign="coda"), Bar(jump="D.C. al Coda")], "stands before where it is looked for"),
    ([Bar(jump="To Coda"), Bar(sign="segno"), Bar(jump="D.S. al Coda"), Bar(sign="coda")], "stands before"),
    ([Bar(), Bar(jump="D.C. al Coda"), Bar(jump="To Coda"), Bar(sign="coda")], "stands behind"),
    ([Bar(jump="Fine"), Bar(sign="segno"), Bar(jump="D.S. al Fine")], "does not come to the Fine in bar 1"),
    ([Bar(jump="D.S."), Bar(sign="segno")], "does not come to the segno in bar 2"),
    ([Bar(), Bar(jump="D.C. al Fine")], "there is no Fine"),
    ([Bar(), Bar(jump="D.C."), Bar(), Bar(jump="D.C.")], "bar 4: a second D.C. or D.S."),
    ([Bar(), Bar(jump="Fine"), Bar()], "bar 2: Fine is heard after a D.C."),
    ([Bar(jump="To Coda"), Bar()], "bar 1: To Coda is heard after"),
    ([TO_HERE, *[Bar()] * 120, Bar(repeat_end=99)], f"the repeats make more than {LONGEST} bars; lower"),
])
def test_what_cannot_be_followed_is_told_in_one_line_and_played_as_it_stands(bars, told):
    order = play_order(Study(bars=tuple(bars)))
    assert order.bars == tuple(range(len(bars)))
    assert told in str(order.trouble)
    assert len(order.trouble.lines()) == 1


def expanded(bars: list[Bar]) -> list[int]:
    """By music21: each bar as a measure with its signs, its number its index."""
    part = music21.stream.Part()
    for at, bar in enumerate(bars):
        measure = music21.stream.Measure(number=at)
        measure.append(music21.note.Rest(quarterLength=4))
        if bar.repeat_start:
            measure.leftBarline = music21.bar.Repeat(direction="start")
        if bar.repeat_end:
            measure.rightBarline = music21.bar.Repeat(direction="end", times=bar.repeat_end)
        for name in filter(None, (bar.sign, bar.jump)):
            measure.append(COMMANDS[name]())
        measure.append(music21.expressions.TextExpression(f"index {at}"))
        part.append(measure)
        if bar.ending:
            part.insert(0, music21.spanner.RepeatBracket([measure], number=int(bar.ending)))
    played = music21.repeat.Expander(part).process()
    return [int(words.content.split()[1]) for measure in played.getElementsByClass(music21.stream.Measure)
            for words in measure.getElementsByClass(music21.expressions.TextExpression)]


@st.composite
def forms(draw) -> list[Bar]:
    """Passages side by side, some repeated, some with endings, and one jump back that makes sense.

    Without endings where there is a jump: there music21 loses the brackets and hears them as plain bars.
    """
    bars: list[Bar] = []
    jump = draw(st.sampled_from(("", "D.C.", "D.S.", "D.C. al Fine", "D.S. al Fine", "D.C. al Coda", "D.S. al Coda")))
    for _ in range(draw(st.integers(1, 4))):
        kind = draw(st.sampled_from(("plain", "repeated") if jump else ("plain", "repeated", "endings")))
        passage = [Bar()] * draw(st.integers(1, 3))
        if kind != "plain":
            passage[0] = replace(passage[0], repeat_start=True)
        if kind == "repeated":
            passage[-1] = replace(passage[-1], repeat_end=draw(st.integers(2, 3)))
        elif kind == "endings":
            passage += [Bar(ending="1", repeat_end=2), Bar(ending="2")]
        bars += passage
    return _with_jump(draw, [*bars, Bar(), Bar()], jump) if jump else bars


def _with_jump(draw, bars: list[Bar], kind: str) -> list[Bar]:
    last = len(bars) - 1

    def put(at: int, **mark: str) -> None:
        bars[at] = replace(bars[at], **mark)

    segno = draw(st.integers(0, last - 1)) if kind.startswith("D.S.") else 0
    if kind.startswith("D.S."):
        put(segno, sign="segno")
    put(last, jump=kind)
    if kind.endswith("Fine"):
        put(draw(st.integers(segno, last - 1)), jump="Fine")
    elif kind.endswith("Coda"):
        put(draw(st.integers(segno, last - 1)), jump="To Coda")
        coda = [Bar(sign="coda"), *[Bar()] * draw(st.integers(0, 2))]
        if draw(st.booleans()):
            coda[0] = replace(coda[0], repeat_start=True)
            coda[-1] = replace(coda[-1], repeat_end=2)
        bars += coda
    return bars


@settings(CALM, max_examples=150)
@given(forms())
def test_music21_hears_the_same_bars(bars):
    """Source: music21 9, `repeat.Expander`, whose commands do not repeat after the jump by default."""
    assert heard(*bars) == " ".join(map(str, expanded(bars)))


@settings(CALM, max_examples=150)
@given(studies(max_bars=6))
def test_any_signs_at_all_are_played_to_an_end(study):
    order = play_order(study)
    assert set(order.bars) <= set(range(len(study.bars)))
    assert len(order.bars) <= LONGEST
    if order.trouble is not None:
        assert order.bars == tuple(range(len(study.bars)))
