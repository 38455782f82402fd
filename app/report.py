"""What analysis and fingering say of a study, as plain data for scripts and as rows for people."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import asdict
from typing import Any

from core.guitar import EventFingering, Fingering, playability
from core.line import Analysis, NoteAnalysis, shown_degree
from core.study import NotePlace, Study, note_name

COLUMNS = ("note", "at", "pitch", "chord", "key", "reading", "role", "string", "fret", "fing.", "stroke")
"""What fits a terminal of 80 characters; a script finds the rest in the report."""


def report(study: Study, analysis: Analysis, fingering: Fingering) -> dict[str, Any]:
    """JSON-ready: bars with their chords, readings and notes; findings; playability. Times in quarters, as text.

    A degree, string, fret, finger or position is null where there is none. `degrees.chord` is the teacher's own
    name where one was given. `playability` is what core.guitar.Playability holds.
    """
    return {
        "bars": [
            {
                "number": here.number,
                "chords": [{"offset": str(change.offset), "symbol": change.symbol} for change in here.bar.changes],
                "readings": [{"offset": str(mark.offset), "harmony": mark.harmony} for mark in here.bar.readings],
                "notes": list(_notes(study, here.index, analysis, fingering)),
            }
            for here in study.in_force
        ],
        "findings": [],
        "playability": asdict(playability(study, fingering)),
    }


def _notes(study: Study, bar: int, analysis: Analysis, fingering: Fingering) -> Iterator[dict[str, Any]]:
    for index, event in enumerate(study.bars[bar].events):
        played = fingering.bars[bar].events[index]
        for head, note in enumerate(event.notes):
            found = analysis.bars[bar].notes[index][head]
            yield {
                "id": note_name(study, NotePlace(bar, index, head)),
                "onset": str(event.onset), "duration": str(event.duration),
                "pitch": note.pitch.name, "midi": note.pitch.midi,
                "degrees": _degrees(found) | {"chord": shown_degree(note, found) or None},
                "role": found.role,
                **_place(played, head),
                "stroke": played.stroke, "technique": played.technique,
            }


def _degrees(found: NoteAnalysis) -> dict[str, str | None]:
    return {against: degree.name if degree else None
            for against, degree in (("chord", found.chord), ("key", found.key), ("reading", found.reading))}


def _place(played: EventFingering, head: int) -> dict[str, int | None]:
    grip = played.notes[head]
    parts = ("string", "fret", "finger", "position")
    return dict(zip(parts, grip, strict=True)) if grip else dict.fromkeys(parts)


def rows(told: dict[str, Any]) -> list[tuple[str, ...]]:
    """A row a note, under COLUMNS, from a report."""
    table = []
    for bar in told["bars"]:
        for note in bar["notes"]:
            degrees = note["degrees"]
            cells = (note["id"], note["onset"], note["pitch"], degrees["chord"], degrees["key"], degrees["reading"],
                     note["role"], note["string"], note["fret"], note["finger"], note["technique"] or note["stroke"])
            table.append(tuple("" if cell is None else str(cell) for cell in cells))
    return table


def plain_table(table: list[tuple[str, ...]]) -> list[str]:
    """The rows under their heads, in columns as wide as they need."""
    everything = [COLUMNS, *table]
    widths = [max(map(len, column)) for column in zip(*everything, strict=True)]
    return ["  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip()
            for row in everything]
