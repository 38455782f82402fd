"""Every word the window says, in one place: translate this file and the window speaks another language.

{…} are filled in; & before a letter makes it the key of a menu or button.
"""

from __future__ import annotations

APP = "Bargloss"
ACCIDENTALS = {"b": "♭", "#": "♯"}  # twice for double: few fonts of a screen have signs for those
ORDINALS = ("first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth",
            "eleventh", "twelfth", "thirteenth", "fourteenth", "fifteenth", "sixteenth")

UNTITLED = "Untitled study"
UNSAVED = "not saved yet"

# Spoken and shown about what is selected
PAGE_VIEW = "Handout"
SPOKEN_BAR, SPOKEN_PICKUP = "bar {number}", "pickup"
SPOKEN_NOTE = "{ordinal} note"
SPOKEN_DEGREE, SPOKEN_GRIP = "degree {degree}", "string {string} fret {fret}"
SIGN_NAMES = {-3: "triple flat", -2: "double flat", -1: "flat", 1: "sharp", 2: "double sharp", 3: "triple sharp"}
UNPLAYABLE = "off the neck"
OFF_THE_NECK = "{pitches} cannot be played on this neck; move by an octave, or leave out"
BAR = "Bar {number}"
PICKUP = "Pickup"
NOTE_OF = "Note {number}: {pitch}"
NO_NOTE = "No note selected"
STATUS_DEGREE = "{degree} of {chord}"
STATUS_GRIP = "string {string}, fret {fret}"
STATUS_FINGER = "finger {finger}"
NOTICES = {0: "No notices", 1: "1 notice", 2: "{count} notices"}

# Menus
FILE, EDIT, VIEW, GO = "&File", "&Edit", "&View", "&Go"
OPEN, OPEN_DEMO, SAVE, SAVE_AS = "&Open…", "Open a &demo", "&Save", "Save &as…"
BRING, HANDOUT, EXPORT, QUIT = "&Bring in…", "Export &handout (PDF)…", "&Export as…", "&Quit"
UNDO, REDO, UNDO_NAMED, REDO_NAMED = "&Undo", "&Redo", "&Undo: {name}", "&Redo: {name}"
ZOOM_IN, ZOOM_OUT, OWN_SIZE = "Zoom &in", "Zoom &out", "Paper's own si&ze"
FIT_WIDTH, WHOLE_PAGE = "Fit &width", "Whole pa&ge"
TEMPLATE, PAPER = "&Template", "&Paper"
PAPERS = {"a4": "A4", "letter": "Letter"}
NEXT_BAR, PREVIOUS_BAR = "&Next bar", "&Previous bar"
TO_PANEL, TO_PAGE = "&Write about the bar\tReturn", "&Back to the page"
SHOW_NOTICES = "&Notices, and faults on the page…"
TOOLBAR = "Tools"
BAR_TOOL_OPEN, BAR_TOOL_SAVE, BAR_TOOL_UNDO, BAR_TOOL_REDO = "Open", "Save", "Undo", "Redo"
BAR_TOOL_HANDOUT, BAR_TOOL_FIT = "Export handout", "Fit width"

# Panels
BAR_PANEL, NOTE_PANEL = "Bar", "Note"
CHORD, READING = "Chord symbol", "Reading"
CHORDS, READINGS, COMMENT, CALLOUTS = "Chord symbols", "Readings", "Comment", "Callouts"
BEAT, BEAT_TIP = "beat", "Which beat of the bar it begins on, counted from 1; 2 1/2 is half way to the next"
CHORD_TIP = "A chord symbol, as in Cm7 or Bb7(b9); empty it to take it away"
READING_TIP = "The harmony you hear: a chord symbol, or a key as in key of Eb major"
ADD_CHORD, ADD_READING, ADD_CALLOUT = "Add a chord symbol", "Add a reading", "Add a callout"
NO_CHORDS, NO_READINGS = "{chord} goes on", "none"
NO_CHORD_YET = "no chord yet"
REMOVE = "Remove"
REMOVE_MARK = "Remove what begins on beat {beat}"
COMMENT_HINT = "What is there to say about this bar?"
TOKENS_TIP = "*words* print in italics; {Bb7}, {b9} and {F#} print as chord symbol, degree and note"
HEADING, TEXT = "Heading", "Text"
FROM, TO = "From", "To"
FROM_NAME, TO_NAME = "First note of the callout", "Last note of the callout"
USE_NOTES = "Use selected notes"
USE_NOTES_TIP = "Speak of the notes selected on the page: click the first, Shift and click the last"
NECK_PICTURE = "Neck picture"
NECK_PICTURE_TIP = "Print where these notes lie on the neck, by finger or by degree as the template has it"
CALLOUT = "Callout {number}"
NOTE_PLACE, REST_PLACE = "{bar}, note {number} ({pitch})", "{bar}, rest"
NEW_CALLOUT = "New callout"
DEGREE_SHOWN, OWN_DEGREE, STRING, FINGER, STROKE, REMARK = (
    "Degree", "Own degree", "String", "Finger", "Stroke", "Remark")
DEGREE_LINE = {"chord": "{degree} of {harmony}", "key": "{degree} in {harmony}", "reading": "{degree} in the reading"}
OWN_DEGREE_HINT = "as found"
OWN_DEGREE_TIP = "Your own name for it, as in #9; it prints instead of the one that was found"
CHOSEN = "{what} (found)"
FREE_STRING = "as Bargloss finds it"
FREE_FINGER = "as Bargloss finds it"
STRING_FRET = "{string}, fret {fret}"
FINGERS = ("0 open", "1 index", "2 middle", "3 ring", "4 little")
STROKES = {"": "as found", "down": "downstroke", "up": "upstroke"}
REMARK_HINT = "a few words about this note"
NOT_KEPT = "{where}: what you typed was not kept: {what}"

# Names of edits, for undo
EDIT_COMMENT, EDIT_CHORD, EDIT_READING = "comment, {bar}", "chord symbol, {bar}", "reading, {bar}"
ADD_CHORD_EDIT, ADD_READING_EDIT = "new chord symbol, {bar}", "new reading, {bar}"
REMOVE_CHORD, REMOVE_READING = "remove chord symbol, {bar}", "remove reading, {bar}"
EDIT_CALLOUT, NEW_CALLOUT_EDIT = "callout, {bar}", "new callout, {bar}"
REMOVE_CALLOUT = "remove callout, {bar}"
EDIT_CALLOUT_NOTES = "notes of callout, {bar}"
EDIT_CALLOUT_NECK = "neck picture of callout, {bar}"
EDIT_DEGREE, EDIT_STRING, EDIT_FINGER, EDIT_STROKE, EDIT_REMARK = (
    "degree, {bar}", "string, {bar}", "finger, {bar}", "stroke, {bar}", "remark, {bar}")

# Faults found in what is typed
BAD_DEGREE = "{text!r} is no degree; write a number from 1 to 13, with b or # before it where needed, as in #9"
TAKEN = "something begins on beat {beat} already; choose another beat"
EMPTY_READING = "write a chord symbol or a key, or remove the reading"
INSIDE = "Something went wrong inside Bargloss ({what}). Your study is as it was; {log}."
LOG_AT = "details are in {path}"
LOG_LOST = "details could not be kept"

# Dialogs
STUDIES = "Studies (*.study)"
PDF = "PDF (*.pdf)"
BROUGHT = "MusicXML, MIDI, ABC (*.musicxml *.xml *.mxl *.mid *.midi *.abc)"
EXPORTS = {
    ".musicxml": "MusicXML (*.musicxml)", ".mxl": "MusicXML, packed (*.mxl)", ".mid": "MIDI (*.mid)",
    ".svg": "SVG pictures, one a page (*.svg)", ".png": "PNG pictures, one a page (*.png)",
    ".wav": "Sound, WAV (*.wav)", ".flac": "Sound, FLAC (*.flac)", ".mp3": "Sound, MP3 (*.mp3)",
    ".txt": "Text (*.txt)",
}
OPEN_TITLE, SAVE_TITLE, BRING_TITLE = "Open a study", "Save the study", "Bring a solo in"
HANDOUT_TITLE, EXPORT_TITLE = "Export the handout", "Export the study"
ASK_SAVE = "{name} has changes that are not saved."
ASK_SAVE_MORE = "Without saving, they are lost."
DISCARD, STAY = "&Don't save", "&Keep working"
CHOOSE_PART = "Which one shall be brought in? The file has {what}."
PART = "Number"
BRING_PART, LEAVE_PART = "&Bring in", "&Cancel"
NOTICES_TITLE = "Notices, and faults on the page"
NOTHING_TO_TELL = ("No notices: every chord symbol can be read, every note lies on the neck, "
                   "and nothing overlaps on the pages.")
ON_PAGE = "page {page}"
BOTH_TOUCH, TWO_TOUCH, OFF_PAGE = "{one} and {other} touch", "two {one}s touch", "{one} runs off the page"
SHORTEN = "shorten one, or begin a new system at this bar"
SET_APART = "begin a new system at this bar, or choose another template"
OTHER_TEMPLATE = "another template may set it better"
MOVE_BREAK = "begin a system at another bar"
LET_BE = "begin a page at another bar, or leave it so"
SPOKEN_MARKS = {"head": "note head", "tab": "fret number", "chord": "chord symbol", "reading": "degree of a reading",
                "arc": "tie or slur", "gesture": "bend or slide", "hook": "bracket", "neck": "neck picture",
                "meter": "time signature", "signature": "key signature", "foot": "line at the foot",
                "articulation": "playing mark"}
BROUGHT_TITLE = "What changed on the way in"
CLOSE = "Close"
CLOSE_MESSAGE = "Close the message"
SAVED, WROTE = "Saved as {path}", "Wrote {path}"
NO_ENDING = "{name} does not end in one of {endings}; name the file so"
