"""Which test holds which published rule: E1 to E32 and S1 to S6 (engraving), D1 to D8 (print) of the reference list.

A test's docstring begins with the rules it measures, or says "references" before them, and names the source.
"""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest

TESTS = Path(__file__).parents[1]
RULES = [f"{group}{number}" for group, most in (("E", 32), ("S", 6), ("D", 8)) for number in range(1, most + 1)]
APART = {
    "E4": "tenths of a space are for MusicXML that says where things stand; ours says what they are and no more",
    "E7": "19 mm of margin, from memory and at odds with E2's 15, which ours are",
    "E31": "a guitar's page has one clef: none changes",
    "S4": "the sample in the specification's text; the font's own file has other figures (S5), and ours are those",
}
"""Rules that ask nothing of our pages."""


_LIST = r"((?:[ESD][0-9]{1,2}(?:, | and )?)+)"
_NAMED = re.compile(rf"^{_LIST}(?=[:;,. ])|[Rr]eferences {_LIST}")


def named() -> dict[str, list[str]]:
    """Rule -> the tests whose docstrings name it."""
    found: dict[str, list[str]] = {}
    rooms = ("engraving", "exchange", "handout", "outside")
    for file in sorted(file for room in rooms for file in TESTS.glob(f"{room}/test_*.py")):
        for node in ast.walk(ast.parse(file.read_text("utf-8"))):
            if isinstance(node, ast.FunctionDef) and node.name.startswith("test_"):
                for lists in _NAMED.findall(ast.get_docstring(node) or ""):
                    for rule in re.findall(r"[ESD][0-9]+", "".join(lists)):
                        found.setdefault(rule, []).append(f"{file.parent.name}/{file.name}::{node.name}")
    return found


HELD = named()


@pytest.mark.parametrize("rule", RULES)
def test_every_rule_is_measured_or_said_not_to_apply(rule):
    """By the docstrings of all tests."""
    assert rule in HELD or rule in APART
