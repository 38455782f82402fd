"""Everything the line does that is worth telling, what of it is still offered, and the few findings chosen to tell."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

from core.line import readings, returns
from core.line.accepting import is_offered
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

    bars: all that is offered, without what the teacher dismissed or has accepted.
    """

    bars: tuple[tuple[Finding, ...], ...]
    _choice: Choice = field(repr=False)
    _sources: _Sources = field(repr=False, compare=False)

    @property
    def chosen(self) -> tuple[tuple[Finding, ...], ...]:
        """The few to tell."""
        return self._choice.bars

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
    bars = _offered(study, sources, before)
    return Told(bars, choose(bars, before._choice if before else None), sources)


def tell(finding: Finding, shape: int = 0) -> str:
    """One sentence in a teacher's words, with music tokens. shape: which of at least three wordings, counted round."""
    return _TELLERS[finding.kind](finding, shape)


_TELLERS: dict[str, Callable[[Finding, int], str]] = {
    **{device.KIND: device.tell for device in DEVICES}, returns.KIND: returns.tell, readings.KIND: readings.tell,
}


def _offered(study: Study, sources: _Sources, before: Told | None) -> tuple[tuple[Finding, ...], ...]:
    """By bar; a bar of which all is as it was keeps the very tuple it had, so that its choice stands."""
    old = before._sources if before else None
    known = {id(own): at for at, own in enumerate(old.found.bars)} if old else {}
    bars = []
    for at, rows in enumerate(zip(sources.found.bars, sources.returned.bars, sources.proposed.bars, strict=True)):
        was = known.get(id(rows[0]))
        if (before is not None and old is not None and was is not None and study.bars[at] is old.study_bars[was]
                and rows[1] == old.returned.bars[was] and rows[2] == old.proposed.bars[was]):
            bars.append(before.bars[was])
        else:
            bars.append(tuple(sorted((finding for row in rows for finding in row if is_offered(study, finding)),
                                     key=lambda finding: (finding.first, finding.last, finding.kind))))
    return tuple(bars)
