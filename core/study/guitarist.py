"""Who will play the study: what their fretting hand likes, and how they pick."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from core.errors import BarglossError

SPANS = ("small", "normal", "wide")
OPEN_STRINGS = ("avoid", "allow", "prefer")
PICKINGS = ("alternate", "strict", "economy", "sweep", "legato", "alternate-sweep", "economy-legato")


@dataclass(frozen=True, slots=True)
class Guitarist:
    """span: of the hand. position: the fret its first finger likes best, None for the lower middle of the neck.
    picking: alternate by the meter, strict by the note, economy (keeps its direction where a crossing lies that
    way), sweep (looks for such crossings), legato (slurs wherever it can); mixtures are alternate-sweep (by the
    meter, but one stroke across an arpeggio) and economy-legato (economy, slurred into the beat where it is fast).
    strings: the ones to keep to, none named means all. left_handed: for what is drawn of the neck.
    """

    span: Literal["small", "normal", "wide"] = "normal"
    position: int | None = None
    open_strings: Literal["avoid", "allow", "prefer"] = "allow"
    picking: Literal["alternate", "strict", "economy", "sweep", "legato", "alternate-sweep",
                     "economy-legato"] = "alternate"
    strings: tuple[int, ...] = ()
    left_handed: bool = False

    def __post_init__(self) -> None:
        for name, value, known in (("span", self.span, SPANS), ("way of picking", self.picking, PICKINGS),
                                   ("way with open strings", self.open_strings, OPEN_STRINGS)):
            if value not in known:
                raise BarglossError(f"{value!r} is not a {name}; use {', '.join(known[:-1])} or {known[-1]}")
        if self.position is not None and not 1 <= self.position <= 24:
            raise BarglossError(f"a favourite position of {self.position}; give a fret from 1 to 24")
        if self.strings != tuple(sorted(set(self.strings))) or not all(1 <= one <= 10 for one in self.strings):
            raise BarglossError("the strings to keep to go in order, each once, from 1 (the highest) to 10")
