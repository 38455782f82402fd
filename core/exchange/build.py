"""From the plain values of a file to a study, and the list of what was left out or changed on the way."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from unicodedata import category

from core.errors import BarglossError
from core.exchange.plain import Piece, PlainBar, PlainChord, Remark
from core.exchange.symbols import symbol_of
from core.study import GUITAR, STEPS, Bar, Change, Event, Key, Meter, Note, Study
from core.study.fit import PlainEvent, filled, with_groups, with_ties, writable
from core.study.study import opening_number

IRREGULAR = "Bars not as long as their meter, kept so"
SPLIT = "Notes that no single head writes, split and tied"


@dataclass(frozen=True)
class Brought:
    """A study, and what the person should know of how it came in: one plain sentence each."""

    study: Study
    notices: tuple[str, ...]


def build(piece: Piece, name: str = "") -> Brought:
    """The study of a piece. name: its title where the file gives none. Raises BarglossError."""
    remarks = list(piece.remarks)
    meters = _meters(piece.bars, remarks)
    lengths = [_length(bar, meter) for bar, meter in zip(piece.bars, meters, strict=True)]
    is_pickup = opening_number(lengths[0], meters[0], len(lengths)) == 0
    remarks += [Remark(IRREGULAR, at) for at, length in enumerate(lengths)
                if length is not None and not (at == 0 and is_pickup)]
    first_number = piece.first_number or (0 if is_pickup else 1)
    rows = []
    for at, bar in enumerate(piece.bars):
        try:
            rows.append(_events(bar, at, lengths[at] or meters[at].length, meters[at], remarks))
        except BarglossError as error:
            error.bar = at + first_number
            raise
    rows, loose = with_ties(rows)
    remarks += [Remark("Ties to no note of the same pitch left out", at) for at in loose]
    changes, unread = _changes(piece.bars, [length or meter.length for length, meter in
                                            zip(lengths, meters, strict=True)], remarks)
    key = piece.bars[0].key
    if key is None:
        remarks.append(Remark("The file names no key; it is written without a signature"))
    if piece.tempo is None:
        remarks.append(Remark("The file names no tempo; 120 quarters a minute were taken"))
    bars = [_bar(bar, row, change, length) for bar, row, change, length in
            zip(piece.bars, rows, changes, lengths, strict=True)]
    bars[0] = replace(bars[0], key=None, meter=None)
    title, composer = _plain(piece.title) or _plain(name), _plain(piece.composer)
    study = Study(title=title, tune=f"{title} ({composer})" if composer else title, player=_plain(piece.player),
                  transcriber=_plain(piece.transcriber), rights=_plain(piece.rights), tempo=piece.tempo or 120,
                  feel=piece.feel, key=key or Key(), meter=meters[0], first_number=piece.first_number, bars=tuple(bars))
    return Brought(study, tuple([*_sentences(remarks, first_number), *_unread(unread, first_number)]))


def _plain(text: str) -> str:
    """In one line, without the control characters that no study file can keep; file names have broken letters too."""
    shown = (one if one.isprintable() or category(one) == "Cf" else " " for one in text)  # Cf joins letters
    return " ".join("".join(shown).split())


def _meters(bars: Sequence[PlainBar], remarks: list[Remark]) -> list[Meter]:
    """The meter in force in every bar."""
    if not bars:
        raise BarglossError("the file has no bars; export it again")
    if bars[0].meter is None:
        remarks.append(Remark("The file names no meter at its start; 4/4 was taken"))
    meter = Meter()
    found = []
    for bar in bars:
        meter = bar.meter or meter
        found.append(meter)
    return found


def _is_whole_rest(bar: PlainBar, meter: Meter) -> bool:
    """Nothing but one rest, of the bar or of a whole note, which stands for a bar of any meter (references E22)."""
    if len(bar.events) != 1 or bar.events[0].notes:
        return not bar.events
    rest = bar.events[0]
    return rest.onset == 0 and rest.duration in (meter.length, bar.span, Fraction(4))


def _length(bar: PlainBar, meter: Meter) -> Fraction | None:
    """The bar's own length where its meter does not give it."""
    span = bar.span
    if span is None or span in (0, meter.length):
        return None
    if _is_whole_rest(bar, meter) and span == 4:
        return None
    return span


def _events(bar: PlainBar, at: int, length: Fraction, meter: Meter, remarks: list[Remark]) -> list[Event]:
    if _is_whole_rest(bar, meter):
        return []
    line, dropped = filled(bar.events, length)
    if dropped:
        remarks.append(Remark("Notes that begin under a sounding one left out", at))
    found = []
    for event in line:
        parts = writable(_with_sound_hands(event, at, remarks), meter)
        if len(parts) > 1 and event.notes:
            remarks.append(Remark(SPLIT, at))
        found += parts
    return with_groups(found)


def _with_sound_hands(event: PlainEvent, at: int, remarks: list[Remark]) -> PlainEvent:
    """Strings and frets kept where, on a guitar in standard tuning, they sound the note."""
    strings = [note.string for note in event.notes if note.string is not None]
    if all(note.string is None or _sounds(note) for note in event.notes) and len(set(strings)) == len(strings):
        return event
    remarks.append(Remark("Strings and frets that don't sound the note on a guitar in standard tuning left out", at))
    return replace(event, notes=tuple(replace(note, string=None, fret=None) for note in event.notes))


def _sounds(note: Note) -> bool:
    if note.string is None or note.string > len(GUITAR):
        return False
    open_string = GUITAR[-note.string].midi
    return note.fret == note.pitch.midi - open_string if note.fret is not None else note.pitch.midi >= open_string


def _changes(bars: Sequence[PlainBar], lengths: Sequence[Fraction],
             remarks: list[Remark]) -> tuple[list[list[Change]], list[tuple[str, int]]]:
    """The changes of each bar, and what could not be read as a chord symbol, with its bar's index.

    Where it begins with a root it stays among the changes as it stands: without it, its notes would be read against
    the chord before it.
    """
    found: list[list[Change]] = [[] for _ in bars]
    unread: list[tuple[str, int]] = []
    for at, bar in enumerate(bars):
        for chord in bar.chords:
            symbol = symbol_of(chord)
            if symbol is None:
                text = _plain(chord.text or _described(chord))
                unread.append((text, at))
                symbol = text if _has_root(text) else ""
            if not symbol:
                continue
            target, offset = at, max(chord.offset, Fraction(0))
            while target + 1 < len(bars) and offset >= lengths[target]:
                target, offset = target + 1, offset - lengths[target]
            if offset >= lengths[target] or any(change.offset == offset for change in found[target]):
                remarks.append(Remark("Chord symbols without a place of their own left out", at))
            else:
                found[target].append(Change(offset, symbol))
    return [sorted(row) for row in found], unread


def _has_root(text: str) -> bool:
    return text.startswith(tuple(STEPS))


def _described(chord: PlainChord) -> str:
    return f"{chord.root}{chord.kind_text or ' ' + chord.kind}".strip() if chord.root else "a chord without a root"


def _bar(bar: PlainBar, events: Sequence[Event], changes: Sequence[Change], length: Fraction | None) -> Bar:
    return Bar(tuple(events), tuple(changes), key=bar.key, meter=bar.meter, length=length, barline=bar.barline,
               repeat_start=bar.repeat_start, repeat_end=bar.repeat_end, ending=bar.ending, rehearsal=bar.rehearsal,
               sign=bar.sign, jump=bar.jump)


def _sentences(remarks: Iterable[Remark], first_number: int) -> list[str]:
    bars: dict[str, set[int]] = {}
    for remark in remarks:
        numbers = bars.setdefault(remark.text, set())
        if remark.bar is not None:
            numbers.add(remark.bar + first_number)
    return [f"{text}{': ' + bar_list(numbers) if numbers else ''}." for text, numbers in bars.items()]


def _unread(unread: Sequence[tuple[str, int]], first_number: int) -> list[str]:
    """A sentence for those that stand as they are, and one for those left out."""
    found = []
    for stands, sentence in ((True, "Not read as chord symbols, so they stand as they are and give no degrees"),
                             (False, "Not read as chord symbols and left out")):
        bars: dict[str, set[int]] = {}
        for text, at in unread:
            if _has_root(text) is stands:
                bars.setdefault(text, set()).add(at + first_number)
        if bars:
            named = ", ".join(f'"{text}" ({bar_list(numbers)})' for text, numbers in bars.items())
            found.append(f"{sentence}: {named}.")
    return found


def bar_list(numbers: Iterable[int]) -> str:
    """`bar 3`, `bars 1-4, 8`."""
    runs: list[list[int]] = []
    for number in sorted(set(numbers)):
        if runs and number == runs[-1][1] + 1:
            runs[-1][1] = number
        else:
            runs.append([number, number])
    shown = ", ".join(str(first) if first == last else f"{first}-{last}" for first, last in runs)
    return f"bar{'' if len(runs) == 1 and runs[0][0] == runs[0][1] else 's'} {shown}"
