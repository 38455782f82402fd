"""What MusicXML says of the things only our side knows; tests/outside has other readers' opinion."""

from __future__ import annotations

import io
import zipfile
from fractions import Fraction

import pytest
from lxml import etree

from core.exchange.musicxml_out import musicxml_bytes, mxl_bytes
from core.guitar import BarFingering, EventFingering, Fingered, Fingering
from core.study import Bar, Change, Chorus, Event, Key, Note, Study, parse_pitch


def event(onset, duration, *pitches, tie=False, **more) -> Event:
    heads = tuple(Note(parse_pitch(name), tie=tie) for name in pitches)
    return Event(Fraction(onset), Fraction(duration), heads, **more)


def xml(*bars: Bar, fingering=None, **more) -> etree._Element:
    return etree.fromstring(musicxml_bytes(Study(bars=bars, **more), fingering))


def texts(tree, path) -> list[str]:
    return [element.text for element in tree.iterfind(f".//{path}")]


def test_the_zip_begins_with_its_stored_mimetype_and_names_the_score():
    """W3C MusicXML 4.0, "Compressed .MXL files": META-INF/container.xml names the root file."""
    study = Study(title="Zipped")
    with zipfile.ZipFile(io.BytesIO(mxl_bytes(study))) as archive:
        first = archive.infolist()[0]
        assert (first.filename, first.compress_type) == ("mimetype", zipfile.ZIP_STORED)
        assert archive.read("mimetype") == b"application/vnd.recordare.musicxml"
        named = etree.fromstring(archive.read("META-INF/container.xml")).find(".//rootfile").get("full-path")
        assert archive.read(named) == musicxml_bytes(study)
    assert mxl_bytes(study) == mxl_bytes(study)


def test_accidentals_hold_for_the_bar_at_their_octave_and_pass_over_a_tie():
    """E25, E26; in the key of B flat."""
    first = Bar((event(0, 1, "B3"), event(1, 1, "B3"), event(2, 1, "B4"), event(3, 1, "Bb3"),))
    second = Bar((event(0, 1, "Bb3"), event(1, 1, "Eb4"), event(2, 2, "F#4", tie=True)))
    third = Bar((event(0, 2, "F#4"), event(2, 2, "F#4")))
    tree = xml(first, second, third, key=Key(-2))
    shown = [[note.findtext("accidental", "") for note in measure.iter("note")] for measure in tree.iter("measure")]
    assert shown == [["natural", "", "natural", "flat"], ["", "", "sharp"], ["", "sharp"]]


def test_a_tie_goes_past_a_grace_note_and_no_further_than_its_pitch():
    tree = xml(Bar((event(0, 2, "C4", "E4", tie=True), event(2, "1/2", "D4", grace=True), event(2, 2, "C4", "F4"))))
    ties = [[tie.get("type") for tie in note.iterfind("tie")] for note in tree.iter("note")]
    assert ties == [["start"], ["start"], [], ["stop"], []]


def test_a_slur_without_its_other_end_is_left_out():
    tree = xml(Bar((event(0, 1, "C4", slur="stop"), event(1, 1, "D4", slur="start"), event(2, 1, "E4", slur="both"),
                    event(3, 1, "F4"))))
    assert [(slur.get("type"), slur.get("number")) for slur in tree.iter("slur")] == [("start", "1"), ("stop", "1")]


def test_slurs_that_meet_on_a_note_have_numbers_of_their_own():
    """MusicXML `slur`: a start and its stop share a number."""
    tree = xml(Bar((event(0, 1, "C4", slur="start"), event(1, 1, "D4", slur="both"), event(2, 1, "E4", slur="stop"),
                    event(3, 1, "F4", slur="stop"))))
    assert [(slur.get("type"), slur.get("number")) for slur in tree.iter("slur")] == \
        [("start", "1"), ("stop", "1"), ("start", "2"), ("stop", "2")]


def test_a_slide_comes_from_the_note_before():
    tree = xml(Bar((event(0, 1, "C4", articulations=("slide",)), event(1, 1, "D4", articulations=("slide",)),
                    event(2, 1), event(3, 1, "E4", articulations=("slide",)))))
    found = [[slide.get("type") for slide in note.iter("slide")] for note in tree.iter("note")]
    assert found == [["start"], ["stop"], [], []]


def test_dynamics_say_how_loud_in_per_cent_of_forte():
    """W3C MusicXML 4.0, `sound`: dynamics are per cent of velocity 90. An accent says nothing of later notes."""
    tree = xml(Bar((event(0, 1, "C4", dynamic="f"), event(1, 1, "C4", dynamic="sfz"), event(2, 2, dynamic="pp"))))
    found = [(mark.find("direction-type/dynamics")[0].tag, [sound.get("dynamics") for sound in mark.iter("sound")])
             for mark in tree.iter("direction") if mark.find("direction-type/dynamics") is not None]
    assert found == [("f", ["100"]), ("sfz", []), ("pp", ["49"])]


def test_signs_and_jumps_are_drawn_and_obeyed():
    """W3C MusicXML 4.0, `sound`: segno, coda, dacapo, dalsegno, fine, tocoda."""
    tree = xml(Bar(sign="segno"), Bar(jump="To Coda"), Bar(jump="D.S. al Coda"), Bar(sign="coda", jump="Fine"),
               Bar(jump="D.C. al Fine"))
    found = [[(mark.find("direction-type")[0].tag, mark.findtext("direction-type/words"), {**mark.find("sound").attrib})
              for mark in measure.iter("direction") if set(mark.find("sound").attrib) - {"tempo"}]
             for measure in tree.iter("measure")]
    assert found == [
        [("segno", None, {"segno": "1"})], [("words", "To Coda", {"tocoda": "1"})],
        [("words", "D.S. al Coda", {"dalsegno": "1"})],
        [("coda", None, {"coda": "1"}), ("words", "Fine", {"fine": "yes"})],
        [("words", "D.C. al Fine", {"dacapo": "yes"})]]
    jump = tree.find(".//measure[@number='2']/direction")
    assert jump.getprevious().tag == "note"  # at the bar's end


def test_marks_of_a_double_stop_stand_on_its_first_head_only():
    marks = ("accent", "marcato", "staccato", "tenuto", "fall", "scoop", "doit", "turn", "bend")
    tree = xml(Bar((event(0, 4, "C4", "E4", articulations=marks, stroke="down"),)))
    first, second = tree.iter("note")
    assert [mark.tag for mark in first.find("notations/articulations")] == \
        ["accent", "strong-accent", "staccato", "tenuto", "falloff", "scoop", "doit"]
    assert first.find("notations/ornaments/turn") is not None
    assert first.findtext("notations/technical/bend/bend-alter") == "1"
    assert first.find("notations/technical/down-bow") is not None
    assert second.find("notations") is None


def test_strings_frets_and_fingers_come_from_the_fingering_and_else_from_the_teacher():
    pitch = parse_pitch("C4")
    bar = Bar((Event(Fraction(0), Fraction(4), (Note(pitch, string=3, fret=5),), stroke="up"),))
    own = xml(bar)
    assert (texts(own, "string"), texts(own, "fret"), texts(own, "fingering")) == (["3"], ["5"], [])
    assert own.find(".//up-bow") is not None
    played = Fingering((BarFingering((EventFingering((Fingered(4, 10, 2, 9),), "down"),)),))
    found = xml(bar, fingering=played)
    assert (texts(found, "string"), texts(found, "fret"), texts(found, "fingering")) == (["4"], ["10"], ["2"])
    assert found.find(".//down-bow") is not None


def test_a_ghost_head_is_in_brackets():
    tree = xml(Bar((Event(Fraction(0), Fraction(4), (Note(parse_pitch("C4"), ghost=True),)),)))
    assert tree.find(".//notehead").get("parentheses") == "yes"


def test_a_pickup_is_bar_0_and_implicit_as_is_any_bar_of_its_own_length():
    """MusicXML `measure`: implicit bars show no number (E5)."""
    tree = xml(Bar((event(0, 1, "C4"),), length=Fraction(1)), Bar(), Bar(length=Fraction(2)))
    assert [(bar.get("number"), bar.get("implicit")) for bar in tree.iter("measure")] == \
        [("0", "yes"), ("1", None), ("2", "yes")]


def test_endings_begin_and_end_once_and_the_last_stays_open():
    tree = xml(Bar(repeat_start=True), Bar(ending="1, 3"), Bar(ending="1, 3", repeat_end=4), Bar(ending="2"),
               Bar(barline="final"))
    found = [[(ending.get("number"), ending.get("type")) for ending in bar.iter("ending")]
             for bar in tree.iter("measure")]
    assert found == [[], [("1, 3", "start")], [("1, 3", "stop")], [("2", "start"), ("2", "discontinue")], []]
    assert [(mark.get("direction"), mark.get("times")) for mark in tree.iter("repeat")] == \
        [("forward", None), ("backward", "4")]
    assert texts(tree, "bar-style") == ["heavy-light", "light-heavy", "light-heavy"]


@pytest.mark.parametrize(("symbol", "kind"), [("N.C.", "none"), ("C-7", "minor-seventh"), ("F7", "dominant")])
def test_a_chord_symbol_is_a_harmony_of_its_kind(symbol, kind):
    """MusicXML `kind-value`."""
    tree = xml(Bar(changes=(Change(Fraction(0), symbol), Change(Fraction(2), "%"))))
    assert texts(tree, "kind") == [kind]


def test_a_repeat_sign_is_every_harmony_of_the_bar_before():
    two = (Change(Fraction(0), "C-7"), Change(Fraction(2), "F7"))
    tree = xml(Bar(changes=two), Bar(changes=(Change(Fraction(0), "%"),)))
    found = [[(each.findtext(".//root-step"), each.findtext("kind"), each.findtext("offset")) for each in
              bar.iter("harmony")] for bar in tree.iter("measure")]
    assert [[one[:2] for one in row] for row in found] == [[("C", "minor-seventh"), ("F", "dominant")]] * 2
    assert found[0] == found[1]


def test_what_is_no_chord_is_kept_as_words_at_its_offset():
    tree = xml(Bar((event(0, 4, "C4"),), (Change(Fraction(5, 2), "open vamp"),)))
    assert tree.find(".//harmony") is None
    direction = next(each for each in tree.iter("direction") if each.findtext(".//words") == "open vamp")
    assert Fraction(int(direction.findtext("offset")), int(tree.findtext(".//divisions"))) == Fraction(5, 2)


def test_words_lose_their_marks_and_choruses_are_rehearsal_marks():
    tree = xml(Bar((event(0, 4, "C4", remark="{b9}!"),), comment="aim at {Bb7}, *not* past it", rehearsal="A"),
               choruses=(Chorus("First chorus", 0),))
    assert texts(tree, "words") == ["swing", "aim at Bb7, not past it", "b9!"]
    assert texts(tree, "rehearsal") == ["First chorus", "A"]


def test_what_xml_cannot_carry_becomes_a_blank():
    """XML 1.0, 2.2."""
    assert xml(Bar(comment="bell\x07here")).findtext(".//words[@font-size]") == "bell here"
