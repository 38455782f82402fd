"""Reading treats its input as hostile: it reads, or tells every fault by bar and line; nothing else happens."""

from __future__ import annotations

import time

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from lxml import etree

from core.errors import BarglossError
from core.files import NewerVersion, parse_study, study_xml
from core.files.layout import ATTRIBUTES
from core.study import Study
from tests.strategies import CALM, studies

HEAD = '<?xml version="1.0" encoding="UTF-8"?>\n<study xmlns="urn:bargloss:study:1" version="1">\n'
BARS = '<bar length="1">\n<rest length="1"/>\n</bar>\n' + "<bar/>\n" * 5  # pickup, then bars 1 to 5; bar 6 is line 11


def told(inside: str, head: str = HEAD) -> list[str]:
    with pytest.raises(BarglossError) as caught:
        parse_study(f"{head}{inside}</study>\n".encode(), "Harbour.study")
    assert all("\n" not in row for row in caught.value.lines())
    return list(caught.value.lines())


def reads_or_tells(data: bytes) -> None:
    try:
        assert isinstance(parse_study(data, "x.study"), Study)
    except BarglossError as caught:
        fault = caught
    else:
        return
    assert fault.lines()
    assert all(row.startswith("x.study: ") and "\n" not in row and len(row) < 700 for row in fault.lines())
    # The tables refuse in words of their own all that the schema would refuse.
    assert "study.rng" not in str(fault)


FAULTS = {
    "attribute": ('<bar>\n<note pitch="C4" length="4" colour="red"/></bar>',
                  "bar 6: unknown attribute 'colour' (line 12); remove it"),
    "near attribute": ('<bar>\n<note pitch="C4" length="4" tye="yes"/></bar>',
                       "bar 6: unknown attribute 'tye', is it 'tie'? (line 12); remove it"),
    "foreign attribute": ('<bar xmlns:o="urn:o" o:id="3"/>', "bar 6: unknown attribute '{urn:o}id' (line 11)"),
    "element": ("<bar><tremolo/></bar>", "bar 6: unknown element <tremolo> (line 11); remove it"),
    "foreign element": ('<bar><note xmlns="urn:o"/></bar>', "bar 6: unknown element <{urn:o}note>"),
    "element inside": ('<bar><rest length="4"><note/></rest></bar>', "bar 6: unknown element <note> (line 11)"),
    "markup in words": ("<bar><comment>so <b>bold</b></comment></bar>",
                        "bar 6: <b> inside the words of <comment> (line 11); remove it"),
    "stray words": ("<bar>hello<rest length='4'/></bar>", "bar 6: stray words 'hello' at <bar> (line 11); remove them"),
    "order": ('<bar><rest length="4"/><chord at="0" symbol="C7"/></bar>',
              "bar 6: <chord> stands after <rest> (line 11); move it before"),
    "needed": ('<bar><note pitch="C4"/></bar>', "bar 6: <note> has no length (line 11); add length="),
    "fraction": ('<bar><rest length="0.25"/></bar>',
                 "bar 6: length: '0.25' is not a length in quarter notes (line 11); write it as 3/2"),
    "nothing over": ('<bar><rest length="4/0"/></bar>', "bar 6: length: '4/0' is not a length"),
    "no such note": ('<bar><note pitch="H4" length="4"/></bar>', "bar 6: pitch: 'H4' is not a pitch (line 11)"),
    "no head": ('<bar><rest length="5/4"/></bar>', "bar 6: no single note lasts 5/4 quarters (line 11); split it"),
    "word": ('<bar barline="wavy"/>', "bar 6: barline: 'wavy' is unknown here (line 11); write double or final"),
    "tuplet of nothing": ('<bar><rest length="1" tuplet="begin 0:2"/></bar>', "bar 6: a tuplet sets 1 to 64 notes"),
    "underfull": ('<bar><rest length="2"/></bar>', "bar 6: less music than fits: 2 quarters of 4 (line 11); add"),
    "callout": ('<bar><callout from="1" to="1">x</callout></bar>', "bar 6: the callout 'x' speaks of notes that"),
    "late chord": ('<bar><chord at="4" symbol="C7"/></bar>', "bar 6: the chord symbol 'C7' stands past the end"),
    "two comments": ("<bar><comment/><comment/></bar>", "bar 6: a second <comment> in one bar (line 11); join the two"),
    "with": ('<bar><rest length="4"/><with pitch="C4"/></bar>', "bar 6: <with> follows no note (line 11)"),
    "endless number": (f'<bar repeat-end="{"9" * 5000}"/>', "bar 6: repeat-end: '99999999999999999999'… is too long"),
    "string": ('<bar><note pitch="C4" length="4" string="7"/></bar>', "bar 6: C4 is set on string 7 of 6 (line 11)"),
    "on two strings": ('<bar><note pitch="C4" length="4" string="3"/><with pitch="E4" string="3"/></bar>',
                       "bar 6: two notes of a double stop are set on one string (line 11)"),
}


@pytest.mark.parametrize("fault", FAULTS)
def test_a_fault_is_told_by_file_bar_and_line(fault):
    inside, sentence = FAULTS[fault]
    rows = told(BARS + inside)
    assert len(rows) == 1
    assert rows[0].startswith("Harbour.study: " + sentence)


def test_bars_are_counted_as_they_are_printed():
    """A pickup is 0; a first number given moves them all."""
    bad = '<bar mood="blue"/>'
    assert "bar 3: " in told("<bar/><bar/>" + bad)[0]
    assert "bar 2: " in told('<bar length="3"/><bar/>' + bad)[0]
    assert "bar 15: " in told('<first-number>13</first-number><bar length="3"/><bar/>' + bad)[0]
    assert "bar 2: " in told('<meter>6/8</meter><bar length="5/2" tint="x"/><bar/>' + bad)[1]


def test_all_faults_come_together_and_no_more_than_twenty():
    rows = told('<title lang="en"/><tempo>fast</tempo>' + '<bar mood="blue"><note pitch="C4"/></bar>\n' * 4)
    assert len(rows) == 10
    assert rows[0] == "Harbour.study: unknown attribute 'lang' (line 3); remove it"
    assert rows[1] == "Harbour.study: tempo: 'fast' is not a whole number (line 3); write it as 12"
    rows = told('<bar mood="blue"/>\n' * 100)
    assert len(rows) == 20
    assert rows[-1] == "Harbour.study: and 81 faults more; mend these first"


@pytest.mark.parametrize(("head", "sentence"), [
    ('<study xmlns="urn:bargloss:study:1" version="2">', "version 2, this one reads 1"),
    ('<study xmlns="urn:bargloss:study:7" version="1">', "version 7, this one reads 1"),
])
def test_a_newer_file_is_told_apart(head, sentence):
    with pytest.raises(NewerVersion, match=sentence) as caught:
        parse_study(f"{head}<tablature/></study>".encode(), "x.study")
    assert caught.value.file == "x.study"


@pytest.mark.parametrize(("data", "sentence"), [
    (b"", "the XML is broken at line 1"),
    (b"hello", "the XML is broken at line 1"),
    (b"\xff\xfe<\x00", "byte 0 is not UTF-8"),
    (b"<score-partwise/>", "its root is <score-partwise>"),
    (b'<study version="1"/>', "its root is <study>"),
    (b'<study xmlns="urn:bargloss:study:0" version="1"/>', "is unknown"),
    (b'<study xmlns="urn:bargloss:study:1"/>', "version='' is no version"),
    (b'<study xmlns="urn:bargloss:study:1" version="01"/>', "version='01' is no version"),
    (b'<study xmlns="urn:bargloss:study:1" version="1"/>', "a study of 0 bars"),
    (HEAD.encode() + b"<bar><", "the XML is broken at line 3"),
    (HEAD.encode() + b"<bar>&nbsp;</bar></study>", "the XML is broken at line 3"),
    (HEAD.encode() + b"<bar/>" * 10_001 + b"</study>", "a study of 10001 bars"),
    (HEAD.encode() + b"<bar>" + b"<rest length='1'/>" * 200_001 + b"</bar></study>", "more than 200000"),
    (HEAD.encode() + b"<a>" * 100_000, "the XML is broken"),
    (b" " * 20_000_001, "more than 20000000 bytes"),
])
def test_what_is_no_study_file_is_told_in_one_line(data, sentence):
    with pytest.raises(BarglossError) as caught:
        parse_study(data, "x.study")
    assert len(caught.value.lines()) == 1
    assert str(caught.value).startswith("x.study: ")
    assert sentence in str(caught.value)


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig"])
def test_a_byte_order_mark_does_no_harm(encoding):
    assert parse_study(f"{HEAD}<bar/></study>".encode(encoding), "x") == Study()


def test_the_encoding_is_utf_8_whatever_the_file_says():
    """Or a document type could be spelled so that only the parser sees it."""
    head = HEAD.replace("UTF-8", "ISO-8859-1")
    assert parse_study(f"{head}<title>café</title><bar/></study>".encode(), "x").title == "café"


def test_document_types_and_entities_are_never_read(tmp_path):
    """Neither a file beside nor a bomb of nested entities; an encoding trick does not get them past the door."""
    secret = tmp_path / "secret.txt"
    secret.write_text("the secret")
    outside = f'<!DOCTYPE study [<!ENTITY x SYSTEM "{secret.as_uri()}">]>'
    rows = "".join(f'<!ENTITY e{n} "{f"&e{n - 1};" * 10}">' for n in range(1, 12))
    bomb = f'<!DOCTYPE study [<!ENTITY e0 "ha">{rows}]>'
    for doctype, entity in ((outside, "&x;"), (bomb, "&e11;")):
        body = HEAD.split("\n", 1)[1] + f"<title>{entity}</title><bar/></study>"
        text = f'<?xml version="1.0" encoding="X"?>{doctype}{body}'
        began = time.perf_counter()
        for encoding in ("utf-8", "utf-16", "utf-7"):
            with pytest.raises(BarglossError) as caught:
                parse_study(text.replace('"X"', f'"{encoding}"').encode(encoding), "x")
            assert "secret" not in str(caught.value)
        assert time.perf_counter() - began < 1


@settings(CALM, max_examples=200)
@given(st.binary(max_size=200))
@example(b"\x00")
@example(b"<a/>")
def test_any_bytes_read_or_are_told(data):
    reads_or_tells(data)


NAMES = ("bar", "note", "with", "rest", "chord", "reading", "callout", "comment", "title", "tempo", "instrument",
         "other")
WORDS = ("", " ", "0", "1", "-1", "1/3", "3/0", "9" * 39, "4.5", "1e5", "9e999", "nan", "yes", "no", "C4", "Bb-1",
         "G99", "C major", "B# lydian", "6/8", "65/4", "common", "begin 3:2", "3:2 begin 5:4", "0:0", "accent accent",
         " accent", "both", "٣", "½", "\n", "C 7; then", "E2 A2", "x" * 500)


ATTRIBUTE_NAMES = sorted({entry.name for entries in ATTRIBUTES.values() for entry in entries} | {"colour"})


@settings(CALM, max_examples=80)
@given(studies(max_bars=3), st.data())
def test_any_altered_file_reads_or_is_told(study, data):
    """Elements renamed, moved, doubled and dropped, attributes and words changed, in files that were whole."""
    root = etree.fromstring(study_xml(study))
    ns = "{urn:bargloss:study:1}"
    for _ in range(data.draw(st.integers(1, 3))):
        elements = list(root.iter())
        element = data.draw(st.sampled_from(elements))
        other = data.draw(st.sampled_from(elements))
        action = data.draw(st.integers(0, 5))
        if action == 0:
            element.set(data.draw(st.sampled_from(ATTRIBUTE_NAMES)), data.draw(st.sampled_from(WORDS)))
        elif action == 1 and element.attrib:
            name = data.draw(st.sampled_from(sorted(element.attrib)))
            element.set(name, data.draw(st.sampled_from(WORDS)))
        elif action == 2 and element.attrib:
            del element.attrib[data.draw(st.sampled_from(sorted(element.attrib)))]
        elif action == 3:
            element.text = data.draw(st.sampled_from(WORDS))
        elif action == 4 and element is not root:
            element.tag = ns + data.draw(st.sampled_from(NAMES))
        elif action == 5 and element is not root and element not in other.iterancestors() and element is not other:
            other.insert(data.draw(st.integers(0, 3)), element)
    reads_or_tells(etree.tostring(root))


DAMAGE = st.one_of(st.binary(max_size=3), st.sampled_from(
    (b"<", b"/>", b'"', b"&", b"&#0;", b"]]>", b"<!--", b"<?x?>", b" x='1'")))


@settings(CALM, max_examples=80)
@given(studies(max_bars=2), st.data())
def test_any_damaged_file_reads_or_is_told(study, data):
    """Bytes cut out, put in and turned over anywhere."""
    whole = bytearray(study_xml(study))
    for _ in range(data.draw(st.integers(1, 4))):
        at = data.draw(st.integers(0, len(whole)))
        whole[at:at + data.draw(st.integers(0, 6))] = data.draw(DAMAGE)
    reads_or_tells(bytes(whole))
