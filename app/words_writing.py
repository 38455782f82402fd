"""The words of writing music: menus, fields, names of edits. As in `words`: to be translated here."""

from __future__ import annotations

# A new study
NEW, NEW_TITLE = "&New study…", "A new study"
FORM, KEY, METER, TEMPO, FEEL, TITLE = "Form", "Key", "Meter", "Tempo", "Feel", "Title"
FEELS = {"swing": "swing", "straight": "straight"}
TEMPO_UNIT = " quarter notes a minute"
TITLE_HINT, OPTIONAL = "what the handout is called", "if you like; it can be written later"
FILLED = "Fill in the chords usual for it"
BEGIN, LEAVE_IT = "&Begin", "&Cancel"

# Hints; in braces stand the keys their commands have
EMPTY = ("There is no note in this study yet. Press {writing} to write: A to G are notes, 1 2 4 8 their values, {rest} "
         "a rest. {changes} types chord symbols over the bars.")
NOTE_KEYS = "A–G notes · 1 2 4 8 values · {sharper} sharper · {flatter} flatter · Esc ends"
FRET_KEYS = "0–9 frets, 1 2 wait for a second: {go_on} goes on · ↑ ↓ string · {quicker} {longer} value · Esc ends"
NOT_WRITING = "{writing} begins writing: then A–G are notes, 1 2 4 8 their values"

# Edit menu
CUT, COPY, PASTE, DELETE, SELECT_ALL = "Cu&t", "&Copy", "&Paste", "&Delete", "Select a&ll"
PASTE_NOTES = "Paste the &notes alone"

# Write menu
WRITE, WRITING = "&Write", "&Writing"
LETTERS, ADDED, FIGURES = "&Notes by letter", "&Double stop", "&Figures"
ADDED_FRET = "Fret {figure} on the string chosen, in the selected note"
LETTER, ADDED_LETTER = "{step}, nearest to the last note", "{step} as well, in the selected note"
FIGURE = "{figure}: {value} on the staff, fret {figure} on the tab"
FIGURE_FRET = "{figure}: fret {figure} on the tab"
VALUES = {1: "whole note", 2: "half note", 4: "quarter note", 8: "eighth note", 6: "16th note", 3: "32nd note"}
LONGER, QUICKER = "&Longer: twice the value", "&Quicker: half the value"
DOT, GRACE = "D&ots: none, one, two", "&Grace notes"
TUPLETS = {3: "&Triplet: 3 in the time of 2", 5: "&Quintuplet: 5 in the time of 4", 6: "&Sextuplet: 6 in the time of 4",
           7: "S&eptuplet: 7 in the time of 4"}
TUPLET_MENU = "T&uplets"
PUT_REST, TIE = "&Rest", "&Tie to the next note, or to the one written next"
BACK, GO_ON = "Take &back the last note", "Go &on by the value, or from a fret that waits"
GIVE_VALUE = "Give the selected note this &value"
SHARPER, FLATTER = "S&harper by a half step, the same letter", "Flatt&er by a half step, the same letter"
TO_TAB = "&Move between staff and tab"
TYPE_NOTES = "Type notes as &ABC…"
MIDI_KEYBOARD, KEYBOARD_TITLE, KEYBOARD_ASK = "MIDI &keyboard…", "MIDI keyboard", "Which one shall be heard?"
KEYBOARD_ON = "{name}: what you strike is written at the caret. Strike notes together for a double stop."
KEYBOARD_OFF = "{name} is heard no more"
NO_KEYBOARD = "no MIDI keyboard was found; plug one in, switch it on, and choose this again"
KEYBOARD_BUSY = "the keyboard does not answer; another program may be using it, or it was just unplugged"
NO_MIDI_LIBRARY = "a MIDI keyboard needs one library more: `{python} -m pip install rtmidi2`; start Bargloss again then"
WRITING_BAR, VALUE_TIP = "Writing", "{name}: key {key}"
SHORT = {"dot": "Dots", "3": "Triplet", "grace": "Grace", "tab": "Frets", "rest": "Rest", "tie": "Tie"}
STATUS_WRITING = "Writing at beat {beat} of {bar}"
STATUS_END = "Writing at the end"
STATUS_TIED = "{where}, tied on"
NOTHING_TO_TIE = "no note is selected to be held on; write or choose one first"
NOTHING_TO_ALTER = "no note is selected to be raised or lowered; choose one first"
NO_TIE = "{pitch} was not there before, so nothing is tied: a tie holds one pitch on, a slur joins others"

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
ABC_LABEL = "Notes in ABC, from beat {beat} of {bar} on"
ABC_HINT = "C2 D E F ^F G2 | …   (unit: an eighth; C is middle C, c the C above)"
CHANGES_LABEL, CHANGES_HINT = "Changes from {bar} on", "Cm7 F7 | Bbmaj7 | …"
TYPE_LINE = "Line to type into"

# Names of edits
WRITE_NOTE, WRITE_REST = "write {pitch}, {bar}", "write rest, {bar}"
GRACE_EDIT = "write grace note {pitch}, {bar}"
FRET_EDIT, ADD_HEAD_EDIT = "fret {fret} on string {string}, {bar}", "add {pitch}, {bar}"
TIE_EDIT, VALUE_EDIT, ERASE_EDIT = "tie, {bar}", "note value, {bar}", "delete, {bar}"
SHARPER_EDIT, FLATTER_EDIT = "sharper, {bar}", "flatter, {bar}"
ABC_TOO_LONG = "{typed} eighths are typed where there is room for {room}; shorten notes, or part them by |"
ABC_EDIT, CHANGES_EDIT = "typed notes, {bar}", "changes, from {bar}"
OCTAVE_EDIT, STEP_EDIT, HALF_STEP_EDIT = "move by an octave, {bar}", "move by a step, {bar}", \
    "move by a half step, {bar}"
RESPELL_EDIT, SLUR_EDIT, GHOST_EDIT, MARK_EDIT = "other name, {bar}", "slur, {bar}", "ghost note, {bar}", \
    "{mark}, {bar}"
STRING_EDIT, POSITION_EDIT = "string, {bar}", "position, {bar}"
CUT_EDIT, PASTE_EDIT = "cut, {bar}", "paste, {bar}"
INSERT_BAR_EDIT, DELETE_BAR_EDIT, SPLIT_EDIT, JOIN_EDIT = "insert bar, {bar}", "delete bars, {bar}", \
    "split {bar}", "join {bar} with the next"
REPEAT_EDIT, REPEAT_SIGNS_EDIT = "repeat bars, {bar}", "repeat signs, {bar}"
CLIPBOARD, REST = "the clipboard", "rest"
NOTHING_TO_PASTE = "nothing on the clipboard is a passage of music; copy one first"
