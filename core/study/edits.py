"""Edits: from a study to a new one, in which every bar not spoken of stays the very same object.

An edit that changes nothing gives back the study itself. Each raises BarglossError (or Faults), told with
the printed bar number, where the result would be no valid study. Bars are named by index from 0.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from fractions import Fraction
from functools import partial
from typing import Any, Literal, TypeVar

from core.errors import BarglossError
from core.study.pitch import Key, Pitch
from core.study.study import NotePlace, Study
from core.study.ties import tie_chain
from core.study.values import Bar, Callout, Change, Chorus, Dismissed, Event, Note, Reading, height

_Mark = TypeVar("_Mark", Change, Reading)


def set_details(study: Study, **details: Any) -> Study:
    """With other title, tune, player, tempo, … (fields of Study)."""
    return _or_same(study, replace(study, before=study, **details))


def set_key(study: Study, key: Key) -> Study:
    """Beginning in this key: another signature for the same notes, up to the bar where the next key is written."""
    bars = study.bars
    if bars[0].key is not None:
        bars = (replace(bars[0], key=None), *bars[1:])
    return _or_same(study, replace(study, key=key, bars=bars))


def set_chorus(study: Study, bar: int, label: str) -> Study:
    """With a chorus of this label that begins at the bar; "" takes away the one that does."""
    _check_bar(study, bar)
    others = [one for one in study.choruses if one.bar != bar]
    choruses = sorted([*others, Chorus(label, bar)] if label else others, key=lambda one: one.bar)
    return _or_same(study, replace(study, choruses=tuple(choruses), before=study))


def set_rehearsal(study: Study, bar: int, mark: str) -> Study:
    """With this rehearsal letter over the bar; "" takes it away."""
    return _edit_bar(study, bar, lambda old: replace(old, rehearsal=mark))


def set_comment(study: Study, bar: int, text: str) -> Study:
    return _edit_bar(study, bar, lambda old: replace(old, comment=text))


def add_callout(study: Study, bar: int, callout: Callout) -> Study:
    """With one more callout, the last of its bar."""
    return _edit_bar(study, bar, lambda old: replace(old, callouts=(*old.callouts, callout)))


def replace_callout(study: Study, bar: int, index: int, callout: Callout) -> Study:
    return _edit_callouts(study, bar, index, (callout,))


def remove_callout(study: Study, bar: int, index: int) -> Study:
    return _edit_callouts(study, bar, index, ())


def set_change(study: Study, bar: int, offset: Fraction, symbol: str) -> Study:
    """With this chord symbol at `offset` quarters into the bar; "" takes away the one that is there."""
    mark = Change(offset, symbol.strip()) if symbol.strip() else None
    return _edit_bar(study, bar, lambda old: replace(old, changes=_with_mark(old.changes, offset, mark)))


def set_changes(study: Study, bar: int, rows: Sequence[tuple[Change, ...]]) -> Study:
    """With these chord symbols in the bars from `bar` on, a row a bar, instead of what they have."""
    for index, row in enumerate(rows, bar):
        study = _edit_bar(study, index, partial(replace, changes=row))
    return study


def set_reading(study: Study, bar: int, offset: Fraction, harmony: str | None) -> Study:
    """With this reading at `offset`; "" ends the reading before it, None takes away the one that is there."""
    mark = None if harmony is None else Reading(offset, harmony.strip())
    return _edit_bar(study, bar, lambda old: replace(old, readings=_with_mark(old.readings, offset, mark)))


def dismiss(study: Study, bar: int, onset: Fraction, kind: str) -> Study:
    """With this kind of finding, where it begins at `onset`, never offered again."""
    mark = Dismissed(onset, kind)
    return _edit_bar(study, bar, lambda old: replace(old, dismissed=tuple(sorted({*old.dismissed, mark}))))


def restore(study: Study, bar: int, onset: Fraction, kind: str) -> Study:
    """With what was dismissed offered again."""
    mark = Dismissed(onset, kind)
    return _edit_bar(study, bar, lambda old: replace(old, dismissed=tuple(one for one in old.dismissed if one != mark)))


def set_remark(study: Study, place: NotePlace, text: str) -> Study:
    return _edit_event(study, place, lambda old: replace(old, remark=text))


def set_stroke(study: Study, place: NotePlace, stroke: Literal["", "down", "up"]) -> Study:
    return _edit_event(study, place, lambda old: replace(old, stroke=stroke))


def set_dynamic(study: Study, place: NotePlace, dynamic: str) -> Study:
    """With this dynamic (one of DYNAMICS) at the event; "" takes it away."""
    return _edit_event(study, place, lambda old: replace(old, dynamic=dynamic))


def set_hairpin(study: Study, place: NotePlace, hairpin: Literal["", "cresc", "dim", "stop"]) -> Study:
    """With a hairpin that begins here, or ends before here; "" takes the mark away."""
    return _edit_event(study, place, lambda old: replace(old, hairpin=hairpin))


def set_sign(study: Study, bar: int, sign: Literal["", "segno", "coda"]) -> Study:
    """With this sign where the bar starts."""
    return _edit_bar(study, bar, lambda old: replace(old, sign=sign))


def set_jump(study: Study, bar: int, jump: str) -> Study:
    """With this jump (one of JUMPS) where the bar ends."""
    return _edit_bar(study, bar, lambda old: replace(old, jump=jump))


def set_degree(study: Study, place: NotePlace, degree: str) -> Study:
    return _edit_note(study, place, lambda old: replace(old, degree=degree))


def set_finger(study: Study, place: NotePlace, finger: int | None) -> Study:
    return _edit_note(study, place, lambda old: replace(old, finger=finger))


def set_string(study: Study, place: NotePlace, string: int | None, fret: int | None = None) -> Study:
    """On this string (and fret), or, with None, wherever Bargloss puts it."""
    return _edit_note(study, place, lambda old: replace(old, string=string, fret=fret))


def set_note_pitch(study: Study, place: NotePlace, pitch: Pitch) -> Study:
    """With another pitch here and in every head tied to it.

    What the teacher set for the old pitch goes: the degree, and where it sounds elsewhere string, fret and finger too.
    """
    def moved(old: Note) -> Note:
        if old.pitch == pitch:
            return old
        if old.pitch.midi == pitch.midi:
            return replace(old, pitch=pitch, degree="")
        return replace(old, pitch=pitch, degree="", string=None, fret=None, finger=None)

    _check_note(study, place)
    for link in reversed(tie_chain(study, place)):
        study = _edit_note(study, link, moved)
    return study


def set_events(study: Study, bar: int, events: tuple[Event, ...]) -> Study:
    """With other notes in the bar.

    A callout that began or ended on a note that is gone moves to the nearest before; what was dismissed there goes.
    """
    def changed(old: Bar) -> Bar:
        bare = replace(old, events=events, callouts=())
        gone = old.onsets - bare.onsets
        dismissed = tuple(one for one in old.dismissed if one.onset not in gone)
        callouts = tuple(dict.fromkeys(_settled(callout, bare) for callout in old.callouts))
        return replace(bare, dismissed=dismissed, callouts=callouts)

    _check_bar(study, bar)
    return replace_bar(study, bar, _at_bar(study, bar, lambda: changed(study.bars[bar])))


def replace_bar(study: Study, index: int, bar: Bar) -> Study:
    """With another bar in its place. Callouts that reach into it from before end on its nearest note."""
    _check_bar(study, index)
    if study.bars[index] == bar:
        return study
    def landed(callout: Callout, at: int) -> Callout:
        ends_here = at + callout.bars_on == index
        return replace(callout, stop=nearest_onset(bar, callout.stop)) if ends_here else callout

    before = [change_reaching(old, partial(landed, at=at)) for at, old in enumerate(study.bars[:index])]
    return replace(study, bars=(*before, bar, *study.bars[index + 1:]), before=study)


def change_reaching(bar: Bar, change: Callable[[Callout], Callout]) -> Bar:
    """The bar with its callouts that end in a later bar changed; itself where none of them is."""
    if not bar.reaching:
        return bar
    callouts = tuple(dict.fromkeys(change(callout) if callout.bars_on else callout for callout in bar.callouts))
    return bar if callouts == bar.callouts else replace(bar, callouts=callouts)


def _settled(callout: Callout, bar: Bar) -> Callout:
    start = nearest_onset(bar, callout.start)
    stop = callout.stop if callout.bars_on else nearest_onset(bar, callout.stop)
    return replace(callout, start=start, stop=stop)


def nearest_onset(bar: Bar, onset: Fraction) -> Fraction:
    """Of the bar's onsets the last that is not after this one; else its first."""
    return max((at for at in bar.onsets if at <= onset), default=min(bar.onsets))


def _with_mark(row: tuple[_Mark, ...], offset: Fraction, mark: _Mark | None) -> tuple[_Mark, ...]:
    marks = [other for other in row if other.offset != offset] + ([] if mark is None else [mark])
    return tuple(sorted(marks, key=lambda one: one.offset))


def _edit_callouts(study: Study, bar: int, index: int, new: tuple[Callout, ...]) -> Study:
    _check_bar(study, bar)
    if not 0 <= index < len(study.bars[bar].callouts):
        raise BarglossError("that callout is no longer there; choose another", bar=study.in_force[bar].number)
    return _edit_bar(study, bar, lambda old: replace(
        old, callouts=(*old.callouts[:index], *new, *old.callouts[index + 1:])))


def _edit_note(study: Study, place: NotePlace, change: Callable[[Note], Note]) -> Study:
    _check_note(study, place)

    def changed(old: Event) -> Event:
        notes = [*old.notes]
        notes[place.note] = change(notes[place.note])
        return replace(old, notes=tuple(sorted(notes, key=height)))

    return _edit_event(study, place, changed)


def _edit_event(study: Study, place: NotePlace, change: Callable[[Event], Event]) -> Study:
    _check_event(study, place)

    def changed(old: Bar) -> Bar:
        events = [*old.events]
        events[place.event] = change(events[place.event])
        return replace(old, events=tuple(events))

    return _edit_bar(study, place.bar, changed)


def _edit_bar(study: Study, index: int, change: Callable[[Bar], Bar]) -> Study:
    """For edits that leave the onsets of the bar as they are."""
    _check_bar(study, index)
    old = study.bars[index]
    new = _at_bar(study, index, lambda: change(old))
    bars = (*study.bars[:index], new, *study.bars[index + 1:])
    return study if new == old else replace(study, bars=bars, before=study)


def _at_bar(study: Study, index: int, make: Callable[[], Bar]) -> Bar:
    try:
        return make()
    except BarglossError as fault:
        raise BarglossError(fault.what, bar=study.in_force[index].number) from None


def _or_same(old: Study, new: Study) -> Study:
    return old if new == old else new


def _check_bar(study: Study, index: int) -> None:
    if not 0 <= index < len(study.bars):
        raise BarglossError(f"the study has {len(study.bars)} bars and none at place {index + 1}; choose another bar")


def _check_event(study: Study, place: NotePlace) -> None:
    _check_bar(study, place.bar)
    if not 0 <= place.event < len(study.bars[place.bar].events):
        raise BarglossError("that note is no longer there; choose another", bar=study.in_force[place.bar].number)


def _check_note(study: Study, place: NotePlace) -> None:
    _check_event(study, place)
    if not 0 <= place.note < len(study.event_at(place).notes):
        raise BarglossError("there is no note to change in this rest; choose another",
                            bar=study.in_force[place.bar].number)
