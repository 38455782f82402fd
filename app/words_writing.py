"""The words of writing music: menus, fields, names of edits. As in `words`: to be translated here."""

from __future__ import annotations

# A new study
NEW, NEW_TITLE = "&New study…", "A new study"
FORM, KEY, MODE, METER, TEMPO, FEEL, TITLE = "Form", "Key", "Mode", "Meter", "Tempo", "Feel", "Title"
FEELS = {"swing": "swing", "straight": "straight"}
TEMPO_UNIT = " quarter notes a minute"
TITLE_HINT = "what the handout is called"
BEGIN, LEAVE_IT = "&Begin", "&Cancel"
EMPTY = ("There is no note in this study yet. Press W to write: A to G are notes, 1 2 4 8 their values, R a rest. "
         "H types chord symbols over the bars.")

# Edit menu
CUT, COPY, PASTE, DELETE, SELECT_ALL = "Cu&t", "&Copy", "&Paste", "&Delete", "Select a&ll"

# Write menu
WRITE, WRITING = "&Write", "&Writing"
LETTERS, ADDED, FIGURES = "&Notes by letter", "&Double stop", "&Figures"
LETTER, ADDED_LETTER = "{step}, nearest to the last note", "{step} as well, in the selected note"
FIGURE = "{figure}: {value} on the staff, fret {figure} on the tab"
FIGURE_FRET = "{figure}: fret {figure} on the tab"
VALUES = {1: "whole note", 2: "half note", 4: "quarter note", 8: "eighth note", 6: "16th note", 3: "32nd note"}
LONGER, QUICKER = "&Longer: twice the value", "&Quicker: half the value"
DOT, GRACE = "D&ots: none, one, two", "&Grace notes"
TUPLETS = {3: "&Triplet: 3 in the time of 2", 5: "&Quintuplet: 5 in the time of 4", 6: "&Sextuplet: 6 in the time of 4",
           7: "S&eptuplet: 7 in the time of 4"}
TUPLET_MENU = "T&uplets"
PUT_REST, TIE, BACK, GO_ON = "&Rest", "&Tie", "Take &back the last note", "Go &on by the value"
GIVE_VALUE = "Give the selected note this &value"
TO_TAB = "&Move between staff and tab"
TYPE_NOTES = "Type notes as &ABC…"
WRITING_BAR, VALUE_TIP = "Writing", "{name}: key {key}"
SHORT = {"dot": "Dots", "3": "Triplet", "grace": "Grace", "tab": "Frets", "rest": "Rest", "tie": "Tie"}
STATUS_WRITING = "Writing at beat {beat} of bar {bar}"
STATUS_END = "Writing at the end"

# Notes menu
NOTES = "&Notes"
HALF_UP, HALF_DOWN = "A &half step up", "A ha&lf step down"
STEP_UP, STEP_DOWN = "A scale &step up", "A scale ste&p down"
OCTAVE_UP, OCTAVE_DOWN = "An &octave up", "An o&ctave down"
RESPELL, SLUR, GHOST = "Other &name for the same sound", "Sl&ur over the selected notes", "&Ghost note"
ARTICULATIONS = "&Articulation"
STRING_UP, STRING_DOWN, POSITION = "To the string &above", "To the string &below", "Play in a pos&ition…"
POSITION_TITLE, POSITION_ASK = "Position", "Fret of the first finger"

# Bars menu
BARS = "&Bars"
INSERT_BEFORE, INSERT_AFTER, DELETE_BARS = "&Insert a bar before", "Insert a bar &after", "&Delete the selected bars"
SPLIT, JOIN = "&Split the bar here", "&Join with the next bar"
REPEAT, REPEAT_SIGNS = "&Repeat: write the bars once more", "Repeat si&gns round the bars"
CHANGES_HERE, CHANGES_CHORUS = "Type c&hanges from this bar on…", "Type the changes of the whole &chorus…"

# The line that is typed
ABC_LABEL = "Notes in ABC, from the caret on"
ABC_HINT = "C2 D E F ^F G2 | …   (unit: an eighth; C is middle C, c the C above)"
CHANGES_LABEL, CHANGES_HINT = "Changes from bar {bar} on", "Cm7 F7 | Bbmaj7 | …"
TYPE_LINE = "Line to type into"

# Names of edits
WRITE_NOTE, WRITE_REST = "write {pitch}, bar {bar}", "write rest, bar {bar}"
GRACE_EDIT = "write grace note {pitch}, bar {bar}"
FRET_EDIT, ADD_HEAD_EDIT = "fret {fret} on string {string}, bar {bar}", "add {pitch}, bar {bar}"
TIE_EDIT, VALUE_EDIT, ERASE_EDIT = "tie, bar {bar}", "note value, bar {bar}", "delete, bar {bar}"
ABC_EDIT, CHANGES_EDIT = "typed notes, bar {bar}", "changes, from bar {bar}"
OCTAVE_EDIT, STEP_EDIT, HALF_STEP_EDIT = "move by an octave, bar {bar}", "move by a step, bar {bar}", \
    "move by a half step, bar {bar}"
RESPELL_EDIT, SLUR_EDIT, GHOST_EDIT, MARK_EDIT = "other name, bar {bar}", "slur, bar {bar}", "ghost note, bar {bar}", \
    "{mark}, bar {bar}"
STRING_EDIT, POSITION_EDIT = "string, bar {bar}", "position, bar {bar}"
CUT_EDIT, PASTE_EDIT = "cut, bar {bar}", "paste, bar {bar}"
INSERT_BAR_EDIT, DELETE_BAR_EDIT, SPLIT_EDIT, JOIN_EDIT = "insert bar, bar {bar}", "delete bars, bar {bar}", \
    "split bar {bar}", "join bar {bar} with the next"
REPEAT_EDIT, REPEAT_SIGNS_EDIT = "repeat bars, bar {bar}", "repeat signs, bar {bar}"
CLIPBOARD, REST = "the clipboard", "rest"
NOTHING_TO_PASTE = "nothing on the clipboard is a passage of music; copy one first"
