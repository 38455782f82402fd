"""Which of a file's parts or tunes to bring in, where it holds several."""

from __future__ import annotations

from collections.abc import Mapping

from core.errors import BarglossError

MOST_NAMED = 40


class ChoiceNeeded(BarglossError):  # noqa: N818  (it asks a question)
    """The file holds several parts or tunes, and somebody has to say which, by a number there is."""


def choose(names: Mapping[int, str], part: int | None, what: str) -> int:
    """The number that was asked for, or the only one there is. what: `part` or `tune`, for the sentence.

    Raises ChoiceNeeded where there are several and none, or one that is not there, was asked for.
    """
    if part is None and len(names) == 1:
        return next(iter(names))
    if part is not None and part in names:
        return part
    shown = ", ".join(f"{number} {name}".strip() for number, name in list(names.items())[:MOST_NAMED])
    more = f" and {len(names) - MOST_NAMED} more" if len(names) > MOST_NAMED else ""
    count = f"{len(names)} {what}{'s' if len(names) != 1 else ''}: {shown}{more}"
    if part is None:
        raise ChoiceNeeded(f"{count}; say which with --part N")
    raise ChoiceNeeded(f"there is no {what} {part}; the file has {count}")
