"""What this version can show of a study file that a newer one wrote: for reading, never for saving."""

from __future__ import annotations

import re
from pathlib import Path

from lxml import etree

from core.errors import BarglossError
from core.files.layout import ATTRIBUTES, IN_BAR, IN_STUDY, MOST_BYTES, NAMESPACE, VERSION
from core.files.reader import parse_study
from core.files.safe_xml import NewerVersion, safe_parser
from core.files.store import load_study
from core.study import Study

_ANY = re.compile(r"\{urn:bargloss:study:[0-9]{1,9}\}")
_KNOWN = {tag: {entry.name for entry in entries} for tag, entries in ATTRIBUTES.items()} | {"study": {"version"}}


def load_what_is_known(path: Path) -> Study:
    """The study of a newer version's file, without what this one does not know.

    Raises NewerVersion where that is no whole study, BarglossError for any other fault.
    """
    try:
        return load_study(path)
    except NewerVersion as newer:
        with path.open("rb") as file:
            known = _known_part(file.read(MOST_BYTES))
        try:
            return parse_study(known, str(path))
        except BarglossError:
            raise newer from None


def _known_part(data: bytes) -> bytes:
    """The file in our version's names, without the elements and attributes it does not have."""
    root = etree.fromstring(data.decode("utf-8-sig").encode(), safe_parser())
    for element in list(root.iter()):
        element.tag = _ANY.sub("", element.tag)
        parent = element.getparent()
        if parent is not None and element.tag not in (IN_STUDY if parent is root else IN_BAR):
            parent.remove(element)
            continue
        for name in set(element.attrib) - _KNOWN.get(element.tag, set()):
            del element.attrib[name]
        element.tag = f"{{{NAMESPACE}}}{element.tag}"
    root.set("version", str(VERSION))
    return etree.tostring(root, encoding="UTF-8")
