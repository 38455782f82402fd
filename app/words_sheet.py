"""The words of the study sheet, and of what part of a study is exported. As in `words`: to be translated here."""

from __future__ import annotations

# The sheet
SHEET, SHEET_MENU, SHEET_KEY = "Study sheet", "S&tudy sheet", "Alt+5"
TAB, TAB_TIP = "Study", "The study's title, credits, rights line, tempo, feel, key, meter and labels"
CREDITS, MUSIC, CHORUSES, LETTERS = "On the handout", "The music", "Choruses", "Rehearsal letters"
TITLE, TUNE, PLAYER, TRANSCRIBER, RIGHTS = "Title", "Tune", "Played by", "Transcribed by", "Rights line"
RECORDING, STARTS_AT, NUMBER = "Recording", "Solo starts at", "First bar's number"
TEMPO, FEEL, KEY, METER = "Tempo", "Feel", "Key", "Meter"
TITLE_HINT, TUNE_HINT = "what the handout is called", "what the solo is on"
RIGHTS_HINT = "who allows it to be passed on"
RECORDING_HINT, STARTS_HINT, NUMBER_HINT = "which one", "1:23.5 into it", "1, or 0 for a pickup"
STARTS_TIP = "Minutes and seconds into the recording, as in 1:23.5"
NUMBER_TIP = "The number of the first bar; left empty, a pickup is 0 and any other bar 1"
TEMPO_TIP = "Quarter notes a minute"
METER_TIP = "As in 3/4, 6/8 or 3+2/8; C and C| for the old signs. Notes that are there are barred anew"
TONIC, MODE = "Key", "Mode"
BAD_TIME = "{text!r} is no time; write minutes and seconds, as in 1:23.5"
BAD_TEMPO = "{text!r} is no tempo; write quarter notes a minute, from 10 to 500"
BAD_NUMBER = "{text!r} is no bar number; write one from 0 up"
OLD_SIGNS = {"common": "C", "cut": "C|"}

# Another key
OTHER_KEY = "{new} instead of {old}: what becomes of the music?"
STAYS, STAYS_TIP = "Notes &stay", "Only the signature changes; every note sounds as it did"
UPWARD, DOWNWARD = "Move all &up", "Move all &down"
MOVE_TIP = "Notes, chord symbols, readings and changes of key move by {count} half steps; your words stay as they are"
RENAME, RENAME_TIP = "&Rename all", "Notes and chord symbols sound as they did and are named in the new key"
LEAVE_KEY = "Leave it"

# Labels
CHORUS_LABEL, LETTER_LABEL = "Chorus label", "Rehearsal letter"
FROM_BAR, FROM_BAR_OF = "from bar", "{name}: from bar"
ADD_CHORUS, ADD_LETTER = "Add at {bar}", "Add at {bar}"
ADD_CHORUS_NAME, ADD_LETTER_NAME = "Add a chorus at {bar}", "Add a rehearsal letter at {bar}"
NEW_CHORUS = "Chorus {number}"
REMOVE_LABEL = "Remove {label}"
LABEL_TAKEN = "another one stands at bar {bar} already; choose another bar"

# Names of edits, for undo
EDITS = {
    "title": "title", "tune": "tune", "player": "player", "transcriber": "transcriber", "rights": "rights line",
    "recording": "recording", "starts_at": "start in the recording", "first_number": "first bar's number",
    "tempo": "tempo", "feel": "feel",
}
EDIT_KEY, EDIT_MOVED, EDIT_METER = "key signature", "move to {key}", "meter"
EDIT_CHORUS, NEW_CHORUS_EDIT, REMOVE_CHORUS = (
    "chorus label, {bar}", "new chorus, {bar}", "remove chorus, {bar}")
EDIT_LETTER, NEW_LETTER_EDIT, REMOVE_LETTER = (
    "rehearsal letter, {bar}", "new rehearsal letter, {bar}", "remove rehearsal letter, {bar}")
MOVED = "Moved to {key}. Words of comments and callouts are as you wrote them."
BARRED = "Barred anew in {meter}: {after} bars for {before}"

# What is exported
PART_TITLE = "Which bars?"
ALL_BARS, SOME_BARS, ONE_CHORUS, TO_BAR = "&All bars", "&Bars", "C&horus", "to"
FIRST_BAR, LAST_BAR, WHICH_CHORUS = "First bar", "Last bar", "Which chorus"
GO_ON, LEAVE_IT = "&Go on", "&Cancel"
BACKWARD = "bar {last} comes before bar {first}; give the earlier one first"
RIGHTS_EMPTY = ("the rights line is empty; a transcription of somebody's solo may need a licence before it is passed "
                "on: ask whoever licenses music where you live")
RIGHTS_REMINDER = "Mind that {what}. The line is written in File > Study sheet."
