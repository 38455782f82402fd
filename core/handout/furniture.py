"""What stands on a page beside the music: the title block, the key to the degree row, the foot. In points."""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple

from core.engraving.degrees import LOOKS, PASSING, degree_pieces
from core.engraving.drawing import Drawing, Glyph, Line, Mark, Tag, Text
from core.engraving.faces import face
from core.engraving.pieces import set_pieces, width_of
from core.guitar import TUNINGS
from core.handout.template import MM, Template
from core.study import GUITAR, Instrument

_CLEAR = 10 * MM
"""Of the paper's edge that stays white: desktop printers lose up to 6.4 mm (references: practice)."""
_SMALLEST_FOOT = 4.5
NO_RIGHTS = (
    "No rights line: a transcription of somebody's solo may need a licence before it is passed on; "
    "ask whoever licenses music where you live."
)


class Block(NamedTuple):
    """A drawing in points, its origin the top left corner of where it goes, and its height."""

    drawing: Drawing
    height: float


@lru_cache(maxsize=64)
def title_block(
    title: str, tune: str, source: tuple[str, str, str, str], feel: str, tempo: int, template: Template, width: float
) -> Block:
    """Title large at left, tune and source under it; feel and tempo at right. source: player, recording, transcriber,
    and how the instrument is set up (`set_up`)."""
    words = template.style.words
    marks: list[Mark] = []
    size, small = template.title, template.subtitle
    y = face(f"{words}-semibold").cap_height * size
    title, tune = title or tune or "Untitled study", tune if title else ""
    room = face(f"{words}-semibold").width(title, size)
    if room > width:
        size *= width / room
    marks.append(Text(0.0, y, title, f"{words}-semibold", size, "ink", Tag("title")))
    mark, taken = _tempo(feel, tempo, template, small)
    y += small * 1.75
    credits = _credits(title, tune, *source)
    for line in _fit(credits, words, small, width - taken - 20):
        marks.append(Text(0.0, y, line, words, small, "quiet", Tag("title", 1)))
        y += small * 1.3
    y -= small * 1.3 if credits else 0.0
    marks += [_moved(one, width - taken, y) for one in mark]
    return Block(Drawing(tuple(marks)), y + small * 0.6)


def set_up(instrument: Instrument) -> str:
    """What a player has to do first: a tuning that is not the guitar's usual one, by name or string by string from the
    lowest, and the capo; "" for neither."""
    parts = []
    if instrument.tuning != GUITAR:
        strings = " ".join(pitch.pitch_class.name for pitch in instrument.tuning)
        name = next((name for name, tuning in TUNINGS.items() if tuning == instrument.tuning), strings)
        parts.append(f"tuning: {name}")
    if instrument.capo:
        parts.append(f"capo {instrument.capo}")
    return ", ".join(parts)


def _credits(title: str, tune: str, player: str, recording: str, transcriber: str, setting: str) -> str:
    parts = [f"on {tune}"] if tune and tune != title else []
    if player:
        parts.append(f"played by {player}")
    if recording:
        parts.append(recording)
    if transcriber:
        parts.append(f"transcribed by {transcriber}")
    if setting:
        parts.append(setting)
    text = ", ".join(parts)
    return text[:1].upper() + text[1:]


def _fit(text: str, name: str, size: float, width: float) -> list[str]:
    """Lines of plain text no wider than `width`."""
    lines: list[str] = []
    for word in text.split():
        if lines and face(name).width(f"{lines[-1]} {word}", size) <= width:
            lines[-1] = f"{lines[-1]} {word}"
        else:
            lines.append(word)
    return lines


def _tempo(feel: str, tempo: int, template: Template, size: float) -> tuple[list[Mark], float]:
    """Feel and metronome mark from x 0 on, on the baseline 0, and their width."""
    words, aside, font = template.style.words, template.style.aside, template.style.music
    marks: list[Mark] = []
    name = f"{feel.capitalize()},  "
    at = face(words + aside).width(name, size)
    marks.append(Text(0.0, 0.0, name, words + aside, size, "ink", Tag("title", 2)))
    scale = size * 0.27
    note = font.box("metNoteQuarterUp")
    marks.append(Glyph(at, -0.35 * scale, "metNoteQuarterUp", scale, "ink", Tag("title", 2)))
    at += note.right * scale + size * 0.2
    text = f"= {tempo}"
    marks.append(Text(at, 0.0, text, words, size, "ink", Tag("title", 2)))
    return marks, at + face(words).width(text, size)


def _moved(mark: Mark, dx: float, dy: float) -> Mark:
    assert isinstance(mark, Glyph | Text)
    return mark._replace(x=mark.x + dx, y=mark.y + dy)


@lru_cache(maxsize=16)
def degree_key(template: Template, width: float, degrees: bool, readings: bool) -> Block:
    """The key to the degree row, once, at the foot of page one; nothing where the study shows no degrees."""
    if not degrees or "degrees" not in template.style.rows:
        return Block(Drawing(()), 0.0)
    style, size = template.style, template.foot + 0.5
    name = style.words
    marks: list[Mark] = []
    entries = (
        ("3", LOOKS["chord tone"], "chord tone"), ("9", LOOKS["tension"], "tension"),
        ("b9", LOOKS["altered tone"], "altered tone"), ("7", PASSING, "passing, approach or neighbour note"),
    )
    y = size * 1.2
    at = 0.0
    for text, look, words in entries:
        scaled = [piece._replace(size=size * 1.12 * look.size) for piece in degree_pieces(text, look, style)]
        wide = width_of(scaled, style.music)
        room = wide + size * 0.5 + face(name).width(words, size)
        at, y = (at, y) if at + room <= width else (0.0, y + size * 1.6)
        marks += set_pieces(scaled, at, y, style.music, look.ink)
        if look.ruled:
            over = y - face(name).cap_height * size - size * 0.3
            marks.append(Line(at, over, at + wide, over, size / 15, look.ink))
        marks.append(Text(at + wide + size * 0.5, y, words, name, size, "quiet"))
        at += room + size * 2.2
    if readings and "readings" in style.rows:
        words = f"{'italics' if style.italics else 'second row'}: of the harmony heard instead"
        at, y = (at, y) if at + face(name + style.aside).width(words, size) <= width else (0.0, y + size * 1.6)
        marks.append(Text(at, y, words, name + style.aside, size, "quiet"))
    return Block(Drawing(tuple(marks)), y + size * 0.4)


def foot_baseline(template: Template) -> float:
    """Of the foot's last line, from the paper's edge."""
    return _CLEAR + max(1 * MM, face(template.style.words).descent * template.foot)


def foot_room(title: str, rights: str, template: Template, width: float) -> float:
    """What the foot takes from the paper's edge up, the white over it included."""
    return foot_baseline(template) + foot(title, rights, template, width, 99, 99).height + 1.5 * MM


@lru_cache(maxsize=512)
def foot(title: str, rights: str, template: Template, width: float, page: int, pages: int) -> Block:
    """Title (on later pages) and rights line at left, page x of y at right; y 0 is the last baseline."""
    size, name = template.foot, template.style.words
    number = f"page {page} of {pages}"
    wide = face(name).width(number, size)
    marks: list[Mark] = [Text(width - wide, 0.0, number, name, size, "quiet", Tag("foot"))]
    left = rights or NO_RIGHTS
    if title:
        left = f"{title}  ·  {left}"
    lines = _fit(left, name, size, width - wide - 30)
    smallest = max(_SMALLEST_FOOT, template.style.smallest * template.space)
    most = 2 if size > smallest else 4
    while len(lines) > most and size > smallest:
        size = max(size * 0.95, smallest)  # a rights line is printed whole, if need be smaller
        lines = _fit(left, name, size, width - wide - 30)
    if len(lines) > most:
        lines = [*lines[: most - 1], f"{lines[most - 1].rsplit(' ', 1)[0]} …"]
    for index, line in enumerate(lines):
        y = (index - len(lines) + 1) * size * 1.25
        marks.append(Text(0.0, y, line, name, size, "quiet", Tag("foot")))
    return Block(Drawing(tuple(marks)), size * 1.25 * len(lines))
