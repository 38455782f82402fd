"""The beams of a bar in MusicXML's words: the engraver's groups, level by level (E21)."""

from __future__ import annotations

from core.engraving.beaming import beam_groups
from core.sound.feel import lead
from core.study import Event, InForce


def beam_values(here: InForce) -> tuple[tuple[str, ...], ...]:
    """Per event, its `beam` values from level 1, the eighth's, on; none where it stands under no beam.

    A lone lesser beam at the head of its group is a forward hook, else a backward one.
    """
    events = here.bar.events
    values: list[tuple[str, ...]] = [()] * len(events)
    for group in beam_groups(events, here.meter, lead(here)):
        counts = [_flags(events[index]) for index in group]
        for place, index in enumerate(group):
            before = counts[place - 1] if place else 0
            after = counts[place + 1] if place + 1 < len(group) else 0
            values[index] = tuple(_value(before >= level, after >= level, is_first=place == 0)
                                  for level in range(1, counts[place] + 1))
    return tuple(values)


def _flags(event: Event) -> int:
    """1 for an eighth, 2 for a sixteenth."""
    return int(1 / event.written.value).bit_length() - 1


def _value(before: bool, after: bool, *, is_first: bool) -> str:
    if before and after:
        return "continue"
    if before:
        return "end"
    if after:
        return "begin"
    return "forward hook" if is_first else "backward hook"
