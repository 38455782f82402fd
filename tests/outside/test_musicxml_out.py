"""Our MusicXML against the published schema and three independent readers: music21, partitura, verovio."""

from __future__ import annotations

import warnings
from base64 import b64decode
from fractions import Fraction
from functools import lru_cache
from pathlib import Path

import music21
import pytest
import verovio
from hypothesis import HealthCheck, given, settings
from lxml import etree

from core.exchange.musicxml_out import musicxml_bytes, mxl_bytes
from core.harmony import NoChord, parse_chord
from core.study import DYNAMICS, JUMPS, Bar, Change, Event, Key, Meter, Note, Study, Tuplet, parse_pitch
from tests.strategies import SYMBOLS, studies

with warnings.catch_warnings():  # its parser imports a deprecated module
    warnings.simplefilter("ignore")
    import partitura

# The two schemas that musicxml.xsd takes from the web, cut to the attributes it refers to: the XML namespace
# (W3C, "The xml:lang and xml:space attributes") and XLink 1.1 simple links.
_XML = b"""<xs:schema xmlns:xs="http://www.w3.org/2001/XMLSchema"
  targetNamespace="http://www.w3.org/XML/1998/namespace">
  <xs:attribute name="lang" type="xs:language"/><xs:attribute name="space" type="xs:token"/></xs:schema>"""
_XLINK = b"""<xs:schema xmlns:xs="http://www.w3.org/2001/XMLSchema" targetNamespace="http://www.w3.org/1999/xlink">
  <xs:attribute name="href" type="xs:anyURI"/><xs:attribute name="type" type="xs:token" fixed="simple"/>
  <xs:attribute name="role" type="xs:token"/><xs:attribute name="title" type="xs:token"/>
  <xs:attribute name="show" type="xs:token"/><xs:attribute name="actuate" type="xs:token"/></xs:schema>"""


class _Offline(etree.Resolver):
    def resolve(self, url, public_id, context):
        if url.endswith("xlink.xsd"):
            return self.resolve_string(_XLINK, context)
        return self.resolve_string(_XML, context) if url.endswith("xml.xsd") and "www" in url else None


@lru_cache(maxsize=1)
def schema() -> etree.XMLSchema:
    """MusicXML 3.1, as partitura carries it."""
    parser = etree.XMLParser(no_network=True)
    parser.resolvers.add(_Offline())
    path = Path(partitura.__file__).parent / "assets" / "musicxml.xsd"
    return etree.XMLSchema(etree.parse(str(path), parser))


def event(onset, duration, *pitches, tie=False, **more) -> Event:
    heads = tuple(Note(parse_pitch(name), tie=tie) for name in pitches)
    return Event(Fraction(onset), Fraction(duration), heads, **more)


TRIPLET = (Tuplet(3, 2),)
RICH = Study(
    title="Round trip", tempo=160, key=Key(-3, "minor"), rights="Nobody's",
    bars=(
        Bar((event(0, 1, "G3"),), length=Fraction(1)),
        Bar((event(0, "1/2", "C4", slur="start"), event("1/2", "1/2", "Eb4", slur="stop"),
             event(1, "1/2", "F#4", grace=True),
             event(1, "1/3", "G4", tuplets=(Tuplet(3, 2, True),), articulations=("accent",)),
             event("4/3", "1/3", "F4", tuplets=TRIPLET), event("5/3", "1/3", "D4", tuplets=TRIPLET),
             event(2, 2, "B3", "E4", tie=True, stroke="up")),
            (Change(Fraction(0), "C-7"), Change(Fraction(5, 2), "F7"))),
        Bar((event(0, 1, "B3", "E4"), event(1, "3/2"), event("5/2", "3/2", "Ab3")), (Change(Fraction(0), "Bb△7/D"),),
            repeat_start=True, ending="1", repeat_end=2, rehearsal="A"),
        Bar(meter=Meter((3,)), key=Key(2), barline="final", comment="Rest *here*, on {E7}."),
    ))


def test_every_generated_study_obeys_the_schema_and_music21_hears_it():
    """W3C MusicXML 3.1 schema; music21 as an independent reader."""

    @settings(max_examples=25, deadline=None, suppress_health_check=list(HealthCheck))
    @given(studies(max_bars=3))
    def check(study):
        written = musicxml_bytes(study)
        schema().assertValid(etree.fromstring(written))
        assert heard_by_music21(written) == heard(study)

    check()


def heard(study: Study) -> list[list[tuple]]:
    """Bar by bar: onset, duration, sounding pitches, which of them a tie holds on, grace or not; no rests."""
    return [[(event.onset, Fraction(0) if event.grace else near(event.duration),
              sorted((note.pitch.midi, note.tie) for note in event.notes), event.grace)
             for event in bar.events if event.notes] for bar in study.bars]


def near(length) -> Fraction:
    return Fraction(length).limit_denominator(1000)


def heard_by_music21(written: bytes) -> list[list[tuple]]:
    part = parsed(written).parts[0]
    found = []
    for measure in part.getElementsByClass(music21.stream.Measure):
        row = []
        for element in measure.notes:
            if isinstance(element, music21.harmony.Harmony):
                continue
            heads = element.notes if isinstance(element, music21.chord.Chord) else [element]
            row.append((near(element.offset), near(element.quarterLength),
                        sorted((head.pitch.midi, head.tie is not None and head.tie.type in ("start", "continue"))
                               for head in heads), element.duration.isGrace))
        found.append(row)
    return found


def parsed(written: bytes) -> music21.stream.Score:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # music21 warns of unusual tuplets; what it reads is what counts
        return music21.converter.parseData(written, format="musicxml")


def test_the_schema_check_can_fail():
    broken = musicxml_bytes(RICH).replace(b"<beat-unit>quarter</beat-unit>", b"<beat-unit>crotchet</beat-unit>")
    assert not schema().validate(etree.fromstring(broken))


def test_music21_reads_pitches_times_ties_and_graces():
    assert heard_by_music21(musicxml_bytes(RICH)) == heard(RICH)


def test_music21_reads_chords_at_their_offsets():
    part = parsed(musicxml_bytes(RICH)).parts[0]
    chords = [(measure.number, Fraction(chord.offset), chord.root().name, sorted(chord.pitchClasses))
              for measure in part.getElementsByClass(music21.stream.Measure)
              for chord in measure.getElementsByClass(music21.harmony.ChordSymbol)]
    assert chords == [(1, 0, "C", [0, 3, 7, 10]), (1, Fraction(5, 2), "F", [0, 3, 5, 9]), (2, 0, "B-", [2, 5, 9, 10])]


@pytest.mark.parametrize("symbol", [symbol for symbol in SYMBOLS if symbol not in ("%", "G7sus4")])
def test_music21_hears_the_tones_of_each_chord(symbol):
    """The tones of parse_chord, in and out of `harmony`, kind and degrees."""
    part = parsed(musicxml_bytes(Study(bars=(Bar(changes=(Change(Fraction(0), symbol),)),)))).parts[0]
    read = part.recurse().getElementsByClass(music21.harmony.Harmony).first()
    chord = parse_chord(symbol)
    if isinstance(chord, NoChord):
        assert isinstance(read, music21.harmony.NoChord)
        return
    bass = set() if chord.bass is None else {chord.bass.chroma}
    assert set(read.pitchClasses) == set(chord.pitch_classes) | bass


def test_a_seventh_added_to_a_suspended_chord_is_the_dominant_s():
    """MusicXML 3.1 `degree-alter`: an added degree is relative to a dominant chord, so 7 by 0 is the minor seventh.
    music21 (10.5) counts it up the major scale and hears F#; the standard is what we follow.
    """
    tree = etree.fromstring(musicxml_bytes(Study(bars=(Bar(changes=(Change(Fraction(0), "G7sus4"),)),))))
    assert tree.findtext(".//kind") == "suspended-fourth"
    assert [element.text for element in tree.find(".//degree")] == ["7", "0", "add"]


def test_music21_reads_the_beams():
    """E21: levels and hooks, for a dotted eighth with a sixteenth and two sixteenths with an eighth."""
    values = [Fraction(value, 4) for value in (3, 1, 1, 1, 2)]
    line = [event(sum(values[:place]), value, "C4") for place, value in enumerate(values)]
    score = parsed(musicxml_bytes(Study(bars=(Bar((*line, event(2, 2))),))))
    found = [[(beam.type, beam.direction) for beam in note.beams] for note in score.recurse().notes]
    assert found == [[("start", None)], [("stop", None), ("partial", "left")],
                     [("start", None), ("start", None)], [("continue", None), ("stop", None)], [("stop", None)]]


def test_music21_reads_heading_keys_meters_tempo_repeats():
    score = parsed(musicxml_bytes(RICH))
    part = score.parts[0]
    assert score.metadata.movementName == "Round trip"
    assert [(key.sharps, key.mode) for key in part.recurse().getElementsByClass(music21.key.Key)] == \
        [(-3, "minor"), (2, "major")]
    assert [meter.ratioString for meter in part.recurse().getElementsByClass(music21.meter.TimeSignature)] == \
        ["4/4", "3/4"]
    assert part.recurse().getElementsByClass(music21.tempo.MetronomeMark).first().number == 160
    clef = part.recurse().getElementsByClass(music21.clef.Clef).first()
    assert (clef.sign, clef.line, clef.octaveChange) == ("G", 2, -1)  # G4
    measures = part.getElementsByClass(music21.stream.Measure)
    assert [measure.number for measure in measures] == [0, 1, 2, 3]
    assert measures[2].leftBarline.direction == "start"
    assert measures[2].rightBarline.direction == "end"
    assert measures[3].rightBarline.type == "final"
    assert measures[3].notesAndRests.first().quarterLength == 3


def test_music21_reads_strokes_and_slurs():
    part = parsed(musicxml_bytes(RICH)).parts[0]
    slurs = part.recurse().getElementsByClass(music21.spanner.Slur)
    assert [[note.nameWithOctave for note in slur.getSpannedElements()] for slur in slurs] == [["C4", "E-4"]]
    bows = [element for element in part.recurse().notes
            if any(isinstance(mark, music21.articulations.UpBow) for mark in element.articulations)]
    assert [bow.offset for bow in bows] == [2.0]  # G5: an up-bow is an upstroke


@pytest.mark.parametrize("dynamic", [dynamic for dynamic in DYNAMICS if dynamic])
def test_music21_reads_a_dynamic_under_its_note(dynamic):
    line = (event(0, "3/2", "C4"), event("3/2", "1/2", "E4", dynamic=dynamic), event(2, 2, "G4"))
    study = Study(bars=(Bar(line),))
    (mark,) = parsed(musicxml_bytes(study)).recurse().getElementsByClass(music21.dynamics.Dynamic)
    assert (near(mark.getOffsetInHierarchy(mark.activeSite)), mark.value) == (Fraction(3, 2), dynamic)


SWELLS = Study(bars=(
    Bar((event(0, 1, "C4", dynamic="p", hairpin="cresc"), event(1, 1, "D4"), event(2, 2, "E4", dynamic="f"))),
    Bar((event(0, 2, "G4", hairpin="dim"), event(2, 2, "A4"))),
    Bar((event(0, 2, "G4", hairpin="stop"), event(2, 2, "A4", hairpin="cresc"))),
))


def test_music21_reads_hairpins_over_the_notes_they_stand_under():
    """Each with its first and last note; one that ends as a bar begins has its last note in the bar before."""
    wedges = parsed(musicxml_bytes(SWELLS)).recurse().getElementsByClass(music21.dynamics.DynamicWedge)
    found = [(type(one).__name__, one.getFirst().nameWithOctave, one.getLast().nameWithOctave) for one in wedges]
    assert found == [("Crescendo", "C4", "D4"), ("Diminuendo", "G4", "A4"), ("Crescendo", "A4", "A4")]


def test_verovio_draws_hairpins(toolkit):
    """verovio, as an independent reader: form and where each begins and ends, in beats of its bar."""
    toolkit.loadData(musicxml_bytes(SWELLS).decode())
    mei = etree.fromstring(toolkit.getMEI().encode())
    found = [(one.get("form"), one.get("tstamp"), one.get("tstamp2")) for one in mei.iter("{*}hairpin")]
    assert [form for form, *_ in found] == ["cres", "dim", "cres"]
    assert [(start, end) for _, start, end in found] == [("1", "0m+3"), ("1", "0m+5"), ("3", "0m+5")]


@pytest.mark.parametrize("jump", [jump for jump in JUMPS if jump])
@pytest.mark.parametrize("sign", ["segno", "coda"])
def test_music21_knows_each_sign_and_each_jump_by_its_words(sign, jump):
    part = parsed(musicxml_bytes(Study(bars=(Bar((event(0, 4, "C4"),), sign=sign, jump=jump),)))).parts[0]
    ways = part.recurse().getElementsByClass(music21.repeat.RepeatExpression)
    assert [(way.getOffsetInHierarchy(part), way.getText()) for way in ways] == [(0, sign.capitalize()), (4, jump)]


def test_verovio_draws_dynamics_signs_and_jumps(toolkit):
    """verovio, as an independent reader."""
    study = Study(bars=(Bar((event(0, 4, "C4", dynamic="mf"),), sign="segno"), Bar(jump="D.S. al Fine", sign="coda")))
    toolkit.loadData(musicxml_bytes(study).decode())
    mei = etree.fromstring(toolkit.getMEI().encode())
    assert ["".join(mark.itertext()).strip() for mark in mei.iter("{*}dynam")] == ["mf"]
    assert [mark.get("func") for mark in mei.iter("{*}repeatMark")] == ["segno", "coda"]
    assert "D.S. al Fine" in ["".join(mark.itertext()).strip() for mark in mei.iter("{*}dir")]


def test_music21_opens_the_zipped_file(tmp_path):
    path = tmp_path / "study.mxl"
    path.write_bytes(mxl_bytes(RICH))
    score = music21.converter.parse(path, forceSource=True)
    assert len(score.parts[0].getElementsByClass(music21.stream.Measure)) == len(RICH.bars)


def test_partitura_reads_the_same_sounding_notes(tmp_path):
    """partitura merges tied notes and counts from the first full bar: so do we here."""
    path = tmp_path / "study.musicxml"
    path.write_bytes(musicxml_bytes(RICH))
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        notes = partitura.load_musicxml(path)[0].note_array(include_grace_notes=True)
    read = sorted((round(float(note["onset_quarter"]), 4), round(float(note["duration_quarter"]), 4),
                   int(note["pitch"])) for note in notes)
    expected, begin = [], Fraction(-1)
    for here in RICH.in_force:
        for each in here.bar.events:
            for note in each.notes:
                held = here.index == 2 and each.onset == 0
                if held:
                    continue
                length = 0 if each.grace else each.duration + (1 if note.tie else 0)
                expected.append((round(float(begin + each.onset), 4), round(float(length), 4), note.pitch.midi))
        begin += here.length
    assert read == sorted(expected)


@pytest.fixture(scope="module")
def toolkit():
    verovio.enableLog(verovio.LOG_WARNING)
    return verovio.toolkit()


def test_verovio_loads_it_without_a_word(toolkit, capfd):
    assert toolkit.loadData(musicxml_bytes(RICH).decode())
    assert capfd.readouterr().err == ""
    mei = etree.fromstring(toolkit.getMEI().encode())
    space = {"m": "http://www.music-encoding.org/ns/mei"}
    assert len(mei.findall(".//m:measure", space)) == len(RICH.bars)
    assert len(mei.findall(".//m:note", space)) == sum(len(each.notes) for bar in RICH.bars for each in bar.events)
    assert len(mei.findall(".//m:tuplet", space)) == 1
    assert len(mei.findall(".//m:harm", space)) == 3
    assert len(mei.findall(".//m:tie", space)) == 2
    clef = mei.find(".//m:staffDef", space)
    assert {**clef.attrib, **(clef.find("m:clef", space).attrib if clef.find("m:clef", space) is not None else {})}[
        "dis" if clef.find("m:clef", space) is not None else "clef.dis"] == "8"


def test_verovio_sounds_the_pitches_as_they_sound_on_the_guitar(toolkit):
    """G4 by way of a reader: the octave clef must not move the sound a second time."""
    toolkit.loadData(musicxml_bytes(RICH).decode())
    midi = music21.midi.MidiFile()
    midi.readstr(b64decode(toolkit.renderToMIDI()))
    keys = {event.pitch for track in midi.tracks for event in track.events if event.isNoteOn() and event.velocity}
    assert keys == {note.pitch.midi for bar in RICH.bars for each in bar.events for note in each.notes}


def test_a_nested_tuplet_keeps_its_numbers():
    """A triplet of eighths inside a triplet of quarters: MusicXML `tuplet`, numbers tell them apart."""
    outer, inner = Tuplet(3, 2), Tuplet(3, 2)
    quarter, eighth = Fraction(2, 3), Fraction(2, 9)
    bar = Bar((event(0, quarter, "C4", tuplets=(outer._replace(starts=True),)),
               event(quarter, eighth, "D4", tuplets=(outer, inner._replace(starts=True))),
               event(quarter + eighth, eighth, "E4", tuplets=(outer, inner)),
               event(quarter + 2 * eighth, eighth, "F4", tuplets=(outer, inner)),
               event(2 * quarter, quarter, "G4", tuplets=(outer,)), event(2, 2, "A4")))
    written = musicxml_bytes(Study(bars=(bar,)))
    edges = [(edge.get("type"), edge.get("number"), edge.findtext(".//tuplet-type"))
             for edge in etree.fromstring(written).iter("tuplet")]
    assert edges == [("start", "1", "quarter"), ("start", "2", "eighth"), ("stop", "2", None), ("stop", "1", None)]
    ratios = [(each.findtext("actual-notes"), each.findtext("normal-notes"))
              for each in etree.fromstring(written).iter("time-modification")]
    assert ratios == [("3", "2"), ("9", "4"), ("9", "4"), ("9", "4"), ("3", "2")]
    assert heard_by_music21(written) == heard(Study(bars=(bar,)))
