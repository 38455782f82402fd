"""Forms that ship, in every key and in other meters."""

from __future__ import annotations

import pytest

from core.errors import BarglossError
from core.files.forms import form_names, load_form, study_from_form
from core.harmony import parse_chord
from core.line import analyse
from core.study import Key, Meter

BARS = {"aaba": 32, "blank": 8, "minor-blues": 12, "rhythm-changes": 32, "sixteen-bars": 16, "twelve-bar-blues": 12}


def test_the_forms_that_ship():
    assert {name: load_form(name).bars for name in form_names()} == BARS


@pytest.mark.parametrize("name", BARS)
@pytest.mark.parametrize("meter", [Meter((4,)), Meter((3,)), Meter((6,), 8), Meter((5,))], ids=lambda one: one.text)
def test_a_form_fills_its_bars_in_every_key(name, meter):
    for fifths in range(-6, 7):
        study = study_from_form(name, Key(fifths, load_form(name).key.mode), meter, title="New")
        assert len(study.bars) == BARS[name]
        symbols = [change.symbol for bar in study.bars for change in bar.changes]
        assert all(parse_chord(symbol) for symbol in symbols)
        assert analyse(study).bars[0].chords or name == "blank"


def test_a_form_begins_on_its_tonic_and_carries_its_letters():
    study = study_from_form("rhythm-changes", Key(2), Meter((4,)))
    assert study.bars[0].changes[0].symbol == "Dmaj7"
    assert [(at, bar.rehearsal) for at, bar in enumerate(study.bars) if bar.rehearsal] == [
        (0, "A"), (8, "A"), (16, "B"), (24, "A")]
    assert study.choruses[0].bar == 0


def test_no_such_form_is_told():
    with pytest.raises(BarglossError, match="there is no form 'sonata'; there is aaba"):
        study_from_form("sonata", Key(), Meter((4,)))
