"""Pages of tunes others wrote: set with tab and degrees, the proof-reader has nothing to mark.

Items of music21's corpus and of the MusicXML suite it carries, by the rule of shared/corpus.md (the open half).
Each tune as it is, and an octave lower with chord symbols of our own, so that degrees print. By default a seeded
sample, each tune on the next template; with BARGLOSS_ALL_TUNES set, 500 tunes on every template.
"""

from __future__ import annotations

import os
from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import cache
from pathlib import Path
from random import Random

import music21
import pytest

from core.errors import BarglossError
from core.exchange.build import build
from core.exchange.limits import load
from core.exchange.reader import read
from core.exchange.tunes import tunes_of
from core.files import load_study
from core.guitar import octave_proposal
from core.handout import Template, lay_out, load_template, template_names
from core.handout.inspect import Flaw, proofread
from core.study import Callout, Change, Study
from tests.outside.corpus_scores import is_open

ASSETS = Path(__file__).parents[2] / "assets"
CORPUS = Path(music21.__file__).parent / "corpus"
SUITE = next(folder for folder in (CORPUS.parent / "musicxml").iterdir() if folder.name.endswith("TestSuite"))
FOLDERS = ("ryansMammoth", "oneills1850", "airdsAirs", "miscFolk", "essenFolksong")
SYMBOLS = ("Cm7", "F7", "Bbmaj7", "G7b9", "Am7b5", "D7#9", "Ebmaj7#11", "Abm6", "C7/E", "E7alt", "Gm7", "C#dim7")
WHOLE = bool(os.environ.get("BARGLOSS_ALL_TUNES"))
COUNT = 500 if WHOLE else 42


def open_tunes(folder: str) -> Iterator[str]:
    for path in sorted((CORPUS / folder).glob("*.abc")):
        numbers = list(tunes_of(path.read_bytes().decode("latin-1")))
        name = f"{folder}/{path.name}"
        yield from filter(is_open, [name] if len(numbers) < 2 else [f"{name}#{number}" for number in numbers])


def sample(count: int) -> list[str]:
    """As many of each collection as there are, in turns."""
    chance = Random(3)
    pools = [list(open_tunes(folder)) for folder in FOLDERS]
    for pool in pools:
        chance.shuffle(pool)
    found: list[str] = []
    while len(found) < count:
        found += [pool.pop() for pool in pools if pool]
    return found[:count]


def tune(name: str) -> Study:
    path, _, number = name.partition("#")
    return build(read(load(CORPUS / path), int(number) if number else None), Path(path).stem).study


def moved(study: Study, octaves: int) -> Study:
    def note(one):
        return replace(one, pitch=one.pitch._replace(octave=one.pitch.octave + octaves))

    return replace(study, bars=tuple(replace(bar, events=tuple(
        replace(event, notes=tuple(map(note, event.notes))) for event in bar.events)) for bar in study.bars))


def on_the_neck(study: Study) -> Study:
    return moved(study, octave_proposal(study).octaves)


def with_changes(study: Study, seed: str) -> Study:
    chance = Random(seed)
    bars = []
    for bar in study.bars:
        onsets = [event.onset for event in bar.events if not event.grace]
        if onsets and not bar.changes and chance.random() < 0.8:
            places = sorted({onsets[0], *([chance.choice(onsets)] if chance.random() < 0.4 else [])})
            bar = replace(bar, changes=tuple(Change(place, chance.choice(SYMBOLS)) for place in places))  # noqa: PLW2901
        bars.append(bar)
    return replace(study, bars=tuple(bars))


@cache
def template(name: str) -> Template:
    return load_template(name)


def faces(place: int) -> tuple[str, ...]:
    """The templates that the sample's item at that place is set in."""
    names = template_names()
    return names if WHOLE else (names[place % len(names)],)


def flaws_of(study: Study, names: Sequence[str]) -> list[tuple[str, Flaw]]:
    """On the pages of each template. What they share is computed once."""
    before, found = None, []
    for name in names:
        before = lay_out(study, template(name), before=before)
        found += [(name, flaw) for flaw in proofread(before)]
    return found


@pytest.mark.parametrize(("place", "name"), list(enumerate(sample(COUNT))))
def test_the_pages_of_a_tune_have_no_flaw(place, name):
    as_it_is = tune(name)
    lower = with_changes(on_the_neck(moved(as_it_is, -1)), name)
    assert [*flaws_of(as_it_is, faces(place)), *flaws_of(lower, faces(place + place // 7))] == []


def with_pictures(study: Study) -> Study:
    """Every third bar spoken of, up to the last note of the next, with a picture of the neck."""
    bars = list(study.bars)
    for index in range(0, len(bars) - 1, 3):
        first, last = bars[index], bars[index + 1]
        shape = Callout(min(first.onsets), max(last.onsets), 1, "The hand", "Sing it, then look at it.", neck=True)
        bars[index] = replace(first, callouts=(shape,))
    return replace(study, bars=tuple(bars))


@pytest.mark.parametrize(("place", "name"), list(enumerate(sample(COUNT)))[:len(template_names())])
def test_neck_pictures_under_a_tune_have_no_flaw(place, name):
    assert flaws_of(with_pictures(with_changes(on_the_neck(moved(tune(name), -1)), name)), faces(place)) == []


def open_suite() -> list[Path]:
    return [path for path in sorted(SUITE.iterdir())
            if path.suffix in (".xml", ".mxl", ".musicxml") and is_open(path.name)]


@pytest.mark.parametrize("path", open_suite(), ids=lambda path: path.name)
def test_the_pages_of_a_file_of_the_suite_have_no_flaw(path):
    """On every template. A file of several parts asks which one: the first."""
    source = load(path)
    try:
        piece = read(source)
    except BarglossError:
        piece = read(source, 1)
    assert flaws_of(build(piece, path.stem).study, template_names()) == []


@pytest.mark.parametrize("path", sorted(ASSETS.glob("*.study")), ids=lambda path: path.name)
def test_the_pages_of_a_demo_study_have_no_flaw(path):
    assert flaws_of(load_study(path), template_names()) == []
