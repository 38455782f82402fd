"""The plain-text reading of a study. Expected texts are written out by hand."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import HealthCheck, given, settings

from core.exchange.text_out import spoken, study_text
from core.guitar import finger
from core.line import analyse
from core.study import Bar, Callout, Change, Chorus, Event, Key, Note, Reading, Study, Tuplet, parse_pitch
from tests.strategies import studies


def event(onset, duration, *pitches, **more) -> Event:
    return Event(Fraction(onset), Fraction(duration), tuple(Note(parse_pitch(name)) for name in pitches), **more)


def text(study: Study) -> str:
    return study_text(study, analyse(study), finger(study))


@pytest.mark.parametrize(("name", "words"), [
    ("Bb4", "B flat 4"), ("F#3", "F sharp 3"), ("C5", "C 5"), ("b9", "flat 9"), ("#11", "sharp 11"),
    ("bb7", "flat flat 7"), ("13", "13"), ("Eb", "E flat")])
def test_accidentals_are_spoken_out(name, words):
    assert spoken(name) == words


def test_a_bar_reads_from_chords_to_callouts():
    sure = {"string": 3, "fret": 5, "finger": 1}
    bar = Bar(
        (Event(Fraction(0), Fraction(3, 2), (Note(parse_pitch("C4"), **sure),), stroke="down",
               articulations=("accent",), slur="start"),
         Event(Fraction(3, 2), Fraction(1, 2), (Note(parse_pitch("Eb4"), string=3, fret=8, finger=4, degree="b3",
                                                     ghost=True),), slur="stop", remark="hear {b3}", stroke="up"),
         event(2, 2)),
        (Change(Fraction(0), "C-7"), Change(Fraction(5, 2), "F△7")), (Reading(Fraction(0), "key of Eb major"),),
        (Callout(Fraction(0), Fraction(3, 2), heading="Rise", text="*up* to {Eb}"),), "A small bar.")
    study = Study(title="Small hours", player="A. Player", key=Key(-3, "minor"), bars=(bar, Bar(barline="final")),
                  choruses=(Chorus("First chorus", 0),), rights="none")
    assert text(study) == """\
Small hours
Played by: A. Player
Rights: none
Instrument: guitar, strings from low to high E 2, A 2, D 3, G 3, B 3, E 4
Tempo: 120 quarter notes a minute, swing

First chorus

Bar 1; meter 4/4; key of C minor; chords Cm7 on beat 1, Fmaj7 on beat 3 1/2; heard as key of Eb major from beat 1.
  beat 1, dotted quarter: C 4, 1 (chord tone), 6 as heard, string 3 fret 5 finger 1; downstroke; accent; slur begins
  beat 2 1/2, eighth: E flat 4, flat 3 (chord tone), 1 as heard, string 3 fret 8 finger 4, ghost note; upstroke; \
slur ends. Remark: hear b3
  beat 3, half rest
  Comment: A small bar.
  Callout, beat 1 to beat 2 1/2: Rise: up to Eb

Bar 2; chord Fmaj7 goes on; final barline.
  rest for the whole bar
"""


def test_dynamics_signs_and_jumps_are_told():
    bar = Bar((event(0, 2, "C4", dynamic="mp", articulations=("fall",)), event(2, 2, dynamic="fff")), sign="segno",
              ending="2", jump="D.S. al Coda", barline="double")
    lines = text(Study(bars=(bar,))).splitlines()
    head = next(line for line in lines if line.startswith("Bar 1"))
    assert head.endswith("ending 2; sign segno; D.S. al Coda; double barline.")
    assert any(line.startswith("  beat 1, half: C 4") and "; moderately soft; " in line for line in lines)
    assert "  beat 3, half rest; very very loud" in lines


def test_lengths_are_named_with_their_tuplets_and_graces():
    third = Fraction(1, 3)
    triplet = [event(third * place, third, "C4", tuplets=(Tuplet(3, 2, place == 0),)) for place in range(3)]
    bar = Bar((event(0, "1/2", "D4", grace=True), *triplet, event(1, 3, "C4", "E4")))
    lines = text(Study(bars=(bar,))).splitlines()
    starts = [line.split(":")[0].strip() for line in lines if line.startswith("  beat")]
    three = "eighth, 3 in the time of 2"
    assert starts == ["beat 1, grace eighth", f"beat 1, {three}", f"beat 1 1/3, {three}", f"beat 1 2/3, {three}",
                      "beat 2, dotted half"]
    assert " with E 4, " in lines[-1]


def test_chords_are_in_letters_and_words_a_screen_reader_says():
    symbols = ("Eø7", "F#°7", "Bb△7", "%", "a vamp")
    bar = Bar(changes=tuple(Change(Fraction(place, 2), symbol) for place, symbol in enumerate(symbols)))
    line = next(line for line in text(Study(bars=(bar,))).splitlines() if line.startswith("Bar"))
    assert "E half-diminished 7 on beat 1, F# diminished 7 on beat 1 1/2, Bbmaj7 on beat 2, the same on beat 2 1/2, " \
           "a vamp on beat 3" in line


def test_a_repeat_sign_names_its_chords():
    two = (Change(Fraction(0), "F7"), Change(Fraction(2), "Bb7"))
    bars = (Bar(changes=two), Bar(changes=(Change(Fraction(0), "%"),)))
    lines = [line for line in text(Study(bars=bars)).splitlines() if line.startswith("Bar")]
    assert lines[1] == "Bar 2; chords as in the bar before, F7 on beat 1, Bb7 on beat 3."


def test_a_pickup_is_counted_from_the_end_of_its_meter():
    lines = text(Study(bars=(Bar((event(0, "1/2", "G3"), event("1/2", 1, "A3")), length=Fraction(3, 2)), Bar())))
    beats = [line.split(",")[0].strip() for line in lines.splitlines() if line.startswith("  beat")]
    assert beats == ["beat 3 1/2", "beat 4"]


def test_a_note_off_the_neck_is_told_as_such():
    assert "cannot be played here" in text(Study(bars=(Bar((event(0, 4, "C2"),)),)))


@settings(max_examples=25, deadline=None, suppress_health_check=list(HealthCheck))
@given(studies(max_bars=2))
def test_every_generated_study_has_a_line_an_event_in_order(study):
    lines = text(study).splitlines()
    assert sum(line.startswith("  beat ") for line in lines) >= sum(len(bar.events) for bar in study.bars)
    assert "♭" not in "".join(line for line in lines if line.startswith("  beat ") and "Remark" not in line)


def test_a_pickup_is_called_so():
    """Its bar is numbered 0, which nobody says."""
    pickup = Bar((Event(Fraction(0), Fraction(1), (Note(parse_pitch("D4")),)),), length=Fraction(1))
    whole = Study(bars=(pickup, Bar()))
    said = [line.split(";")[0].strip(".") for line in text(whole).splitlines()
            if line.startswith(("Bar", "Pickup"))]
    assert said == ["Pickup", "Bar 1"]
