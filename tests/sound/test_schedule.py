"""When things sound: exact times, swing, repeats, clicks."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from core.errors import BarglossError
from core.sound.feel import offbeats, swing, swing_ratio
from core.sound.loudness import LEVELS
from core.sound.played import comp_notes, line_notes, voicing
from core.sound.schedule import Take, playing_time, schedule
from core.study import Bar, Change, Event, Meter, Note, Study, Tuplet, parse_pitch
from tests.strategies import studies

EIGHTH = Fraction(1, 2)


def event(onset, duration, *pitches, tie=False, ghost=False, **more) -> Event:
    heads = tuple(Note(parse_pitch(name), tie=tie, ghost=ghost) for name in pitches)
    return Event(Fraction(onset), Fraction(duration), heads, **more)


def eighths(count: int = 8) -> Bar:
    return Bar(tuple(event(EIGHTH * place, EIGHTH, "C4") for place in range(count)))


def study(*bars: Bar, **more) -> Study:
    return Study(bars=bars, **{"feel": "straight", **more})


def line(played: Study, take: Take | None = None) -> list[tuple[float, float]]:
    return [(note.start, note.length) for note in schedule(played, take) if note.kind == "line"]


@pytest.mark.parametrize(("tempo", "percent"), [(120, 100), (88, 100), (160, 50), (97, 73), (301, 33)])
def test_times_are_the_exact_fraction_of_a_minute(tempo, percent):
    """P5: tempo counts quarters a minute. Worked in fractions; one rounding, to float, at the end."""
    quarter = Fraction(60 * 100, tempo * percent)
    assert line(study(eighths(), eighths(), tempo=tempo), Take(percent)) == \
        [(float(quarter * place / 2), float(quarter / 2)) for place in range(16)]
    assert playing_time(study(eighths(), Bar(), tempo=tempo), Take(percent)) == float(quarter * 8)


@pytest.mark.parametrize(("ratio", "ticks"), [("2", 320), ("3", 360), ("5/3", 300), ("1", 240)])
def test_the_off_beat_lies_at_its_published_tick(ratio, ticks):
    """P11: MusicXML `swing`, in ticks of 480 to the quarter."""
    found = line_notes(study(eighths()), (0,), swing(Fraction(ratio)))
    assert [note.start * 480 for note in found] == [480 * (place // 2) + ticks * (place % 2) for place in range(8)]
    assert [note.length * 480 for note in found] == [ticks, 480 - ticks] * 4


@pytest.mark.parametrize(("tempo", "ratio"), [
    (60, 2), (120, 2), (210, Fraction(3, 2)), (246, Fraction(13, 10)), (300, 1), (400, 1)])
def test_the_soloist_swings_less_the_faster_it_goes(tempo, ratio):
    """Ends and bounds from P6, P8, P9; the straight line between is ours, as core/sound/feel.py says."""
    assert swing_ratio(Fraction(tempo)) == ratio


def test_a_swing_study_takes_the_ratio_of_the_tempo_that_sounds():
    swung = study(eighths(), feel="swing", tempo=240)
    assert line(swung, Take(50))[1][0] == pytest.approx(0.5 * 2 / 3)  # 120 a minute: 2 to 1
    assert line(swung)[1][0] == pytest.approx(0.25 * float(Fraction(4, 3) / Fraction(7, 3)))
    assert line(swung, Take(swing=Fraction(1)))[1][0] == 0.125


def test_triplets_sixteenths_and_eighth_meters_are_played_as_written():
    third, sixteenth = Fraction(1, 3), Fraction(1, 4)
    triplet = tuple(event(third * place, third, "C4", tuplets=(Tuplet(3, 2, place == 0),)) for place in range(3))
    four = tuple(event(1 + sixteenth * place, sixteenth, "C4") for place in range(4))
    two = (event(2, EIGHTH, "C4"), event(Fraction(5, 2), EIGHTH, "C4"), event(3, 1, "C4"))
    here = study(Bar(triplet + four + two)).in_force[0]
    assert offbeats(here) == {Fraction(5, 2), Fraction(7, 2)}
    jig = Bar(tuple(event(EIGHTH * place, EIGHTH, "C4") for place in range(6)), meter=Meter((6,), 8))
    assert offbeats(study(jig).in_force[0]) == frozenset()


def test_a_pickup_of_an_eighth_is_an_off_beat():
    pickup = Bar((event(0, EIGHTH, "G3"),), length=EIGHTH)
    begun = line_notes(study(pickup, eighths()), (0, 1), swing(Fraction(2)))
    assert [note.start for note in begun[:3]] == [Fraction(1, 6), EIGHTH, EIGHTH + Fraction(2, 3)]


def test_ties_are_one_sound_over_the_barline_and_past_a_grace_note():
    bars = (Bar((event(0, 2), event(2, 2, "C4", "E4", tie=True))),
            Bar((event(0, EIGHTH, "D4", grace=True), event(0, 1, "C4"), event(1, 3, "C4"))))
    found = {(note.start, note.length, note.midi) for note in line_notes(study(*bars), (0, 1))}
    grace = Fraction(1, 8)
    assert found == {(2, 3, 60), (2, 2 - grace, 64), (4 - grace, grace, 62), (5, 3, 60)}


def test_graces_leave_the_note_before_them_half_its_time():
    """Common practice, no source: here four graces share half of a sixteenth."""
    sixteenth = Fraction(1, 4)
    graces = [event(sixteenth, EIGHTH, "D4", grace=True)] * 4
    bar = Bar((event(0, sixteenth, "C4"), *graces, event(sixteenth, sixteenth, "E4"), event(EIGHTH, EIGHTH),
               event(1, 1), event(2, 2)))
    found = [(note.start, note.length) for note in line_notes(study(bar), (0,))]
    step = Fraction(1, 32)
    assert found == [(0, sixteenth / 2), *[(sixteenth / 2 + step * place, step) for place in range(4)],
                     (sixteenth, sixteenth)]


def test_a_bar_of_rest_ends_a_tie():
    bars = (Bar((event(0, 4, "C4", tie=True),)), Bar(), Bar((event(0, 4, "C4"),)))
    assert [(note.start, note.length) for note in line_notes(study(*bars), (0, 1, 2))] == [(0, 4), (8, 4)]


def test_accents_are_louder_ghosts_softer_staccato_short():
    bar = Bar((event(0, 1, "C4"), event(1, 1, "C4", articulations=("accent",)), event(2, 1, "C4", ghost=True),
               event(3, 1, "C4", articulations=("staccato",))))
    plain, accent, ghost, short = schedule(study(bar, tempo=60))
    assert ghost.velocity < plain.velocity < accent.velocity
    assert (plain.length, short.length) == (1.0, 0.5)


def test_dynamics_hold_until_the_next_and_an_accent_for_its_note_only():
    """LEVELS is ours, but forte is MusicXML's 90."""
    names = ("f", "", "sfz", "", "fp", "", "ppp", "")
    bar = Bar(tuple(event(EIGHTH * place, EIGHTH, "C4", dynamic=name) for place, name in enumerate(names)))
    found = [note.velocity for note in line_notes(study(eighths(1 * 8), bar, eighths()), (0, 1, 2))]
    assert set(found[:8]) == {LEVELS["mf"]}
    loud, forte, struck, after, fp, soft, softest, last = found[8:16]
    assert loud == forte == after == fp == 90
    assert struck > loud
    assert soft == LEVELS["p"]
    assert softest == last == LEVELS["ppp"]
    assert set(found[16:]) == {LEVELS["ppp"]}
    assert sorted(LEVELS, key=LEVELS.__getitem__)[:3] == ["ppp", "pp", "p"]


@pytest.mark.parametrize("level", LEVELS)
def test_a_ghost_is_softer_an_accent_louder_at_every_dynamic(level):
    bar = Bar((event(0, 1, "C4", ghost=True, dynamic=level if level != "fp" else "p"), event(1, 1, "C4"),
               event(2, 2, "C4", articulations=("accent",))))
    ghost, plain, accent = [note.velocity for note in line_notes(study(bar), (0,))]
    assert 1 <= ghost < plain < accent <= 127


@settings(max_examples=25, deadline=None, suppress_health_check=list(HealthCheck))
@given(studies(max_bars=4), st.sampled_from([None, Fraction(1), Fraction(3)]))
def test_no_note_is_empty_or_leaves_the_piece(generated, ratio):
    take = Take(swing=ratio, comp=False)
    end = playing_time(generated, take)
    for note in schedule(generated, take):
        assert note.length > 0
        assert note.start >= 0
        assert note.start + note.length <= end * (1 + 1e-12)


def test_a_jump_is_heard_and_its_time_counted():
    form = study(Bar((event(0, 4, "C4"),), jump="Fine"), Bar((event(0, 4, "D4"),), jump="D.C. al Fine"), tempo=60)
    assert [(note.start, note.midi) for note in schedule(form)] == [(0, 60), (4, 62), (8, 60)]
    assert playing_time(form) == 12


def test_the_count_in_is_a_bar_before_the_first_and_fills_up_a_pickup():
    """Common practice, no source."""
    take = Take(count_in=True)
    whole = study(eighths(), tempo=60)
    assert [note.start for note in schedule(whole, take) if note.kind == "click"] == [0, 1, 2, 3]
    assert line(whole, take)[0][0] == 4
    picked = study(Bar((event(0, 1, "G3"),), length=Fraction(1)), eighths(), tempo=60)
    assert [note.start for note in schedule(picked, take) if note.kind == "click"] == [0, 1, 2, 3, 4, 5, 6]
    assert line(picked, take)[0][0] == 7


def test_the_click_falls_on_the_felt_beats_high_on_the_first():
    jig = study(Bar(meter=Meter((6,), 8)), Bar(), tempo=90)
    clicks = [note for note in schedule(jig, Take(click=True)) if note.kind == "click"]
    assert [note.start for note in clicks] == [0, 1, 2, 3]  # two dotted quarters a bar at 90 quarters a minute
    assert [note.midi == clicks[0].midi for note in clicks] == [True, False, True, False]


def test_the_changes_are_struck_at_each_change_and_barline_and_rest_at_no_chord():
    bars = (Bar(changes=(Change(Fraction(0), "C-7"), Change(Fraction(2), "F7"))),
            Bar(changes=(Change(Fraction(2), "%"),)), Bar(changes=(Change(Fraction(1), "N.C."),)))
    found = sorted({(note.start, note.length) for note in comp_notes(study(*bars), (0, 1, 2))})
    assert found == [(0, 2), (2, 2), (4, 2), (6, 2), (8, 1)]
    assert schedule(study(*bars), Take(comp=False)) == ()


@pytest.mark.parametrize(("symbol", "bass", "classes"), [
    ("C-7", 0, {0, 3, 7, 10}), ("F7", 5, {5, 9, 0, 3}), ("Bb△7/D", 2, {10, 2, 5, 9}), ("N.C.", None, set()),
    ("vamp", None, set())])
def test_a_voicing_has_the_chord_s_notes_with_the_bass_lowest(symbol, bass, classes):
    """Pitch classes: MusicXML `kind-value`."""
    keys = voicing(symbol)
    assert {key % 12 for key in keys} == classes
    assert (keys[0] % 12 if keys else None) == bass
    assert all(40 <= key < 66 for key in keys)


@pytest.mark.parametrize("wrong", [{"percent": 0}, {"percent": 401}, {"swing": Fraction(1, 2)}, {"swing": Fraction(5)}])
def test_a_take_out_of_bounds_is_refused(wrong):
    with pytest.raises(BarglossError):
        Take(**wrong)
