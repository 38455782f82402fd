"""Pages with neck pictures: on every template each is printed once, in its box, and without a flaw."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from pathlib import Path

import pytest

from core.engraving.boxes import mark_box
from core.engraving.drawing import Frame, Pages
from core.engraving.pictures import is_picture
from core.files import load_study
from core.handout import Template, lay_out, load_template, template_names
from core.handout.inspect import proofread
from core.study import GUITAR, Guitarist, Instrument, NotePlace, Study, edits, parse_pitch

FERRY = load_study(Path(__file__).parents[2] / "assets" / "ferry-timetable.study")


def pictured(study: Study) -> Study:
    bars = [replace(bar, callouts=tuple([replace(callout, neck=True) for callout in bar.callouts]))
            for bar in study.bars]
    return replace(study, bars=tuple(bars))


def with_names(name: str, shows: str) -> Template:
    template = load_template(name)
    return replace(template, style=replace(template.style, necks=shows))


def printed(pages: Pages) -> Counter[tuple[int, int]]:
    """How often the picture of each callout stands on the pages, by bar and place."""
    return Counter((placed.bar, mark.tag.event) for page in pages.pages for placed in page.placed
                   for mark in placed.drawing.marks[:1] if is_picture(mark.tag))


def asked_for(study: Study) -> Counter[tuple[int, int]]:
    return Counter((index, place) for index, bar in enumerate(study.bars)
                   for place, callout in enumerate(bar.callouts) if callout.neck)


@pytest.mark.parametrize("shows", ["fingers", "degrees"])
@pytest.mark.parametrize("name", template_names())
def test_on_every_template_each_is_printed_once_and_without_a_flaw(name, shows):
    study = pictured(FERRY)
    layout = lay_out(study, with_names(name, shows))
    assert proofread(layout) == ()
    assert printed(layout.pages) == asked_for(study)


@pytest.mark.parametrize("player", [
    {"guitarist": Guitarist(left_handed=True)}, {"instrument": Instrument(capo=2)},
    {"instrument": Instrument("seven strings", (parse_pitch("B1"), *GUITAR), 24)}])
def test_for_every_guitar_and_hand(player):
    study = replace(pictured(FERRY), **player)
    layout = lay_out(study, load_template("lesson"))
    assert proofread(layout) == ()
    assert printed(layout.pages) == asked_for(study)


def test_a_template_without_them_prints_as_if_none_were_asked_for():
    plain = replace(FERRY, bars=tuple([replace(bar, callouts=tuple([
        replace(callout, neck=False) for callout in bar.callouts])) for bar in FERRY.bars]))
    marks = [[placed.drawing.marks for page in lay_out(study, with_names("lesson", shows)).pages.pages
              for placed in page.placed] for study, shows in ((pictured(FERRY), "none"), (plain, "fingers"))]
    assert marks[0] == marks[1]


def test_each_stands_in_the_box_of_its_callout():
    layout = lay_out(pictured(FERRY), load_template("lesson"))
    font = layout.template.style.music
    for page in layout.pages.pages:
        frames = {(placed.bar, mark.tag): (placed, mark) for placed in page.placed for mark in placed.drawing.marks
                  if isinstance(mark, Frame) and mark.tag is not None}
        for placed in page.placed:
            for mark in placed.drawing.marks if is_picture(placed.drawing.marks[0].tag) else ():
                home, frame = frames[placed.bar, mark.tag._replace(note=0)]
                box = mark_box(mark, font)
                x, y = (placed.x - home.x) / home.scale, (placed.y - home.y) / home.scale
                assert frame.left < x + box.left < x + box.right < frame.right
                assert frame.top < y + box.top < y + box.bottom < frame.bottom


def test_the_pages_after_an_edit_are_those_of_the_study_laid_out_afresh():
    """A note that a callout of the bar before reaches is moved to another string."""
    study = pictured(FERRY)
    index, callout = next((index, callout) for index, bar in enumerate(study.bars) for callout in bar.callouts
                          if callout.bars_on)
    reached = study.bars[index + callout.bars_on]
    event = next(at for at, event in enumerate(reached.events) if event.onset <= callout.stop and event.notes)
    before = lay_out(study, load_template("lesson"))
    place = NotePlace(index + callout.bars_on, event, 0)
    grip = before.fingering.bars[place.bar].events[event].notes[0]
    after = edits.set_string(study, place, grip.string + 1)
    follows, afresh = lay_out(after, load_template("lesson"), before=before), lay_out(after, load_template("lesson"))
    marks = [[(placed[1:], placed.drawing.marks) for page in layout.pages.pages for placed in page.placed]
             for layout in (before, follows, afresh)]
    assert marks[0] != marks[1] == marks[2]
