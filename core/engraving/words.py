"""The teacher's words as ink: light marks, music tokens, and lines that wrap.

`*emphasis*` prints in italics. `{Bb7}` is a chord symbol, `{b9}` a degree, and in any other
token note names and degrees get real accidentals: `{F# half step}`.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from functools import lru_cache
from itertools import pairwise
from typing import NamedTuple

from core.engraving.chords import chord_pieces
from core.engraving.drawing import Ink, Mark, Tag
from core.engraving.faces import face
from core.engraving.pieces import Piece, set_pieces, sign, split_signs, width_of
from core.engraving.style import Style
from core.engraving.tokens import AFTER, IS_DEGREE, IS_NOTE
from core.errors import BarglossError
from core.harmony import parse_chord

_TOKEN = re.compile(r"\{([^{}]*)\}|\*([^*\n]+)\*")
LETTER_LIFT, _AFTER_LETTER = 0.37, 0.2
"""Of a remark's letter, in its ems: how far it is raised, and white after it besides a space."""
_SIGNS = {"♭": "b", "♯": "#", "♮": "n"}


class Word(NamedTuple):
    """What stands between two spaces. opens: a line begins with it."""

    pieces: tuple[Piece, ...]
    width: float
    opens: bool = False


class Line(NamedTuple):
    words: tuple[Word, ...]
    width: float


@lru_cache(maxsize=4096)
def words_of(heading: str, text: str, style: Style) -> tuple[Word, ...]:
    """heading in semibold, then text, as words ready to wrap, light marks and tokens set. A newline is a space."""
    regular, size = style.words, style.word_size
    words: list[Word] = []
    run: list[Piece] = []

    def add(pieces: Iterable[Piece]) -> None:
        run.extend(pieces)

    def close() -> None:
        if run:
            words.append(Word(tuple(run), width_of(run, style.music)))
            run.clear()

    def flow(plain: str, name: str) -> None:
        for index, part in enumerate(re.split(r"\s+", plain)):
            if index:
                close()
            add(_with_signs(part, name, size))

    for part, name in ((heading, f"{regular}-semibold"), (text, regular)):
        at = 0
        for match in _TOKEN.finditer(part):
            flow(part[at : match.start()], name)
            if match[1] is not None:
                for index, pieces in enumerate(_token(match[1], style, name)):
                    if index:
                        close()
                    add(pieces)
            else:
                flow(match[2], regular + style.emphasis)
            at = match.end()
        flow(part[at:], name)
        close()
    return tuple(words)


def remark_words(letter: str, text: str, style: Style) -> tuple[Word, ...]:
    """A remark on a line of its own, after its letter, which stands as it does at its degree."""
    size = style.letter_size
    sign_of_it = Piece(letter, style.words + style.emphasis, size, LETTER_LIFT * size)
    width = width_of([sign_of_it], style.music) + _AFTER_LETTER * size
    return Word((sign_of_it,), width, opens=True), *words_of("", text, style)


def _with_signs(text: str, name: str, size: float) -> list[Piece]:
    """Plain text, with the accidentals that no text face carries set from the music font."""
    pieces = []
    for part in re.split("([♭♯♮])", text):
        if part in _SIGNS:
            pieces.append(sign(_SIGNS[part], size))
        elif part:
            pieces.append(Piece(part, name, size))
    return pieces


def _token(token: str, style: Style, name: str) -> list[list[Piece]]:
    """The words of a token, each as pieces."""
    size = style.word_size
    try:
        if IS_DEGREE.match(token) is None:
            return [list(chord_pieces(parse_chord(token), style, size, name))]
    except BarglossError:
        pass
    words = []
    for word in token.split():
        core = word.rstrip(AFTER)
        tail = word[len(core) :]
        note = IS_NOTE.match(core)
        if IS_DEGREE.match(core):
            pieces = split_signs(core, name, size)
        elif note:
            pieces = [Piece(note[1], name, size), *([sign(note[2], size)] if note[2] else [])]
        else:
            pieces = [Piece(core, name, size)] if core else []
        words.append([*pieces, Piece(tail, name, size)] if tail else pieces)
    return words


def wrap(words: Sequence[Word], width: float, style: Style) -> tuple[Line, ...]:
    """Lines no wider than `width`, but for a single word that is; ragged right. The last line, and the last before
    one that a word opens, has two words where that leaves two on the line before."""
    opening = [0, *(index for index, word in enumerate(words) if word.opens and index), len(words)]
    return tuple([line for first, end in pairwise(opening) for line in _wrapped(words[first:end], width, style)])


def _wrapped(words: Sequence[Word], width: float, style: Style) -> list[Line]:
    space = face(style.words).width(" ", style.word_size)
    lines: list[Line] = []
    run: list[Word] = []
    taken = 0.0
    for word in words:
        more = word.width + (space if run else 0.0)
        if run and taken + more > width:
            lines.append(Line(tuple(run), taken))
            run, taken, more = [], 0.0, word.width
        run.append(word)
        taken += more
    if run:
        lines.append(Line(tuple(run), taken))
    if len(lines) > 1 and len(lines[-1].words) == 1 and len(lines[-2].words) > 2:
        (*kept, moved), (alone,) = lines[-2].words, lines[-1].words
        together = Line((moved, alone), moved.width + space + alone.width)
        if together.width <= width:
            lines[-2:] = [Line(tuple(kept), lines[-2].width - space - moved.width), together]
    return lines


def count_lines(words: Sequence[Word], width: float, style: Style) -> int:
    """How many lines `wrap` makes of the words."""
    space = face(style.words).width(" ", style.word_size)
    lines, taken = 0, width + 1.0
    for word in words:
        taken += space + word.width
        if taken > width or word.opens:
            lines += 1
            taken = word.width
    return lines


def set_lines(lines: Sequence[Line], x: float, y: float, style: Style, tag: Tag | None, ink: Ink = "ink") -> list[Mark]:
    """Marks of wrapped lines; y is the first baseline. Words of one face that follow each other become one run."""
    space = face(style.words).width(" ", style.word_size)
    plain = (style.words, style.word_size, 0.0)
    marks: list[Mark] = []
    for line in lines:
        at = x
        run: list[Piece] = []
        start = at
        for index, word in enumerate(line.words):
            if index:
                at += space
                if run and word.pieces[0][1:] == run[-1][1:] == plain:
                    run[-1] = run[-1]._replace(text=f"{run[-1].text} {word.pieces[0].text}")
                    run += word.pieces[1:]
                    at += word.width
                    continue
                marks += set_pieces(run, start, y, style.music, ink, tag)
                run, start = [], at
            run += word.pieces
            at += word.width
        marks += set_pieces(run, start, y, style.music, ink, tag)
        y += style.word_leading
    return marks
