"""From the bytes of a study file to a study, or to every fault in it, each with its bar and line."""

from __future__ import annotations

from typing import Any

from lxml import etree

from core.errors import BarglossError, Faults
from core.files.bar_reader import read_bar
from core.files.elements import children_of, expect_empty, tag_of, value_of, values_of, words_of
from core.files.faultlog import FaultLog
from core.files.layout import BAR, CHORUS, DETAILS, IN_STUDY, MOST_BARS
from core.files.safe_xml import study_tree
from core.files.schema import schema_fault
from core.study import Chorus, Guitarist, Instrument, Meter, Study
from core.study.study import opening_number

_DETAILS = {entry.name: entry for entry in DETAILS}
_VALUES: dict[str, type[Instrument | Guitarist]] = {"instrument": Instrument, "guitarist": Guitarist}


def parse_study(data: bytes, name: str) -> Study:
    """The study in these bytes; `name` is what the person knows the file by.

    Raises NewerVersion for a later version's file, BarglossError or Faults for anything else that is wrong.
    """
    try:
        root = study_tree(data)
    except BarglossError as fault:
        raise fault.in_file(name) from None
    log = FaultLog()
    header, rows = _read_header(root, log)
    bars = []
    for log.bar, row in enumerate(rows):
        bars.append(read_bar(row, log))
    first = _first_number(header, rows)
    if log.count:
        raise log.told(first, name)
    unfit = schema_fault(root)  # the tables are content; the schema has the last word
    if unfit is not None:
        raise BarglossError(unfit, file=name)
    choruses = tuple(Chorus(str(row.get(CHORUS.name)), at) for at, row in enumerate(rows) if CHORUS.name in row.attrib)
    try:
        return Study(**header, choruses=choruses, bars=tuple(bar for bar in bars if bar is not None))
    except Faults as faults:
        raise _at_lines(faults, root, rows, first).told(first, name) from None


def _read_header(root: etree._Element, log: FaultLog) -> tuple[dict[str, Any], list[etree._Element]]:
    """The fields of the study that stand before its bars, and the <bar> elements."""
    for attribute in root.attrib:
        if attribute != "version":
            log.add(root, f"unknown attribute {str(attribute)[:60]!r}; remove it")
    header: dict[str, Any] = {}
    rows = []
    for child in children_of(root, IN_STUDY, log):
        tag = tag_of(child)
        if tag == "bar":
            rows.append(child)
            continue
        field = tag if tag in _VALUES else _DETAILS[tag].field
        if field in header:
            log.add(child, f"a second <{tag}>; remove one")
        header[field] = _value(child, _VALUES[tag], log) if tag in _VALUES else _detail(child, log)
    if not 0 < len(rows) <= MOST_BARS:
        log.add(root, f"a study of {len(rows)} bars; a study file holds 1 to {MOST_BARS}")
    return header, rows[:MOST_BARS]


def _detail(element: etree._Element, log: FaultLog) -> Any:
    for attribute in element.attrib:
        log.add(element, f"unknown attribute {str(attribute)[:60]!r}; remove it")
    return value_of(element, _DETAILS[tag_of(element)], words_of(element, log), log)


def _value(element: etree._Element, kind: type[Instrument | Guitarist], log: FaultLog) -> Instrument | Guitarist | None:
    expect_empty(element, log)
    values = values_of(element, log)
    return None if values is None else log.attempt(element, lambda: kind(**values))


def _first_number(header: dict[str, Any], rows: list[etree._Element]) -> int:
    """The number printed at the first bar, as far as it can be read: faults are told by it."""
    if header.get("first_number") is not None:
        return int(header["first_number"])
    pickup = {entry.field: value_of(rows[0], entry, rows[0].get(entry.name, ""), FaultLog())
              for entry in BAR if entry.field in ("length", "meter") and entry.name in rows[0].attrib} if rows else {}
    meter = pickup.get("meter") or header.get("meter") or Meter()
    return opening_number(pickup.get("length"), meter, len(rows))


def _at_lines(faults: Faults, root: etree._Element, rows: list[etree._Element], first: int) -> FaultLog:
    log = FaultLog()
    for fault in faults.faults:
        log.bar = None if fault.bar is None else fault.bar - first
        log.add(root if log.bar is None else rows[log.bar], fault.what)
    return log
