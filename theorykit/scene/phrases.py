"""What is said of positions and shapes: one wording for Python and for the module that draws."""

from __future__ import annotations

import re

#: Texts with their fields in angle brackets.
PHRASES = {
    "no position": "every place of the scale",
    "open position": "open strings and frets <index> to <last>",
    "closed position": "index finger at fret <index>",
    "pattern": "<notes>, frets <index> to <last>",
    "counted": "<what> (<number> of <count>)",
    "choose": "Choose a position: the rest of the scale steps back.",
    "no positions": "Nobody's fingers stay in a position on a <instrument>.",
    "no pattern": "<notes> run over the end of the neck that is shown.",
    "uneven": "Under a capo a <instrument>'s frets are others: nothing can be moved along.",
    "hand": "Fingers 1 to 4 cover frets <index> to <last>: <mm> mm.",
    "stretch": "It stretches to <places>.",
    "slide": "To the next: finger <finger> slides on string <string>, fret <start> to <end>.",
    "shift": "To the next: on string <string> finger <finger> at fret <start> gives way to finger "
    "<other> at fret <end>.",
    "last": "Up here the neck ends.",
    "moved": "The same fingers play it in another key from another fret.",
    "open name": "Open",
    "fret name": "Fret <index>",
    "string run": "string <string> <frets>",
    "without": "<chord> without its <member>",
    "no shape": "No shape of <chord> lies there on a <instrument>; choose another place.",
    "no chords": "No chord shapes are known for a <instrument>.",
    "looking": "Looking for shapes …",
    "third": "Its third sounds on <places>.",
    "no third": "No third sounds: neither major nor minor.",
    "has no third": "<chord> has no third: it is neither major nor minor.",
    "beside": "<what>, beside <other>",
    "left out": "Its <member> is left out.",
    "not a member": "<chord> has no <member> to leave out.",
    "stopped": "string <string> fret <fret>",
    "open": "string <string> open",
    "and": " and ",
    "smoother": "Alone, <second> is <percent> % less rough than <first>.",
    "rougher": "Alone, <second> is <percent> % rougher than <first>.",
    "as rough": "Alone, <second> is as rough as <first>.",
    "rubs less": "A <note> above it rubs <percent> % less.",
    "rubs more": "A <note> above it rubs <percent> % more.",
    "rubs as much": "A <note> above it rubs as much.",
    "neck": "<instrument> neck, <heading>: <places>",
    "line title": "Line <number>, level <level>",
    "line kept": "; line <number> is kept",
    "tune variation": "<title>, variation <number>",
    "tune kept": "; <what> is kept",
    "tune itself": "The melody of the tune as it was read: ask a note what it is.",
    "line note": "Note <number> of <count>: <why>",
    "sequence title": "<figure> in <rhythm>, <way>",
    "sequence note": "Note <number> of <count>: <pitch>, degree <degree>",
    "note open": ", string <string> open",
    "note stopped": ", string <string> fret <fret>, finger <finger>",
    "writing": "Writing …",
    "not packed": "This page has no music for that choice: choose in the menus above it.",
    "as text": "Written as text: of this choice the page has no staff notation. It has that of "
    "what it was made with, and of what is one menu away from that.",
    "muted": "string <string> muted",
    "keys": "Piano keyboard, <heading>: <notes>",
}

#: The members that can be left out, by the number that a choice has for them.
MEMBER_WORDS = {"3": "third", "5": "fifth", "1": "root"}

_FIELD = re.compile(r"<(\w+)>")


def phrase(name: str, **fields: object) -> str:
    """A text with its fields filled in.

    >>> phrase("open", string=2)
    'string 2 open'
    """
    return _FIELD.sub(lambda match: str(fields[match[1]]), PHRASES[name])
