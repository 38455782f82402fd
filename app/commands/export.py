"""Writing a study in an open format."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

from app.commands.check import tell_problems
from app.commands.options import BarRange
from app.commands.studies import chosen_bars, refuse_to_overwrite
from app.console import blaming, say
from core.engraving.drawing import Pages
from core.errors import BarglossError
from core.exchange import midi_bytes, musicxml_bytes, mxl_bytes, study_text
from core.files import load_study, write_whole
from core.handout import Excerpt, Layout, lay_out_excerpt, load_template
from core.handout.png import png_pages
from core.handout.svg import svg_pages
from core.sound import audio_bytes


def write_export(path: Path, to: Path, bars: BarRange | None) -> None:
    """The study, or these bars of it, in the format of the ending; what was written is printed, a path a line.

    A picture of several pages becomes one file a page, `-1`, `-2` … before the ending.
    """
    refuse_to_overwrite([path], to)
    part = chosen_bars(load_study(path), bars)
    with blaming(path):
        contents = contents_of(part, to.suffix, lambda: lay_out_excerpt(part, load_template("lesson")))
    targets = _targets(to, len(contents))
    for target in targets:  # all of them before the first is written
        refuse_to_overwrite([path], target)
        if target.is_dir():
            raise BarglossError("a folder stands where a page goes; choose another name", file=str(target))
    for target, content in zip(targets, contents, strict=True):
        write_whole(target, content)
        say(str(target))
    tell_problems(path, part)


def _targets(to: Path, count: int) -> list[Path]:
    return [to] if count == 1 else [to.with_name(f"{to.stem}-{page}{to.suffix}") for page in range(1, count + 1)]


def _sound(kind: str) -> Callable[[Excerpt], Sequence[bytes]]:
    return lambda part: [audio_bytes(part.study, kind)]


def contents_of(part: Excerpt, ending: str, lay_out: Callable[[], Layout]) -> Sequence[bytes]:
    """Of the files that hold these bars in the format of the ending: one, or a picture a page.

    lay_out: called where pages are wanted. Raises BarglossError.
    """
    ending = ending.lower()
    return PICTURES[ending](lay_out().pages) if ending in PICTURES else WRITERS[ending](part)


PICTURES: dict[str, Callable[[Pages], Sequence[bytes]]] = {".svg": svg_pages, ".png": png_pages}
WRITERS: dict[str, Callable[[Excerpt], Sequence[bytes]]] = {
    ".musicxml": lambda part: [musicxml_bytes(part.study, part.fingering)],
    ".mxl": lambda part: [mxl_bytes(part.study, part.fingering)],
    ".mid": lambda part: [midi_bytes(part.study)],
    ".txt": lambda part: [study_text(part.study, part.analysis, part.fingering).encode()],
    ".wav": _sound("wav"),
    ".flac": _sound("flac"),
    ".mp3": _sound("mp3"),
}
"""By ending."""
