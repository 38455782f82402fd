"""From a study to the bytes of a study file: readable XML, one note a line."""

from __future__ import annotations

from typing import Any

from lxml import etree

from core.errors import BarglossError, Faults
from core.files.layout import (
    ATTRIBUTES,
    CHORUS,
    DETAILS,
    GUITARIST,
    HEAD,
    INSTRUMENT,
    MOST_BARS,
    MOST_BYTES,
    MOST_ELEMENTS,
    NAMESPACE,
    PITCH,
    VERSION,
    Entry,
)
from core.files.schema import schema_fault
from core.study import Bar, Event, Guitarist, Instrument, Study


def study_xml(study: Study) -> bytes:
    """The study as a study file: UTF-8 XML that its schema has accepted.

    Raises BarglossError (Faults) for a text with characters XML cannot hold, and for more than a file may hold.
    """
    if len(study.bars) > MOST_BARS:
        raise BarglossError(f"a study of {len(study.bars)} bars; a study file holds {MOST_BARS}, split it")
    root = _study(study)
    if sum(1 for _ in root.iter()) > MOST_ELEMENTS:
        raise BarglossError(f"more than {MOST_ELEMENTS} notes, rests and marks for one study file; split the study")
    if schema_fault(root) is not None:
        raise BarglossError("this study does not fit the form of a study file; nothing was written, report it please")
    data = b'<?xml version="1.0" encoding="UTF-8"?>\n' + etree.tostring(root, encoding="UTF-8") + b"\n"
    if len(data) > MOST_BYTES:
        raise BarglossError(f"a study file of {len(data)} bytes; it may have {MOST_BYTES}, split the study")
    return data


def _study(study: Study) -> etree._Element:
    root = etree.fromstring(f'<study xmlns="{NAMESPACE}" version="{VERSION}"/>')
    faults: list[BarglossError] = []
    for entry in DETAILS:
        value = getattr(study, entry.field)
        if value != entry.default:
            try:
                _child(root, entry.name, {}, entry.code.write(value))
            except BarglossError as fault:
                faults.append(BarglossError(f"{entry.name}: {fault.what}"))
    choruses = {chorus.bar: chorus.label for chorus in study.choruses}
    try:
        if study.instrument != Instrument():
            _child(root, "instrument", _attributes(study.instrument, INSTRUMENT))
        if study.guitarist != Guitarist():
            _child(root, "guitarist", _attributes(study.guitarist, GUITARIST))
    except BarglossError as fault:
        faults.append(fault)
    for here in study.in_force:
        try:
            _add_bar(root, here.bar, choruses.get(here.index))
        except BarglossError as fault:
            faults.append(BarglossError(fault.what, bar=here.number))
    if faults:
        raise Faults(tuple(faults))
    _lay_out(root, "\n")
    return root


def _add_bar(root: etree._Element, bar: Bar, chorus: str | None) -> None:
    label = {} if chorus is None else {CHORUS.name: CHORUS.code.write(chorus)}
    element = _child(root, "bar", label | _attributes(bar, ATTRIBUTES["bar"][1:]))
    for change in bar.changes:
        _child(element, "chord", _attributes(change, ATTRIBUTES["chord"]))
    for reading in bar.readings:
        _child(element, "reading", _attributes(reading, ATTRIBUTES["reading"]))
    for event in bar.events:
        _add_event(element, event)
    for callout in bar.callouts:
        _child(element, "callout", _attributes(callout, ATTRIBUTES["callout"]), _text(callout.text))
    for dismissed in bar.dismissed:
        _child(element, "dismissed", _attributes(dismissed, ATTRIBUTES["dismissed"]))
    if bar.comment:
        _child(element, "comment", {}, _text(bar.comment))


def _add_event(bar: etree._Element, event: Event) -> None:
    if event.is_rest:
        _child(bar, "rest", _attributes(event, ATTRIBUTES["rest"]))
        return
    own = _attributes(event, ATTRIBUTES["rest"])
    first = _attributes(event.notes[0], (PITCH, *HEAD))
    both = first | own
    _child(bar, "note", {entry.name: both[entry.name] for entry in ATTRIBUTES["note"] if entry.name in both})
    for note in event.notes[1:]:
        _child(bar, "with", _attributes(note, ATTRIBUTES["with"]))


def _attributes(value: object, entries: tuple[Entry, ...]) -> dict[str, str]:
    found: dict[str, str] = {}
    for entry in entries:
        held: Any = getattr(value, entry.field)
        if held != entry.default:
            found[entry.name] = entry.code.write(held)
    return found


_text = CHORUS.code.write


def _child(parent: etree._Element, name: str, attributes: dict[str, str], text: str = "") -> etree._Element:
    element = etree.SubElement(parent, f"{{{NAMESPACE}}}{name}", attributes)
    if text:
        element.text = text
    return element


def _lay_out(element: etree._Element, margin: str) -> None:
    """One element a line; only between elements, so that no text gains a blank."""
    children = list(element)
    if not children:
        return
    element.text = margin + "  "
    for child in children:
        child.tail = margin + "  "
        _lay_out(child, margin + "  ")
    children[-1].tail = margin
