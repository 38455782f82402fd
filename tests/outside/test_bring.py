"""What comes in against other readers of the same files: music21's own score of them, and partitura."""

from __future__ import annotations

import hashlib
import random
import re
import warnings
from fractions import Fraction
from pathlib import Path

import music21
import pytest
from music21 import converter, corpus, harmony

from core.errors import BarglossError
from core.exchange.build import Brought, build
from core.exchange.choice import ChoiceNeeded
from core.exchange.limits import load
from core.exchange.reader import read
from core.exchange.tunes import tunes_of
from core.harmony import ChordSymbol, parse_chord
from tests.exchange.sources import sounded
from tests.outside.corpus_scores import OURS_IS_RIGHT, REELS, SHEETS, exact, graces, is_open, theirs

with warnings.catch_warnings():  # its parser imports a deprecated module
    warnings.simplefilter("ignore")
    import partitura

COLLECTIONS = ("ryansMammoth", "oneills1850", "airdsAirs", "essenFolksong")
SUITE = next((Path(music21.__file__).parent / "musicxml").glob("*TestSuite"))


def bring_here(path: Path, part: int | None = None) -> Brought:
    return build(read(load(path), part), path.stem)


def our_graces(got: Brought) -> int:
    return sum(event.grace for bar in got.study.bars for event in bar.events)


def changes(got: Brought) -> list[tuple[Fraction, str]]:
    at, found = Fraction(0), []
    for here in got.study.in_force:
        found += [(at + change.offset, change.symbol) for change in here.bar.changes]
        at += here.length
    return found


def check_chords(got: Brought, score) -> int:
    """Every chord symbol at music21's place, root, bass and pitch classes; how many there were."""
    symbols = [(exact(each.getOffsetInHierarchy(score)), each) for each in score.recurse()
               if isinstance(each, harmony.ChordSymbol) and not isinstance(each, harmony.NoChord)]
    ours = [(at, parse_chord(text)) for at, text in changes(got) if text != "N.C."]
    assert [at for at, _ in ours] == [at for at, _ in symbols]
    for (_, chord), (_, symbol) in zip(ours, symbols, strict=True):
        assert isinstance(chord, ChordSymbol)
        assert sounding_classes(chord) == {pitch.pitchClass for pitch in symbol.pitches}, symbol.figure
    return len(symbols)


def sounding_classes(chord: ChordSymbol) -> set[int]:
    return {note.chroma for note in (*chord.spelled, *([chord.bass] if chord.bass else []))}


@pytest.mark.parametrize(("name", "bars", "chords"), [(SHEETS[0], 35, 40), (SHEETS[1], 34, 19)])
def test_lead_sheets(name, bars, chords):
    path = Path(corpus.getWork(name))
    got, score = bring_here(path), corpus.parse(name)
    assert len(got.study.bars) == bars
    assert sounded(got.study) == theirs(score.parts[0])
    assert check_chords(got, score) == chords
    words = [exact(each.getOffsetInHierarchy(score)) for each in score.recurse().getElementsByClass("TextExpression")
             if each.content == "N.C."]
    assert [at for at, text in changes(got) if text == "N.C."] == words
    assert [bar.repeat_start for bar in got.study.bars] == [
        getattr(measure.leftBarline, "direction", "") == "start"
        for measure in score.parts[0].getElementsByClass("Measure")]


def test_the_chord_symbol_demo():
    got, score = bring_here(Path(corpus.getWork(SHEETS[2]))), corpus.parse(SHEETS[2])
    symbols = [each for each in score.recurse().getElementsByClass("ChordSymbol")]
    ours = [parse_chord(text) for _, text in changes(got)]
    assert len(ours) == len(symbols)
    differing = {symbol.chordKind for chord, symbol in zip(ours, symbols, strict=True)
                 if sounding_classes(chord) != {pitch.pitchClass for pitch in symbol.pitches}}
    assert differing == set(OURS_IS_RIGHT)


@pytest.mark.parametrize("number", [80, 81])
def test_reels_with_chords(number):
    got, score = bring_here(Path(corpus.getWork(REELS)), number), corpus.parse(REELS, number=number)
    assert sounded(got.study) == theirs(score.parts[0])
    assert got.study.in_force[0].number == 0  # both begin with a pickup
    text = tunes_of(Path(corpus.getWork(REELS)).read_text())[number]
    body = text[text.index("K:"):]
    written = [symbol.replace("/c", "/C").replace("/e", "/E").replace("/b", "/B").replace("/g", "/G")
               .replace("/f+", "/F#") for symbol in re.findall(r'"([^"]*)"', body)]
    assert [text for _, text in changes(got)] == written


def suite_files() -> list[Path]:
    """The open files of the MusicXML test suite that music21 carries."""
    return [path for path in sorted(SUITE.glob("*.xml")) if is_open(path.name)]


@pytest.mark.parametrize("path", suite_files(), ids=lambda path: path.name[:3] + hashlib.sha256(
    path.name.encode()).hexdigest()[:4])
def test_the_open_half_of_the_suite(path):
    """Equal notes and graces, part by part where there are several."""
    score = converter.parse(path)
    score.toSoundingPitch(inPlace=True)
    try:
        brought = [bring_here(path)]
    except ChoiceNeeded as asked:
        brought = [bring_here(path, number + 1) for number in range(int(str(asked).split()[0]))]
    staves = [part for part in score.parts if not str(part.id).endswith("-Staff2")]
    assert len(brought) == len(staves)
    for got, part in zip(brought, staves, strict=True):
        assert sounded(got.study) == theirs(part)
        if not any(measure.voices for measure in part.getElementsByClass("Measure")):
            assert our_graces(got) == graces(part)


def tunes() -> list[tuple[str, Path, int]]:
    """Fifteen open tunes of each collection, drawn by a fixed seed."""
    found = []
    paths = {collection: sorted(Path(path) for path in corpus.getPaths(fileExtensions=("abc",))
                                if Path(path).parent.name == collection) for collection in COLLECTIONS}
    for rows in paths.values():
        ids = []
        for path in random.Random(4).sample(rows, min(12, len(rows))):
            numbers = list(tunes_of(path.read_text(errors="replace")))
            stem = f"{path.parent.name}/{path.name}"
            ids += [(stem if len(numbers) == 1 else f"{stem}#{number}", path, number) for number in numbers]
        chosen = [each for each in ids if is_open(each[0])]
        found += random.Random(5).sample(chosen, min(15, len(chosen)))
    return found


@pytest.mark.parametrize(("name", "path", "number"), tunes(), ids=lambda value: str(value)[-24:])
def test_a_sample_of_tunes(name, path, number):
    """Equal notes. music21 drops the note under a quoted text that begins with >: it reads the tune without those."""
    got = bring_here(path, number)
    text = re.sub(r'">[^"]*"', "", tunes_of(path.read_text(errors="replace"))[number])
    score = converter.parseData(text, format="abc", number=number)
    assert sounded(got.study) == theirs(score.parts[0])


@pytest.mark.parametrize("name", SHEETS[:2])
def test_onsets_agree_with_partitura(name, tmp_path):
    """A third reader: partitura's note onsets and lengths, in quarters from the start."""
    raw = load(Path(corpus.getWork(name))).raw
    (tmp_path / "a.musicxml").write_bytes(raw)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        part = partitura.load_musicxml(tmp_path / "a.musicxml")[0]
        quarter = part.quarter_map
        notes = sorted((Fraction(float(quarter(each.start.t))).limit_denominator(96),
                        Fraction(float(quarter(each.end_tied.t))).limit_denominator(96), (each.midi_pitch,))
                       for each in part.notes_tied)
    assert sorted(tuple(each) for each in sounded(bring_here(Path(corpus.getWork(name))).study)) == notes


def test_a_closed_or_unknown_file_is_no_excuse_for_a_traceback(tmp_path):
    (tmp_path / "a.musicxml").write_text("<score-partwise/>")
    with pytest.raises(BarglossError):
        bring_here(tmp_path / "a.musicxml")
