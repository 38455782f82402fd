"""Reading one XML element by the tables of `layout`: its children, its attributes, its words."""

from __future__ import annotations

from collections.abc import Mapping
from difflib import get_close_matches
from typing import Any

from lxml import etree

from core.errors import BarglossError
from core.files.codes import LONGEST_VALUE, TEXT
from core.files.faultlog import FaultLog
from core.files.layout import ATTRIBUTES, NAMESPACE, NEEDED, Entry

_BY_NAME = {tag: {entry.name: entry for entry in entries} for tag, entries in ATTRIBUTES.items()}


def tag_of(element: etree._Element) -> str:
    """Its name, without our namespace; a name of another namespace comes with it."""
    return element.tag.removeprefix(f"{{{NAMESPACE}}}")


def children_of(element: etree._Element, rank: Mapping[str, int], log: FaultLog) -> list[etree._Element]:
    """The known children; a fault for each unknown one, one out of order (by rank), and for stray words."""
    known: list[etree._Element] = []
    if (element.text or "").strip():
        _stray(element, element.text or "", log)
    for child in element:
        tag = tag_of(child)
        if tag not in rank:
            log.add(child, f"unknown element <{tag[:60]}>{_near(tag, rank)}; remove it")
        elif known and rank[tag] < rank[tag_of(known[-1])]:
            log.add(child, f"<{tag}> stands after <{tag_of(known[-1])}>; move it before")
        else:
            known.append(child)
        if (child.tail or "").strip():
            _stray(child, child.tail or "", log)
    return known


def values_of(element: etree._Element, log: FaultLog) -> dict[str, Any] | None:
    """The attributes as fields of the value, or None where there was a fault among them."""
    before = log.count
    entries = _BY_NAME[tag_of(element)]
    values: dict[str, Any] = {}
    for name, text in element.attrib.items():
        entry = entries.get(str(name))
        if entry is None:
            log.add(element, f"unknown attribute {str(name)[:60]!r}{_near(str(name), entries)}; remove it")
        else:
            value = value_of(element, entry, str(text), log)
            values[entry.field] = value
    for entry in entries.values():
        if entry.default is NEEDED and entry.field not in values:
            log.add(element, f"<{tag_of(element)}> has no {entry.name}; add {entry.name}=\"…\"")
    return values if log.count == before else None


def value_of(element: etree._Element, entry: Entry, text: str, log: FaultLog) -> Any:
    """One attribute's (or detail's) value, or None and a fault."""
    try:
        if not entry.code.free and len(text) > LONGEST_VALUE:
            raise BarglossError(f"{text[:20]!r}… is too long; shorten it")
        return entry.code.read(text)
    except BarglossError as fault:
        log.add(element, f"{entry.name}: {fault.what}")
        return None


def words_of(element: etree._Element, log: FaultLog) -> str:
    """The running words inside, exactly as they stand; a fault where elements stand among them."""
    for child in element:
        log.add(child, f"<{tag_of(child)[:60]}> inside the words of <{tag_of(element)}>; remove it")
    text = element.text or ""
    log.attempt(element, lambda: TEXT.read(text))
    return text


def expect_empty(element: etree._Element, log: FaultLog) -> None:
    """A fault for anything inside an element that says everything in its attributes."""
    children_of(element, {}, log)


def _stray(element: etree._Element, text: str, log: FaultLog) -> None:
    log.add(element, f"stray words {text.strip()[:30]!r} at <{tag_of(element)[:60]}>; "
                                "remove them, or move them into a <comment>")


def _near(name: str, known: Mapping[str, object]) -> str:
    near = get_close_matches(name[:60], known, 1, 0.65)
    return f", is it {near[0]!r}?" if near else ""
