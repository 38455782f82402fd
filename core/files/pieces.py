"""A study file in pieces, its head and its bars: each made as a tree, held against the schema, and put into text."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, NamedTuple

from lxml import etree

from core.errors import BarglossError
from core.files.codes import TEXT
from core.files.layout import NAMESPACE, VERSION, Entry
from core.files.schema import schema_fault

_OPEN, _CLOSE = f'<study xmlns="{NAMESPACE}" version="{VERSION}">'.encode(), b"\n</study>"
_NO_BAR = b"\n  <bar/>"


class Piece(NamedTuple):
    """text: what stands inside <study>, each line after its line break. elements: how many."""

    text: bytes
    elements: int


def empty_study() -> etree._Element:
    """A root to make a piece in."""
    return etree.fromstring(_OPEN + _CLOSE)


def head_piece(root: etree._Element) -> Piece:
    """What stands before the bars, from a root that holds nothing else. Raises BarglossError."""
    child(root, "bar", {})  # the schema wants one
    whole = bar_piece(root)
    return Piece(whole.text.removesuffix(_NO_BAR), whole.elements - 1)


def bar_piece(root: etree._Element) -> Piece:
    """A bar, from a root that holds nothing else. Raises BarglossError."""
    _lay_out(root, "\n")
    if schema_fault(root) is not None:
        raise BarglossError("this does not fit the form of a study file; nothing was written, report it please")
    text = etree.tostring(root, encoding="UTF-8").removeprefix(_OPEN).removesuffix(_CLOSE)
    return Piece(text, sum(1 for _ in root.iter()) - 1)


def joined(pieces: Iterable[Piece]) -> bytes:
    """The whole file."""
    inside = b"".join(piece.text for piece in pieces)
    return b'<?xml version="1.0" encoding="UTF-8"?>\n' + _OPEN + inside + _CLOSE + b"\n"


def child(parent: etree._Element, name: str, attributes: dict[str, str], text: str = "") -> etree._Element:
    """A new last element; text goes in as it is. Raises BarglossError for a text that XML cannot hold."""
    element = etree.SubElement(parent, f"{{{NAMESPACE}}}{name}", attributes)
    if text:
        element.text = TEXT.write(text)
    return element


def attributes_of(value: object, entries: Iterable[Entry]) -> dict[str, str]:
    """What a value says otherwise than by default. Raises BarglossError."""
    found: dict[str, str] = {}
    for entry in entries:
        held: Any = getattr(value, entry.field)
        if held != entry.default:
            found[entry.name] = entry.code.write(held)
    return found


def _lay_out(element: etree._Element, margin: str) -> None:
    """One element a line; only between elements, so that no text gains a blank."""
    children = list(element)
    if not children:
        return
    element.text = margin + "  "
    for each in children:
        each.tail = margin + "  "
        _lay_out(each, margin + "  ")
    children[-1].tail = margin
