"""Letters for the notes the teacher remarked on: they stand at the degrees, the words with the bar's comment."""

from __future__ import annotations

from string import ascii_lowercase

from core.study import Bar


def letters(bar: Bar) -> dict[int, str]:
    """By index of the event: a, b, c … through the bar, and aa, ab … should it ever need them."""
    remarked = [index for index, event in enumerate(bar.events) if event.remark]
    return {index: _letter(place) for place, index in enumerate(remarked)}


def remarks_of(bar: Bar) -> tuple[tuple[str, str], ...]:
    """Letter and words of each."""
    return tuple([(letter, bar.events[event].remark) for event, letter in letters(bar).items()])


def _letter(place: int) -> str:
    first, second = divmod(place, 26)
    return (ascii_lowercase[first - 1] if first else "") + ascii_lowercase[second]
