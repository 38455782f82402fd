"""Every word the window says about annotating: findings, drafts, the table of notes, what is unfinished.

{…} are filled in; & before a letter makes it the key of a menu or button.
"""

from __future__ import annotations

# Findings and drafts
FINDINGS = "What the line does"
NO_FINDINGS = "Nothing to decide in this bar"
LOOKING = "listening to the line…"
DRAFT = "Draft for the whole bar"
ACCEPT, REWORD, DISMISS, RESTORE = "Accept", "Reword", "Dismiss", "Offer again"
ACCEPT_TIP = "Keep it as a callout of these notes"
ACCEPT_READING_TIP = "Keep it as a reading of this passage"
REWORD_TIP = "Keep it as a callout, and write it in your own words"
REWORD_READING_TIP = "Keep it as a reading, and change its harmony"
DISMISS_TIP = "Do not offer it again; it waits under Dismissed"
BUTTON_OF = "{button}: {sentence}"
MORE = {True: "Show {count} more", False: "Hide {count} more"}
DISMISSED = {True: "Show dismissed ({count})", False: "Hide dismissed ({count})"}
KINDS = {
    "run": "run", "passing-half-step": "passing half step", "enclosure": "enclosure", "neighbour": "neighbour",
    "turn": "turn", "arpeggio": "arpeggio", "cell": "cell", "sequence": "sequence", "guide-tone": "guide-tone line",
    "altered": "altered dominant", "anticipation": "anticipation", "delay": "delay", "target": "target",
    "return": "returning idea", "reading": "reading",
}
TO_BAR = "{kind}, to {bar}"

# Names of edits, for undo
ACCEPT_EDIT, DISMISS_EDIT = "accept {kind}, {bar}", "dismiss {kind}, {bar}"
RESTORE_EDIT, ACCEPT_DRAFT_EDIT = "offer {kind} again, {bar}", "accept draft, {bar}"
EDIT_DYNAMIC, EDIT_HAIRPIN = "dynamic, {bar}", "hairpin, {bar}"
EDIT_SIGN, EDIT_JUMP = "sign, {bar}", "jump, {bar}"

# The tabs of the side
SIDE = "About the study"
TABS = {"bar": "Bar", "notes": "Notes", "unfinished": "Unfinished", "solo": "Solo"}
TAB_TIPS = {
    "bar": "The bar's chord symbols, readings, comment, callouts and findings",
    "notes": "The bar's notes in a table",
    "unfinished": "Bars with something still missing",
    "solo": "What the whole solo does, and all drafts",
}

# The table of notes
NOTE_TABLE = "Notes of the bar"
COLUMNS = {
    "note": "Note", "degree": "Degree", "string": "String", "fret": "Fret", "finger": "Finger", "stroke": "Stroke",
    "remark": "Remark",
}
WIDEST = {"note": "Note", "degree": "Degree", "string": "String", "fret": "Fret", "finger": "Finger",
          "stroke": "hammer-on"}
"""What the columns have room for; the last takes the rest."""
LEGEND = "Bold: set by you; on the page its fret is underlined.  Grey: proposed by Bargloss.  Delete gives cells back."
GIVE_BACK_EDIT = "give back, {bar}"
SET_BY_YOU, PROPOSED = "{what}, set by you", "{what}, proposed"
EMPTY_CELL = "empty"
STROKE_MARKS = {"": "", "down": "down", "up": "up", "hammer-on": "hammer-on", "pull-off": "pull-off", "slide": "slide"}
NO_PLACE = "no {what} {number} for this note: {choices}"
FRETS_THERE = "it lies at {places}"
PLACE_THERE = "string {string}, fret {fret}"
NOWHERE = "no string has it"
BAD_STROKE = "{text!r} is no stroke; write down or up, or the first letter"
BAD_FINGER = "{text!r} is no finger; write 1 (index) to 4 (little), or 0 for an open string"
CELL_TIPS = {
    "degree": "your own name for it, as in #9", "finger": "1 index to 4 little, 0 open",
    "stroke": "d for a downstroke, u for an upstroke", "remark": "a few words about this note",
}

# What is unfinished
UNFINISHED = "Unfinished bars"
ALL_FINISHED = "Every bar has its words, and nothing is left to decide."
UNFINISHED_COUNT = {1: "1 bar unfinished", 2: "{count} bars unfinished"}
READING_INK = "proof-reading the pages…"
NO_WORDS = "nothing said yet"
TO_DECIDE = {1: "1 finding to decide", 2: "{count} findings to decide"}
NEXT_UNFINISHED, PREVIOUS_UNFINISHED = "Next &unfinished bar", "Previous u&nfinished bar"
KIND_NAMES = {"words": "without words", "hand": "notes and settings at fault", "finding": "findings to decide",
              "ink": "faults on the page"}

# The whole solo
SOLO = "What the solo does"
SOLO_SUMMARY, SOLO_DRAFTS = "In figures", "Drafts"
NO_DRAFTS = "No drafts are left: all is accepted or dismissed."

# The menu
ANNOTATE = "&Annotate"
CALLOUT_SELECTION = "&Callout about the selection"
TO_FINDINGS, ACCEPT_DRAFT, REWORD_DRAFT = "Go to the &findings", "&Accept the bar's draft", "&Reword the bar's draft"
SHOW_TABS = {"bar": "Show the &bar", "notes": "Show the bar's &notes", "unfinished": "Show what is &unfinished",
             "solo": "Show what the &solo does"}
NO_DRAFT = "There is no draft for this bar: nothing was found, or all is decided."
NONE_FURTHER = "No unfinished bar comes after this one."
NONE_BEFORE = "No unfinished bar comes before this one."
DYNAMIC_MENU, HAIRPIN_OVER = "&Dynamic at the selection", "&Hairpin over the selection"
SIGN_MENU, JUMP_MENU = "&Sign where the bar starts", "&Jump where the bar ends"
HAIRPINS_OVER = {"cresc": "&Crescendo", "dim": "&Diminuendo", "": "&None"}

# Dynamics, hairpins, signs and jumps
DYNAMIC, HAIRPIN, SIGN, JUMP = "Dynamic", "Hairpin", "Sign", "Jump"
NONE = "none"
HAIRPINS = {"": "none", "cresc": "crescendo from here", "dim": "diminuendo from here", "stop": "ends before here"}
SIGNS = {"": "none", "segno": "segno", "coda": "coda"}
SIGN_TIP, JUMP_TIP = "Where the bar starts", "Where the bar ends"
SIGNS_HEADING = "Sign and jump"
