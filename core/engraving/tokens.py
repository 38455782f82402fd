"""Music tokens in the teacher's words: `{Bb7}`, `{b9}`, `{F# half step}`; and what is wrong with them."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import lru_cache

from core.engraving.remarks import letters
from core.errors import BarglossError
from core.harmony import parse_chord
from core.study import Bar

IS_DEGREE = re.compile(r"^(b{1,2}|#{1,2})?(1[0-3]|[1-9])$")
IS_NOTE = re.compile(r"^([A-G])(bb|b|##|#)?$")
AFTER = ".,;:)"
"""What may stand right after a note or a degree inside a token."""
_PARTS = re.compile(r"\{([^{}]*)\}|[{}]")
_SHOWN = 16
"""Characters of an open token that are enough to find it by."""


def token_faults(bar: Bar) -> Iterator[str]:
    """What is wrong with the tokens in a bar's comment, callouts and remarks, a sentence each."""
    texts = [("the comment", bar.comment)]
    texts += [(f"the callout {callout.heading or callout.text[:20]!r}", text)
              for callout in bar.callouts for text in (callout.heading, callout.text)]
    texts += [(f"the remark {letter}", bar.events[event].remark) for event, letter in letters(bar).items()]
    for where, text in texts:
        for fault in _faults(text):
            yield f"{where} has {fault}"


@lru_cache(maxsize=4096)
def _faults(text: str) -> tuple[str, ...]:
    if "{" not in text and "}" not in text:
        return ()
    found = []
    for part in _PARTS.finditer(text):
        if part[0] == "{":
            found.append(f"a brace that is not closed, at {' '.join(text[part.start():][:_SHOWN].split())!r}; write }} "
                         "after the chord, degree or note, or take the brace away")
        elif part[0] == "}":
            found.append("a } with no { before it; write one before the chord, degree or note, or take it away")
        elif not _is_music(part[1]):
            found.append(f"{part[0]}, which is no chord symbol, degree or note; correct it, or take the braces away")
    return tuple(found)


def _is_music(token: str) -> bool:
    words = [word.rstrip(AFTER) for word in token.split()]
    return any(IS_DEGREE.match(word) or IS_NOTE.match(word) for word in words) or _is_chord(token)


def _is_chord(token: str) -> bool:
    try:
        parse_chord(token)
    except BarglossError:
        return False
    return True
