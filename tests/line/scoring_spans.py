"""The same scores for what spans bars: ideas that return, and readings. See planted_spans.py."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from fractions import Fraction
from itertools import chain, pairwise
from typing import Any, NamedTuple

from core.harmony import parse_chord, parse_harmony
from core.line import analyse
from core.line.finding import Finding
from core.line.readings import proposals
from core.line.returns import returns
from core.line.tones import tones_of
from core.study import Key, NotePlace, Study
from tests.line.naive import heard, same_chord
from tests.line.planted_spans import Reading, Return
from tests.line.scoring import Score


class _Struck(NamedTuple):
    place: NotePlace
    midi: int
    onset: Fraction


def score_returns(cases: Iterable[Return]) -> Score:
    def found(study: Study) -> Iterable[Finding]:
        return chain.from_iterable(returns(study, tones_of(study, analyse(study))).bars)

    def is_planted(one: Finding, case: Return) -> bool:
        claimed = {"back": case.back, "form": case.form, "step": case.step, "notes": case.notes}
        return (one.first, one.last) == (case.first, case.last) and dict(one.facts) == claimed

    return _score(cases, found, is_planted, is_return)


def score_readings(cases: Iterable[Reading]) -> Score:
    def found(study: Study) -> Iterable[Finding]:
        analysis = analyse(study)
        return chain.from_iterable(proposals(study, analysis, tones_of(study, analysis)).bars)

    def is_planted(one: Finding, case: Reading) -> bool:
        harmony = str(one.fact("harmony"))
        return (one.first.bar == one.last.bar == case.bar and not isinstance(parse_harmony(harmony), Key)
                and same_chord(harmony, case.harmony))

    return _score(cases, found, is_planted, explains_more)


def _score(cases: Iterable[Any], search: Callable[[Study], Iterable[Finding]],
           is_planted: Callable[[Finding, Any], bool], is_true: Callable[[Finding, Study], bool]) -> Score:
    hit, missed, chance, false = [], [], [], []
    for case in cases:
        found = list(search(case.study))
        planted = next((one for one in found if is_planted(one, case)), None)
        (missed if planted is None else hit).append(case)
        for one in found:
            if one is not planted:
                (chance if is_true(one, case.study) else false).append((case, one))
    return Score(tuple(hit), tuple(missed), 0, tuple(chance), tuple(false))


def struck(study: Study) -> list[_Struck]:
    """Every note, the held ones once, at quarters from the beginning."""
    row: list[_Struck] = []
    start, held = Fraction(0), None
    for here in study.in_force:
        for index, event in enumerate(here.bar.events):
            for head, note in enumerate(event.notes):
                if held != note.pitch.midi:
                    row.append(_Struck(NotePlace(here.index, index, head), note.pitch.midi, start + event.onset))
            held = next((note.pitch.midi for note in event.notes if note.tie), None)
        start += here.length
    return row


def is_return(found: Finding, study: Study) -> bool:
    """Whether the same row of notes begins so many bars before, in the same rhythm."""
    row = struck(study)
    places = [one.place for one in row]
    first, last = places.index(found.first), places.index(found.last)
    again = row[first:last + 1]
    if len(again) != found.fact("notes"):
        return False
    starts = [at for at, place in enumerate(places) if place.bar == found.first.bar - int(found.fact("back"))]
    return any(_alike(row[at:at + len(again)], again, str(found.fact("form")), int(found.fact("step")))
               for at in starts if at + len(again) <= first)


def _alike(model: Sequence[_Struck], again: Sequence[_Struck], form: str, step: int) -> bool:
    if [b.onset - a.onset for a, b in pairwise(model)] != [b.onset - a.onset for a, b in pairwise(again)]:
        return False
    apart = {b.midi - a.midi for a, b in zip(model, again, strict=True)}
    if again[0].midi - model[0].midi != step:
        return False
    return max(apart) - min(apart) <= 2 if form == "same shape" else apart == {step}


def explains_more(found: Finding, study: Study) -> bool:
    """Whether what is told is counted right, and two notes more belong to the reading than to the chart."""
    row = [one for one in struck(study) if found.first <= one.place <= found.last]
    fits = sum(one.midi % 12 in heard(found.fact("harmony")) for one in row)
    chart = sum(one.midi % 12 in _written(study, one) for one in row)
    return found.fact("fits") == f"{fits} of {len(row)}" and fits >= chart + 2


def _written(study: Study, one: _Struck) -> set[int]:
    bar = study.bars[one.place.bar]
    onset = bar.events[one.place.event].onset
    symbol = study.in_force[one.place.bar].chord
    for change in bar.changes:
        symbol = change.symbol if change.offset <= onset else symbol
    return {chroma % 12 for chroma in parse_chord(symbol).pitch_classes}
