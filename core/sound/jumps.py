"""Where D.C. and D.S. lead: the one jump back of a study, and where the music goes or ends after it."""

from __future__ import annotations

from typing import NamedTuple

from core.errors import BarglossError
from core.study import Study

_BACK = ("D.C.", "D.S.")


class Jump(NamedTuple):
    """Indices of bars. leaves: at whose end it is; to: where it leads. After it the music ends with `fine`, or goes
    from the end of `away` to `coda`, or on to its last bar.
    """

    leaves: int
    to: int
    fine: int | None = None
    away: int | None = None
    coda: int | None = None


def jump_of(study: Study) -> Jump | None:
    """The study's jump; None where it has none. Common practice, no source.

    A plain D.C. or D.S. ends at a Fine too, where there is one. Raises BarglossError for signs that contradict each
    other or lead nowhere.
    """
    backs = [at for at, bar in enumerate(study.bars) if bar.jump.startswith(_BACK)]
    if not backs:
        for name in ("Fine", "To Coda"):
            for at in _with_jump(study, name)[:1]:
                raise _fault(study, at, f"{name} is heard after a D.C. or D.S., and there is none; add one, "
                                        f"or take {name} away")
        return None
    if len(backs) > 1:
        raise _fault(study, backs[1], "a second D.C. or D.S.; only one can be followed, take the other away")
    leaves = backs[0]
    words = study.bars[leaves].jump
    to = 0 if words.startswith("D.C.") else _only(study, leaves, _with_sign(study, "segno"), "segno", 0, leaves)
    after, end = to, len(study.bars) - 1
    if words.endswith("al Coda"):
        away = _only(study, leaves, _with_jump(study, "To Coda"), "To Coda", to, leaves - 1)
        return Jump(leaves, to, None, away, _only(study, leaves, _with_sign(study, "coda"), "coda", leaves + 1, end))
    fines = _with_jump(study, "Fine")
    if fines or words.endswith("al Fine"):
        return Jump(leaves, to, _only(study, leaves, fines, "Fine", after, end))
    return Jump(leaves, to)


def _with_jump(study: Study, name: str) -> list[int]:
    return [at for at, bar in enumerate(study.bars) if bar.jump == name]


def _with_sign(study: Study, name: str) -> list[int]:
    return [at for at, bar in enumerate(study.bars) if bar.sign == name]


def _only(study: Study, leaves: int, found: list[int], name: str, first: int, last: int) -> int:
    """The one bar with the sign, where it has to be. Raises BarglossError."""
    words = study.bars[leaves].jump
    if not found:
        raise _fault(study, leaves, f"{words} leads nowhere, for there is no {name}; add it, or change the jump")
    if len(found) > 1:
        raise _fault(study, found[1], f"a second {name}; {words} can mean only one, take the other away")
    if not first <= found[0] <= last:
        side = "before" if found[0] < first else "behind"
        raise _fault(study, leaves, f"{words} does not come to the {name} in bar {study.in_force[found[0]].number}, "
                                    f"which stands {side} where it is looked for; move one of the two")
    return found[0]


def _fault(study: Study, at: int, what: str) -> BarglossError:
    return BarglossError(what, bar=study.in_force[at].number)
