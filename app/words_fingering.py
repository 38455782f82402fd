"""The words of who plays and how: guitarist, ways, range, difficulty. As in `words`: to be translated here."""

from __future__ import annotations

FINGERING = "F&ingering"
PANEL = "Fingering"
TABS = {"guitarist": "Guitarist", "ways": "Ways to play", "range": "Range", "hard": "How hard"}
MENU = {"guitarist": "&Guitarist and instrument…", "ways": "&Ways to play the selection…",
        "range": "&Fold into range…", "hard": "&How hard it is…"}
KEYS = {"guitarist": "Ctrl+G", "ways": "Ctrl+Shift+W", "range": "Ctrl+Shift+O", "hard": "Ctrl+Shift+H"}

# Guitarist
PRESET, OWN_PRESET = "Way of playing", "set here"
SPAN, SPANS = "Hand", {"small": "small", "normal": "normal", "wide": "wide"}
POSITION, ANY_POSITION, POSITION_TIP = "Favourite position", "lower middle of the neck", (
    "The fret the first finger likes best")
OPEN, OPENS = "Open strings", {"avoid": "avoided", "allow": "where they help", "prefer": "preferred"}
PICKING, PICKINGS = "Picking", {
    "alternate": "alternate, by the beat", "strict": "alternate, by the note", "economy": "economy",
    "sweep": "sweep", "legato": "legato"}
STRINGS, STRINGS_HINT, STRINGS_TIP = "Strings", "all", "The strings to keep to, 1 the highest, as in 1 2 3 4"
BAD_STRINGS = "{text!r} names no strings; write their numbers, as in 1 2 3 4"
LEFT_HANDED = "Left-handed (turns neck diagrams round)"
TUNING, OWN_TUNING = "Tuning", "its own"
FRETS, CAPO, NO_CAPO = "Frets", "Capo at fret", "no capo"
EDIT_GUITARIST, EDIT_INSTRUMENT = "guitarist", "instrument"

# Ways
WAYS_LIST = "Ways to play the selection"
WAYS_OF, ONE_WAY = "{count} ways to play {first} to {last}", "1 way to play {first} to {last}"
NO_NOTES = "Select notes of up to {bars} bars on the page; their ways to play appear here."
AS_NOW, WAY = "As it is: {where}; {hard}", "{where}, costs {cost} more; {hard}"
WHERE, WHERE_MOVES = "position {low}", "positions {low} to {high}"
TAKE, TAKE_TIP = "&Play it this way", "Sets the strings and frets of these notes as your own choice"
SHOWS, SHOW = "Neck shows", {"fingers": "fingers", "degrees": "degrees"}
NECK, TAB_PREVIEW = "Neck diagram", "Tab of this way"
WAY_EDIT = "way to play, bar {bar}"

# Range
FITS = "The solo lies well on this neck."
MOVE = "Move the whole solo by octaves"
MOVE_ALL = {-1: "Move &all {count} octave down", 1: "Move &all {count} octave up"}
MOVE_ALL_MORE = {-1: "Move &all {count} octaves down", 1: "Move &all {count} octaves up"}
FOLDS, FOLD, NO_FOLDS = "Phrases to fold", "&Fold this one", "No phrase has to be folded."
MOVE_EDIT, FOLD_EDIT = "the whole solo, octave", "fold, bar {bar}"

# How hard
HARD = "How hard it is"
COUNTS, SPOTS, PLAN, BY_BAR = "At {tempo} a minute", "Hardest spots", "Practice plan", "Bar by bar"
HIGHEST = "Every spot still has its time up to {tempo} a minute."
SPOT = "{where}: {why}; in time up to {tempo}"
BAR_LINE = "{bar}: {notes} notes a second; shifts {shifts}, crossings {crossings}, stretches {stretches}"
MINUTES, MINUTES_TIP = "Minutes", "For one sitting"
RUNG = "{minutes} min. {words}."
