"""The teacher's words without their light marks, for formats that know none."""

from __future__ import annotations

import re

_TOKEN = re.compile(r"\{([^{}]*)\}")
_EMPHASIS = re.compile(r"\*([^*\s](?:[^*]*[^*\s])?)\*")


def plain(text: str) -> str:
    """`*so* over {Bb7}` as `so over Bb7`."""
    return _EMPHASIS.sub(r"\1", _TOKEN.sub(r"\1", text))
