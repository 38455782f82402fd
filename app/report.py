"""What analysis and fingering say of a study, as plain data for scripts and as lines for people."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator
from fractions import Fraction
from typing import Any

from app.beats import beat_text
from app.playing import playing_lines, playing_of
from core.exchange.words_out import plain
from core.guitar import EventFingering, Fingering
from core.line import (
    Analysis,
    BarAnalysis,
    Draft,
    Finding,
    NoteAnalysis,
    Summary,
    Tone,
    drafts,
    scales_used,
    shown_degree,
    summarise,
    summary_lines,
    tell,
    told,
)
from core.line.finding import symbol
from core.study import Key, NotePlace, Study, note_name

COLUMNS = ("note", "beat", "pitch", "chord", "key", "reading", "role", "string", "fret", "fing.", "stroke")
"""What fits a terminal of 80 characters; a script finds the rest in the report."""
_WIDTH = 80


def report(study: Study, analysis: Analysis, fingering: Fingering) -> dict[str, Any]:
    """JSON-ready: bars with their chords, readings, chord scales and notes; findings; playability; summary; drafts.

    Times in quarters, as text. A degree, string, fret, finger or position is null where there is none.
    `degrees.chord` is the teacher's own name where one was given. `playability` is what app.playing
    says. Texts carry music tokens, as `{b9}`; bars are printed numbers.
    """
    all_told = told(study, analysis)
    return {
        "bars": [
            {
                "number": here.number,
                "chords": [{"offset": str(change.offset), "symbol": change.symbol} for change in here.bar.changes],
                "readings": [{"offset": str(mark.offset), "harmony": mark.harmony} for mark in here.bar.readings],
                "scales": list(_scales(analysis.bars[here.index], all_told.tones.bars[here.index], here.key)),
                "notes": list(_notes(study, here.index, analysis, fingering)),
            }
            for here in study.in_force
        ],
        "findings": [_finding(study, finding, finding in chosen)
                     for offered, chosen in zip(all_told.bars, all_told.chosen, strict=True) for finding in offered],
        "playability": playing_of(study, fingering),
        "summary": _summary(study, summarise(study, all_told.tones.bars, all_told.noticed, all_told.chosen)),
        "drafts": [_draft(study, draft) for draft in drafts(study, all_told.chosen) if draft],
    }


def _scales(bar: BarAnalysis, tones: tuple[Tone, ...], key: Key) -> Iterator[dict[str, Any]]:
    for one in scales_used(bar, tones, key):
        yield {"chord": symbol(one.chord), "holding": [scale.name for scale in one.holding],
               "used": [scale.name for scale in one.used]}


def _finding(study: Study, finding: Finding, is_chosen: bool) -> dict[str, Any]:
    return {
        "kind": finding.kind, **_span(study, finding.first, finding.last), "facts": dict(finding.facts),
        "text": tell(finding), "score": round(finding.score, 2), "chosen": is_chosen,
    }


def _draft(study: Study, draft: Draft) -> dict[str, Any]:
    return {"bar": study.in_force[draft.bar].number, **_span(study, draft.first, draft.last),
            "kinds": list(draft.kinds), "text": draft.text}


def _span(study: Study, first: NotePlace, last: NotePlace) -> dict[str, Any]:
    """Its first and last note, and the bars it touches."""
    return {"from": note_name(study, first), "to": note_name(study, last),
            "bars": [study.in_force[index].number for index in range(first.bar, last.bar + 1)]}


def _summary(study: Study, summary: Summary) -> dict[str, Any]:
    lowest, highest = (pitch and pitch.name for pitch in (summary.lowest, summary.highest))
    return {
        "lowest": lowest, "highest": highest, "notes": summary.notes,
        "notes_a_bar": summary.notes_a_bar, "notes_a_second": summary.notes_a_second,
        "devices": dict(summary.devices), "strong_beats": dict(summary.strong), "cells": dict(summary.cells),
        "departures": [
            {"from_bar": study.in_force[one.bar].number, "to_bar": study.in_force[one.to].number,
             "written": one.written or None, "heard": one.heard, "evidence": one.evidence or None}
            for one in summary.departures],
        "practise_first": [study.in_force[index].number for index in summary.practise],
        "text": list(summary_lines(summary, study)),
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


def rows(study: Study, report_of: dict[str, Any]) -> list[tuple[str, ...]]:
    """A row a note, under COLUMNS, from a report of the study; beats are counted from 1."""
    table = []
    for here, bar in zip(study.in_force, report_of["bars"], strict=True):
        for note in bar["notes"]:
            degrees = note["degrees"]
            beat = beat_text(Fraction(note["onset"]), here)
            cells = (note["id"], beat, note["pitch"], degrees["chord"], degrees["key"], degrees["reading"],
                     note["role"], note["string"], note["fret"], note["finger"], note["technique"] or note["stroke"])
            table.append(tuple("" if cell is None else str(cell) for cell in cells))
    return table


def plain_table(table: list[tuple[str, ...]]) -> list[str]:
    """The rows under their heads, in columns as wide as they need."""
    everything = [COLUMNS, *table]
    widths = [max(map(len, column)) for column in zip(*everything, strict=True)]
    return ["  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip()
            for row in everything]


def words(report_of: dict[str, Any]) -> list[str]:
    """The chosen findings, the drafts, the summary and how hard it is, of a report, in lines that fit a terminal."""
    lines = ["", "findings"]
    for finding in report_of["findings"]:
        if finding["chosen"]:
            first, last = finding["from"], finding["to"]
            where = f"at {first}" if first == last else f"from {first} to {last}"
            lines += _wrapped(f"{where}: {plain(finding['text'])}")
    lines += ["", "drafts"]
    for draft in report_of["drafts"]:
        bar = f"bar {draft['bar']}" if draft["bar"] else "pickup"
        lines += _wrapped(f"{bar}: {plain(draft['text'])}")
    lines += ["", "summary"]
    for sentence in report_of["summary"]["text"]:
        lines += _wrapped(plain(sentence))
    lines += ["", "playing"]
    for sentence in playing_lines(report_of["playability"]):
        lines += _wrapped(sentence)
    return lines


def _wrapped(text: str) -> list[str]:
    return textwrap.wrap(text, _WIDTH, subsequent_indent="  ", break_long_words=False, break_on_hyphens=False)
