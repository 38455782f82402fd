"""Hostile bytes to an XML tree of a study, or a plain sentence why not."""

from __future__ import annotations

import re

from lxml import etree

from core.errors import BarglossError
from core.files.layout import MOST_BYTES, MOST_ELEMENTS, NAMESPACE, VERSION

_ROOT = re.compile(r"\{urn:bargloss:study:([0-9]{1,9})\}study")


class NewerVersion(BarglossError):  # noqa: N818  (the reader is too old; the file has no fault)
    """A study file written by a later Bargloss than this one."""

    def __init__(self, version: int) -> None:
        super().__init__(f"a newer Bargloss wrote this file (version {version}, this one reads {VERSION}); "
                         "update Bargloss to open it")


class BrokenXml(BarglossError):  # noqa: N818  (named as what it is)
    """A file that ends too soon, or is garbled."""


def study_tree(data: bytes) -> etree._Element:
    """The root of a study file of our version. Raises BarglossError."""
    if len(data) > MOST_BYTES:
        raise BarglossError(f"more than {MOST_BYTES} bytes; this is no study file")
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as fault:
        raise BarglossError(f"byte {fault.start} is not UTF-8; save the file as UTF-8") from None
    if "<!DOCTYPE" in text:  # before parsing: what a document type declares is never even read
        raise BarglossError("a document type (<!DOCTYPE) has no place in a study file; take it away")
    # The encoding is ours, whatever the file declares, so that nothing slips past the line above.
    try:
        root = etree.fromstring(text.encode(), safe_parser())
    except etree.XMLSyntaxError as fault:
        line, column = fault.position
        raise BrokenXml(f"the XML is broken at line {line}, column {column}; mend it there") from None
    _check_root(root)
    if sum(1 for _ in root.iter()) > MOST_ELEMENTS:
        raise BarglossError(f"more than {MOST_ELEMENTS} notes, rests and marks; this is no study of one solo, split it")
    return root


def safe_parser() -> etree.XMLParser:
    """One that reads nothing but what it is given."""
    return etree.XMLParser(encoding="utf-8", resolve_entities=False, no_network=True, huge_tree=False,
                           load_dtd=False, dtd_validation=False, remove_comments=True, remove_pis=True)


def _check_root(root: etree._Element) -> None:
    ours = _ROOT.fullmatch(root.tag)
    if ours is None:
        name = etree.QName(root).localname[:40]
        raise BarglossError(f"this is no study file, its root is <{name}>; bring MusicXML, MIDI and ABC in first")
    version = root.get("version", "")
    if re.fullmatch("[1-9][0-9]{0,8}", version) is None:
        raise BarglossError(f"version={version[:40]!r} is no version of a study file (line {root.sourceline}); "
                            f"write version=\"{VERSION}\"")
    newest = max(int(version), int(ours[1]))
    if newest > VERSION:
        raise NewerVersion(newest)
    if root.tag != f"{{{NAMESPACE}}}study":
        raise BarglossError(f"{root.tag} is unknown (line {root.sourceline}); its namespace is {NAMESPACE}")
