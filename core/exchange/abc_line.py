"""A few bars typed in ABC (the open standard, version 2.1), as events to write into a study."""

from __future__ import annotations

import warnings

from core.errors import BarglossError
from core.exchange.tunes import read_abc
from core.study import Key, Meter
from core.study.fit import PlainEvent

MOST_TYPED = 2_000
_MODES = {"major": "", "minor": "m"}
_FIELD = ":"


def typed_abc(text: str, key: Key, meter: Meter) -> tuple[tuple[PlainEvent, ...], ...]:
    """The notes of each bar, parted by `|`; unit length an eighth, pitches as they sound (`C` is middle C).

    Onsets count from each bar's start. Raises BarglossError where it is no music.
    """
    line = " ".join(text.split())
    if len(line) > MOST_TYPED:
        raise BarglossError(f"more than {MOST_TYPED} characters in a line; type fewer bars at a time")
    if _FIELD in line.replace("|:", "").replace(":|", "").replace("::", ""):
        raise BarglossError("a field (a letter and a colon) in a line of notes; type the notes alone")
    tune = f"X:1\nM:{meter.text}\nL:1/8\nK:{key.tonic.name}{_MODES.get(key.mode, ' ' + key.mode)}\n{line}\n"
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        try:
            piece = read_abc(tune.encode(), None)
        except BarglossError:
            raise
        except Exception as error:  # the tokens fail in as many ways as there are typing errors
            raise BarglossError(f"{line[:40]!r} is not notes in ABC; write letters and lengths, as c2 d e") from error
    bars = tuple(bar.events for bar in piece.bars)
    if not any(event.notes for events in bars for event in events):
        raise BarglossError(f"no note in {line[:40]!r}; write letters and lengths, as c2 d e")
    return bars
