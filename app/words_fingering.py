"""The words of who plays and how: guitarist, ways, range, difficulty. As in `words`: to be translated here."""

from __future__ import annotations

FINGERING = "F&ingering"
PANEL = "Fingering"
TABS = {"guitarist": "Guitarist", "ways": "Ways to play", "range": "Range", "hard": "How hard"}
MENU = {"guitarist": "&Guitarist and instrument…", "ways": "&Ways to play the selection…",
        "range": "&Fold into range…", "hard": "&How hard it is…"}
KEYS = {"guitarist": "Ctrl+G", "ways": "Ctrl+Shift+W", "range": "Ctrl+Shift+O", "hard": "Ctrl+Shift+H"}

# Giving back to Bargloss
FREE, FREE_KEY = "F&ree the fingering", "Ctrl+F"
FREE_EDIT = "free fingering, {bar}"

# The neck to work on
NECK_MENU, NECK_KEY, NECK_CLOSE = "&Neck under the page", "Ctrl+Shift+N", "Put the neck away"
NECK_BOARD = "Neck to play on"
NECK_LEGEND = "●  set by you     ○  proposed     ◌  there as well"
NECK_SHOWS, NECK_SHOW = "Names on the neck", {"degrees": "degrees", "fingers": "fingers", "notes": "notes"}
NECK_HERE = "String {string}, fret {fret}: {pitch}"
NECK_SET, NECK_PROPOSED = "set by you", "proposed"
NECK_NOTHING = ("String {string}, fret {fret} is {pitch}: select a note of that pitch to play it there, "
                "or press W to write it")
NECK_OTHER = "String {string}, fret {fret} is {pitch}, the selected note {selected}: it stays where it is"
NECK_OTHERS = "String {string}, fret {fret} is {pitch}, which no selected note is: they stay where they are"
ON_THE_NECK = "On the neck"
NECK_KEYS = (
    ("The next fret, the next string", "Left, Right, Up, Down"),
    ("The open string, the highest fret", "Home, End"),
    ("Play the selected note here; while writing, write the note", "Return"),
    ("While writing, one more note for the selected one", "Shift+Return"),
)

# Guitarist
PRESET, OWN_PRESET = "Way of playing", "set here"
SPAN, SPANS = "Hand", {"small": "small", "normal": "normal", "wide": "wide"}
POSITION, ANY_POSITION, POSITION_TIP = "Favourite position", "lower middle of the neck", (
    "The fret the first finger likes best")
OPEN, OPENS = "Open strings", {"avoid": "avoided", "allow": "where they help", "prefer": "preferred"}
PICKING, PICKINGS = "Picking", {
    "alternate": "alternate, by the beat", "strict": "alternate, by the note", "economy": "economy",
    "sweep": "sweep", "legato": "legato", "alternate-sweep": "by the beat, arpeggios swept",
    "economy-legato": "economy, slurred into the beat"}
PICKING_TIP = "Slurs are proposed by the way of picking; a note that has a stroke of your own is always picked"
STRINGS, STRINGS_HINT, STRINGS_TIP = "Strings", "all", "The strings to keep to, 1 the highest, as in 1-4 or 1 2 3 4"
BAD_STRINGS = "{text!r} names no strings; write numbers from 1 to {count}, as in 2-5 or 2 3 4 5; nothing for all"
LEFT_HANDED = "Left-handed (turns neck diagrams round)"
TUNING, OWN_TUNING = "Tuning", "its own"
FRETS, CAPO, NO_CAPO = "Frets", "Capo at fret", "no capo"
EDIT_GUITARIST, EDIT_INSTRUMENT = "guitarist", "instrument"

# Ways
WAYS_LIST = "Ways to play the selection"
WAYS_OF, ONE_WAY = "{count} ways to play {where}", "1 way to play {where}"
ONLY_YOURS = "{told}: the one you set. Free these notes to see the other ways."
LOOKING = "Looking for ways to play it…"
NO_NOTES = "Select notes of up to {bars} bars on the page; their ways to play appear here."
AS_NOW, WAY = "As it is: {where}; {hard}", "{where}, {ease}; {hard}"
EASES = {0: "about as easy", 1: "a little harder", 4: "harder", 10: "much harder"}
"""By what a note costs more: from so much on."""
WAY_TIP = "Costs {cost} more in all, {each} a note. 1 is about the effort of one fret of travel when there is time."
WHERE, WHERE_MOVES = "position {low}", "positions {low} to {high}"
FREE_THESE = "&Free these notes"
FREE_THESE_TIP = "What you set here is Bargloss's to choose again, and the other ways are offered"
TAKE, TAKE_TIP = "&Play it this way", "Sets the strings and frets of these notes as your own choice"
SHOWS, SHOW = "Neck shows", {"fingers": "fingers", "degrees": "degrees"}
NECK, TAB_PREVIEW = "Neck diagram", "Tab of this way"
WAY_EDIT = "way to play, {bar}"

# Range
FITS = "The solo lies well on this neck."
MOVE = "Move the whole solo by octaves"
MOVE_ALL = {-1: "Move &all {count} octave down", 1: "Move &all {count} octave up"}
MOVE_ALL_MORE = {-1: "Move &all {count} octaves down", 1: "Move &all {count} octaves up"}
FOLDS, FOLD, NO_FOLDS = "Phrases to fold", "&Fold this one", "No phrase has to be folded."
MOVE_EDIT, FOLD_EDIT = "the whole solo, octave", "fold, {bar}"

# How hard
HARD = "How hard it is"
COUNTS, SPOTS, PLAN, BY_BAR = "At {tempo} a minute", "Hardest spots", "Practice plan", "Bar by bar"
HIGHEST = "Every spot still has its time up to {tempo} a minute."
SPOT = "{where}: {why}; in time up to {tempo}"
BAR_LINE = "{bar}: {notes} notes a second; shifts {shifts}, crossings {crossings}, stretches {stretches}"
MINUTES, MINUTES_TIP = "Minutes", "For one sitting"
RUNG = "{minutes} min. {words}."
