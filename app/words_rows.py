"""The words of which rows the page shows, and of the strip. As in `words`: to be translated here."""

from __future__ import annotations

ROWS_MENU, STRIP = "&Rows…", "One &long strip"
TITLE = "Rows of the page"
HOW = ("What is ticked is on the page, in its PDF and in print. It is kept for the template {template}. Fingers and "
       "strokes are printed where you have set them.")
NAMES = {
    "chords": "Chord symbols", "notation": "Notation", "dynamics": "Dynamics", "strokes": "Strokes",
    "fingers": "Fingers", "positions": "Positions", "tab": "Tab", "degrees": "Degrees", "readings": "Readings",
    "callouts": "Callouts and comments",
}
UP, DOWN, BACK = "Move &up", "Move &down", "&As the template has them"
REFUSED = "Left as it was: {what}"
