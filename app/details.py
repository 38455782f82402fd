"""The lines of the study sheet: what each is called, and how its text is read and shown."""

from __future__ import annotations

import re
from collections.abc import Callable
from decimal import Decimal
from typing import Any, NamedTuple

from app import words_sheet as words
from app.label_rows import read_number
from core.errors import BarglossError
from core.study import Meter, parse_meter


class Detail(NamedTuple):
    """name: the field of Study. read: raises BarglossError. section: that begins with it. is_live: each
    key's text is kept, not only the whole."""

    name: str
    label: str
    hint: str = ""
    tip: str = ""
    read: Callable[[str], Any] = str
    show: Callable[[Any], str] = str
    section: str = ""
    is_live: bool = True


def read_time(text: str) -> float | None:
    """Seconds: `1:23.5`, `83.5`; none for no text. Raises BarglossError."""
    if not text.strip():
        return None
    found = re.fullmatch(r"(?:([0-9]{1,6}):)?([0-9]{1,6})([.,][0-9]{1,9})?", text.strip())
    if found is None or (found[1] and int(found[2]) > 59):
        raise BarglossError(words.BAD_TIME.format(text=text.strip()))
    return float(60 * int(found[1] or 0) + Decimal(found[2] + (found[3] or "").replace(",", ".")))


def show_time(seconds: float | None) -> str:
    """As it is read, to the last figure."""
    if seconds is None:
        return ""
    minutes, rest = divmod(Decimal(str(seconds)), 60)
    whole, _, part = f"{rest:f}".partition(".")
    return f"{minutes:f}:{whole:0>2}" + (f".{part}" if part.strip("0") else "")


def read_tempo(text: str) -> int:
    """Quarter notes a minute. Raises BarglossError."""
    if re.fullmatch(r"[0-9]{2,3}", text.strip()) is None or not 10 <= int(text) <= 500:
        raise BarglossError(words.BAD_TEMPO.format(text=text.strip()))
    return int(text)


def read_meter(text: str) -> Meter:
    """`3/4`, `3+2/8`; the old signs as `C` and `C|` (as ABC 2.1 has them). Raises BarglossError."""
    signs = {"C": Meter((4,), 4, "common"), "C|": Meter((2,), 2, "cut")}
    bare = "".join(text.split())
    return signs.get(bare.upper()) or parse_meter(bare)


def show_meter(meter: Meter) -> str:
    return words.OLD_SIGNS.get(meter.symbol, meter.text)


DETAILS = (
    Detail("title", words.TITLE, words.TITLE_HINT, section=words.CREDITS),
    Detail("tune", words.TUNE, words.TUNE_HINT),
    Detail("player", words.PLAYER),
    Detail("recording", words.RECORDING, words.RECORDING_HINT),
    Detail("transcriber", words.TRANSCRIBER),
    Detail("rights", words.RIGHTS, words.RIGHTS_HINT),
    Detail("tempo", words.TEMPO, tip=words.TEMPO_TIP, read=read_tempo, section=words.MUSIC),
    Detail("first_number", words.NUMBER, words.NUMBER_HINT, words.NUMBER_TIP,
           lambda text: read_number(text) if text.strip() else None,
           lambda number: "" if number is None else str(number)),
    Detail("starts_at", words.STARTS_AT, words.STARTS_HINT, words.STARTS_TIP, read_time, show_time, is_live=False),
)
