"""A file of another program's, brought in as a study, with a list of what was left out or changed."""

from __future__ import annotations

from pathlib import Path

from core.errors import BarglossError, Faults
from core.exchange.build import Brought, build
from core.exchange.guard import read_guarded
from core.exchange.limits import load


def bring(path: Path, part: int | None = None) -> Brought:
    """The study in a MusicXML (.musicxml, .xml, .mxl), MIDI (.mid, .midi) or ABC (.abc) file, and notices.

    part: which part, or which tune of an ABC file, as `ChoiceNeeded` numbers them.
    Raises ChoiceNeeded where there are several and part is None, BarglossError for a file that cannot be read.
    """
    try:
        return build(read_guarded(load(path), part), path.stem)
    except Faults as faults:
        raise faults.in_file(path.name) from None
    except BarglossError as error:
        error.file = path.name
        raise
