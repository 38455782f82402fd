"""Chord scales of a bar (common practice, no source; the scales themselves: tests/harmony/test_scales.py)."""

from __future__ import annotations

import pytest

from core.line import analyse
from core.line.findings import find
from core.line.scales_used import scales_used
from tests.line.lines import KEYS, study_of


def of_bar(text: str, key: str = "C major", up: int = 0, bar: int = 0) -> list[tuple[list[str], list[str]]]:
    study = study_of(text, key, up)
    analysis = analyse(study)
    tones = find(study, analysis).tones.bars[bar]
    return [([scale.name for scale in each.holding], [scale.name for scale in each.used])
            for each in scales_used(analysis.bars[bar], tones, study.key)]


@pytest.mark.parametrize("up", KEYS)
def test_each_chord_of_the_bar_has_its_own(up):
    (minor, used_minor), (dominant, used_dominant) = of_bar("Dm7: D4 E4 F4 A4 G7: B4 Ab4 F4 Eb4", up=up)
    assert minor[:3] == ["dorian", "aeolian", "phrygian"]
    assert used_minor[:2] == ["dorian", "aeolian"]
    assert "phrygian" not in used_minor  # the 9 is played
    assert dominant[0] == "mixolydian"
    assert used_dominant == ["phrygian dominant", "altered"]  # b9 and b13


def test_a_passing_half_step_is_no_scale_tone():
    [(_, used)] = of_bar("G7: G4 Gb4 F4 E4 D4 B3 G3*2")
    assert used[0] == "mixolydian"


def test_a_bar_without_notes_uses_none_and_a_carried_chord_counts():
    [(holding, used)] = of_bar("Dm7: D4*8 | -*8", bar=1)
    assert (holding[0], used) == ("dorian", [])


def test_without_a_chord_there_is_nothing_to_say():
    assert of_bar("D4*8") == []
