"""What two rows have in common at their ends: an edit leaves most of a study the very same objects."""

from __future__ import annotations

from collections.abc import Sequence
from operator import is_


def shared_ends(old: Sequence[object], new: Sequence[object]) -> tuple[int, int]:
    """How many of the very same objects both begin with, and how many of the others both end with."""
    lead, shorter = _first_other(old, new), min(len(old), len(new))
    return lead, min(_first_other(old[::-1], new[::-1]), shorter - lead)


def _first_other(old: Sequence[object], new: Sequence[object]) -> int:
    return next((at for at, same in enumerate(map(is_, old, new)) if not same), min(len(old), len(new)))
