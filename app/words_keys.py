"""The words of the sheet of keys and what it tells. As in `words`: to be translated here."""

from __future__ import annotations

SEARCH = "Search for a command or a key"
CHANGE, CHANGE_TIP = "C&hange…", "Press the new key for the chosen command (Return); Escape leaves it as it is"
BACK, BACK_TIP = "&Back to the original", "Gives the chosen command the key it came with"
ALL_BACK, ALL_BACK_TIP = "&All back to the original", "Gives every command the key it came with"
NEW_KEY = "New key for {name}"
PRESS = "press a key"
HOW = "Choose a command, press Return, then its new key. Bold: changed by you. Grey: fixed."
WAS = "It came with {keys}"
NO_KEY = "no key"
GIVEN = "{name}: {keys} from now on"
ALL_GIVEN = "Every command has the key it came with"
NONE_FOUND = "No command and no key has {text!r}"
FIXED = "{section} (fixed)"

# Why a key is not taken
TAKEN = "{key} belongs to {name!r}; give that another key first"
PAGE_HAS = "{key} is fixed ({name!r}); choose another key"
OPENS_MENU = "{key} opens the menu {name}; choose another key"
TYPED = "{key} alone would be lost to typing; hold Ctrl or Alt with it"
ONLY_FIXED = "These keys are fixed"

# What else is typed
MOVING_KEYS = (("From field to field, and back", "Tab, Shift+Tab"), ("Menus", "F10"))
SIGNS = "What you type into words, symbols and frets"
SIGN_ROWS = (
    ("A chord symbol in your words", "{Bbmaj7}"),
    ("A degree in your words", "{b9}"),
    ("A note, and words about it: of a half step", "{F# half step}"),
    ("Italics in your words", "*so*"),
    ("Flat and sharp, twice for double", "b, #"),
    ("While writing frets above 9: the second figure soon after", "1 2, 2 0"),
)
