"""From a study to the bytes of a study file: readable XML, one note a line."""

from __future__ import annotations

from core.errors import BarglossError, Faults
from core.files.bar_writer import written_bar
from core.files.layout import DETAILS, GUITARIST, INSTRUMENT, MOST_BARS, MOST_BYTES, MOST_ELEMENTS
from core.files.pieces import Piece, attributes_of, child, empty_study, head_piece, joined
from core.study import Guitarist, Instrument, Study


def study_xml(study: Study) -> bytes:
    """The study as a study file: UTF-8 XML that its schema has accepted.

    Raises BarglossError (Faults) for a text with characters XML cannot hold, and for more than a file may hold.
    """
    if len(study.bars) > MOST_BARS:
        raise BarglossError(f"a study of {len(study.bars)} bars; a study file holds {MOST_BARS}, split it")
    pieces = _pieces(study)
    if 1 + sum(piece.elements for piece in pieces) > MOST_ELEMENTS:
        raise BarglossError(f"more than {MOST_ELEMENTS} notes, rests and marks for one study file; split the study")
    data = joined(pieces)
    if len(data) > MOST_BYTES:
        raise BarglossError(f"a study file of {len(data)} bytes; it may have {MOST_BYTES}, split the study")
    return data


def _pieces(study: Study) -> list[Piece]:
    """The head and every bar. Raises Faults with all that is wrong."""
    root, pieces = empty_study(), []
    faults: list[BarglossError] = []
    for entry in DETAILS:
        value = getattr(study, entry.field)
        if value != entry.default:
            try:
                child(root, entry.name, {}, entry.code.write(value))
            except BarglossError as fault:
                faults.append(BarglossError(f"{entry.name}: {fault.what}"))
    try:
        if study.instrument != Instrument():
            child(root, "instrument", attributes_of(study.instrument, INSTRUMENT))
        if study.guitarist != Guitarist():
            child(root, "guitarist", attributes_of(study.guitarist, GUITARIST))
        pieces.append(head_piece(root))
    except BarglossError as fault:
        faults.append(fault)
    choruses = {chorus.bar: chorus.label for chorus in study.choruses}
    for here in study.in_force:
        try:
            pieces.append(written_bar(here.bar, choruses.get(here.index)))
        except BarglossError as fault:
            faults.append(BarglossError(fault.what, bar=here.number))
    if faults:
        raise Faults(tuple(faults))
    return pieces
