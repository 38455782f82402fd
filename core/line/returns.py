"""Return: an idea of five notes or more that was heard at least a bar before, in the same rhythm.

The same notes, the same intervals on another pitch, or the same shape (intervals counted in letters). It
ends where the phrase does. A scale or an arpeggio in one direction, and two notes to and fro, are nobody's
idea; an even row of notes is one only where the same notes come back, or eight of them.

Facts: back (bars), form (same notes, transposed, same shape), step (semitones up), notes.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from itertools import accumulate, chain, pairwise
from typing import Final, NamedTuple

from core.line.finding import Finding, in_words
from core.line.tones import Tone, Tones
from core.study import Study

KIND: Final = "return"

_SURE = 0.5
_FEWEST = 5
_FEWEST_EVEN = 8
_OCTAVE = 12  # half steps
_BARS_ON = 2  # five notes lie in their bar and so many after it
_FORMS = ("same notes", "transposed", "same shape")
_CERTAINTY = {"same notes": 0.45, "transposed": 0.4, "same shape": 0.3}  # of five notes
_A_NOTE_MORE, _OF_ITS_OWN_RHYTHM, _SUREST = 0.05, 0.15, 0.9


class _Move(NamedTuple):
    """From a note to the next: semitones and letters up, and when it comes, in quarters as text."""

    semitones: int
    letters: int
    after: str


class _Heard(NamedTuple):
    """What begins at a note. names: its next five notes as each of _FORMS has them, () where they are no idea.

    at: its onset, as a float for quick comparing.
    """

    at: float
    move: _Move | None
    names: tuple[str, ...]


class _Bar(NamedTuple):
    """What begins at each note of a bar, and the tones of the bars that was made from."""

    tones: tuple[tuple[Tone, ...], ...]
    heard: tuple[_Heard, ...]


class _Step(NamedTuple):
    """A note at which the search looked for a return: its place in the line, the place after all notes it looked at,
    and what it found.
    """

    at: int
    stop: int
    finding: Finding | None


@dataclass(frozen=True)
class Returns:
    """What returns, by the bar it returns in."""

    bars: tuple[tuple[Finding, ...], ...]
    _made: tuple[_Bar, ...] = field(default=(), repr=False, compare=False)
    _steps: tuple[_Step, ...] = field(default=(), repr=False, compare=False)


def returns(study: Study, tones: Tones, before: Returns | None = None) -> Returns:
    """Everything that returns. before: the returns of the study as it was before an edit, to build on."""
    made = _listen(study, tones, before)
    bars: list[tuple[Finding, ...]] = [()] * len(tones.bars)
    line = tuple(chain.from_iterable(tones.bars))
    heard = tuple(chain.from_iterable([bar.heard for bar in made]))
    start, kept = _kept(made, before)
    steps = (*kept, *_search(line, heard, start))
    for finding in [step.finding for step in steps if step.finding is not None]:
        bars[finding.first.bar] += (finding,)
    return Returns(tuple(bars), tuple(made), steps)


def _kept(made: Sequence[_Bar], before: Returns | None) -> tuple[int, tuple[_Step, ...]]:
    """Where the search must begin anew: at the first step that saw a note of the first bar that changed."""
    if before is None:
        return 0, ()
    changed = next((at for at, (new, old) in enumerate(zip(made, before._made, strict=False)) if new is not old),
                   min(len(made), len(before._made)))
    start = sum([len(bar.heard) for bar in made[:changed]])
    start = min([start, *(step.at for step in before._steps if step.stop >= start)])
    return start, tuple([step for step in before._steps if step.at < start])


def tell(finding: Finding, shape: int = 0) -> str:
    """One sentence in a teacher's words. shape: which wording, any number will do."""
    back, notes = finding.fact("back"), in_words(finding.fact("notes"))
    where = "the bar before" if back == 1 else f"{in_words(back)} bars back"
    step = int(finding.fact("step"))
    how = {
        "same notes": "note for note",
        "transposed": f"{_far(abs(step))} {'higher' if step > 0 else 'lower'}",
        "same shape": "in the same shape, with other notes",
    }[str(finding.fact("form"))]
    shapes = (
        f"What was heard {'in ' if back == 1 else ''}{where} returns here, {how}.",
        f"These {notes} notes take up an idea from {where}, {how}.",
        f"An idea from {where} is here again, {how}.",
    )
    if finding.score < _SURE:
        shapes = (
            f"An idea from {where} might be returning here, {how}.",
            f"These {notes} notes might take up an idea from {where}, {how}.",
            f"This might be the idea from {where} again, {how}.",
        )
    return shapes[shape % len(shapes)]


def _far(steps: int) -> str:
    if steps == _OCTAVE:
        return "an octave"
    return {1: "a half step", 2: "a whole step"}.get(steps, f"{in_words(steps)} half steps")


def _listen(study: Study, tones: Tones, before: Returns | None) -> list[_Bar]:
    """Bar by bar; the bars' lengths need no comparing, for a longer rest makes the tones after it new ones."""
    known = {tuple(map(id, bar.tones)): bar for bar in before._made} if before else {}
    lengths = [here.length for here in study.in_force]
    made = []
    for at in range(len(lengths)):
        window = tones.bars[at:at + _BARS_ON + 1]
        made.append(known.get(tuple(map(id, window))) or _Bar(window, tuple(_heard(window, lengths[at:at + _BARS_ON]))))
    return made


def _heard(window: Sequence[tuple[Tone, ...]], lengths: Sequence[Fraction]) -> Iterator[_Heard]:
    """What begins at each note of the first of these bars."""
    reach = len(window[0]) + _FEWEST - 1
    starts = accumulate(lengths, initial=Fraction(0))
    line = [(tone, start) for own, start in zip(window, starts, strict=False) for tone in own][:reach]
    moves = [_Move(then.midi - tone.midi, then.pitch.diatonic - tone.pitch.diatonic,
                   str(then.onset - tone.onset if later is start else later + then.onset - start - tone.onset))
             for (tone, start), (then, later) in pairwise(line)]
    for at, tone in enumerate(window[0]):
        row = moves[at:at + _FEWEST - 1]
        yield _Heard(float(tone.onset), moves[at] if at < len(moves) else None,
                     _names(tone, row) if len(row) == _FEWEST - 1 else ())


def _names(first: Tone, row: Sequence[_Move]) -> tuple[str, ...]:
    steps = [move.semitones for move in row]
    to_and_fro = len(set(accumulate(steps, initial=0))) < 3
    if min(steps) > 0 or max(steps) < 0 or to_and_fro:
        return ()
    sounds = " ".join([f"{move.semitones}@{move.after}" for move in row])
    return f"{first.midi} {sounds}", sounds, " ".join([f"{move.letters}:{move.after}" for move in row])


def _search(line: Sequence[Tone], heard: Sequence[_Heard], start: int) -> Iterator[_Step]:
    """The longest returns from left to right, none sharing a note with another, from the note at `start` on."""
    latest: dict[str, int] = {}
    at, known = start, 0
    while at < len(line):
        bar, onset = line[at].place.bar, heard[at].at
        while (apart := bar - line[known].place.bar) > 1 or (apart == 1 and heard[known].at <= onset):
            for name in heard[known].names:
                latest[name] = known
            known += 1
        names = heard[at].names
        after = at + 1
        if names and (names[1] in latest or names[2] in latest):
            notes, finding = _best(line, heard, at, [latest.get(name) for name in names])
            yield _Step(at, at + notes + 1, finding)
            after = at + int(finding.fact("notes")) if finding is not None else after
        at = after


def _best(line: Sequence[Tone], heard: Sequence[_Heard], at: int,
          earlier: Sequence[int | None]) -> tuple[int, Finding | None]:
    """The longest return at a note, in the first form of equals, and how many notes were looked at.

    earlier: where each form was heard last.
    """
    found = [(_length(line, heard, model, at, form), -place, model)
             for place, (form, model) in enumerate(zip(_FORMS, earlier, strict=True)) if model is not None]
    notes, place, model = max(found)
    return notes, _finding(line, heard, (model, at), notes, _FORMS[-place]) if notes >= _FEWEST else None


def _length(line: Sequence[Tone], heard: Sequence[_Heard], earlier: int, at: int, form: str) -> int:
    """How many notes from `earlier` and from `at` on are alike, to the end of the phrase."""
    notes, most = 1, min(at - earlier, len(line) - at)
    while notes < most:
        one, other = heard[earlier + notes - 1].move, heard[at + notes - 1].move
        if one is None or other is None or one.after != other.after:
            break
        if (one.letters != other.letters) if form == "same shape" else (one.semitones != other.semitones):
            break
        if notes >= _FEWEST and not line[at + notes].joined:
            break
        notes += 1
    return notes


def _finding(line: Sequence[Tone], heard: Sequence[_Heard], where: tuple[int, int], notes: int,
             form: str) -> Finding | None:
    earlier, at = where
    even = len({one.move.after for one in heard[at:at + notes - 1] if one.move}) == 1
    if even and form != "same notes" and notes < _FEWEST_EVEN:
        return None
    first, last, model = line[at], line[at + notes - 1], line[earlier]
    facts = (("back", first.place.bar - model.place.bar), ("form", form), ("step", first.midi - model.midi),
             ("notes", notes))
    score = _CERTAINTY[form] + _A_NOTE_MORE * (notes - _FEWEST) + (0 if even else _OF_ITS_OWN_RHYTHM)
    return Finding(KIND, first.place, last.place, facts, round(min(_SUREST, score), 2))
