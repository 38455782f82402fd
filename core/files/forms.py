"""Forms to begin a study with: one TOML file each in templates/forms, moved to any key."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import lru_cache
from itertools import zip_longest
from pathlib import Path

from core.errors import BarglossError
from core.harmony.changes import read_changes, transposed_symbol
from core.study import Bar, Change, Chorus, Key, Meter, Study, parse_key

_FOLDER = Path(__file__).parents[2] / "templates" / "forms"  # beside core, in a checkout as in an installation


@dataclass(frozen=True, slots=True)
class Form:
    """A form as its file has it. changes: a line of chord symbols in `key`, `|` between bars, none for no changes.

    bars: how many; sections: the index of a bar and the letter over it.
    """

    name: str
    key: Key
    bars: int
    changes: str
    sections: tuple[tuple[int, str], ...]


def form_names() -> tuple[str, ...]:
    """Of the forms that ship."""
    return tuple(sorted(file.stem for file in _FOLDER.glob("*.toml")))


@lru_cache(maxsize=32)
def load_form(name: str) -> Form:
    """The shipped form of that name. Raises BarglossError."""
    if name not in form_names():
        raise BarglossError(f"there is no form {name!r}; there is {', '.join(form_names())}")
    table = tomllib.loads((_FOLDER / f"{name}.toml").read_text(encoding="utf-8"))
    changes = " ".join(table["changes"].split())
    return Form(table["name"], parse_key(table["key"]), table["bars"], changes,
                tuple((section["bar"] - 1, section["letter"]) for section in table.get("sections", ())))


def study_from_form(name: str, key: Key, meter: Meter, *, filled: bool = True, **details: str | int) -> Study:
    """A study of one chorus of a form, in this key and meter, with nothing but its changes; filled: with them.

    details: other fields of Study. Raises BarglossError where there is no such form.
    """
    form = load_form(name)
    fifths = key.tonic.fifths - form.key.tonic.fifths
    rows = read_changes(form.changes, [meter] * form.bars) if filled and form.changes else ()
    letters = dict(form.sections)
    bars = [Bar(changes=tuple(Change(offset, transposed_symbol(symbol, fifths)) for offset, symbol in row or ()),
                rehearsal=letters.get(at, ""))
            for at, (_, row) in enumerate(zip_longest(range(form.bars), rows))]
    return Study(key=key, meter=meter, bars=tuple(bars), choruses=(Chorus("Chorus 1", 0),),
                 **details)  # type: ignore[arg-type]
