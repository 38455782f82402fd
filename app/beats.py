"""Places in a bar as a musician counts them: beats of the meter's lower number, from 1."""

from __future__ import annotations

import re
from fractions import Fraction

from core.errors import BarglossError
from core.study import InForce

_BEAT = re.compile(r"(\d{1,3})(?:[ +](\d{1,3})/(\d{1,3}))?|(\d{1,3}[.,]\d{1,6})")


def beat_text(offset: Fraction, here: InForce) -> str:
    """`3`, `2 1/2`. A pickup is counted as the end of a bar."""
    whole, part = divmod((offset + _before(here)) * here.meter.unit / 4, 1)
    return f"{whole + 1} {part}" if part else str(whole + 1)


def read_beat(text: str, here: InForce) -> Fraction:
    """The offset in quarters of `3`, `2 1/2` or `2.5`. Raises BarglossError."""
    found = _BEAT.fullmatch(text.strip())
    if found is None or found[3] in {"0", "00", "000"}:
        raise BarglossError(f"{text!r} is no beat; count from 1, as in 3 or 2 1/2")
    if found[4] is not None:
        beat = Fraction(found[4].replace(",", "."))
    else:
        beat = Fraction(int(found[1])) + (Fraction(int(found[2]), int(found[3])) if found[3] else 0)
    offset = (beat - 1) * 4 / here.meter.unit - _before(here)
    if not 0 <= offset < here.length:
        last = (here.length + _before(here)) * here.meter.unit / 4
        raise BarglossError(f"beat {text.strip()} is not in this bar; count from {beat_text(Fraction(0), here)} "
                            f"to before {beat_text(last * 4 / here.meter.unit - _before(here), here)}")
    return offset


def _before(here: InForce) -> Fraction:
    """Quarters of the meter that go by before a pickup begins."""
    is_pickup = here.index == 0 and here.length < here.meter.length
    return here.meter.length - here.length if is_pickup else Fraction(0)
