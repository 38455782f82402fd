"""How hard a study is to play, as plain data for scripts and as lines for people."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import asdict
from typing import Any

from core.guitar import Difficulty, Fingering, Playability, PracticePlan, difficulty, playability, practice_plan
from core.study import Study, note_name


def playing_of(study: Study, fingering: Fingering) -> dict[str, Any]:
    """JSON-ready: the counts of core.guitar.Playability; bars (BarDemand), the hardest spots, the highest tempo at
    which each still has its time, and a practice plan for one sitting. Bars are printed numbers."""
    hard = difficulty(study, fingering)
    return asdict(playability(study, fingering)) | {
        "highest_tempo": hard.highest_tempo,
        "hardest": _hardest(study, hard),
        "demands": [asdict(bar) for bar in hard.bars],
        "practice": _plan(study, practice_plan(study, hard)),
    }


def _hardest(study: Study, hard: Difficulty) -> list[dict[str, Any]]:
    return [{"at": note_name(study, spot.place), "needs": spot.needs, "has": spot.has, "tempo": spot.tempo,
             "why": spot.why} for spot in hard.hardest]


def _plan(study: Study, plan: PracticePlan) -> dict[str, Any]:
    rungs = [{"bars": [study.in_force[bar].number for bar in rung.bars], "tempos": list(rung.tempos),
              "minutes": rung.minutes, "text": rung.words} for rung in plan.rungs]
    return {"minutes": plan.minutes, "rungs": rungs, "caution": plan.caution}


def playing_lines(playing: Mapping[str, Any]) -> Iterator[str]:
    """The counts, the hardest spots and the practice plan of `playing_of`, a sentence each."""
    for name in Playability.__dataclass_fields__:
        count = playing[name]
        yield f"{name.replace('_', ' ')}: {'none' if count is None else count}"
    for spot in playing["hardest"]:
        yield f"hard at {spot['at']}: {spot['why']}; in time up to {spot['tempo']}"
    for rung in playing["practice"]["rungs"]:
        yield f"{rung['minutes']} minutes: {rung['text']}."
    yield playing["practice"]["caution"]
