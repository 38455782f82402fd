"""Guitarists by name: a TOML file each in templates/guitarists, with the fields of core.study.Guitarist."""

from __future__ import annotations

import tomllib
from dataclasses import fields
from functools import lru_cache
from pathlib import Path
from typing import NamedTuple

from core.errors import BarglossError
from core.study import Guitarist

_FOLDER = Path(__file__).parents[2] / "templates" / "guitarists"  # beside core, in a checkout as in an installation


class Preset(NamedTuple):
    """A guitarist, and what to call this way of playing in a list."""

    about: str
    guitarist: Guitarist


def preset_names() -> tuple[str, ...]:
    """Of the guitarists that ship."""
    return tuple(sorted(file.stem for file in _FOLDER.glob("*.toml")))


@lru_cache(maxsize=32)
def load_preset(name: str) -> Preset:
    """The shipped guitarist of that name. Raises BarglossError."""
    if name not in preset_names():
        raise BarglossError(f"there is no guitarist {name!r}; there is {', '.join(preset_names())}")
    return parse_preset((_FOLDER / f"{name}.toml").read_text(encoding="utf-8"), f"{name}.toml")


def parse_preset(text: str, file: str) -> Preset:
    """A guitarist from TOML text. Raises BarglossError that says what is wrong."""
    try:
        told = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise BarglossError(f"not a guitarist: {error}; mend the file", file=file) from None
    about = told.pop("about", "")
    kinds = {"position": int, "left_handed": bool, "strings": list}
    for name, value in told.items():
        if name not in {field.name for field in fields(Guitarist)}:
            raise BarglossError(f"a guitarist has no {name!r}; remove it", file=file)
        if type(value) is not kinds.get(name, str):
            raise BarglossError(f"{name} is of the wrong kind; compare it with jazz.toml", file=file)
    try:
        strings = tuple(told.pop("strings", ()))
        return Preset(str(about), Guitarist(**told, strings=strings))
    except BarglossError as error:
        raise error.in_file(file) from None
    except TypeError:
        raise BarglossError("the strings of a guitarist are whole numbers; mend the file", file=file) from None
