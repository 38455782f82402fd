"""The words of what goes on round the page: safety, printing, listening, help. As in `words`: to be translated here."""

from __future__ import annotations

# Safety
AUTOSAVE_FAILED = "Your work could not be set aside, so a crash would lose it: {what}"
NO_FOLDER = "{folder} cannot be written in"
LEFT_BEHIND = "{name} was not saved when Bargloss last ended."
LEFT_BEHIND_MORE = "The work of {time} is still here."
RESUME, DROP_IT, LATER = "&Go on with it", "&Throw it away", "&Ask again later"
RESUMED = "This is the work that was not saved. Save it to keep it."
OTHER_CHANGED = "Another program has changed {name}."
OTHER_CHANGED_MORE = "Either version stays within reach: taking theirs can be undone, and saving yours keeps theirs \
beside it, with a ~ after its name."
TAKE_THEIRS, KEEP_MINE, STAY = "&Take the file's version", "&Keep my version", "&Do neither yet"
TAKEN_OVER = "the file's version"
FILE_GONE = "{name} is no longer there. Your work is; save it to put the file back."
READ_ONLY = "{name} is open for reading only: {what}"

# Recent studies, dropping
RECENT, NO_RECENT, FORGET_RECENT = "&Recent studies", "none yet", "&Forget these"
DROPPED_OTHER = "{name} can be neither opened nor brought in; drop a study, MusicXML, MIDI or ABC"

# First start
WELCOME = "This is a demo study, yours to try things on:"
WELCOME_NAME = "Three things to try"
TRY_WRITE, TRY_LISTEN, TRY_PRINT = "Write about the first bar", "Listen from the first note", "Export the handout"
TRY_WRITE_TIP = "Goes into the comment of the first bar; what you write appears on the page"
TRY_LISTEN_TIP = "Plays the study, with a mark that moves along"
TRY_PRINT_TIP = "Writes the pages you see as a PDF"
CLOSE_WELCOME = "Close, and do not show again"

# Surroundings
SURROUNDINGS = "&Surroundings"
SCHEMES = {"system": "As the &system has them", "light": "&Light", "dark": "&Dark"}

# Help
HELP, KEYS, KEYS_TITLE = "&Help", "&Keys…", "Keys"
TRY_AGAIN = "&Three things to try"
COMMAND, KEY = "What it does", "Keys"
ON_THE_PAGE = "On the page"
PAGE_KEYS = (
    ("The note before, the note after", "Left, Right"),
    ("The system above, the system below", "Up, Down"),
    ("Start or end of the system", "Home, End"),
    ("First or last bar", "Ctrl+Home, Ctrl+End"),
    ("Select notes up to here", "Shift+Left, Shift+Right"),
    ("Write about the bar", "Return"),
)

# Jobs and printing
CANCEL, CANCELLED = "Cancel", "Cancelled; nothing was written"
BUSY = "One thing at a time: wait for this to finish, or cancel it"
WRITING, PRINTING, PRINTED = "Writing {name}", "Printing {name}", "Sent {name} to {printer}"
PROGRESS = "How far it is"
PRINT = "&Print…"
NO_PRINTING = "the printer does not answer; check it, or export a PDF and print that"

# Listening
LISTEN, PLAY, STOP = "&Listen", "&Listen from here", "&Stop"
LOOP, COUNT_IN, CLICK, CHORDS = "&Repeat the selection", "&Count in", "C&lick on the beats", "Play the c&hords"
TOOL_PLAY, TOOL_STOP, TOOLBAR = "Listen", "Stop", "Listening"
TEMPO, TEMPO_TIP = "Tempo", "In per cent of the study's own tempo; swing is wider under tempo"
TEMPO_NOW = "{tempo} a minute"
AS_IT_STANDS = "Played as it stands: {what}"
NO_DEVICE = "No sound device was found here; the mark moves along in silence"
NO_SOUND_LIBRARY = "The system lacks a library for sound ({what}); the mark moves along in silence"
