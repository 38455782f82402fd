"""One <bar> of a study file. Its text is made once and kept on the bar, so that a file costs what changed."""

from __future__ import annotations

from lxml import etree

from core.files.layout import ATTRIBUTES, CHORUS, HEAD, PITCH
from core.files.pieces import Piece, attributes_of, bar_piece, child, empty_study
from core.study import Bar, Event

_KEPT = "_study_file"
"""Its place beside the bar's fields, as of a cached property: no part of its value, left behind by `replace`."""


def written_bar(bar: Bar, chorus: str | None) -> Piece:
    """The bar, with the label of the chorus it begins. Raises BarglossError for a text that XML cannot hold."""
    kept: tuple[str | None, Piece] | None = bar.__dict__.get(_KEPT)
    if kept is not None and kept[0] == chorus:
        return kept[1]
    made = _written(bar, chorus)
    bar.__dict__[_KEPT] = (chorus, made)
    return made


def _written(bar: Bar, chorus: str | None) -> Piece:
    root = empty_study()
    label = {} if chorus is None else {CHORUS.name: CHORUS.code.write(chorus)}
    element = child(root, "bar", label | attributes_of(bar, ATTRIBUTES["bar"][1:]))
    for change in bar.changes:
        child(element, "chord", attributes_of(change, ATTRIBUTES["chord"]))
    for reading in bar.readings:
        child(element, "reading", attributes_of(reading, ATTRIBUTES["reading"]))
    for event in bar.events:
        if event.is_rest:
            child(element, "rest", attributes_of(event, ATTRIBUTES["rest"]))
        else:
            _add_notes(element, event)
    for callout in bar.callouts:
        child(element, "callout", attributes_of(callout, ATTRIBUTES["callout"]), callout.text)
    for dismissed in bar.dismissed:
        child(element, "dismissed", attributes_of(dismissed, ATTRIBUTES["dismissed"]))
    if bar.comment:
        child(element, "comment", {}, bar.comment)
    return bar_piece(root)


def _add_notes(element: etree._Element, event: Event) -> None:
    own, first = attributes_of(event, ATTRIBUTES["rest"]), attributes_of(event.notes[0], (PITCH, *HEAD))
    both = first | own
    child(element, "note", {entry.name: both[entry.name] for entry in ATTRIBUTES["note"] if entry.name in both})
    for note in event.notes[1:]:
        child(element, "with", attributes_of(note, ATTRIBUTES["with"]))
