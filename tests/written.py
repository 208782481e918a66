"""Scores written by hand, and what readers that are not ours make of files of a score."""

from __future__ import annotations

import re
import subprocess
import sys
import warnings
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cache
from importlib.util import find_spec
from pathlib import Path

import lxml.etree
import mido
import music21

from theorykit.score.score import Glide, Part, PlacedChord, Score, ScoreNote
from theorykit.theory.chord import Chord
from theorykit.theory.degree import Degree
from theorykit.theory.key import MAJOR_TONICS, MINOR_TONICS, Key
from theorykit.theory.pitch import Pitch

# Where a synthesiser is installed, partitura fetches sounds for it as it is imported.
_SYNTHESISER = sys.modules.pop("fluidsynth", None)
sys.modules["fluidsynth"] = None  # type: ignore[assignment]
import partitura  # noqa: E402

del sys.modules["fluidsynth"]
if _SYNTHESISER is not None:
    sys.modules["fluidsynth"] = _SYNTHESISER

#: A note as every reader gives it: quarters after the first bar line, quarters long, MIDI key.
Read = list[tuple[Fraction, Fraction, int]]

# What two namespaces of the schema refer to; the attributes that MusicXML uses of them (W3C).
_XLINK = """<xs:schema xmlns:xs="http://www.w3.org/2001/XMLSchema"
 targetNamespace="http://www.w3.org/1999/xlink">
 <xs:attribute name="href" type="xs:anyURI"/><xs:attribute name="type" type="xs:string"/>
 <xs:attribute name="role" type="xs:token"/><xs:attribute name="title" type="xs:token"/>
 <xs:attribute name="show" type="xs:token"/><xs:attribute name="actuate" type="xs:token"/>
</xs:schema>"""
_XML = """<xs:schema xmlns:xs="http://www.w3.org/2001/XMLSchema"
 targetNamespace="http://www.w3.org/XML/1998/namespace">
 <xs:attribute name="lang" type="xs:language"/><xs:attribute name="space" type="xs:NCName"/>
</xs:schema>"""


class _Local(lxml.etree.Resolver):
    """Gives the schema what it would fetch."""

    def resolve(self, url: str, _public: str, context: object) -> object:
        text = _XLINK if url.endswith("xlink.xsd") else _XML if url.endswith("xml.xsd") else None
        return None if text is None else self.resolve_string(text, context)


@cache
def schema() -> lxml.etree.XMLSchema:
    """The schema of MusicXML 4.0 (W3C), which the package ``musicxml`` carries."""
    found = find_spec("musicxml")
    assert found is not None
    assert found.submodule_search_locations is not None
    folder = Path(found.submodule_search_locations[0])
    parser = lxml.etree.XMLParser(no_network=True)
    parser.resolvers.add(_Local())
    return lxml.etree.XMLSchema(
        lxml.etree.parse(str(folder / "generate_classes" / "musicxml_4_0.xsd"), parser)
    )


def schema_errors(text: str) -> list[str]:
    document = lxml.etree.fromstring(text.encode(), lxml.etree.XMLParser(no_network=True))
    return [] if schema().validate(document) else [str(error) for error in schema().error_log]


def ours(score: Score, part: str = "line") -> Read:
    """The notes of a part, where they are written."""
    quarters = score.signature.beat_quarters
    return sorted(
        (note.start * quarters, note.beats * quarters, round(note.midi))
        for note in score.part(part).notes
        if note.start >= -score.pickup
    )


def _exact(value: object) -> Fraction:
    return Fraction(value).limit_denominator(10080)  # type: ignore[arg-type]


def by_music21(text: str, kind: str, *, lead: Fraction = Fraction(0)) -> Read:
    """The notes of the first staff as music21 reads them; ``lead`` is the length of a pick-up."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        stream = music21.converter.parseData(text, format=kind)
    part = stream.parts[0].stripTies()
    found: Read = []
    for note in part.flatten().notes:
        if isinstance(note, music21.harmony.ChordSymbol) or note.duration.isGrace:
            continue
        start, length = _exact(note.offset) - lead, _exact(note.quarterLength)
        found += [(start, length, pitch.midi) for pitch in note.pitches]
    return sorted(found)


def by_partitura(path: Path, *, lead: Fraction = Fraction(0)) -> Read:
    """The notes of the first staff as partitura reads them."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        part = partitura.load_musicxml(str(path))[0]
    divisions = part.quarter_duration_map(0)
    first = min(note.start.t for note in part.notes_tied if note.staff in {None, 1})
    zero = min(each.start.t for each in part.iter_all(partitura.score.Measure))
    assert first >= zero
    return sorted(
        (
            _exact(Fraction(int(note.start.t - zero), int(divisions))) - lead,
            _exact(Fraction(int(note.duration_tied), int(divisions))),
            note.midi_pitch,
        )
        for note in part.notes_tied
        if note.staff in {None, 1}
    )


#: How far abc2midi may be from a place: it begins a note a hair late, and those of a chord one
#: after another.
_LATE = Fraction(1, 12)


def by_abc2midi(text: str, folder: Path) -> list[tuple[Fraction, int]]:
    """Quarters after the first note, and MIDI key, of each note as Debian's abc2midi plays it."""
    source, target = folder / "tune.abc", folder / "tune.mid"
    source.write_text(text, encoding="utf-8")
    target.unlink(missing_ok=True)
    subprocess.run(
        ["abc2midi", str(source), "-o", str(target), "-NGRA", "-NGUI"],
        check=True,
        capture_output=True,
    )
    file = mido.MidiFile(str(target))
    found: list[tuple[Fraction, int]] = []
    for track in file.tracks:
        now = 0
        for message in track:
            now += message.time
            if message.type == "note_on" and message.velocity:
                found.append((Fraction(now, file.ticks_per_beat), message.note))
    first = min(at for at, _ in found)
    return sorted((at - first, key) for at, key in found)


def played_alike(played: list[tuple[Fraction, int]], notes: Read) -> bool:
    """True where abc2midi plays the notes, and nothing else, each at its place."""
    first = min(start for start, _, _ in notes)
    wanted: dict[int, list[Fraction]] = {}
    for start, key in starts(notes):
        wanted.setdefault(key, []).append(start - first)
    heard: dict[int, list[Fraction]] = {}
    for at, key in played:
        heard.setdefault(key, []).append(at)
    return heard.keys() == wanted.keys() and all(
        len(heard[key]) == len(places)
        and all(abs(at - place) < _LATE for at, place in zip(heard[key], places, strict=True))
        for key, places in wanted.items()
    )


def starts(notes: Read) -> list[tuple[Fraction, int]]:
    return sorted((start, key) for start, _, key in notes)


def places(score: Score) -> list[tuple[Fraction, int | None, int | None]]:
    """Strings and frets, note by note."""
    return [(note.start, note.string, note.fret) for note in score.part("line").notes]


def spelled(score: Score) -> list[tuple[Fraction, Fraction, str]]:
    return [(note.start, note.beats, str(note.pitch)) for note in score.part("line").notes]


def placed_chords(score: Score) -> list[tuple[Fraction, Fraction, str]]:
    return [(chord.start, chord.beats, str(chord.chord)) for chord in score.chords]


_STEP = re.compile(r"(?P<pitch>[A-G][b#x]*-?\d|r)(?::(?P<beats>[\d/]+))?")


def line(text: str, *, start: Fraction = Fraction(0), beats: str = "1") -> tuple[ScoreNote, ...]:
    """Notes as ``"C4 D4:1/2 r:1/2 E4"``: each with its beats, or the length of the one before."""
    found, at, length = [], start, Fraction(beats)
    for match in _STEP.finditer(text):
        length = Fraction(match["beats"]) if match["beats"] else length
        if match["pitch"] != "r":
            pitch = Pitch.parse(match["pitch"])
            found.append(ScoreNote(at, length, pitch.midi, pitch))
        at += length
    return tuple(found)


def tune(text: str, *, start: Fraction = Fraction(0), beats: str = "1", chords: str = "",
         chord_beats: int = 4, key: str = "C", **settings: object) -> Score:  # fmt: skip
    home = Key.parse(key)
    names = chords.split()
    return Score(
        (Part("line", line(text, start=start, beats=beats), "guitar"),),
        chords=tuple(
            PlacedChord(Fraction(index * chord_beats), Fraction(chord_beats), Chord.parse(name))
            for index, name in enumerate(names)
        ),
        key=home,
        keys=((Fraction(0), home),),
        title="Test",
        **settings,  # type: ignore[arg-type]
    )


@dataclass(frozen=True)
class Written:
    """A score with a name."""

    name: str
    score: Score


def _degrees(score: Score) -> Score:
    part = score.part("line")
    assert score.key is not None
    notes = tuple(
        replace(note, degree=Degree.between(score.key.tonic, note.pitch.note))
        for note in part.notes
        if note.pitch is not None
    )
    return score.with_part(replace(part, notes=notes))


def _scale(key: Key) -> Score:
    """Up a scale and down, every note of the signature sounding."""
    steps = [0, 2, 3, 5, 7, 8, 10, 12] if key.mode == "minor" else [0, 2, 4, 5, 7, 9, 11, 12]
    home = Pitch(key.tonic, 4)
    up = [home.shifted(step, half) for step, half in enumerate(steps)]
    notes = tuple(
        ScoreNote(Fraction(at, 2), Fraction(1, 2), pitch.midi, pitch)
        for at, pitch in enumerate([*up, *reversed(up)])
    )
    return Score(
        (Part("line", notes, "guitar"),), key=key, keys=((Fraction(0), key),), title=str(key)
    )


def written() -> list[Written]:
    """Every trouble that notation has, once, and all thirty signatures."""
    found = [
        Written("plain", tune("C4 D4 E4 F4 G4:2 A4:1 r:1", chords="C G7")),
        Written("pick-up", tune("G4 C5 D5 E5 C5 D5:2 r:1", start=Fraction(-1), pickup=Fraction(1), chords="C G")),
        Written("short pick-up", tune("G4:1/2 A4 C5:1 D5 E5 C5:4", start=Fraction(-1), pickup=Fraction(1))),
        Written("triplets", tune("C4:1/3 D4 E4 F4:1 G4:2/3 A4:1/3 B4:1", chords="Cmaj7")),
        Written("quarter triplets", tune("C4:2/3 D4 E4 F4:1/6 G4 A4 B4 A4 G4 F4:1")),
        Written("triplet with a rest", tune("C4:1/3 r D4 E4:1 r:2")),
        Written("quintuplet", tune("C4:1/5 D4 E4 F4 G4 A4:1 B4:2")),
        Written("ties", tune("C4:3 D4:3 E4:5/2 F4:3/2 G4:6")),
        Written("tied triplet", tune("C4:11/3 D4:2/3 E4:5/3 F4:2")),
        Written("syncopation", tune("C4:1/2 D4:1 E4 F4 G4:1/2 A4:3/4 B4:1/4 C5:7/4 D5:5/4")),
        Written("3/4", tune("C4 D4 E4 F4:3/2 G4:1/2 A4:1 B4:3", meter="3/4", chords="C G7 C", chord_beats=3)),
        Written("6/8", tune("C4:1/3 D4 E4 F4:2/3 G4:1/3 A4:1 B4:1/2 C5:1/2", meter="6/8", chords="C G", chord_beats=2)),
        Written("9/8", tune("C4:1/3 D4 E4 F4:2/3 G4:1/3 A4:1", meter="9/8")),
        Written("12/8", tune("C4:2/3 E4:1/3 G4:2/3 A4:1/3 Bb4:2/3 A4:1/3 G4:2/3 E4:1/3 C4:4", meter="12/8", key="C", chords="C7 F7")),
        Written("2/2", tune("C4:1/2 D4 E4:1/4 F4 G4:1/2", meter="2/2")),
        Written("5/4", tune("C4 D4 E4 F4 G4 A4:5", meter="5/4")),
        Written("7/8", tune("C4 D4 E4 F4 G4 A4 B4 C5:7", meter="7/8")),
        Written("two chords a bar", tune("C4:4 D4:3 E4:1", chords="C F Dm7 G7", chord_beats=2)),
        Written("double accidentals", tune("F#4 Fx4 F#4 F4 Bb4 Bbb4 Bb4 B4 Fx4 Fx5 F#5 F#4".replace("x", "##"), key="G# minor")),
        Written("octaves", tune("C2 C3 C4 C5 C6 C7 Bb2 Bb3 B3 B2 Bb6 B6", key="F")),
        Written("degrees", _degrees(tune("A3 C4 D4 D#4 E4 G4 A4:2", key="A minor"))),
    ]  # fmt: skip
    two = line("C5:1 D5 E5 F5") + line("C4:2 G4:2") + line("E4:2 B4:2") + line("C3:3 r:1 C3:4")
    part = Part("line", tuple(sorted(two, key=lambda note: (note.start, note.midi))), "guitar")
    found.append(Written("two voices and chords", Score((part,), title="Test")))
    changed = tune("C4 D4 E4 F4 F#4 G4 A4 B4 Bb4 A4 G4 F4", key="C")
    keys = (
        (Fraction(0), Key.parse("C")),
        (Fraction(4), Key.parse("G")),
        (Fraction(8), Key.parse("F")),
    )
    found.append(Written("key changes", replace(changed, keys=keys)))
    rest = tune("C4:1/2 D4:1/2 r:3 r:4 E4:4")
    found.append(Written("empty bar", rest))
    found += [Written(str(key), _scale(key)) for key in _every_key()]
    return found


def _every_key() -> list[Key]:
    return [Key(tonic) for tonic in MAJOR_TONICS] + [Key(tonic, "minor") for tonic in MINOR_TONICS]


def on_strings() -> Score:
    """A line with places, joins and a bend: an open G string, hammered, pulled off, slid, bent."""
    push = Glide("bend", ((Fraction(1, 4), 0.0), (Fraction(3, 4), 0.5)))
    slide = Glide("slide", ((Fraction(1, 2), 0.0), (Fraction(1), 2.0)))
    notes = (
        ScoreNote(Fraction(0), Fraction(1), 55, Pitch.parse("G3"), string=3, fret=0, finger=0),
        ScoreNote(Fraction(1), Fraction(1), 57, Pitch.parse("A3"), string=3, fret=2, finger=2, articulation="hammer-on"),
        ScoreNote(Fraction(2), Fraction(1), 55, Pitch.parse("G3"), string=3, fret=0, finger=0, articulation="pull-off"),
        ScoreNote(Fraction(3), Fraction(1), 62, Pitch.parse("D4"), string=2, fret=3, finger=3, glide=slide),
        ScoreNote(Fraction(4), Fraction(1), 64, Pitch.parse("E4"), string=2, fret=5, finger=3),
        ScoreNote(Fraction(5), Fraction(1), 58, Pitch.parse("Bb3"), string=3, fret=3, finger=3, glide=push, degree=Degree.parse("b3")),
        ScoreNote(Fraction(6), Fraction(2), 55, Pitch.parse("G3"), string=4, fret=5, finger=4, articulation="staccato", level=0.5),
    )  # fmt: skip
    key = Key.parse("G")
    return Score(
        (Part("line", notes, "guitar"),),
        chords=(PlacedChord(Fraction(0), Fraction(4), Chord.parse("G7")),
                PlacedChord(Fraction(4), Fraction(4), Chord.parse("C7"))),
        key=key,
        keys=((Fraction(0), key),),
        title="On strings",
    )  # fmt: skip
