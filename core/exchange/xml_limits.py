"""What a MusicXML file may hold before a reader sees it: no entities, no network, nothing out of all proportion."""

from __future__ import annotations

from collections import Counter
from math import isfinite
from typing import Any

from lxml import etree

from core.errors import BarglossError

MOST = {"part": 64, "measure": 20_000, "note": 100_000, "harmony": 20_000, "metronome": 2_000, "sound": 20_000}
MOST_ELEMENTS = 2_000_000
_POSITIVE = {"beats", "beat-type", "actual-notes", "normal-notes", "divisions", "duration"}
# Highest value of each number a reader makes work or memory of.
MOST_NUMBER = {"beats": 64, "beat-type": 64, "actual-notes": 4_096, "normal-notes": 4_096, "multiple-rest": 1_000,
               "octave": 12, "chromatic": 60, "diatonic": 60, "octave-change": 5, "clef-octave-change": 5, "fifths": 14,
               "divisions": 1_000_000, "staves": 8, "alter": 6, "dot": 4, "measure-repeat": 8, "degree-value": 20,
               "degree-alter": 4, "root-alter": 4, "bass-alter": 4, "staff-lines": 20, "fret": 40, "string": 20,
               "per-minute": 2_000}
MOST_QUARTERS = 256  # a note, rest or skip longer than this is no music
_ENTITIES = "the file declares entities of its own, which no score needs; don't trust it"


def parse_xml(raw: bytes) -> etree._Element:
    """The root of an XML file read without entities, network or huge trees. Raises BarglossError."""
    parser = etree.XMLParser(resolve_entities=False, no_network=True, load_dtd=False, huge_tree=False,
                             remove_comments=True, remove_pis=True)
    if b"<!ENTITY" in raw:  # before any are expanded; other encodings are caught below
        raise BarglossError(_ENTITIES)
    try:
        root = etree.fromstring(raw, parser)
    except (etree.XMLSyntaxError, ValueError) as error:
        line = getattr(error, "lineno", None)
        raise BarglossError(f"this is not whole XML{f' (line {line})' if line else ''}; export it again") from error
    if root is None:
        raise BarglossError("the file holds no XML; export it again")
    declared: Any = root.getroottree().docinfo.internalDTD
    if declared is not None and next(iter(declared.iterentities()), None) is not None:
        raise BarglossError(_ENTITIES)
    return root


def checked_score(raw: bytes) -> bytes:
    """The score as plain UTF-8 without a document type, if it is one and within bounds. Raises BarglossError."""
    root = parse_xml(raw)
    if root.tag == "score-timewise":
        raise BarglossError("the score is ordered bar by bar (score-timewise); export it part by part (score-partwise)")
    if root.tag != "score-partwise":
        raise BarglossError(f"this is not MusicXML: it begins with <{str(root.tag)[:40]}>; export a MusicXML file")
    counts: Counter[str] = Counter()
    divisions = 1.0
    for element in root.iter():
        tag = element.tag
        if not isinstance(tag, str):
            raise BarglossError("the file refers to an entity, which no score needs; don't trust it")
        counts[tag] += 1
        if tag == "divisions":
            divisions = max(_number(element), 1e-6)
        elif tag == "duration" and abs(_number(element)) > MOST_QUARTERS * divisions and not _goes_back(element):
            raise BarglossError(f"a note or skip of more than {MOST_QUARTERS} quarters (line {element.sourceline}); "
                                "shorten it")
        if tag in _POSITIVE and _number(element) <= 0:
            raise BarglossError(f"a {tag} of {_shown(element)} (line {element.sourceline}); correct it")
        if tag in MOST_NUMBER and abs(_number(element)) > MOST_NUMBER[tag]:
            raise BarglossError(f"a {tag} of {_shown(element)} (line {element.sourceline}) is beyond "
                                f"{MOST_NUMBER[tag]}; correct it")
    for tag, most in MOST.items():
        if counts[tag] > most:
            raise BarglossError(f"the file holds {counts[tag]} of <{tag}>, more than {most}; export one solo alone")
    if counts.total() > MOST_ELEMENTS:
        raise BarglossError("the file is far larger than a solo; export one solo alone")
    return etree.tostring(root, encoding="UTF-8", xml_declaration=True)


def _goes_back(element: etree._Element) -> bool:
    """Whether it is a step back, which stops at the bar's start however long it is."""
    parent = element.getparent()
    return parent is not None and parent.tag == "backup"


def _number(element: etree._Element) -> float:
    """The largest number in the text; 0 where it is none (the reader says what it makes of that)."""
    text = (element.text or "").replace("+", " ")
    if len(text) > 100:
        raise BarglossError(f"a number of {len(text)} digits (line {element.sourceline}); correct it")
    try:
        value = max((float(part) for part in text.split()), key=abs, default=0.0)
    except ValueError:
        return 0.0
    return value if isfinite(value) else 0.0


def _shown(element: etree._Element) -> str:
    return repr((element.text or "").strip()[:20])
