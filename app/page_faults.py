"""What the proof-reader marks on the pages, in words that say what to do about it."""

from __future__ import annotations

from app.words import (
    BOTH_TOUCH,
    LET_BE,
    MOVE_BREAK,
    OFF_PAGE,
    ON_PAGE,
    OTHER_TEMPLATE,
    SET_APART,
    SHORTEN,
    SPOKEN_MARKS,
    TWO_TOUCH,
)
from core.handout.inspect import Flaw

_OFF = " stands off the page"
_WORDS = ("callout", "comment", "remark", "neck")


def words_for(flaw: Flaw) -> str:
    """`page 1: two callouts touch; shorten one, or begin a new system at this bar`."""
    one, over, other = flaw.what.partition(" over ")
    if over:
        what = TWO_TOUCH.format(one=_name(one)) if one == other else (
            BOTH_TOUCH.format(one=_a(_name(one)), other=_a(_name(other))))
        remedy = SHORTEN if one in _WORDS or other in _WORDS else SET_APART
    elif flaw.what.endswith(_OFF):
        kind = flaw.what.removesuffix(_OFF)
        what, remedy = OFF_PAGE.format(one=_a(_name(kind))), OTHER_TEMPLATE
    else:
        what = flaw.what
        remedy = MOVE_BREAK if "system" in what else LET_BE if "page" in what else OTHER_TEMPLATE
    return f"{ON_PAGE.format(page=flaw.page)}: {what}; {remedy}"


def _name(kind: str) -> str:
    return SPOKEN_MARKS.get(kind, kind)


def _a(name: str) -> str:
    return f"an {name}" if name[0] in "aeiou" else f"a {name}"
