"""From bars to ink: spacing, stems, beams, accidentals, ties, tab, degree row, callouts.

`engrave` makes a galley of a study; `set_system` sets some of its bars as one system. What comes
out are drawings (drawing.py) that every painter paints alike.
"""

from core.engraving.bar import BarShape
from core.engraving.galley import Galley, engrave
from core.engraving.heights import BarHeight, bar_height, system_height
from core.engraving.legato import is_reached
from core.engraving.rows import ROWS, check_rows
from core.engraving.splitting import parts_of, reaching_parts
from core.engraving.style import Style
from core.engraving.system import (
    BarRoom,
    BarSpan,
    Carried,
    Item,
    SystemInk,
    SystemPlan,
    bar_room,
    set_system,
)

__all__ = [
    "ROWS", "BarHeight", "BarRoom", "BarShape", "BarSpan", "Carried", "Galley", "Item", "Style", "SystemInk",
    "SystemPlan", "bar_height", "bar_room", "check_rows", "engrave", "is_reached", "parts_of", "reaching_parts",
    "set_system", "system_height",
]
