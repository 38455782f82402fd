"""Hypothesis strategies for chord symbols of every make the grammar knows."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import strategies as st

from core.harmony import ChordSymbol, Degree
from core.harmony.chord import is_sound, normal
from core.study import PitchClass

ROOTS = st.builds(PitchClass, st.sampled_from("CDEFGAB"), st.integers(-2, 2))
_MAKES = [("major", None, ""), ("minor", None, ""), ("augmented", None, ""), ("diminished", None, ""),
          ("power", None, ""), *((triad, None, sixth) for triad in ("major", "minor") for sixth in ("6", "6/9"))]
_MAKES += [(triad, seventh, extension) for extension in ("7", "9", "11", "13")
           for triad, seventh in (("major", Degree(7, -1)), ("major", Degree(7)), ("minor", Degree(7, -1)),
                                  ("minor", Degree(7)), ("diminished", Degree(7, -1)), ("diminished", Degree(7, -2)),
                                  ("diminished", Degree(7)))]
_ALTERED = st.builds(Degree, st.sampled_from((5, 9, 11, 13)), st.sampled_from((-1, 1)))
_ADDED = st.builds(Degree, st.sampled_from((2, 3, 4, 6, 7, 9, 11, 13)), st.integers(-2, 2))


@st.composite
def plain_chords(draw: st.DrawFn) -> ChordSymbol:
    triad, seventh, extension = draw(st.sampled_from(_MAKES))
    return normal(ChordSymbol(
        draw(ROOTS), triad, seventh, extension, draw(st.sampled_from(("", "", "4", "2", "24"))),
        tuple(draw(st.lists(_ALTERED, max_size=3, unique=True))),
        tuple(draw(st.lists(_ADDED, max_size=2, unique=True))),
        tuple(draw(st.lists(st.sampled_from((1, 3, 5, 7)), max_size=2, unique=True))),
        bass=draw(st.one_of(st.none(), ROOTS))))


def _alt(root: PitchClass, bass: PitchClass | None) -> ChordSymbol:
    return replace(ChordSymbol(root, seventh=Degree(7, -1), extension="7", altered=True), bass=bass)


CHORDS = st.one_of(plain_chords().filter(is_sound), plain_chords().filter(is_sound),
                   st.builds(_alt, ROOTS, st.one_of(st.none(), ROOTS)))
