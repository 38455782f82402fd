"""From a file of another program's to the printed page, through the real commands: nothing of the source is lost.

Source of every expectation: music21's own score of the same file (corpus_scores); of the ink, what is said beside it.
"""

from __future__ import annotations

import re
import subprocess
import sys
from collections import Counter
from fractions import Fraction
from io import BytesIO
from itertools import pairwise
from pathlib import Path
from typing import Any

import pdfplumber
import pypdf
import pytest
from music21 import harmony

from app.main import run
from core.engraving.drawing import Arc, Glyph, Line, Tag, Text
from core.files import load_study
from core.handout.pdf import pdf_bytes
from core.harmony import parse_chord
from tests.outside.corpus_scores import (
    OURS_IS_RIGHT,
    REELS,
    SHEETS,
    SIXTHS,
    chord_symbols,
    exact,
    is_held,
    is_open,
    measures,
    no_chords,
    numbers_of,
    path_of,
    pitch_name,
    printed_signs,
    score_of,
    sounding,
    staff_y,
)
from tests.outside.printed import SIGNS, Ink, Printed, events_of, heads_of, over_barlines, read_back

MM = 72 / 25.4
STRINGS = 6  # of the guitar every tune is brought to
SOURCES = {
    "foster": (SHEETS[0], None), "berlin": (SHEETS[1], None), "symbols": (SHEETS[2], None),
    "reel 80": (REELS, 80), "reel 81": (REELS, 81),
    "ties": ("ryansMammoth/WalkAroundHeyDaddy.abc", None),  # the five have one tie and no double stop among them
}
# music21 takes the bass of this one of the reels, `f+`, for the sign of an augmented chord; + is that file's sharp.
BASS_NOT_TRIAD = "D/f+"
HEADS = {"whole": "noteheadWhole", "half": "noteheadHalf"}
RESTS = {"whole": "restWhole", "half": "restHalf", "quarter": "restQuarter", "eighth": "rest8th", "16th": "rest16th"}


@pytest.fixture(scope="module", params=SOURCES)
def printed(request, tmp_path_factory) -> Printed:
    """bring, handout and analyse --json; in this process, but for one source, which the installed program does."""
    name, number = SOURCES[request.param]
    folder = tmp_path_factory.mktemp("printed")
    study, pdf = str(folder / "tune.study"), str(folder / "tune.pdf")
    part = ["--part", str(number)] if number else []
    calls = (["bring", str(path_of(name)), "--to", study, *part], ["handout", study, "--to", pdf],
             ["analyse", study, "--json"])
    with pytest.MonkeyPatch.context() as patch:
        call = _program if request.param == "reel 81" else lambda words: _here(words, patch)
        outputs = [call(words) for words in calls]
    assert outputs[:2] == [f"{study}\n", f"{pdf}\n"]
    (folder / "tune.json").write_text(outputs[2], encoding="utf-8")
    score = score_of(name, number)
    return Printed(folder, score.parts[0])


def _here(words: list[str], patch: pytest.MonkeyPatch) -> str:
    lines: list[str] = []
    patch.setattr("builtins.print", lambda line, file=None: None if file else lines.append(f"{line}\n"))
    assert run(words) == 0
    return "".join(lines)


def _program(words: list[str]) -> str:
    program = Path(sys.executable).with_name("bargloss")
    done = subprocess.run([program, *words], capture_output=True, encoding="utf-8", check=True)
    return done.stdout


def test_the_tunes_are_open_to_us():
    """Source: shared/corpus.md; the five that this step names are open by its own list."""
    assert all(is_open(name) for name, _ in list(SOURCES.values())[5:])


# What analyse --json tells.

def test_the_report_has_the_pitches_onsets_and_durations_of_the_source(printed):
    """Bar by bar. Grace notes apart (there are none here) every head of the source is a note of the report."""
    for _, measure, told in printed.bars:
        source = [(exact(each.offset), exact(each.quarterLength), pitch_name(pitch), pitch.midi)
                  for each in sounding(measure) for pitch in sorted(each.pitches)]
        ours = [(Fraction(note["onset"]), Fraction(note["duration"]), note["pitch"], note["midi"])
                for note in told["notes"]]
        assert ours == source, told["number"]


def test_the_report_has_the_chords_of_the_source(printed):
    """Bar by bar: offset, root, bass and pitch classes."""
    for _, measure, told in printed.bars:
        ours = [(Fraction(one["offset"]), parse_chord(one["symbol"])) for one in told["chords"]
                if one["symbol"] != "N.C."]
        source = chord_symbols(measure)
        assert [at for at, _ in ours] == [exact(each.offset) for each in source]
        for (_, ours_here), symbol in zip(ours, source, strict=True):
            check_chord(ours_here, symbol)
        silent = [Fraction(one["offset"]) for one in told["chords"] if one["symbol"] == "N.C."]
        assert silent == no_chords(measure), told["number"]


def check_chord(ours: Any, symbol: harmony.ChordSymbol) -> None:
    if symbol.figure == BASS_NOT_TRIAD:
        assert (ours.root.name, ours.bass.name, {each.chroma for each in ours.spelled}) == ("D", "F#", {2, 6, 9})
        return
    if symbol.chordKind in OURS_IS_RIGHT:
        return
    classes = {each.chroma for each in (*ours.spelled, *([ours.bass] if ours.bass else []))}
    assert classes == {pitch.pitchClass for pitch in symbol.pitches}, symbol.figure
    if symbol.chordKind in SIXTHS:
        return
    assert ours.root.name == symbol.root().name.replace("-", "b")
    bass = ours.bass or ours.root
    assert bass.name == symbol.bass().name.replace("-", "b")


def test_a_pickup_is_bar_0_and_as_short_as_in_the_source(printed):
    first, *_ = measures(printed.part)
    study = load_study(printed.folder / "tune.study")
    here = study.in_force[0]
    assert here.length == exact(first.duration.quarterLength)
    assert (here.number == 0) == (here.length < here.meter.length)
    assert [bar["number"] for bar in printed.told["bars"]] == numbers_of(printed.part)


# What is on the pages.

def test_one_head_of_the_right_kind_stands_for_every_note_at_its_height(printed):
    """Heights: music21's Treble8vbClef. Kinds: a whole, a half, and a black head for whatever is shorter."""
    heads, expected = heads_of(printed, ("notehead",)), set()
    for bar, measure, _ in printed.bars:
        for event, each in enumerate(events_of(measure)):
            if each.isRest:
                continue
            for note, pitch in enumerate(sorted(each.pitches)):
                (head,) = heads[bar, event, note]
                expected.add((bar, event, note))
                assert head.y - printed.staff_top(bar) == pytest.approx(staff_y(pitch)), (bar, event)
                assert head.mark.name == HEADS.get(each.duration.type, "noteheadBlack")
    assert set(heads) == expected


def test_heads_and_rests_stand_in_time_order(printed):
    places = heads_of(printed, ("notehead", "rest"))
    for bar, measure, _ in printed.bars:
        xs = [places[bar, event, 0][0].x for event in range(len(events_of(measure)))
              if (bar, event, 0) in places]
        assert xs == sorted(xs)
        assert len(set(xs)) == len(xs)


def test_every_rest_of_the_source_is_drawn(printed):
    """A bar that is nothing but a rest has a whole one (common practice, no source)."""
    rests = heads_of(printed, ("rest",))
    whole = [ink for ink in printed.ink if isinstance(ink.mark, Glyph) and ink.mark.name == "restWhole"
             and ink.mark.tag == Tag("bar")]
    for bar, measure, _ in printed.bars:
        events = events_of(measure)
        if all(each.isRest for each in events):
            drawn = [ink.bar for ink in whole].count(bar) + sum(place[0] == bar for place in rests)
            assert drawn == 1
            continue
        names = [(event, RESTS[each.duration.type]) for event, each in enumerate(events) if each.isRest]
        assert [(place[1], ink.mark.name) for place, inks in sorted(rests.items()) if place[0] == bar
                for ink in inks] == names


def test_dots_are_those_of_the_source(printed):
    """One set of dots an event where its heads lie more than a space apart or alone (seconds: tests/engraving)."""
    dots = Counter(ink.bar for ink in printed.ink
                   if isinstance(ink.mark, Glyph) and ink.mark.name == "augmentationDot" and ink.mark.tag)
    for bar, measure, _ in printed.bars:
        events = events_of(measure)
        if not all(each.isRest for each in events):
            assert dots[bar] == sum(each.duration.dots * max(1, len(each.pitches)) for each in events), bar


def test_accidentals_stand_just_where_music21_puts_them(printed):
    """music21's makeAccidentals on each bar by itself, without courtesy signs: an accidental holds to the barline, in
    its own octave. A note held over the barline has none."""
    printed = Printed(printed.folder, printed.part, is_plain=True)
    signs, expected = heads_of(printed, ("accidental",)), {}
    held: set[str] = set()
    for bar, measure, _ in printed.bars:
        shown = printed_signs(measure)
        for event, each in enumerate(events_of(measure)):
            for note, pitch in enumerate(sorted(each.pitches) if not each.isRest else ()):
                sign = shown[event][note]
                if sign is not None and not (event == 0 and pitch.nameWithOctave in held):
                    expected[bar, event, note] = sign
        last = events_of(measure)[-1]
        held = {pitch.nameWithOctave for pitch in last.pitches} if not last.isRest and is_held(last) else set()
    assert {place: [SIGNS[ink.mark.name] for ink in inks] for place, inks in signs.items()} == {
        place: [sign] for place, sign in expected.items()}
    for place, inks in signs.items():
        (head,) = heads_of(printed, ("notehead",))[place]
        assert inks[0].y == head.y
        assert inks[0].x < head.x


def test_every_chord_symbol_is_printed_and_reads_as_itself(printed):
    """What stands on the page, read by the grammar, is the chord of the report, which is music21's."""
    expected = set()
    for bar, _, told in printed.bars:
        for index, one in enumerate(told["chords"]):
            inks = printed.by_tag[bar, Tag("chord", index)]
            expected.add((bar, index))
            text = read_back(inks).replace("–", "-")
            assert parse_chord(text) == parse_chord(one["symbol"]), text
            assert max(ink.y for ink in inks) < printed.staff_top(bar)
    assert {(bar, tag.event) for bar, tag in printed.by_tag if tag.kind == "chord"} == expected


def test_a_chord_symbol_on_a_note_stands_over_it(printed):
    heads = heads_of(printed, ("notehead", "rest"))
    for bar, measure, told in printed.bars:
        at = {exact(each.offset): event for event, each in enumerate(events_of(measure))}
        for index, one in enumerate(told["chords"]):
            here = heads.get((bar, at.get(Fraction(one["offset"]), -1), 0))
            if here:
                left = min(ink.x for ink in printed.by_tag[bar, Tag("chord", index)])
                assert left == pytest.approx(here[0].x, abs=0.5)


@pytest.mark.parametrize("is_torn", [False, True], ids=["as it falls", "torn"])
def test_every_tie_of_the_source_is_an_arc_between_its_heads(printed, is_torn):
    """One arc a tie; two halves where a system ends between the heads. No other arcs over the notation, for the
    sources have no slurs: what is proposed for the hand is no phrasing of the tune's."""
    printed = Printed(printed.folder, printed.part, is_torn)
    tears = 0
    heads = heads_of(printed, ("notehead",))
    flat = [(bar, event, each) for bar, measure, _ in printed.bars
            for event, each in enumerate(events_of(measure))]
    arcs = [ink for ink in printed.ink if isinstance(ink.mark, Arc) and not in_tab(ink)]
    spans = [(ink.page, ink.left + ink.mark.start[0], ink.left + ink.mark.end[0], ink.top + ink.mark.start[1])
             for ink in arcs]
    wanted = 0
    for (bar, event, each), (later_bar, later_event, _) in pairwise(flat):
        if each.isRest or not is_held(each):
            continue
        for note in range(len(each.pitches)):
            (head,), (later,) = heads[bar, event, note], heads[later_bar, later_event, note]
            starts = [span for span in spans if span[0] == head.page and 0 < span[1] - head.x < 2
                      and abs(span[3] - head.y) < 1]
            ends = [span for span in spans if span[0] == later.page and -1 < span[2] - later.x < 1
                    and abs(span[3] - later.y) < 1]
            assert (len(starts), len(ends)) == (1, 1)
            is_broken = printed.system_of(bar) != printed.system_of(later_bar)
            assert (starts != ends) == is_broken
            wanted += 1 + is_broken
            tears += is_broken
    assert len(arcs) == wanted
    assert bool(tears) == bool(is_torn and over_barlines(printed))


def in_tab(ink: Ink) -> bool:
    """Whether the mark is drawn with a tab's string lines."""
    return len({mark.y1 for mark in ink.drawing.marks if isinstance(mark, Line) and mark.y1 == mark.y2}) == STRINGS


@pytest.mark.parametrize("is_torn", [False, True], ids=["as it falls", "torn"])
def test_an_arc_of_the_tab_is_over_what_the_report_has_hammered_pulled_or_slid(printed, is_torn):
    """Each such number lies under an arc, and an arc over such a number, here or on the next system (MusicXML 4.0,
    "Tablature": a slur from the note struck over those that are not)."""
    printed = Printed(printed.folder, printed.part, is_torn)
    reached = [(bar, event, note) for bar, measure, told in printed.bars
               for (event, note), one in zip(played_places(measure), told["notes"], strict=True) if one["technique"]]
    numbers = {}
    for place in reached:
        (numbers[place],) = printed.by_tag[place[0], Tag("tab", *place[1:])]
    arcs = [ink for ink in printed.ink if isinstance(ink.mark, Arc) and in_tab(ink)]
    assert bool(arcs) == bool(reached)

    def covers(arc: Ink, number: Ink) -> bool:
        return arc.page == number.page and printed.system_of(arc.bar) == printed.system_of(number.bar) and (
            arc.left + arc.mark.start[0] < number.x < arc.left + arc.mark.end[0] + 0.5)

    for place, number in numbers.items():
        assert any(covers(arc, number) for arc in arcs), place
    for arc in arcs:
        goes_on = any(bar == printed.layout.systems[printed.system_of(arc.bar)].bars.end for bar, *_ in reached)
        assert goes_on or any(covers(arc, number) for number in numbers.values()), arc.bar


def played_places(measure: Any) -> list[tuple[int, int]]:
    """Event and note of every head, in order."""
    return [(event, note) for event, each in enumerate(events_of(measure)) if not each.isRest
            for note in range(len(each.pitches))]


def test_every_fret_number_sounds_its_note(printed):
    """String by the nearest of the tab's own lines, pitch by the open string and a semitone a fret."""
    tuning = [pitch.midi for pitch in reversed(load_study(printed.folder / "tune.study").instrument.tuning)]
    shown = 0
    for bar, measure, told in printed.bars:
        spots = [(event, note, pitch) for event, each in enumerate(events_of(measure)) if not each.isRest
                 for note, pitch in enumerate(sorted(each.pitches))]
        assert len(spots) == len(told["notes"])
        for event, note, pitch in spots:
            inks = printed.by_tag.get((bar, Tag("tab", event, note)), [])
            if not inks:
                assert event > 0, "only a note held on inside its bar goes without a number"
                assert is_held(events_of(measure)[event - 1])
                continue
            (ink,) = inks
            shown += 1
            lines = sorted({mark.y1 for mark in ink.drawing.marks if isinstance(mark, Line)})
            assert len(lines) == len(tuning)
            middle = ink.mark.y - 0.33 * ink.mark.size  # half a figure over its baseline
            string = min(range(len(lines)), key=lambda at: abs(lines[at] - middle))
            assert abs(lines[string] - middle) < 0.1
            assert tuning[string] + int(ink.mark.text.strip("()")) == pitch.midi
    assert shown or not any(told["notes"] for _, _, told in printed.bars)


def test_the_degree_row_says_what_the_report_says(printed):
    expected = {}
    for bar, measure, told in printed.bars:
        notes = iter(told["notes"])
        events = events_of(measure)
        for event, each in enumerate(events):
            for note in range(len(each.pitches) if not each.isRest else 0):
                degree = next(notes)["degrees"]["chord"]
                goes_on = event > 0 and not events[event - 1].isRest and is_held(events[event - 1])
                if degree and not goes_on:
                    expected[bar, event, note] = degree
    rows = {(bar, tag.event, tag.note): "".join(ink.sign for ink in sorted(inks, key=lambda ink: ink.x))
            for (bar, tag), inks in printed.by_tag.items() if tag.kind == "degree"}
    assert rows == expected


def root_class(symbol: harmony.ChordSymbol) -> int:
    """Where music21 has the tonic: the lowered sixth of an augmented sixth, the lowered second of a Neapolitan."""
    above = {**dict.fromkeys(SIXTHS, 8), "Neapolitan": 1}.get(symbol.chordKind, 0)
    return (symbol.root().pitchClass + above) % 12


def test_degrees_are_music21s_intervals_above_the_root(printed):
    """The chroma of every degree of the report: the note's distance from the chord in force, as music21 reads both."""
    steps = {1: 0, 2: 2, 3: 4, 4: 5, 5: 7, 6: 9, 7: 11}
    root = None
    for _, measure, told in printed.bars:
        symbols = [(exact(each.offset), root_class(each)) for each in chord_symbols(measure)]
        symbols = sorted([*symbols, *((at, None) for at in no_chords(measure))], key=lambda row: row[0])
        for note in told["notes"]:
            while symbols and symbols[0][0] <= Fraction(note["onset"]):
                root = symbols.pop(0)[1]
            degree = note["degrees"]["chord"]
            assert (degree is None) == (root is None)
            if degree:
                sign, number = re.fullmatch(r"(b*|#*)(\d+)", degree).groups()
                alter = len(sign) * (1 if "#" in sign else -1)
                assert (steps[(int(number) - 1) % 7 + 1] + alter) % 12 == (note["midi"] - root) % 12
        root = symbols[-1][1] if symbols else root


def test_systems_begin_with_the_sources_bar_numbers(printed):
    numbers = numbers_of(printed.part)
    for system in printed.layout.systems[1:]:
        (number,) = [ink.mark.text for ink in printed.ink if ink.bar == system.bars.first
                     and isinstance(ink.mark, Text) and ink.mark.tag == Tag("bar") and ink.mark.text.isdigit()]
        assert int(number) == numbers[system.bars.first]


# What is in the PDF.

def test_the_pdf_holds_the_pages_that_are_read_above(printed):
    assert pdf_bytes(printed.layout.pages) == printed.pdf


def test_the_pdf_prints_every_chords_letters(printed):
    """Of the text layer, in the size of chord symbols (13 points; the bass 0.9 of it)."""
    with pdfplumber.open(BytesIO(printed.pdf)) as pdf:
        large = Counter(char["text"] for page in pdf.pages for char in page.chars
                        if "Semibold" in char["fontname"] and char["size"] == pytest.approx(13, abs=0.05)
                        and char["text"] in "ABCDEFG")
    symbols = [one["symbol"] for _, _, told in printed.bars for one in told["chords"]]  # checked against music21 above
    assert large == Counter("C" if text == "N.C." else parse_chord(text).root.step for text in symbols)
    text = "".join(page.extract_text() for page in pypdf.PdfReader(BytesIO(printed.pdf)).pages)
    assert text.count("N.C.") == sum(len(no_chords(measure)) for _, measure, _ in printed.bars)


def test_all_text_stays_a_centimetre_inside_the_paper(printed):
    with pdfplumber.open(BytesIO(printed.pdf)) as pdf:
        for page in pdf.pages:
            assert page.chars
            edge = 10 * MM - 0.01
            for char in page.chars:
                assert min(char["x0"], char["top"]) >= edge, char["text"]
                assert char["x1"] <= float(page.width) - edge, char["text"]
                assert char["bottom"] <= float(page.height) - edge, char["text"]


def test_every_font_of_the_pdf_is_inside_it(printed):
    """ISO 32000-1, table 122: the font programme is FontFile, FontFile2 or FontFile3 of the descriptor."""
    fonts = {name: font.get_object() for page in pypdf.PdfReader(BytesIO(printed.pdf)).pages
             for name, font in page["/Resources"]["/Font"].items()}
    assert fonts
    for name, font in fonts.items():
        carrier = font["/DescendantFonts"][0].get_object() if "/DescendantFonts" in font else font
        inside = carrier["/FontDescriptor"].get_object() if "/FontDescriptor" in carrier else {}
        assert {"/FontFile", "/FontFile2", "/FontFile3"} & set(inside), name
