"""What a half bar might be heard in besides its chart, and how much better that explains its notes.

Each note weighs more the stronger its place and the longer it sounds. It speaks for a harmony as a tone
of the chord, less so as an available tension, and against it as anything else, but for a short note that
leads on by half step. For the written chord, a note whose role explains it (passing, neighbour,
enclosure …) does not count against it: the chart is presumed right. Common practice, no source; the
figures are set by eye.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from functools import lru_cache
from typing import Final, NamedTuple

from core.errors import BarglossError
from core.harmony import ChordSymbol, Degree, note_above, parse_chord, spell
from core.line.analysis import BarAnalysis
from core.line.finding import symbol
from core.line.roles import standings
from core.line.tones import Tone
from core.study import STEPS, InForce, Key, PitchClass

CHORD_TONE: Final = 100
_NAMED, _OUTSIDE = 80, -200
_CHART_TENSIONS, _TENSIONS = (60, 20), (20, -20)  # natural and altered: of the written chord, of another
_EXPLAINED, _OF_THE_KEY, _AGAINST = 50, 0, -50  # a note outside the written chord: by its role, by the key, not at all
_IN_KEY, _LEADING_NOTE = 60, 40
_FEWEST = 3  # notes that can carry a reading
_NEAR, _FAR, _DOMINANT, _TRITONE = 600, 900, 450, 300  # prices
_PRESUMED = 20  # what the chart has ahead of any other harmony
_SHORTEST_HALF = Fraction(3, 2)
_SHORT = Fraction(1, 2)
_MINOR_MODES = ("minor", "aeolian", "dorian", "phrygian")
_UNEXPLAINED = ("tension", "altered tone", "no chord")
_MAJOR_SEVENTH = 11  # semitones
_FLAT_FIVE = Degree(5, -1)

# Seventh chords of the key, by the number and alteration of their roots; the dominant of a minor key has its b9.
_MAJOR_CHORDS = ((1, 0, "maj7"), (2, 0, "m7"), (3, 0, "m7"), (4, 0, "maj7"), (5, 0, "7"), (6, 0, "m7"))
_MINOR_CHORDS = ((1, 0, "m7"), (2, 0, "m7b5"), (3, -1, "maj7"), (4, 0, "m7"), (5, 0, "7b9"), (6, -1, "maj7"),
                 (7, -1, "7"))


class Hearing(NamedTuple):
    """A harmony as a reading writes it, what it is to the chart, and how far it explains the notes better.

    price: what it costs to leave the chart for it.
    """

    harmony: str
    relation: str
    gain: int
    price: int


class Half(NamedTuple):
    """Half a bar, or a whole one that has no middle beat. start, length: quarters; written: its chord symbols.

    weight: of all its notes; hearings: none where no chord is in force or the teacher has set a reading.
    """

    tones: tuple[Tone, ...]
    start: Fraction
    length: Fraction
    written: tuple[str, ...]
    hearings: tuple[Hearing, ...]


def halves(here: InForce) -> tuple[Fraction, ...]:
    """Where the halves of a bar begin: at 0, and in the middle where a beat falls there."""
    middle = here.meter.length / 2
    halved = here.length == here.meter.length and middle >= _SHORTEST_HALF and middle in here.meter.beats
    return (Fraction(0), middle) if halved else (Fraction(0),)


def belongs(tone: Tone, harmony: ChordSymbol | Key) -> bool:
    """Whether a note is a tone of the chord, or of the key."""
    if isinstance(harmony, Key):
        return harmony.alter_of(tone.pitch.step) == tone.pitch.alter
    return tone.midi % 12 in harmony.pitch_classes


def halves_of(here: InForce, found: BarAnalysis, tones: tuple[Tone, ...],
              last: ChordSymbol | None, following: ChordSymbol | None) -> tuple[Half, ...]:
    """The halves of one bar; a bar with less than three notes in one of them is not halved.

    last, following: the nearest other chords before and after the bar.
    """
    starts = halves(here)
    if len(starts) == 1:
        return (_half(here, found, tones, (starts[0], here.length), (last, following)),)
    middle = starts[1]
    early = sum([tone.onset < middle for tone in tones])
    if min(early, len(tones) - early) < _FEWEST:
        return (_half(here, found, tones, (starts[0], here.length), (last, following)),)
    return (_half(here, found, tones[:early], (starts[0], middle), (last, following)),
            _half(here, found, tones[early:], (middle, here.length), (last, following)))


def _half(here: InForce, found: BarAnalysis, tones: tuple[Tone, ...], reach: tuple[Fraction, Fraction],
          around: tuple[ChordSymbol | None, ChordSymbol | None]) -> Half:
    start, stop = reach
    chords: list[ChordSymbol] = []
    last, following = around
    for span in found.chords:
        own = [] if span.chord is None else [span.chord]  # no chord, or none that can be read
        if span.offset <= start:
            last, chords = chords[-1] if chords else last, own
        elif span.offset < stop:
            chords += own
        elif own:
            following = span.chord
            break
    read = any(span.offset < stop and span.stop > start for span in found.readings)
    hearings = _hearings(tones, tuple(chords), last, following, here.key) if chords and not read else ()
    return Half(tones, start, stop - start, tuple(dict.fromkeys(map(symbol, chords))), hearings)


def _hearings(tones: tuple[Tone, ...], chords: tuple[ChordSymbol, ...], last: ChordSymbol | None,
              following: ChordSymbol | None, key: Key) -> tuple[Hearing, ...]:
    bound: list[tuple[int, int]] = []  # chroma and weight
    leading: list[tuple[int, int]] = []
    chart = 0
    for tone, then in zip(tones, (*tones[1:], None), strict=False):
        weight = _weight(tone)
        leads = then is not None and abs(then.midi - tone.midi) == 1 and tone.length <= _SHORT
        (leading if leads else bound).append((tone.midi % 12, weight))
        chart += weight * (_under_chart(tone) + _PRESUMED)
    found = []
    for harmony, relation, price, worth in _others(chords, last, following, key):
        gain = sum([weight * worth[chroma] for chroma, weight in bound]) - chart
        for chroma, weight in leading:
            gain += weight * max(0, worth[chroma])
        found.append(Hearing(harmony, relation, gain if len(tones) >= _FEWEST else min(gain, price // 2), price))
    return tuple(found)


def _weight(tone: Tone) -> int:
    """1 for a short note on no beat to 16 for a half note on the first."""
    eighths = 2 * tone.length.numerator // tone.length.denominator
    return (1 + tone.strength) * min(4, max(1, eighths))


def _under_chart(tone: Tone) -> int:
    if tone.is_chord_tone:
        return CHORD_TONE
    if tone.role not in _UNEXPLAINED:
        return _EXPLAINED
    if tone.chord is None:
        return _AGAINST
    contradicts = not tone.in_key or (tone.above == _MAJOR_SEVENTH and tone.chord.is_dominant)
    worth = _worth_of(tone.chord, *_CHART_TENSIONS)[tone.midi % 12]
    return max(worth, _AGAINST if contradicts else _OF_THE_KEY)


_Other = tuple[str, str, int, tuple[int, ...]]  # name, relation, price, worth of the twelve notes


@lru_cache(maxsize=4096)
def _others(chords: tuple[ChordSymbol, ...], last: ChordSymbol | None, following: ChordSymbol | None,
            key: Key) -> tuple[_Other, ...]:
    """Harmonies that a stretch with these chords might be heard in, each once."""
    found: list[_Other] = []
    taken = {(chord.root.chroma, _third(chord)) for chord in chords}
    sounds = {frozenset(chord.pitch_classes) for chord in chords}
    for chord, relation, price in _candidates(chords[0], last, following, key):
        named, sound = (chord.root.chroma, _third(chord)), frozenset(chord.pitch_classes)
        if named not in taken and sound not in sounds:
            taken.add(named)
            sounds.add(sound)
            found.append((symbol(chord), relation, price, _worth_of(chord, *_TENSIONS)))
    found.append((f"key of {key.name}", "the key", _FAR, _worth_of_key(key)))
    return tuple(found)


def _third(chord: ChordSymbol) -> tuple[int, ...]:
    """What tells a chord from others on its root: its thirds."""
    return tuple(tone.chroma for tone in chord.tones if tone.chroma in (3, 4))


def _candidates(chord: ChordSymbol, last: ChordSymbol | None, following: ChordSymbol | None,
                key: Key) -> Iterator[tuple[ChordSymbol, str, int]]:
    """Harmony, relation to the written chord, price: the nearer to the chart the less."""
    if last is not None:
        yield last, "last chord", _NEAR
    if following is not None:
        yield following, "next chord", _NEAR
    if chord.is_dominant:
        yield _made(_plain(note_above(chord.root, _FLAT_FIVE), key), "7"), "tritone substitute", _TRITONE
        yield _made(_plain(note_above(chord.root, Degree(5)), key), "m7"), "related minor", _NEAR
    for number, name in ((3, "third"), (7, "seventh")):
        tone = next((spelled for degree, spelled in zip(chord.tones, chord.spelled, strict=True)
                     if degree.number == number), None)
        if tone is not None:
            yield _made(_plain(tone, key), "dim7"), f"diminished on the {name}", _FAR
    for number, alter, kind in _MINOR_CHORDS if key.mode in _MINOR_MODES else _MAJOR_CHORDS:
        root = _plain(note_above(key.tonic, Degree(number, alter)), key)
        yield _made(root, kind), "chord of the key", _DOMINANT if number == 5 else _FAR


def _plain(root: PitchClass, key: Key) -> PitchClass:
    """The root as it stands where that is a plain name, else as the key spells it."""
    plain = abs(root.alter) <= 1 and (root.step, root.alter) not in (("C", -1), ("F", -1), ("E", 1), ("B", 1))
    return root if plain or key.alter_of(root.step) == root.alter else spell(60 + root.chroma, key).pitch_class


@lru_cache(maxsize=1024)
def _made(root: PitchClass, kind: str) -> ChordSymbol:
    chord = parse_chord(root.name + kind)
    if not isinstance(chord, ChordSymbol):
        raise BarglossError(f"{root.name}{kind} is no chord")
    return chord


@lru_cache(maxsize=1024)
def _worth_of(chord: ChordSymbol, tension: int, altered: int) -> tuple[int, ...]:
    """What each of the twelve notes, C first, says for a chord. tension, altered: what available tensions say."""
    worth = [_OUTSIDE] * 12
    for above, standing in enumerate(standings(chord)):
        if standing.is_chord_tone:
            each = CHORD_TONE if standing.degree.number <= 7 else _NAMED
        elif standing.is_available:
            plain = altered if standing.is_altered else tension
            each = CHORD_TONE if chord.altered else plain
        else:
            each = _OUTSIDE
        worth[(chord.root.chroma + above) % 12] = each
    return tuple(worth)


@lru_cache(maxsize=256)
def _worth_of_key(key: Key) -> tuple[int, ...]:
    worth = [_OUTSIDE] * 12
    if key.mode in _MINOR_MODES:
        worth[(key.tonic.chroma - 1) % 12] = _LEADING_NOTE
    for step in STEPS:
        worth[PitchClass(step, key.alter_of(step)).chroma] = _IN_KEY
    return tuple(worth)
