"""From bytes to the line that was asked for, whichever standard they follow. Runs in the guarded child."""

from __future__ import annotations

import warnings

from core.errors import BarglossError
from core.exchange.limits import Source
from core.exchange.midi import read_midi
from core.exchange.musicxml import read_musicxml
from core.exchange.plain import Piece
from core.exchange.tunes import read_abc

_READERS = {"musicxml": read_musicxml, "midi": read_midi, "abc": read_abc}


MOST_BARS = 3_000
MOST_EVENTS = 30_000


def read(source: Source, part: int | None = None) -> Piece:
    """Part or tune number `part` of the file, or the only one. Raises BarglossError, ChoiceNeeded."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        try:
            return _bounded(_READERS[source.kind](source.raw, part))
        except (BarglossError, MemoryError):
            raise
        except Exception as error:  # a reading library fails in as many ways as there are broken files
            reason = " ".join(str(error).split())[:120] or type(error).__name__
            raise BarglossError(f"the file could not be understood ({reason}); export it again") from error


def _bounded(piece: Piece) -> Piece:
    if len(piece.bars) > MOST_BARS or sum(len(bar.events) for bar in piece.bars) > MOST_EVENTS:
        raise BarglossError(f"the part has more than {MOST_BARS} bars or {MOST_EVENTS} notes; cut it down to the solo")
    return piece
