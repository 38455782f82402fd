"""Templates: one TOML file each, read into a frozen value."""

from __future__ import annotations

import re
import tomllib
from dataclasses import dataclass, replace
from functools import lru_cache
from pathlib import Path
from typing import Any

from core.engraving import Style, check_rows
from core.engraving.faces import FAMILIES
from core.engraving.measures import TAB_STEP
from core.engraving.smufl import MUSIC_FONTS
from core.engraving.style import COURTESY, NECKS
from core.errors import BarglossError
from core.harmony import ChordStyle

MM = 72 / 25.4
"""Points in a millimetre."""
PAPERS = {"a4": (210 * MM, 297 * MM), "letter": (612.0, 792.0)}
"""Width and height in points (ISO 216; ANSI size A)."""
_FOLDER = Path(__file__).parents[2] / "templates"  # beside core, in a checkout as in an installation
_LEAST_COLUMN = 60
_INKS = {"ink", "staff", "quiet", "rule", "chord-tone", "tension", "altered", "passing", "reading"}


@dataclass(frozen=True, eq=False, slots=True)
class Template:
    """How a handout looks. Lengths in points; space: one staff space; style: what the engraver needs."""

    name: str
    style: Style
    space: float
    left: float
    right: float
    top: float
    bottom: float
    system_gap: float
    widest_gap: float
    title: float
    subtitle: float
    foot: float
    colours: dict[str, str]
    page: tuple[float, float] | None
    """Width and height, where the template has a page of its own."""


def page_size(template: Template, paper: str) -> tuple[float, float]:
    """Width and height in points: the template's own page, and only where it has none the paper's.

    Raises BarglossError for a paper there is not.
    """
    if paper not in PAPERS:
        raise BarglossError(f"there is no paper {paper!r}; there is {', '.join(PAPERS)}")
    return template.page or PAPERS[paper]


def with_rows(template: Template, rows: tuple[str, ...]) -> Template:
    """The template with these rows, top to bottom; itself where it has just these. Raises BarglossError."""
    if rows == template.style.rows:
        return template
    check_rows(rows)
    return replace(template, style=replace(template.style, rows=rows))


def template_names() -> tuple[str, ...]:
    """Of the templates that ship."""
    return tuple(sorted(file.stem for file in _FOLDER.glob("*.toml")))


@lru_cache(maxsize=32)
def load_template(name: str) -> Template:
    """The shipped template of that name. Raises BarglossError."""
    if name not in template_names():
        raise BarglossError(f"there is no template {name!r}; there is {', '.join(template_names())}")
    return parse_template((_FOLDER / f"{name}.toml").read_text(encoding="utf-8"), f"{name}.toml")


def parse_template(text: str, file: str) -> Template:
    """A template from its TOML text. Raises BarglossError that says what is missing or wrong."""
    try:
        return _template(tomllib.loads(text))
    except tomllib.TOMLDecodeError as error:
        raise BarglossError(f"not a template: {error}; mend the file", file=file) from None
    except KeyError as error:
        raise BarglossError(f"the template lacks {error.args[0]!r}; add it", file=file) from None
    except (TypeError, AttributeError):
        raise BarglossError("a value of the template is of the wrong kind; compare it with lesson.toml",
                            file=file) from None
    except BarglossError as error:
        raise BarglossError(error.what, file=file) from None


def _template(data: dict[str, Any]) -> Template:
    page, staff, faces, sizes, names = (data[part] for part in ("page", "staff", "faces", "type", "names"))
    space = staff["height"] * MM / 4
    check_rows(data["rows"])
    colours = dict(data["colours"])
    for ink in _INKS:
        if not re.fullmatch(r"#[0-9A-Fa-f]{6}", colours[ink]):
            raise BarglossError(f"the colour of {ink} is {colours[ink]!r}; write it as #0072B2")
    for use, known in (("music", MUSIC_FONTS), ("words", FAMILIES), ("signs", FAMILIES)):
        if faces[use] not in known:
            raise BarglossError(f"there is no face {faces[use]!r} for {use}; there is {', '.join(known)}")
    courtesy, necks = names.get("courtesy", "plain"), names.get("necks", "fingers")
    for name, value, allowed in (("courtesy", courtesy, COURTESY), ("necks", necks, NECKS)):
        if value not in allowed:
            raise BarglossError(f"{name} is {value!r}; write one of {', '.join(allowed)}")
    style = Style(
        rows=tuple(data["rows"]), font=faces["music"], words=faces["words"], signs=faces["signs"],
        italics=faces.get("italics", True),
        chord_size=sizes["chords"] / space, degree_size=sizes["degrees"] / space, fret_size=sizes["frets"] / space,
        word_size=sizes["words"] / space, word_leading=sizes["leading"] / space, label_size=sizes["labels"] / space,
        number_size=sizes["numbers"] / space, letter_size=sizes.get("letters", 0.79 * sizes["degrees"]) / space,
        neck_size=sizes.get("necks", 0.82 * sizes["degrees"]) / space, necks=necks,
        smallest=sizes.get("smallest", 0) / space, eighth=staff["eighth"], tensions=names["tensions"],
        chord_style=ChordStyle(names["minor"], names["major"]), strokes=names["strokes"],
        courtesy=courtesy, tab_step=staff.get("tab_step", TAB_STEP),
        multirests=names.get("multirests", False), fingers=names.get("fingers", "teacher"), **_tab(data.get("tab", {})),
    )  # fmt: skip
    return Template(
        data["name"], style, space, page["left"] * MM, page["right"] * MM, page["top"] * MM, page["bottom"] * MM,
        staff["system_gap"] * MM, staff["widest_gap"] * MM, sizes["title"], sizes["subtitle"], sizes["foot"], colours,
        _own_page(page),
    )


def _tab(options: dict[str, Any]) -> dict[str, bool]:
    """What the tab carries beside its numbers. Raises BarglossError for what is no such thing."""
    known = {"letters": "tab_letters", "rhythm": "tab_rhythm", "shifts": "shift_marks"}
    for name, value in options.items():
        if name not in known or not isinstance(value, bool):
            raise BarglossError(f"{name} = {value!r} means nothing under [tab]; say true or false for one of "
                                f"{', '.join(known)}")
    return {known[name]: value for name, value in options.items()}


def _own_page(page: dict[str, Any]) -> tuple[float, float] | None:
    """Width and height in points, if the template gives them. Raises BarglossError where margins leave too little."""
    if "width" not in page and "height" not in page:
        return None
    if page["width"] - page["left"] - page["right"] < _LEAST_COLUMN or page["height"] - page["top"] - page["bottom"] < (
        _LEAST_COLUMN
    ):
        raise BarglossError(f"the page leaves less than {_LEAST_COLUMN} mm between its margins; make it larger")
    return page["width"] * MM, page["height"] * MM
