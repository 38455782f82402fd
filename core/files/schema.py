"""The RELAX NG schema every written study file is held against."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from lxml import etree

SCHEMA = Path(__file__).with_name("study.rng")


@cache
def _schema() -> etree.RelaxNG:
    return etree.RelaxNG(etree.parse(SCHEMA))


def schema_fault(root: etree._Element) -> str | None:
    """A sentence on the first thing the schema refuses in a study's XML, or None where it refuses nothing."""
    schema = _schema()
    if schema.validate(root):
        return None
    lines = [entry.line for entry in schema.error_log if entry.line > 0]
    return f"what stands at line {min(lines, default=1)} does not fit the form of a study file; mend it by study.rng"
