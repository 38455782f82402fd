"""What a reader hands over: the file's music as plain values, before they are made to fit a study.

They cross from the guarded child process as JSON, so nothing here may hold a reader's own objects.
Times are quarter notes from the start of the bar.
"""

from __future__ import annotations

import dataclasses
import json
import types
import typing
from collections.abc import Callable
from dataclasses import dataclass, field
from fractions import Fraction
from functools import lru_cache
from typing import Any, Literal, NamedTuple

from core.harmony import KindDegree
from core.study import Key, Meter
from core.study.fit import PlainEvent


class PlainChord(NamedTuple):
    """A chord symbol: either `text` as somebody wrote it, or MusicXML's parts of one (root `Bb`, bass likewise)."""

    offset: Fraction
    text: str = ""
    root: str = ""
    kind: str = ""
    kind_text: str = ""
    degrees: tuple[KindDegree, ...] = ()
    bass: str = ""


@dataclass(frozen=True)
class PlainBar:
    """One bar of the chosen line. span: how long the bar is in any part or voice of the file, None if empty."""

    events: tuple[PlainEvent, ...] = ()
    chords: tuple[PlainChord, ...] = ()
    span: Fraction | None = None
    key: Key | None = None
    meter: Meter | None = None
    barline: Literal["", "double", "final", "dashed"] = ""
    repeat_start: bool = False
    repeat_end: int = 0
    ending: str = ""
    rehearsal: str = ""
    sign: Literal["", "segno", "coda"] = ""
    jump: str = ""


class Remark(NamedTuple):
    """Something left out or changed, to be told with its bars. bar: index, None for the whole file."""

    text: str
    bar: int | None = None


@dataclass(frozen=True)
class Piece:
    """The line that was asked for. tempo: quarters a minute. first_number: of an excerpt's first bar."""

    bars: tuple[PlainBar, ...] = ()
    title: str = ""
    composer: str = ""
    player: str = ""
    transcriber: str = ""
    rights: str = ""
    first_number: int | None = None
    tempo: int | None = None
    feel: Literal["swing", "straight"] = "straight"
    remarks: tuple[Remark, ...] = field(default=())


@dataclass(frozen=True)
class Fault:
    """Why there is no piece. choice: because somebody has to choose a part first."""

    text: str
    choice: bool = False


def to_json(value: Piece | Fault) -> str:
    return json.dumps(_bare(value))


def from_json(text: str, kind: type[Any]) -> Any:
    """A `kind` from what `to_json` wrote of one. Raises ValueError, KeyError or TypeError for any other text."""
    return _typed(json.loads(text), kind)


def _bare(value: Any) -> Any:
    if isinstance(value, Fraction):
        return str(value)
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        return {each.name: _bare(getattr(value, each.name)) for each in dataclasses.fields(value)}
    if isinstance(value, tuple):
        return [_bare(each) for each in value]
    return value


_hints: Callable[[Any], dict[str, Any]] = lru_cache(maxsize=32)(typing.get_type_hints)


def _typed(value: Any, kind: Any) -> Any:
    origin, inner = typing.get_origin(kind), typing.get_args(kind)
    if origin in (types.UnionType, typing.Union):
        return None if value is None else _typed(value, inner[0])
    if origin is tuple:
        return tuple(_typed(each, inner[0]) for each in value)
    if kind is Fraction:
        return Fraction(value)
    if dataclasses.is_dataclass(kind):
        hints = _hints(kind)
        make: Any = kind
        return make(**{name: _typed(each, hints[name]) for name, each in value.items()})
    if hasattr(kind, "_fields"):
        hints = _hints(kind)
        return kind(*(_typed(each, hints[name]) for name, each in zip(kind._fields, value, strict=True)))
    return value
