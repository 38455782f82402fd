"""The study file: an exact round trip, one note a line, and a writer that refuses what XML cannot hold."""

from __future__ import annotations

import dataclasses
from fractions import Fraction

import pytest
from hypothesis import given, reject, settings
from hypothesis import strategies as st
from lxml import etree

from core.errors import BarglossError
from core.files import bar_writer, layout, parse_study, study_xml, writer
from core.files.schema import SCHEMA
from core.study import (
    Bar,
    Callout,
    Change,
    Chorus,
    Dismissed,
    Event,
    Guitarist,
    Instrument,
    Key,
    Meter,
    Note,
    Reading,
    Study,
    Tuplet,
    parse_pitch,
)
from tests.strategies import CALM, studies, texts

F = Fraction


def line(*names: str) -> tuple[Event, ...]:
    """Quarter notes; "" a rest."""
    return tuple(Event(F(at), F(1), (Note(parse_pitch(name)),) if name else ()) for at, name in enumerate(names))


@settings(CALM, max_examples=100)
@given(studies())
def test_a_study_comes_back_as_it_was_written(study):
    """Write, read: equal. Read, write: the same bytes."""
    data = study_xml(study)
    assert etree.RelaxNG(etree.parse(SCHEMA)).validate(etree.fromstring(data))
    again = parse_study(data, "x.study")
    assert again == study
    assert study_xml(again) == data


@settings(CALM, max_examples=25)
@given(studies())
def test_every_head_and_rest_has_a_line_of_its_own(study):
    lines = study_xml(study).decode().split("\n")
    marked = sum(row.lstrip().startswith(("<note ", "<with ", "<rest ")) for row in lines)
    # words in comments may look like a line of notes, but never carry a bare <
    assert marked == sum(max(1, len(event.notes)) for bar in study.bars for event in bar.events)


def test_one_changed_note_changes_one_line():
    old = Study(bars=(Bar(line("C4", "D4", "", "E4")), Bar(line("F4", "G4", "A4", "B4"))))
    new = Study(bars=(old.bars[0], Bar(line("F4", "G#4", "A4", "B4"))))
    differing = [pair for pair in zip(study_xml(old).split(b"\n"), study_xml(new).split(b"\n"), strict=True)
                 if pair[0] != pair[1]]
    assert differing == [(b'    <note pitch="G4" length="1"/>', b'    <note pitch="G#4" length="1"/>')]


def test_a_neck_picture_is_one_word_in_the_file_that_an_older_file_lacks():
    plain = Callout(F(0), F(0), text="Look here.")
    with_neck, without = (study_xml(Study(bars=(Bar(line("C4", "", "", ""), callouts=(one,)),)))
                          for one in (dataclasses.replace(plain, neck=True), plain))
    assert with_neck.replace(b' neck="yes"', b"") == without != with_neck
    assert [parse_study(data, "x.study").bars[0].callouts[0].neck for data in (with_neck, without)] == [True, False]
    with pytest.raises(BarglossError, match="neck: 'no' is not"):
        parse_study(with_neck.replace(b' neck="yes"', b' neck="no"'), "x.study")


def test_an_added_bar_changes_no_other_line():
    old = Study(bars=tuple(Bar(line(name, "", "", "")) for name in ("C4", "D4", "E4")), choruses=(Chorus("Last", 2),))
    new = dataclasses.replace(old, bars=(old.bars[0], Bar(line("G4", "", "", "")), *old.bars[1:]),
                              choruses=(Chorus("Last", 3),))
    before, after = study_xml(old).split(b"\n"), study_xml(new).split(b"\n")
    assert len(after) - len(before) == 6
    kept = iter(after)
    assert all(row in kept for row in before)  # in order, none altered


def test_how_a_study_reads():
    """The whole form at a glance; a change here changes every file a teacher has."""
    study = Study(
        title="Slow Harbour", tempo=96, key=Key(-3, "minor"), choruses=(Chorus("First chorus", 1),),
        bars=(
            Bar(line("G4"), length=F(1)),
            Bar((Event(F(0), F(1, 2), (Note(parse_pitch("D5")),), grace=True),
                 *(Event(F(n, 3), F(1, 3), (Note(parse_pitch("Eb5")),), (Tuplet(3, 2, n == 0),)) for n in range(3)),
                 Event(F(1), F(3), (Note(parse_pitch("C5"), tie=True, string=2, fret=13, finger=3, degree="b3"),
                                    Note(parse_pitch("Eb5"), ghost=True)),
                       slur="start", articulations=("accent", "fall"), stroke="up", remark="let it ring",
                       dynamic="sfz", hairpin="dim")),
                changes=(Change(F(0), "C-7"), Change(F(2), "F7(b9)")), readings=(Reading(F(2), "key of Bb major"),),
                callouts=(Callout(F(0), F(0), 1, "Aim", "for {b3}\nand *wait*", "target"),),
                dismissed=(Dismissed(F(1, 3), "enclosure"), Dismissed(F(1), "run")), comment="Sing it <first>."),
            Bar(meter=Meter((3, 2), 8), key=Key(0), barline="double", repeat_end=2, recording=12.5,
                sign="coda", jump="D.S. al Fine"),
        ))
    assert study_xml(study).decode() == """\
<?xml version="1.0" encoding="UTF-8"?>
<study xmlns="urn:bargloss:study:1" version="1">
  <title>Slow Harbour</title>
  <tempo>96</tempo>
  <key>C minor</key>
  <bar length="1">
    <note pitch="G4" length="1"/>
  </bar>
  <bar chorus="First chorus">
    <chord at="0" symbol="C-7"/>
    <chord at="2" symbol="F7(b9)"/>
    <reading at="2" harmony="key of Bb major"/>
    <note pitch="D5" length="1/2" grace="yes"/>
    <note pitch="Eb5" length="1/3" tuplet="begin 3:2"/>
    <note pitch="Eb5" length="1/3" tuplet="3:2"/>
    <note pitch="Eb5" length="1/3" tuplet="3:2"/>
    <note pitch="C5" length="3" tie="yes" string="2" fret="13" finger="3" degree="b3" slur="start" \
articulations="accent fall" dynamic="sfz" hairpin="dim" stroke="up" remark="let it ring"/>
    <with pitch="Eb5" ghost="yes"/>
    <callout from="0" to="0" bars-on="1" source="target" heading="Aim">for {b3}
and *wait*</callout>
    <dismissed at="1/3" kind="enclosure"/>
    <dismissed at="1" kind="run"/>
    <comment>Sing it &lt;first&gt;.</comment>
  </bar>
  <bar key="C major" meter="3+2/8" repeat-end="2" barline="double" recording="12.5" sign="coda" \
jump="D.S. al Fine"/>
</study>
"""


@pytest.mark.parametrize("bad", ["\x00", "\x0b", "\x1b", "\ufffe", "\uffff", "\ud800"])
@pytest.mark.parametrize("place", ["title", "comment", "remark", "heading", "chorus", "symbol"])
def test_a_character_xml_cannot_hold_is_refused(bad, place):
    """XML 1.0, production 2 (Char)."""
    word = f"abc{bad}def"
    bar = Bar((Event(F(0), F(4), remark=word if place == "remark" else ""),),
              comment=word if place == "comment" else "",
              callouts=(Callout(F(0), F(0), heading=word if place == "heading" else ""),),
              changes=(Change(F(0), word if place == "symbol" else "C7"),))
    study = Study(title=word if place == "title" else "", bars=(bar,),
                  choruses=(Chorus(word if place == "chorus" else "", 0),))
    with pytest.raises(BarglossError, match=rf"U\+{ord(bad):04X} after 'abc' cannot be kept") as caught:
        study_xml(study)
    assert str(caught.value).startswith("title: " if place == "title" else "bar 1: ")


def test_all_faults_of_a_study_come_together():
    study = Study(title="\x01", bars=(Bar(comment="\x02"), Bar(), Bar(comment="\x03")))
    with pytest.raises(BarglossError) as caught:
        study_xml(study)
    assert [row.split(":")[0] for row in caught.value.lines()] == ["title", "bar 1", "bar 3"]


def test_more_than_a_file_may_hold_is_refused():
    with pytest.raises(BarglossError, match="10001 bars"):
        study_xml(Study(bars=(Bar(),) * 10_001))
    with pytest.raises(BarglossError, match="100001 characters"):
        study_xml(Study(title="x" * 100_001))
    with pytest.raises(BarglossError, match="too finely divided"):
        study_xml(Study(bars=(Bar(changes=(Change(F(1, 10**41), "C7"),)),)))
    full = Bar(tuple(Event(F(n, 8), F(1, 8)) for n in range(32)))
    with pytest.raises(BarglossError, match="more than 200000"):
        study_xml(Study(bars=(full,) * 7000))


def test_what_the_schema_refuses_is_not_written(monkeypatch):
    """A writer gone wrong: it leaves out what the schema asks for, or says what the schema does not know."""
    monkeypatch.setitem(layout.ATTRIBUTES, "chord", layout.ATTRIBUTES["chord"][:1])
    monkeypatch.setattr(writer, "INSTRUMENT", (layout.Entry("strings", "name", layout.CHORUS.code),))
    for wrong in (Study(bars=(Bar(), Bar(changes=(Change(F(0), "C7"),)))), Study(instrument=Instrument("lute"))):
        with pytest.raises(BarglossError, match="nothing was written"):
            study_xml(wrong)


@settings(CALM, max_examples=60)
@given(studies(), st.data())
def test_what_was_written_before_changes_nothing(study, data):
    """Bars keep their text: after any edits, bars moved and chorus labels among them, the file is as of a new study."""
    study_xml(study)
    bars = list(study.bars)
    for _ in range(data.draw(st.integers(0, 4))):
        at = data.draw(st.integers(0, len(bars) - 1))
        what = data.draw(st.sampled_from(("comment", "move", "twice", "rest")))
        if what == "comment":
            bars[at] = dataclasses.replace(bars[at], comment=data.draw(texts))
        elif what == "rest":
            bars[at] = Bar()
        else:
            moved = bars.pop(at) if what == "move" else bars[at]
            bars.insert(data.draw(st.integers(0, len(bars))), moved)
    labelled = data.draw(st.lists(st.integers(0, len(bars) - 1), unique=True).map(sorted))
    try:
        edited = dataclasses.replace(study, bars=tuple(bars), choruses=tuple(
            Chorus(data.draw(texts), at) for at in labelled))
    except BarglossError:  # moved away from its meter, or from where its callout ends
        reject()
    file = study_xml(edited)
    assert study_xml(parse_study(file, "x.study")) == file
    assert parse_study(file, "x.study") == edited


def test_an_edit_writes_its_own_bar_and_no_other(monkeypatch):
    study = Study(bars=tuple(Bar(line(f"{step}4"), length=F(1)) for step in "CDEFGAB"))
    study_xml(study)
    made = []
    real = bar_writer._written
    monkeypatch.setattr(bar_writer, "_written", lambda bar, chorus: made.append(bar) or real(bar, chorus))
    edited = dataclasses.replace(study, bars=(*study.bars[:3], Bar(), *study.bars[4:]))
    study_xml(edited)
    study_xml(study)
    assert made == [edited.bars[3]]


# -- the three tellings of the form: tables, values, schema


VALUES = {"instrument": Instrument, "guitarist": Guitarist, "bar": Bar, "chord": Change, "reading": Reading,
          "callout": Callout, "dismissed": Dismissed}
ELSEWHERE = {  # fields written as elements, words or order, not as attributes
    Bar: {"events", "changes", "readings", "callouts", "dismissed", "comment"}, Callout: {"text"},
    Event: {"onset", "notes"}, Study: {"instrument", "guitarist", "choruses", "bars"},
}


def fields(kind: type) -> set[str]:
    names = set(kind._fields) if hasattr(kind, "_fields") else {field.name for field in dataclasses.fields(kind)}
    return names - ELSEWHERE.get(kind, set())


@pytest.mark.parametrize("tag", VALUES)
def test_every_field_is_written(tag):
    """A field added to a value and not to the file would be lost in silence."""
    assert {entry.field for entry in layout.ATTRIBUTES[tag]} - {"chorus"} == fields(VALUES[tag])


def test_every_field_of_notes_and_study_is_written():
    assert {entry.field for entry in layout.ATTRIBUTES["note"]} == fields(Note) | fields(Event)
    assert {entry.field for entry in layout.ATTRIBUTES["with"]} == fields(Note)
    assert {entry.field for entry in layout.ATTRIBUTES["rest"]} == fields(Event)
    assert {entry.field for entry in layout.DETAILS} == fields(Study)


def test_defaults_left_out_are_the_values_own():
    bare = {"instrument": Instrument(), "guitarist": Guitarist(), "bar": Bar(), "rest": Event(F(0), F(1)),
            "with": Note(parse_pitch("C4")), "callout": Callout(F(0), F(0))}
    for tag, value in bare.items():
        for entry in layout.ATTRIBUTES[tag]:
            if entry.default is not layout.NEEDED and entry.field != "chorus":
                assert entry.default == getattr(value, entry.field), entry
    assert {entry.field: entry.default for entry in layout.DETAILS} == {
        entry.field: getattr(Study(), entry.field) for entry in layout.DETAILS}


def test_the_schema_names_the_same_elements_and_attributes():
    rng = "{http://relaxng.org/ns/structure/1.0}"
    grammar = etree.parse(SCHEMA)
    defines = {define.get("name"): define for define in grammar.iter(f"{rng}define")}

    def attributes(node) -> set[str]:
        found = set()
        for child in node:
            if child.tag == f"{rng}attribute":
                found.add(child.get("name"))
            elif child.tag == f"{rng}ref":
                found |= attributes(defines[child.get("name")])
            elif child.tag != f"{rng}element" and isinstance(child.tag, str):
                found |= attributes(child)
        return found

    bar = {name: attributes(element) for element in grammar.iter(f"{rng}element")
           if (name := element.get("name")) in layout.ATTRIBUTES}
    bar["bar"] = {found.get("name") for found in defines["bar"].iter(f"{rng}attribute")}  # not its notes'
    assert bar == {tag: {entry.name for entry in entries} for tag, entries in layout.ATTRIBUTES.items()}
    elements = {element.get("name") for element in grammar.iter(f"{rng}element")} - {"study"}
    assert elements == {*layout.IN_STUDY, *layout.IN_BAR}
