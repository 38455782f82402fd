"""What the teacher decides about a finding: accepted it becomes theirs, dismissed it is not offered again."""

from __future__ import annotations

from fractions import Fraction

from core.line.finding import Finding, Kind
from core.line.hearings import halves
from core.study import Callout, Dismissed, NotePlace, Study, edits


def callout_of(study: Study, first: NotePlace, last: NotePlace, text: str, source: str) -> Callout:
    """A callout about the notes from `first` to `last`, that keeps what it came from."""
    return Callout(study.event_at(first).onset, study.event_at(last).onset, last.bar - first.bar, text=text,
                   source=source)


def accept(study: Study, finding: Finding, text: str) -> Study:
    """The study with the finding as a callout of these words; a reading is stored as one, and its words left."""
    if finding.kind == "reading":
        return _with_reading(study, finding)
    callout = callout_of(study, finding.first, finding.last, text, finding.kind)
    return study if callout in study.bars[finding.first.bar].callouts else edits.add_callout(
        study, finding.first.bar, callout)


def dismiss(study: Study, finding: Finding) -> Study:
    """The study in which the finding is not offered again."""
    return edits.dismiss(study, finding.first.bar, study.event_at(finding.first).onset, finding.kind)


def restore(study: Study, finding: Finding) -> Study:
    """The study in which it is offered again."""
    return edits.restore(study, finding.first.bar, study.event_at(finding.first).onset, finding.kind)


def is_dismissed(study: Study, finding: Finding) -> bool:
    """Whether the teacher does not want it told."""
    marks = study.bars[finding.first.bar].dismissed
    return bool(marks) and Dismissed(study.event_at(finding.first).onset, finding.kind) in marks


def is_accepted(study: Study, finding: Finding) -> bool:
    """Whether a callout tells it. An accepted reading is no finding any more."""
    callouts = study.bars[finding.first.bar].callouts
    if not callouts:
        return False
    start = study.event_at(finding.first).onset
    stop = finding.last.bar - finding.first.bar, study.event_at(finding.last).onset
    return any(_tells(callout, finding.kind, start, stop) for callout in callouts)


def _tells(callout: Callout, kind: Kind, start: Fraction, stop: tuple[int, Fraction]) -> bool:
    """Whether it was made from this finding, or from a draft that joins it with others. stop: bars on, onset."""
    kinds, end = callout.source.split(", "), (callout.bars_on, callout.stop)
    if len(kinds) == 1:
        return (callout.source, callout.start, end) == (kind, start, stop)
    return kind in kinds and callout.start <= start and stop <= end


def _with_reading(study: Study, finding: Finding) -> Study:
    """With the finding's harmony from its half bar on to the end of the half bar it ends in."""
    first, last = finding.first, finding.last
    harmony = str(finding.fact("harmony"))
    for bar in range(first.bar, last.bar + 1):
        here = study.in_force[bar]
        places = halves(here)
        start = max(at for at in places if at <= study.event_at(first).onset) if bar == first.bar else places[0]
        ends = [at for at in places if at > study.event_at(last).onset] if bar == last.bar else []
        for reading in here.bar.readings:
            if start < reading.offset and not (ends and reading.offset >= ends[0]):
                study = edits.set_reading(study, bar, reading.offset, None)
        study = edits.set_reading(study, bar, start, harmony)
        if ends and not any(reading.offset == ends[0] for reading in study.bars[bar].readings):
            study = edits.set_reading(study, bar, ends[0], "")
    return study
