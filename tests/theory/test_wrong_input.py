"""Wrong input: what each parser says, word for word, and that nothing else ever comes out."""

import pickle

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from theorykit.errors import BadInput
from theorykit.theory.chord import Chord, ChordType
from theorykit.theory.degree import Degree
from theorykit.theory.form import find_progression
from theorykit.theory.interval import Interval
from theorykit.theory.key import Key
from theorykit.theory.meter import find_meter
from theorykit.theory.numeral import Numeral
from theorykit.theory.pitch import Note, Pitch
from theorykit.theory.progression import Progression
from theorykit.theory.scale import Scale, ScaleFormula, find_scale

PARSERS = {
    "note": Note.parse,
    "pitch": Pitch.parse,
    "interval": Interval.parse,
    "degree": Degree.parse,
    "formula": ScaleFormula.parse,
    "scale name": find_scale,
    "scale": Scale.parse,
    "key": Key.parse,
    "quality": ChordType.parse,
    "chord": Chord.parse,
    "numeral": Numeral.parse,
    "meter": find_meter,
    "chart": Progression.parse,
    "form": find_progression,
}

A_NOTE = "a letter A to G in capitals with b, bb, # or ## after it"
A_PITCH = "a note and an octave number, as in G3 or Bb4 (middle C is C4)"
AN_INTERVAL = "P, M, m, A or d and a number, as in P5, m3, A4"
A_DEGREE = "1 to 13 with b, bb, # or ## before it, as in b3"
A_FORMULA = "degrees of the major scale rising from 1, as in 1 b3 4 5 b7"
A_SCALE = "a name such as blues, or a formula such as 1 b3 4 5 b7"
A_SCALE_ON = "a note and a scale's name, as in G minor pentatonic"
A_KEY = "a tonic such as A or Bb, with 'minor' or 'major' after it if you like"
A_CHORD = "a root and a quality, as in G, Am7, Bbmaj7, F#m7b5, D7sus4, E5, C/G"
A_NUMERAL = "a numeral such as I, ii7, bVII, V7/V, or a number such as 1, 4, 2m, b7, 1/3"
A_METER = "4/4, 3/4, 2/4, 2/2, 6/8, 9/8, 12/8, 5/4, 7/4, 3/2, 5/8, 7/8"
A_CHART = "bars such as | I | IV | V | I |"

ROWS = [
    ("note", "H", f"note 'H': not a note name; accepted: {A_NOTE}; did you mean 'B'?"),
    ("note", "h", f"note 'h': not a note name; accepted: {A_NOTE}; did you mean 'B'?"),
    ("note", "c", f"note 'c': not a note name; accepted: {A_NOTE}; did you mean 'C'?"),
    ("note", "", f"note '': not a note name; accepted: {A_NOTE}"),
    ("note", "G3", f"note 'G3': not a note name; accepted: {A_NOTE}; did you mean 'G'?"),
    ("note", "Bbbb", f"note 'Bbbb': not a note name; accepted: {A_NOTE}; did you mean 'Bbb'?"),
    ("note", "B flat", f"note 'B flat': not a note name; accepted: {A_NOTE}; did you mean 'Bb'?"),
    ("note", "D#b", f"note 'D#b': not a note name; accepted: {A_NOTE}; did you mean 'D#'?"),
    ("note", None, f"note 'None': not a note name; accepted: {A_NOTE}"),
    ("note", 7, f"note '7': not a note name; accepted: {A_NOTE}"),
    ("note", "ÄÖ", f"note 'ÄÖ': not a note name; accepted: {A_NOTE}"),
    ("note", "G\nA", f"note 'G A': not a note name; accepted: {A_NOTE}; did you mean 'G'?"),
    ("pitch", "G", f"pitch 'G': not a note with an octave; accepted: {A_PITCH}"),
    (
        "pitch",
        "H4",
        f"pitch 'H4': not a note with an octave; accepted: {A_PITCH}; did you mean 'B4'?",
    ),
    (
        "pitch",
        "g3",
        f"pitch 'g3': not a note with an octave; accepted: {A_PITCH}; did you mean 'G3'?",
    ),
    ("pitch", "C10000", f"pitch 'C10000': not a note with an octave; accepted: {A_PITCH}"),
    (
        "pitch",
        "C4.5",
        f"pitch 'C4.5': not a note with an octave; accepted: {A_PITCH}; did you mean 'C5'?",
    ),
    ("pitch", "", f"pitch '': not a note with an octave; accepted: {A_PITCH}"),
    ("pitch", None, f"pitch 'None': not a note with an octave; accepted: {A_PITCH}"),
    ("pitch", "Eb", f"pitch 'Eb': not a note with an octave; accepted: {A_PITCH}"),
    (
        "pitch",
        "H#3",
        f"pitch 'H#3': not a note with an octave; accepted: {A_PITCH}; did you mean 'B3'?",
    ),
    ("interval", "P3", "interval 'P3': does not exist; did you mean 'M3'?"),
    ("interval", "M5", "interval 'M5': does not exist; did you mean 'P5'?"),
    ("interval", "m4", "interval 'm4': does not exist; did you mean 'P4'?"),
    ("interval", "third", f"interval 'third': not an interval; accepted: {AN_INTERVAL}"),
    ("interval", "", f"interval '': not an interval; accepted: {AN_INTERVAL}"),
    ("interval", "P0", f"interval 'P0': not an interval; accepted: {AN_INTERVAL}"),
    ("interval", "m-3", f"interval 'm-3': not an interval; accepted: {AN_INTERVAL}"),
    ("interval", None, f"interval 'None': not an interval; accepted: {AN_INTERVAL}"),
    ("interval", "AAAA4", f"interval 'AAAA4': not an interval; accepted: {AN_INTERVAL}"),
    (
        "interval",
        "M3rd",
        f"interval 'M3rd': not an interval; accepted: {AN_INTERVAL}; did you mean 'M3'?",
    ),
    (
        "interval",
        "p5",
        f"interval 'p5': not an interval; accepted: {AN_INTERVAL}; did you mean 'P5'?",
    ),
    ("degree", "0", f"degree '0': not a scale degree; accepted: {A_DEGREE}"),
    ("degree", "14", f"degree '14': not a scale degree; accepted: {A_DEGREE}"),
    ("degree", "b", f"degree 'b': not a scale degree; accepted: {A_DEGREE}"),
    ("degree", "3b", f"degree '3b': not a scale degree; accepted: {A_DEGREE}"),
    ("degree", "bbb7", f"degree 'bbb7': not a scale degree; accepted: {A_DEGREE}"),
    ("degree", "iii", f"degree 'iii': not a scale degree; accepted: {A_DEGREE}"),
    ("degree", "", f"degree '': not a scale degree; accepted: {A_DEGREE}"),
    ("degree", None, f"degree 'None': not a scale degree; accepted: {A_DEGREE}"),
    ("degree", "#b3", f"degree '#b3': not a scale degree; accepted: {A_DEGREE}"),
    ("degree", "1.5", f"degree '1.5': not a scale degree; accepted: {A_DEGREE}"),
    ("formula", "", f"scale formula '': has no notes; accepted: {A_FORMULA}"),
    ("formula", "b3 4 5", f"scale formula 'b3 4 5': does not start on 1; accepted: {A_FORMULA}"),
    ("formula", "1", f"scale formula '1': has a single note; accepted: {A_FORMULA}"),
    (
        "formula",
        "1 3 2",
        f"scale formula '1 3 2': does not rise within one octave; accepted: {A_FORMULA}",
    ),
    (
        "formula",
        "1 9",
        f"scale formula '1 9': has a degree beyond the seventh; accepted: {A_FORMULA}",
    ),
    (
        "formula",
        "1 b3 4 x",
        f"scale formula '1 b3 4 x': 'x' is not a scale degree; accepted: {A_FORMULA}",
    ),
    (
        "formula",
        "1 2 3 8",
        f"scale formula '1 2 3 8': has a degree beyond the seventh; accepted: {A_FORMULA}",
    ),
    ("formula", None, f"scale formula 'None': has no notes; accepted: {A_FORMULA}"),
    (
        "formula",
        "1 b3 3 b3",
        f"scale formula '1 b3 3 b3': does not rise within one octave; accepted: {A_FORMULA}",
    ),
    (
        "formula",
        "1 #7",
        f"scale formula '1 #7': does not rise within one octave; accepted: {A_FORMULA}",
    ),
    (
        "scale name",
        "minr pentatonic",
        f"scale 'minr pentatonic': no scale of that name; accepted: {A_SCALE}; did you mean 'minor pentatonic'?",
    ),
    (
        "scale name",
        "bluess",
        f"scale 'bluess': no scale of that name; accepted: {A_SCALE}; did you mean 'blues'?",
    ),
    ("scale name", "", f"scale '': no scale of that name; accepted: {A_SCALE}"),
    ("scale name", "klezmer", f"scale 'klezmer': no scale of that name; accepted: {A_SCALE}"),
    ("scale name", None, "scale 'None': not a text; accepted: a name or a formula"),
    ("scale name", "2 3 4", f"scale formula '2 3 4': does not start on 1; accepted: {A_FORMULA}"),
    (
        "scale name",
        "dorain",
        f"scale 'dorain': no scale of that name; accepted: {A_SCALE}; did you mean 'Dorian'?",
    ),
    (
        "scale name",
        "1 b3 h",
        f"scale formula '1 b3 h': 'h' is not a scale degree; accepted: {A_FORMULA}",
    ),
    ("scale", "G", f"scale 'G': not a tonic and a scale; accepted: {A_SCALE_ON}"),
    ("scale", "blues", f"scale 'blues': not a tonic and a scale; accepted: {A_SCALE_ON}"),
    ("scale", "H blues", f"note 'H': not a note name; accepted: {A_NOTE}; did you mean 'B'?"),
    (
        "scale",
        "G bluse",
        f"scale 'bluse': no scale of that name; accepted: {A_SCALE}; did you mean 'blues'?",
    ),
    ("scale", "", f"scale '': not a tonic and a scale; accepted: {A_SCALE_ON}"),
    ("scale", "G  ", f"scale 'G': not a tonic and a scale; accepted: {A_SCALE_ON}"),
    ("scale", None, f"scale 'None': not a tonic and a scale; accepted: {A_SCALE_ON}"),
    ("key", "H", f"key 'H': not a key; accepted: {A_KEY}; did you mean 'B'?"),
    ("key", "G sharp", f"key 'G sharp': not a key; accepted: {A_KEY}; did you mean 'G#'?"),
    ("key", "Gm7", f"key 'Gm7': not a key; accepted: {A_KEY}; did you mean 'Gm'?"),
    ("key", "Fb", "key 'Fb': no key signature has that tonic; did you mean 'E'?"),
    ("key", "B#m", "key 'B#m': no key signature has that tonic; did you mean 'Cm'?"),
    ("key", "c minor", f"key 'c minor': not a key; accepted: {A_KEY}; did you mean 'C minor'?"),
    ("key", "", f"key '': not a key; accepted: {A_KEY}"),
    ("key", "A dorian", f"key 'A dorian': not a key; accepted: {A_KEY}; did you mean 'A minor'?"),
    ("key", None, f"key 'None': not a key; accepted: {A_KEY}"),
    ("key", "Bbb", "key 'Bbb': no key signature has that tonic; did you mean 'A'?"),
    ("key", "D-flat", f"key 'D-flat': not a key; accepted: {A_KEY}; did you mean 'Db'?"),
    (
        "quality",
        "7b9b9",
        f"chord quality '7b9b9': the same part is written twice; accepted: {A_CHORD}; did you mean '7b9'?",
    ),
    (
        "quality",
        "majj7",
        f"chord quality 'majj7': 'j7' is not part of a chord symbol; accepted: {A_CHORD}; did you mean 'maj7'?",
    ),
    (
        "quality",
        "m7#12",
        f"chord quality 'm7#12': '#12' is not part of a chord symbol; accepted: {A_CHORD}; did you mean 'm7'?",
    ),
    (
        "quality",
        "sus3",
        f"chord quality 'sus3': '3' is not part of a chord symbol; accepted: {A_CHORD}; did you mean 'sus4'?",
    ),
    (
        "quality",
        "(7",
        f"chord quality '(7': its brackets do not match; accepted: {A_CHORD}; did you mean '7'?",
    ),
    (
        "quality",
        "7)",
        f"chord quality '7)': its brackets do not match; accepted: {A_CHORD}; did you mean '7'?",
    ),
    (
        "quality",
        "5m",
        f"chord quality '5m': 'm' is not part of a chord symbol; accepted: {A_CHORD}; did you mean 'm'?",
    ),
    (
        "quality",
        "dim9",
        f"chord quality 'dim9': a diminished chord takes no extension but 7; accepted: {A_CHORD}; did you mean 'dim'?",
    ),
    (
        "quality",
        "aug5",
        f"chord quality 'aug5': a fifth alone is neither major nor minor; accepted: {A_CHORD}; did you mean 'aug'?",
    ),
    (
        "quality",
        "ø13",
        f"chord quality 'ø13': a half-diminished chord has a minor seventh; accepted: {A_CHORD}; did you mean '13'?",
    ),
    (
        "quality",
        "altb9",
        f"chord quality 'altb9': 'alt' stands for every alteration of a dominant seventh; accepted: {A_CHORD}; did you mean '7alt'?",
    ),
    (
        "quality",
        "no3no5",
        f"chord quality 'no3no5': a single note is no chord; accepted: {A_CHORD}",
    ),
    (
        "quality",
        "9no9",
        f"chord quality '9no9': leaves out the note that it is named for; accepted: {A_CHORD}",
    ),
    (
        "quality",
        "7no7",
        f"chord quality '7no7': 'no7': only the root, third, fifth, ninth or eleventh is left out; accepted: {A_CHORD}",
    ),
    (
        "quality",
        "6add6",
        f"chord quality '6add6': has its sixth already; accepted: {A_CHORD}; did you mean 'add9'?",
    ),
    ("quality", "C", f"chord quality 'C': 'C' is not part of a chord symbol; accepted: {A_CHORD}"),
    (
        "quality",
        "m7(maj7)",
        f"chord quality 'm7(maj7)': a major seventh does not go with that extension; accepted: {A_CHORD}; did you mean 'maj7'?",
    ),
    ("quality", "b11", f"chord quality 'b11': no chord has b11; accepted: {A_CHORD}"),
    (
        "quality",
        "7b5no5",
        f"chord quality '7b5no5': the fifth is both altered and left out; accepted: {A_CHORD}; did you mean 'm7b5'?",
    ),
    (
        "quality",
        "maj7+",
        f"chord quality 'maj7+': a last '+' may mean two things; write #5 or maj7; accepted: {A_CHORD}; did you mean 'maj7'?",
    ),
    (
        "chord",
        "H7",
        f"chord 'H7': does not start with a root; accepted: {A_CHORD}; did you mean 'B7'?",
    ),
    (
        "chord",
        "am7",
        f"chord 'am7': does not start with a root; accepted: {A_CHORD}; did you mean 'Am7'?",
    ),
    (
        "chord",
        "Cm7x",
        f"chord 'Cm7x': 'x' is not part of a chord symbol; accepted: {A_CHORD}; did you mean 'Cm7'?",
    ),
    ("chord", "C2", f"chord 'C2': '2' is not part of a chord symbol; accepted: {A_CHORD}"),
    ("chord", "C/", f"chord 'C/': '/' is not part of a chord symbol; accepted: {A_CHORD}"),
    ("chord", "C/H", f"chord 'C/H': '/H' is not part of a chord symbol; accepted: {A_CHORD}"),
    ("chord", "", f"chord '': does not start with a root; accepted: {A_CHORD}"),
    ("chord", "N.C.", f"chord 'N.C.': does not start with a root; accepted: {A_CHORD}"),
    ("chord", None, f"chord 'None': does not start with a root; accepted: {A_CHORD}"),
    (
        "chord",
        "Cmaj7/",
        f"chord 'Cmaj7/': '/' is not part of a chord symbol; accepted: {A_CHORD}; did you mean 'Cmaj7'?",
    ),
    (
        "chord",
        "C7(b9",
        f"chord 'C7(b9': its brackets do not match; accepted: {A_CHORD}; did you mean 'C7b9'?",
    ),
    (
        "chord",
        "C5m",
        f"chord 'C5m': 'm' is not part of a chord symbol; accepted: {A_CHORD}; did you mean 'Cm'?",
    ),
    (
        "chord",
        "Cdim9",
        f"chord 'Cdim9': a diminished chord takes no extension but 7; accepted: {A_CHORD}; did you mean 'Cdim'?",
    ),
    (
        "chord",
        "Bb7//D",
        f"chord 'Bb7//D': '/' is not part of a chord symbol; accepted: {A_CHORD}; did you mean 'Bb7'?",
    ),
    (
        "chord",
        "Ch7",
        f"chord 'Ch7': 'h7' is not part of a chord symbol; accepted: {A_CHORD}; did you mean 'C7'?",
    ),
    (
        "chord",
        "C6/8",
        f"chord 'C6/8': '/8' is not part of a chord symbol; accepted: {A_CHORD}; did you mean 'C6'?",
    ),
    ("chord", "7", f"chord '7': does not start with a root; accepted: {A_CHORD}"),
    (
        "chord",
        "bb7",
        f"chord 'bb7': does not start with a root; accepted: {A_CHORD}; did you mean 'Bb7'?",
    ),
    (
        "chord",
        "hm7",
        f"chord 'hm7': does not start with a root; accepted: {A_CHORD}; did you mean 'Bm7'?",
    ),
    ("numeral", "", f"numeral '': not a numeral; accepted: {A_NUMERAL}"),
    (
        "numeral",
        "VIII",
        f"numeral 'VIII': not a numeral; accepted: {A_NUMERAL}; did you mean 'VII'?",
    ),
    (
        "numeral",
        "IIII",
        f"numeral 'IIII': not a numeral; accepted: {A_NUMERAL}; did you mean 'III'?",
    ),
    ("numeral", "iV", f"numeral 'iV': not a numeral; accepted: {A_NUMERAL}; did you mean 'IV'?"),
    ("numeral", "I/", f"numeral 'I/': nothing stands after the slash; accepted: {A_NUMERAL}"),
    ("numeral", "V7/", f"numeral 'V7/': nothing stands after the slash; accepted: {A_NUMERAL}"),
    ("numeral", "V/x", f"numeral 'V/x': 'x' after the slash: not a numeral; accepted: {A_NUMERAL}"),
    (
        "numeral",
        "V7/V/3",
        f"numeral 'V7/V/3': a bass note stands before what the chord leads to, as in V7/3/V; accepted: {A_NUMERAL}",
    ),
    ("numeral", "8", f"numeral '8': not a numeral; accepted: {A_NUMERAL}"),
    ("numeral", "0", f"numeral '0': not a numeral; accepted: {A_NUMERAL}"),
    ("numeral", "N.C.", f"numeral 'N.C.': not a numeral; accepted: {A_NUMERAL}"),
    (
        "numeral",
        "ii+",
        f"numeral 'ii+': a lower-case numeral has a minor third; accepted: {A_NUMERAL}",
    ),
    (
        "numeral",
        "I7b9b9",
        f"numeral 'I7b9b9': the same part is written twice; accepted: {A_NUMERAL}",
    ),
    (
        "numeral",
        "V/V/V/V/V",
        f"numeral 'V/V/V/V/V': leads on through more than 3 chords; accepted: {A_NUMERAL}",
    ),
    ("numeral", None, f"numeral 'None': not a numeral; accepted: {A_NUMERAL}"),
    ("numeral", "bb", f"numeral 'bb': not a numeral; accepted: {A_NUMERAL}; did you mean 'bV'?"),
    ("numeral", "G7", f"numeral 'G7': not a numeral; accepted: {A_NUMERAL}; did you mean 'V7'?"),
    ("numeral", "Xmaj7", f"numeral 'Xmaj7': not a numeral; accepted: {A_NUMERAL}"),
    ("numeral", "ivv", f"numeral 'ivv': not a numeral; accepted: {A_NUMERAL}; did you mean 'IV'?"),
    (
        "meter",
        "4/5",
        f"meter '4/5': not a meter of charts; accepted: {A_METER}; did you mean '4/4'?",
    ),
    (
        "meter",
        "6/4",
        f"meter '6/4': not a meter of charts; accepted: {A_METER}; did you mean '7/4'?",
    ),
    ("meter", "waltz", f"meter 'waltz': not a meter of charts; accepted: {A_METER}"),
    ("meter", "", f"meter '': not a meter of charts; accepted: {A_METER}"),
    ("meter", "4", f"meter '4': not a meter of charts; accepted: {A_METER}; did you mean '7/4'?"),
    ("meter", None, f"meter 'None': not a meter of charts; accepted: {A_METER}"),
    ("chart", "", f"progression '': has no chords; accepted: {A_CHART}"),
    ("chart", "|", f"progression '|': has no chords; accepted: {A_CHART}"),
    (
        "chart",
        "| I | G7 |",
        "progression '| I | G7 |': bar 2: 'G7' is a chord symbol, which needs a key; accepted: numerals, or chord symbols with a key",
    ),
    (
        "chart",
        "| I IV V |",
        "progression '| I IV V |': bar 1: 3 chords do not share 4 beats evenly; accepted: a '.' after a chord for each further share, as in I . . V",
    ),
    ("chart", "| % | I |", "progression '| % | I |': bar 1 repeats a bar, but none is before"),
    ("chart", "| . I |", "progression '| . I |': bar 1: starts with '.'"),
    ("chart", "| I % |", "progression '| I % |': bar 1: '%' must stand alone in its bar"),
    (
        "chart",
        "| I | Vx |",
        f"progression '| I | Vx |': bar 2: numeral 'Vx': 'x' is not part of a chord symbol; accepted: {A_NUMERAL}",
    ),
    (
        "chart",
        "3/5 | I |",
        f"meter '3/5': not a meter of charts; accepted: {A_METER}; did you mean '3/4'?",
    ),
    (
        "chart",
        "4/4 I V",
        "progression '4/4 I V': '4/4' may be a meter or a chord; accepted: 4/4 | ... for the meter, | 4/4 | ... for the chord",
    ),
    (
        "chart",
        "| I | key: D | V |",
        "progression '| I | key: D | V |': bar 2: key 'D': needs the tune's own key at the beginning",
    ),
    (
        "chart",
        "| I | key: V7 | I |",
        "progression '| I | key: V7 | I |': bar 2: key 'V7': a key is a plain numeral, as in II or vi",
    ),
    ("chart", "| N.C. |", f"progression '| N.C. |': has no chords; accepted: {A_CHART}"),
    ("chart", "pickup: | I |", "progression 'pickup: | I |': its pick-up has no chords"),
    (
        "chart",
        "pickup 4: V | I |",
        "progression 'pickup 4: V | I |': its pick-up is not shorter than a bar",
    ),
    (
        "chart",
        "pickup 1/0: V | I |",
        "progression 'pickup 1/0: V | I |': its pick-up has no length",
    ),
    (
        "chart",
        "key: H | I |",
        "progression 'key: H | I |': bar 1: key 'H': not a key; accepted: a key such as D or F#m, or a numeral such as II or vi",
    ),
    (
        "chart",
        "| I | H |",
        f"progression '| I | H |': bar 2: numeral 'H': not a numeral; accepted: {A_NUMERAL}",
    ),
    ("chart", None, f"progression 'None': has no chords; accepted: {A_CHART}"),
    (
        "chart",
        "I V |: x",
        f"progression 'I V |: x': bar 2: numeral 'x': not a numeral; accepted: {A_NUMERAL}",
    ),
    ("chart", "| I | key: |", "progression '| I | key: |': bar 2: ':' is no part of a chart"),
    (
        "chart",
        "| I |\n| IV | Wx |",
        f"progression '| I | | IV | Wx |': bar 3: numeral 'Wx': not a numeral; accepted: {A_NUMERAL}",
    ),
    (
        "form",
        "12-bar bluse",
        "progression '12-bar bluse': no form of that name, and not a chart; accepted: a form's name or bars such as | I | IV | V | I |; did you mean '12-bar blues'?",
    ),
    (
        "form",
        "walz",
        "progression 'walz': no form of that name, and not a chart; accepted: a form's name or bars such as | I | IV | V | I |; did you mean 'waltz'?",
    ),
    ("form", "", f"progression '': has no chords; accepted: {A_CHART}"),
    (
        "form",
        "nothing at all",
        f"progression 'nothing at all': bar 1: numeral 'nothing': not a numeral; accepted: {A_NUMERAL}",
    ),
    ("form", None, f"progression 'None': has no chords; accepted: {A_CHART}"),
    (
        "form",
        "| I | Q |",
        f"progression '| I | Q |': bar 2: numeral 'Q': not a numeral; accepted: {A_NUMERAL}",
    ),
]


@pytest.mark.parametrize(("parser", "text", "sentence"), ROWS)
def test_wrong_input_is_refused_in_one_sentence(parser, text, sentence):
    with pytest.raises(BadInput) as caught:
        PARSERS[parser](text)
    assert str(caught.value) == sentence


def test_every_parser_has_wrong_input_in_the_table():
    assert {row[0] for row in ROWS} == set(PARSERS)
    assert len(ROWS) > 150


def test_a_chart_is_no_longer_than_any_that_people_play():
    assert len(Progression.parse("| I " * 512 + "|").bars) == 512
    with pytest.raises(BadInput, match="has more than 512 bars"):
        Progression.parse("| I " * 513 + "|")


@pytest.mark.parametrize("parser", sorted(PARSERS))
def test_a_long_text_is_cut_short(parser):
    for text in ("V" + "z" * 50_000, "C" + "7/" * 20_000, "| I | " + "q" * 50_000, "b" * 50_000):
        with pytest.raises(BadInput) as caught:
            PARSERS[parser](text)
        assert len(str(caught.value)) < 400


# What reads a suggestion, by the kind of value that the error is about.
READERS = {
    "note": Note.parse,
    "pitch": Pitch.parse,
    "interval": Interval.parse,
    "scale": find_scale,
    "key": Key.parse,
    "chord quality": ChordType.parse,
    "chord": Chord.parse,
    "numeral": Numeral.parse,
    "meter": find_meter,
    "progression": find_progression,
}


# A suggestion that would itself be refused sends the user in a circle.
def test_what_is_suggested_is_accepted():
    suggested = 0
    for parser, text, _ in ROWS:
        with pytest.raises(BadInput) as caught:
            PARSERS[parser](text)
        if caught.value.nearest is not None:
            READERS[caught.value.kind](caught.value.nearest)
            suggested += 1
    assert suggested > 60


def test_errors_cross_process_borders_unchanged():
    with pytest.raises(BadInput) as caught:
        Chord.parse("Cm7x")
    again = pickle.loads(pickle.dumps(caught.value))
    assert str(again) == str(caught.value)
    assert again.nearest == "Cm7"


PIECES = """
    I IV V7 ii vi° bVII 1 4 5 2m 57 b7 1/3 V/V G Am7 Bbmaj7 C7#9 C/E F#m7b5 N.C. % . | || |: :| :|x3
    1. 2. [A] key: pickup: title: 3/4 6/8 D.C. D.S. al Fine Coda segno to coda fine b # ♭ ♯ x ( ) , /
    - + 7 maj7 sus add9 no3 alt ø ° Δ blues minor major dorian 0 9 13 99 ' " < & \u200b \u0661 𝄫 é
"""
pieces = st.sampled_from(PIECES.split())
texts = st.lists(pieces, max_size=8).map(" ".join) | st.lists(pieces, max_size=5).map("".join)


@pytest.mark.parametrize("parser", sorted(PARSERS))
@settings(max_examples=150, deadline=None)
@given(text=texts | st.text(max_size=20))
def test_any_text_is_read_or_refused_in_one_line(parser, text):
    sentence = ""
    try:
        PARSERS[parser](text)
    except BadInput as error:
        sentence = str(error)
    assert "\n" not in sentence
    assert len(sentence) < 400
