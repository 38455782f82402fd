"""Hand-made MusicXML against what the standard (W3C MusicXML 4.0) says it means."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from core.errors import BarglossError
from core.exchange.choice import ChoiceNeeded
from core.exchange.musicxml_out import musicxml_bytes
from core.study import JUMPS, Bar, Change, Event, Key, Meter, Note, Study, Tuplet, parse_pitch
from tests.exchange.sources import CLEF, brought, note, parts, score, sounded

HALVES = note("E4", 4, "half") + note("Bb4", 4, "half")
CLEF_8VB = "<clef><sign>G</sign><line>2</line><clef-octave-change>-1</clef-octave-change></clef>"
OCTAVE_DOWN = "<transpose><diatonic>0</diatonic><chromatic>0</chromatic><octave-change>-1</octave-change></transpose>"
TENOR = "<transpose><diatonic>-1</diatonic><chromatic>-2</chromatic><octave-change>-1</octave-change></transpose>"
OCTAVE_SIGN = '<direction><direction-type><octave-shift type="%s" size="8"/></direction-type></direction>'


def read(raw: bytes, part: int | None = None):
    return brought("musicxml", raw, part)


def bar(raw: bytes, index: int = 0) -> Bar:
    return read(raw).study.bars[index]


def names(of: Bar) -> list[str]:
    return ["+".join(head.pitch.name for head in event.notes) for event in of.events]


@pytest.mark.parametrize(("attributes", "expected"), [
    (CLEF, ["E4", "Bb4"]),
    (CLEF_8VB, ["E4", "Bb4"]),  # an 8vb clef only says how the sounding pitch is drawn (`clef-octave-change`)
    (CLEF + OCTAVE_DOWN, ["E3", "Bb3"]),  # the guitar's other way (references G4; MusicXML `octave-change`)
    (CLEF_8VB + OCTAVE_DOWN, ["E3", "Bb3"]),
    (CLEF + TENOR, ["D3", "Ab3"]),  # a tenor saxophone sounds a major ninth lower
], ids=["plain", "clef", "transpose", "both", "tenor"])
def test_pitches_come_in_as_they_sound(attributes, expected):
    assert names(bar(score(HALVES, attributes))) == expected


def test_a_transposing_part_brings_its_key_and_changes_along():
    """A tenor part in F, its F7 a concert Eb7 (arithmetic)."""
    harmony = "<harmony><root><root-step>F</root-step></root><kind>dominant</kind></harmony>"
    study = read(score(harmony + HALVES, CLEF + TENOR, fifths=-1)).study
    assert study.key == Key(-3)
    assert study.bars[0].changes == (Change(Fraction(0), "Eb7"),)


@pytest.mark.parametrize(("attributes", "expected"), [
    (CLEF + TENOR, ["A part for a transposing instrument: brought in as it sounds, a major ninth below what is "
                    "written, with its key and chord symbols"]),
    (CLEF_8VB + OCTAVE_DOWN, []),  # as music for the guitar is written (references G4)
    (CLEF, [])], ids=["tenor", "guitar", "plain"])
def test_a_part_that_is_moved_is_told(attributes, expected):
    """A tenor saxophone sounds a major ninth below (MusicXML 4.0, `transpose`: two steps in all, and an octave)."""
    told = read(score(HALVES, attributes)).notices
    assert [one.rstrip(".") for one in told if "transposing" in one] == expected


def test_an_octave_line_does_not_move_the_pitch():
    """MusicXML `octave-shift`: pitches are given as they sound."""
    body = OCTAVE_SIGN % "down" + note("E4", 4, "half") + OCTAVE_SIGN % "stop" + note("Bb4", 4, "half")
    assert names(bar(score(body))) == ["E4", "Bb4"]


def test_chord_symbols_keep_their_offsets():
    harmony = ('<harmony><root><root-step>C</root-step></root><kind text="m7">minor-seventh</kind>'
               "<bass><bass-step>G</bass-step></bass>%s</harmony>")
    got = bar(score(harmony % "" + note("E4", 4, "half") + harmony % "<offset>1</offset>" + note("G4", 4, "half")))
    assert got.changes == (Change(Fraction(0), "C-7/G"), Change(Fraction(5, 2), "C-7/G"))


def test_a_changed_chord_degree_is_heard():
    """MusicXML `degree-type`: dominant + alter 5 by -1, references 3.1."""
    harmony = ("<harmony><root><root-step>B</root-step><root-alter>-1</root-alter></root><kind>dominant</kind><degree>"
               "<degree-value>9</degree-value><degree-alter>-1</degree-alter><degree-type>add</degree-type></degree>"
               "</harmony>")
    assert bar(score(harmony + HALVES)).changes == (Change(Fraction(0), "Bb7(b9)"),)


def test_changes_of_another_part_are_kept():
    measure = f'<measure number="1"><attributes><divisions>2</divisions>{CLEF}</attributes>%s</measure>'
    chords = "<harmony><root><root-step>A</root-step></root><kind>minor-seventh</kind></harmony>"
    chords += note("r", 8, "whole")
    got = read(parts(("P1", "Chords", measure % chords), ("P2", "Solo", measure % HALVES)))
    assert names(got.study.bars[0]) == ["E4", "Bb4"]
    assert got.study.bars[0].changes == (Change(Fraction(0), "A-7"),)
    assert "Other parts left out: 1 Chords." in got.notices


def test_several_parts_ask_which():
    measure = f'<measure number="1"><attributes><divisions>2</divisions>{CLEF}</attributes>{HALVES}</measure>'
    raw = parts(("P1", "Voice", measure), ("P2", "Bass", measure.replace("<step>B", "<step>D")))
    with pytest.raises(ChoiceNeeded) as asked:
        read(raw)
    assert str(asked.value) == "2 parts: 1 Voice, 2 Bass; say which with --part N"
    assert names(read(raw, 2).study.bars[0]) == ["E4", "Db4"]
    with pytest.raises(BarglossError, match="there is no part 3; the file has 2 parts"):
        read(raw, 3)


def test_of_two_staves_the_top_one_is_taken():
    two = "<staves>2</staves>" + CLEF
    body = (note("C5", 8, "whole", "<staff>1</staff>") + "<backup><duration>8</duration></backup>"
            + note("C3", 8, "whole", "<staff>2</staff>"))
    got = read(score(body, two))
    assert names(got.study.bars[0]) == ["C5"]
    assert "Lower staves of the part left out: 1." in got.notices


def test_of_two_voices_the_top_one_is_taken():
    body = (note("C5", 8, "whole").replace("<type>", "<voice>1</voice><type>")
            + "<backup><duration>8</duration></backup>"
            + (note("C4", 4, "half") + note("D4", 4, "half")).replace("<type>", "<voice>2</voice><type>"))
    got = read(score(body + "NEXT" + HALVES))
    assert names(got.study.bars[0]) == ["C5"]
    assert "Lower voices left out: bar 1." in got.notices


def test_marks_on_a_note_come_along():
    marks = ('<notehead parentheses="yes">normal</notehead><notations><technical><string>3</string><fret>5</fret>'
             "<fingering>1</fingering><down-bow/></technical><articulations><staccato/><falloff/></articulations>"
             "<ornaments><turn/></ornaments></notations>")
    event = bar(score(note("C4", 8, "whole", marks))).events[0]
    head = event.notes[0]
    assert (head.string, head.fret, head.finger, head.ghost) == (3, 5, 1, True)
    assert (event.stroke, set(event.articulations)) == ("down", {"staccato", "fall", "turn"})


def test_a_place_that_does_not_sound_the_note_is_left_out():
    marks = "<notations><technical><string>3</string><fret>4</fret></technical></notations>"
    got = read(score(note("C4", 8, "whole", marks)))
    assert got.study.bars[0].events[0].notes[0].string is None
    assert any("standard tuning left out: bar 1" in notice for notice in got.notices)


def test_the_tab_staff_gives_its_strings():
    two = "<staves>2</staves>" + CLEF + '<clef number="2"><sign>TAB</sign><line>5</line></clef>'
    place = "<staff>2</staff><notations><technical><string>4</string><fret>10</fret></technical></notations>"
    body = (note("C4", 8, "whole", "<staff>1</staff>") + "<backup><duration>8</duration></backup>"
            + note("C4", 8, "whole", place))
    head = bar(score(body, two)).events[0].notes[0]
    assert (head.string, head.fret) == (4, 10)


def test_double_stops_grace_notes_slurs_and_ties():
    grace = "<note><grace/><pitch><step>D</step><octave>4</octave></pitch><type>eighth</type></note>"
    slur = '<notations><slur type="%s" number="1"/></notations>'
    body = (note("G4", 2, "quarter", slur % "start") + note("E4", 2, "quarter", chord=True) + grace
            + note("F4", 2, "quarter", slur % "stop")
            + note("A4", 4, "half", '<tie type="start"/><notations><tied type="start"/></notations>')
            + "NEXT" + note("A4", 8, "whole", '<tie type="stop"/>'))
    first = bar(score(body))
    assert names(first) == ["E4+G4", "D4", "F4", "A4"]
    assert [event.grace for event in first.events] == [False, True, False, False]
    assert [event.slur for event in first.events] == ["start", "", "stop", ""]
    assert first.events[3].notes[0].tie
    assert sounded(read(score(body)).study)[-1] == (2, 8, (69,))


def test_a_tie_to_another_pitch_is_dropped_and_told():
    tie = '<tie type="start"/><notations><tied type="start"/></notations>'
    got = read(score(note("A4", 4, "half", tie) + note("B4", 4, "half")))
    assert not got.study.bars[0].events[0].notes[0].tie
    assert "Ties to no note of the same pitch left out: bar 1." in got.notices


def test_tuplet_groups_begin_where_the_file_or_the_count_says():
    ratio = "<time-modification><actual-notes>3</actual-notes><normal-notes>2</normal-notes></time-modification>"
    body = note("C4", 1, "eighth", ratio) * 6 + note("r", 6, "half")
    events = bar(score(body, divisions=3)).events
    assert [event.tuplets for event in events[:6]] == [(Tuplet(3, 2, starts),) for starts in
                                                       (True, False, False, True, False, False)]
    assert events[1].onset == Fraction(1, 3)


def test_a_unison_on_two_strings_keeps_both_heads():
    assert names(bar(score(note("G4", 8, "whole") + note("G4", 8, "whole", chord=True)))) == ["G4+G4"]


def test_fingers_of_a_double_stop():
    finger = "<notations><technical><fingering>%d</fingering></technical></notations>"
    both = note("E4", 8, "whole", finger % 2) + note("G4", 8, "whole", finger % 1, chord=True)
    assert [head.finger for head in bar(score(both)).events[0].notes] == [2, 1]
    one = read(score(note("E4", 8, "whole", finger % 2) + note("G4", 8, "whole", chord=True)))
    assert "Fingering of double stops that is not given for every note left out: bar 1." in one.notices


def test_a_group_that_is_never_closed_does_not_reach_the_next():
    """music21 hangs it on the notes after it, with its inverse."""
    ratio = "<time-modification><actual-notes>%d</actual-notes><normal-notes>%d</normal-notes></time-modification>"
    mark = '<notations><tuplet type="start" number="%d"/></notations>'
    body = (note("C4", 10, "eighth", ratio % (3, 2) + mark % 1) + note("C4", 10, "eighth", ratio % (3, 2)) * 2
            + note("D4", 6, "16th", ratio % (5, 4) + mark % 2) + note("D4", 6, "16th", ratio % (5, 4)) * 4
            + note("r", 60, "half"))
    events = bar(score(body, divisions=30)).events
    assert [tuplet[:2] for event in events[3:8] for tuplet in event.tuplets] == [(5, 4)] * 5


def test_pickups_irregular_bars_and_bars_of_rest():
    body = (note("G4", 2, "quarter") + "NEXT" + note("A4", 8, "whole") + "NEXT" + note("B4", 6, "half", "<dot/>")
            + 'NEXT<note><rest measure="yes"/><duration>8</duration></note>')
    got = read(score(body))
    lengths = [bar.length for bar in got.study.bars]
    assert lengths == [1, None, 3, None]
    assert got.study.in_force[0].number == 0
    assert got.study.bars[3].events == ()
    assert "Bars not as long as their meter, kept so: bar 2." in got.notices


def test_a_bar_that_another_part_fills_is_filled_with_rest():
    measure = f'<measure number="1"><attributes><divisions>2</divisions>{CLEF}</attributes>%s</measure>'
    raw = parts(("P1", "Solo", measure % note("E4", 2, "quarter")), ("P2", "Bass", measure % HALVES))
    got = read(raw, 1).study.bars[0]
    assert got.length is None
    assert [event.is_rest for event in got.events] == [False, True]


def test_a_duration_no_head_writes_is_split_and_tied():
    """Five sixteenths from the second eighth on: cut at a beat (common practice, no source)."""
    body = note("r", 2, "eighth") + note("C5", 5, "quarter") + note("D5", 1, "16th") + note("r", 8, "half")
    got = read(score(body, divisions=4))
    events = got.study.bars[0].events
    assert [(event.onset, event.duration) for event in events[1:3]] == [
        (Fraction(1, 2), Fraction(1, 2)), (Fraction(1), Fraction(3, 4))]
    assert events[1].notes[0].tie
    assert not events[2].notes[0].tie
    assert "Notes that no single head writes, split and tied: bar 1." in got.notices


def test_signs_around_the_bars():
    left = '<barline location="left"><ending number="1" type="start"/><repeat direction="forward"/></barline>'
    right = ('<barline location="right"><bar-style>light-heavy</bar-style><ending number="1" type="stop"/>'
             '<repeat direction="backward" times="3"/></barline>')
    mark = "<direction><direction-type><rehearsal>B</rehearsal></direction-type></direction>"
    change = ("<attributes><key><fifths>-3</fifths><mode>minor</mode></key><time><beats>3+2</beats>"
              "<beat-type>8</beat-type></time></attributes>")
    body = left + mark + HALVES + right + "NEXT" + change + note("C4", 5, "half")
    first, second = read(score(body)).study.bars
    assert (first.repeat_start, first.repeat_end, first.ending, first.rehearsal) == (True, 3, "1", "B")
    assert (second.key, second.meter) == (Key(-3, "minor"), Meter((3, 2), 8))


def test_what_is_left_out_is_listed_with_its_bars():
    lyric = "<lyric><text>la</text></lyric>"
    dynamic = dynamics("rf")
    raw = score(note("E4", 8, "whole", lyric) + "NEXT" + note("E4", 8, "whole", lyric) + "NEXT" + dynamic
                + note("E4", 8, "whole") + "NEXT" + note("E4", 8, "whole", lyric))
    notices = read(raw).notices
    assert "Lyrics left out: bars 1-2, 4." in notices
    assert "Dynamics other than ppp to fff, sf, sfz and fp left out: bar 3." in notices


def dynamics(name: str, offset: int = 0) -> str:
    return (f"<direction><direction-type><dynamics><{name}/></dynamics></direction-type><offset>{offset}</offset>"
            "</direction>")


def words(text: str) -> str:
    return f"<direction><direction-type><words>{text}</words></direction-type></direction>"


def sign(name: str) -> str:
    return f"<direction><direction-type><{name}/></direction-type></direction>"


def test_dynamics_go_to_the_note_that_begins_with_them_or_sounds():
    body = dynamics("mf") + note("E4", 4, "half") + note("Bb4", 4, "half") + dynamics("p", -2)
    got = read(score(body + "NEXT" + dynamics("ff") + dynamics("pp") + note("E4", 8, "whole")))
    assert [event.dynamic for bar in got.study.bars for event in bar.events] == ["mf", "p", "ff"]
    assert "Dynamics without a note of their own left out: bar 2." in got.notices


def wedge(kind: str) -> str:
    return f'<direction><direction-type><wedge type="{kind}"/></direction-type></direction>'


def hairpins(*bodies: str) -> list[str]:
    return [event.hairpin for bar in read(score("NEXT".join(bodies))).study.bars for event in bar.events]


def test_hairpins_begin_at_a_note_and_end_before_one():
    """W3C MusicXML 4.0, `wedge`: a start, and a stop where the last note of it is over."""
    half, other = note("E4", 4, "half"), note("Bb4", 4, "half")
    assert hairpins(wedge("crescendo") + half + wedge("stop") + other) == ["cresc", "stop"]
    assert hairpins(wedge("crescendo") + half + wedge("stop") + wedge("diminuendo") + other + wedge("stop"),
                    half + other) == ["cresc", "dim", "stop", ""]
    assert hairpins(wedge("crescendo") + half + other + wedge("stop"), dynamics("f") + half + other) == [
        "cresc", "", "", ""]  # a dynamic ends it
    assert hairpins(half + wedge("diminuendo") + other + wedge("stop")) == ["", "dim"]  # to the end of the study


def test_a_hairpin_over_another_is_told():
    body = (wedge("crescendo").replace("/></direction-type", ' number="1"/></direction-type')
            + wedge("diminuendo").replace("/></direction-type", ' number="2"/></direction-type') + HALVES
            + wedge("stop").replace("/></direction-type", ' number="2"/></direction-type')
            + wedge("stop").replace("/></direction-type", ' number="1"/></direction-type'))
    got = read(score(body))
    assert "Hairpins that lie over other hairpins left out: bar 1." in got.notices
    assert len([event for event in got.study.bars[0].events if event.hairpin]) == 1


@pytest.mark.parametrize("jump", [jump for jump in JUMPS if jump])
def test_signs_and_jumps(jump):
    """W3C MusicXML 4.0, `segno`, `coda`; the words are what music21 knows a jump by."""
    raw = score(sign("segno") + HALVES + words(jump) + "NEXT" + sign("coda") + HALVES + "NEXT" + HALVES + sign("coda"))
    first, second, third = read(raw).study.bars
    assert (first.sign, first.jump) == ("segno", jump)
    assert (second.sign, second.jump) == ("coda", "")
    assert (third.sign, third.jump) == ("", "To Coda")  # a coda where a bar ends is the one to go to


def test_a_bar_keeps_one_jump():
    got = read(score(HALVES + words("Fine") + words("D.C. al Fine")))
    assert got.study.bars[0].jump == "Fine"
    assert "A second sign or jump of one bar left out: bar 1." in got.notices


def test_a_slide_belongs_to_the_note_it_leads_to():
    slide = '<notations><slide type="%s" number="1"/></notations>'
    body = note("E4", 4, "half", slide % "start") + note("Bb4", 4, "half", slide % "stop")
    assert [event.articulations for event in bar(score(body)).events] == [(), ("slide",)]


def test_titles_and_tempo():
    raw = score("<direction><direction-type><metronome><beat-unit>half</beat-unit><per-minute>96</per-minute>"
                "</metronome></direction-type></direction>" + HALVES)
    raw = raw.replace(b"<part-list>", b"<work><work-title>Grey Ferry</work-title></work><identification>"
                      b'<creator type="composer">A. Nobody</creator></identification><part-list>')
    study = read(raw).study
    assert (study.title, study.tune, study.tempo) == ("Grey Ferry", "Grey Ferry (A. Nobody)", 192)


@pytest.mark.parametrize(("words", "feel"), [("Medium swing", "swing"), ("Slowly", "straight")])
def test_the_feel_is_swing_only_where_the_file_says_so(words, feel):
    direction = f"<direction><direction-type><words>{words}</words></direction-type></direction>"
    assert read(score(direction + HALVES)).study.feel == feel


def test_microtones_are_rounded_and_told():
    raw = score(HALVES).replace(b"<alter>-1</alter>", b"<alter>-0.5</alter>")
    got = read(raw)
    assert names(got.study.bars[0]) == ["E4", "B4"]
    assert "Microtones rounded to the nearest half step: bar 1." in got.notices


def test_drums_are_not_offered():
    drum = "<note><unpitched/><duration>8</duration><type>whole</type></note>"
    with pytest.raises(BarglossError, match="no notes of a pitch"):
        read(score(drum))


def test_hairpins_come_back_as_they_were_written():
    line = [Event(Fraction(at), Fraction(1), (Note(parse_pitch("C4")),)) for at in range(4)]

    def made(*marks: tuple[str, str]) -> Bar:
        return Bar(tuple(replace(event, hairpin=swell, dynamic=loud)
                         for event, (swell, loud) in zip(line, marks, strict=True)))

    plain = ("", "")
    study = Study(bars=(
        made(("cresc", "p"), plain, ("", "f"), ("dim", "")), made(plain, plain, ("cresc", ""), plain),
        made(("stop", ""), plain, plain, ("dim", "mf")), made(("", "p"), plain, ("cresc", ""), plain),
    ))
    back = read(musicxml_bytes(study)).study
    assert [[(event.hairpin, event.dynamic) for event in bar.events] for bar in back.bars] == [
        [(event.hairpin, event.dynamic) for event in bar.events] for bar in study.bars]
