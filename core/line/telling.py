"""Everything the line does that is worth telling, what of it is still offered, and the few findings chosen to tell."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

from core.line import readings, returns
from core.line.accepting import is_accepted, is_dismissed
from core.line.analysis import Analysis
from core.line.choice import Choice, choose
from core.line.devices import DEVICES
from core.line.finding import Finding
from core.line.findings import Findings, find
from core.line.readings import Proposals, proposals
from core.line.returns import Returns
from core.line.tones import Tones
from core.study import Bar, Study


@dataclass(frozen=True)
class _Sources:
    found: Findings
    returned: Returns
    proposed: Proposals
    study_bars: tuple[Bar, ...]


@dataclass(frozen=True)
class Told:
    """What the line does, by the bar it begins in and in playing order.

    bars: all that is offered, without what the teacher dismissed or has accepted; chosen: of that, the few to tell.
    What was accepted keeps its room in the choice, so that nothing is offered for the same notes in its place.
    """

    bars: tuple[tuple[Finding, ...], ...]
    chosen: tuple[tuple[Finding, ...], ...]
    _standing: tuple[tuple[Finding, ...], ...] = field(repr=False, compare=False)
    _choice: Choice = field(repr=False)
    _sources: _Sources = field(repr=False, compare=False)

    @property
    def noticed(self) -> tuple[tuple[Finding, ...], ...]:
        """All that was found, dismissed and accepted findings too."""
        return tuple((*found, *returned, *proposed) for found, returned, proposed in zip(
            self._sources.found.bars, self._sources.returned.bars, self._sources.proposed.bars, strict=True))

    @property
    def tones(self) -> Tones:
        return self._sources.found.tones


def told(study: Study, analysis: Analysis, before: Told | None = None) -> Told:
    """All that the line does. before: that of the study as it was before an edit, to build on."""
    old = before._sources if before else None
    found = find(study, analysis, old.found if old else None)
    returned = returns.returns(study, found.tones, old.returned if old else None)
    proposed = proposals(study, analysis, found.tones, old.proposed if old else None)
    sources = _Sources(found, returned, proposed, study.bars)
    standing = _standing(study, sources, before)
    choice = choose(standing, before._choice if before else None)
    if before is None:
        return Told(_offered(study, standing), _offered(study, choice.bars), standing, choice, sources)
    was = before._sources.study_bars
    return Told(_offered(study, standing, (before._standing, before.bars, was)),
                _offered(study, choice.bars, (before._choice.bars, before.chosen, was)), standing, choice, sources)


def tell(finding: Finding, shape: int = 0) -> str:
    """One sentence in a teacher's words, with music tokens. shape: which of at least three wordings, counted round."""
    return _TELLERS[finding.kind](finding, shape)


_TELLERS: dict[str, Callable[[Finding, int], str]] = {
    **{device.KIND: device.tell for device in DEVICES}, returns.KIND: returns.tell, readings.KIND: readings.tell,
}


_Rows = tuple[tuple[Finding, ...], ...]


def _offered(study: Study, found: _Rows, before: tuple[_Rows, _Rows, tuple[Bar, ...]] | None = None) -> _Rows:
    """By bar, what no callout tells yet. before: what was found, what was offered of it, and in which bars."""
    rows = []
    for at, (row, bar) in enumerate(zip(found, study.bars, strict=True)):
        if not bar.callouts:
            rows.append(row)
        elif before and at < len(before[0]) and before[0][at] is row and before[2][at] is bar:
            rows.append(before[1][at])
        else:
            rows.append(tuple(finding for finding in row if not is_accepted(study, finding)))
    return tuple(rows)


def _standing(study: Study, sources: _Sources, before: Told | None) -> tuple[tuple[Finding, ...], ...]:
    """By bar, all that is not dismissed; a bar of which all is as it was keeps the very tuple it had, so that its
    choice stands."""
    old = before._sources if before else None
    known = {id(own): at for at, own in enumerate(old.found.bars)} if old else {}
    bars = []
    for at, rows in enumerate(zip(sources.found.bars, sources.returned.bars, sources.proposed.bars, strict=True)):
        was = known.get(id(rows[0]))
        if (before is not None and old is not None and was is not None and study.bars[at] is old.study_bars[was]
                and rows[1] == old.returned.bars[was] and rows[2] == old.proposed.bars[was]):
            bars.append(before._standing[was])
        else:
            bars.append(tuple(sorted((finding for row in rows for finding in row if not is_dismissed(study, finding)),
                                     key=lambda finding: (finding.first, finding.last, finding.kind))))
    return tuple(bars)
