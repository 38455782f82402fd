"""One <bar> of a study file, and what stands in it."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from lxml import etree

from core.files.elements import children_of, expect_empty, tag_of, values_of, words_of
from core.files.faultlog import FaultLog
from core.files.layout import HEAD, IN_BAR, PITCH
from core.study import Bar, Callout, Change, Dismissed, Event, Note, Reading

_HEAD_FIELDS = {entry.field for entry in (PITCH, *HEAD)}


def read_bar(element: etree._Element, log: FaultLog) -> Bar | None:
    """The bar, or None and its faults."""
    before = log.count
    values = values_of(element, log)
    inside: dict[str, list[etree._Element]] = {name: [] for name in IN_BAR}
    sounding: list[etree._Element] = []
    for child in children_of(element, IN_BAR, log):
        inside[tag_of(child)].append(child)
        if tag_of(child) in ("note", "with", "rest"):
            sounding.append(child)
    changes = [Change(**found) for child in inside["chord"] if (found := _plain(child, log)) is not None]
    readings = [Reading(**found) for child in inside["reading"] if (found := _plain(child, log)) is not None]
    events = _events(sounding, log)
    callouts = [_callout(child, log) for child in inside["callout"]]
    dismissed = [Dismissed(**found) for child in inside["dismissed"] if (found := _plain(child, log)) is not None]
    comments = [_comment(child, log) for child in inside["comment"]]
    for second in inside["comment"][1:]:
        log.add(second, "a second <comment> in one bar; join the two")
    if values is None or log.count > before:
        return None
    values.pop("chorus", None)
    return log.attempt(element, lambda: Bar(
        events=tuple(events), changes=tuple(changes), readings=tuple(readings),
        callouts=tuple(callout for callout in callouts if callout is not None),
        dismissed=tuple(dismissed), comment="".join(comments), **values))


def _plain(element: etree._Element, log: FaultLog) -> dict[str, Any] | None:
    expect_empty(element, log)
    return values_of(element, log)


def _callout(element: etree._Element, log: FaultLog) -> Callout | None:
    values = values_of(element, log)
    text = words_of(element, log)
    return None if values is None else Callout(text=text, **values)


def _comment(element: etree._Element, log: FaultLog) -> str:
    values_of(element, log)
    return words_of(element, log)


def _events(elements: list[etree._Element], log: FaultLog) -> list[Event]:
    """Each begins where the one before ends; after a fault the rest is read for its faults only."""
    groups: list[list[etree._Element]] = []
    for element in elements:
        if tag_of(element) != "with":
            groups.append([element])
        elif groups and tag_of(groups[-1][0]) == "note":
            groups[-1].append(element)
        else:
            log.add(element, "<with> follows no note; make it a <note>")
    events: list[Event] = []
    at = Fraction(0)
    for group in groups:
        event = _event(group, at, log)
        if event is not None:
            events.append(event)
            at = event.end
    return events


def _event(group: list[etree._Element], at: Fraction, log: FaultLog) -> Event | None:
    read = [_plain(element, log) for element in group]
    first = read[0]
    if first is None or None in read:
        return None
    notes: tuple[Note, ...] = ()
    if tag_of(group[0]) == "note":
        own = {field: first.pop(field) for field in _HEAD_FIELDS & first.keys()}
        notes = tuple(Note(**values) for values in (own, *read[1:]) if values is not None)
    return log.attempt(group[0], lambda: Event(at, notes=notes, **first))
