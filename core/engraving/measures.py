"""Thicknesses and distances of the ink, in staff spaces, each with its source.

SMuFL: the spec's engravingDefaults as the reference font gives them (tests/outside compares
them with smufolib's copy of its metadata); PENS has what another font draws otherwise. Gould:
*Behind Bars*, 2011. Where nothing is named the value is ours, chosen by eye on printed pages.
"""

from typing import NamedTuple

STAFF_LINE = 0.13  # SMuFL staffLineThickness
STEM = 0.12  # SMuFL stemThickness
BEAM = 0.5  # SMuFL beamThickness
BEAM_STEP = 0.75  # SMuFL beamThickness + beamSpacing
LEDGER_LINE = 0.16  # SMuFL legerLineThickness
LEDGER_OVERHANG = 0.4  # SMuFL legerLineExtension
THIN_BARLINE = 0.16  # SMuFL thinBarlineThickness
THICK_BARLINE = 0.5  # SMuFL thickBarlineThickness
BARLINE_GAP = 0.4  # SMuFL barlineSeparation; between thin and thick as well (the font gives no value of its own)
ARC_END = 0.1  # SMuFL slurEndpointThickness
ARC_MIDDLE = 0.22  # SMuFL slurMidpointThickness, tieMidpointThickness
REPEAT_DOT_GAP = 0.16  # SMuFL repeatBarlineDotSeparation
H_BAR = 1.0  # SMuFL hBarThickness
BRACKET = 0.16  # SMuFL tupletBracketThickness
HAIRPIN = 0.16  # SMuFL hairpinThickness
BOX = 0.16  # SMuFL textEnclosureThickness
HAIRLINE = 0.13

STEM_LENGTH = 3.5  # Gould p. 14: an octave from the head's centre
BEAMED_STEM = 2.75  # the shortest stem of a beamed group with one or two beams; never under 2.5 (Gould p. 14)
TAB_STEP = 1.5  # tab lines, in notation staff spaces (lesson page)
ROW_GAP = 1.2  # least white between the ink of two rows
GRACE = 0.62  # a grace note against a full one
"""Grace size: common practice, no source (60 to 65 % of a full note)."""


class Pen(NamedTuple):
    """Strokes that belong to a music font. Not said otherwise, they are the reference font's."""

    stem: float = STEM
    ledger: float = LEDGER_LINE
    flag_down: float = 0.0
    two_flags_down: float = 0.07
    more_flags_down: float = 0.35
    """How much longer a stem that hangs down with one flag, two or more is, so that they end clear of the head."""


PENS = {"Petaluma": Pen(stem=0.15, ledger=0.18, flag_down=0.55, two_flags_down=0.55, more_flags_down=0.55)}
"""Petaluma: the stem as in the outline of its metNoteQuarterUp; the rest by eye."""
