"""Scores to and from music21's streams. The one module that loads music21, when it is called."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from theorykit.errors import BadInput, TuneError
from theorykit.notation.chord_kind import ChordKind, KindDegree, chord_kind, kind_chord
from theorykit.notation.measures import Measure, Sign, measures
from theorykit.notation.tune import Tune, TuneBar, TuneNote, tune_score
from theorykit.score.score import MODES, Part, Score
from theorykit.score.signature import Signature, modal, signature_changes, spelled_in
from theorykit.theory.chord import Chord, ChordType
from theorykit.theory.degree import Degree
from theorykit.theory.meter import read_meter
from theorykit.theory.pitch import Note, Pitch

#: What music21 calls the kinds that MusicXML has other names for; read back by either name.
_KINDS = {"dominant": "dominant-seventh", "major-minor": "minor-major-seventh"}
_KINDS_BACK = {other: name for name, other in _KINDS.items()}


def to_music21(score: Score) -> Any:
    """A score as a music21 ``stream.Score``: a part for each of its own, clicks left out.

    Chords are chord symbols in the first part, degrees are lyrics, strings, frets and fingers are
    articulations.

    Raises
    ------
    BadInput
        If a part has a rhythm that can't be written.

    Examples
    --------
    >>> from theorykit.score.score import Part, ScoreNote
    >>> tune = Score((Part("line", (ScoreNote(Fraction(0), Fraction(4), 69),), "guitar"),))
    >>> [note.nameWithOctave for note in to_music21(tune).recurse().notes]
    ['A4']
    """
    from music21 import metadata, stream

    found = stream.Score()
    if score.title:
        found.metadata = metadata.Metadata(title=score.title)
    pitched = [part for part in score.parts if part.name != "click"]
    for index, part in enumerate(pitched):
        found.append(_stream_part(score, part, chords=index == 0))
    return found


def _stream_part(score: Score, part: Part, *, chords: bool) -> Any:
    from music21 import meter, stream, tempo

    found = stream.Part(id=part.name)
    found.partName = part.name
    number = 0
    fifths = signature_changes(score)[0][1].fifths
    for index, bar in enumerate(measures(score, part)):
        number += bar.full or (bar.start >= 0 and index > 0)
        measure = stream.Measure(number=number)
        if bar.start < 0:
            measure.paddingLeft = float(_full(score, bar) - bar.quarters)
        if bar.meter is not None:
            measure.insert(0, meter.TimeSignature(bar.meter.name))
        if bar.signature is not None:
            fifths = bar.signature.fifths
            measure.insert(0, _stream_key(bar.signature))
        if index == 0:
            referent = float(score.signature.beat_quarters)
            measure.insert(0, tempo.MetronomeMark(number=score.tempo, referent=referent))
        if chords:
            for offset, placed in bar.chords:
                measure.insert(offset, _stream_chord(placed.chord))
        for voice_number, signs in enumerate(bar.voices, start=1):
            target = measure if len(bar.voices) == 1 else stream.Voice(id=str(voice_number))
            for sign in signs:
                target.insert(sign.offset, _stream_sign(sign, fifths))
            if target is not measure:
                measure.insert(0, target)
        found.append(measure)
    return found


def _full(score: Score, bar: Measure) -> Fraction:
    meter = bar.meter or score.signature
    return meter.beats * meter.beat_quarters


def _stream_key(signature: Signature) -> Any:
    from music21 import key

    tonic = _flat(str(signature.key.tonic))
    return key.Key(tonic, signature.mode or signature.key.mode)


def _stream_sign(sign: Sign, fifths: int) -> Any:
    from music21 import articulations, chord, duration, note, tie

    length = duration.Duration(sign.quarters)
    if not sign.notes:
        return note.Rest(duration=length)
    single: list[Any] = []
    for each in sign.notes:
        pitch = each.pitch or spelled_in(round(each.midi), fifths)
        made = note.Note(_flat(str(pitch)), duration=length)
        if sign.tied_from or sign.tied_to:
            kind = "continue" if sign.tied_from and sign.tied_to else None
            made.tie = tie.Tie(kind or ("stop" if sign.tied_from else "start"))
        single.append(made)
    found = single[0] if len(single) == 1 else chord.Chord(single, duration=length)
    if sign.tied_from:
        return found
    for each in sign.notes:
        if each.degree is not None:
            found.addLyric(str(each.degree), applyRaw=True)
        if each.string is not None:
            found.articulations.append(articulations.StringIndication(each.string))
        if each.fret is not None:
            found.articulations.append(articulations.FretIndication(each.fret))
        if each.finger is not None:
            found.articulations.append(articulations.Fingering(each.finger))
    return found


def _stream_chord(chord: Chord | None) -> Any:
    from music21 import harmony, interval

    if chord is None:
        return harmony.NoChord()
    kind = chord_kind(chord.type)
    found = harmony.ChordSymbol(
        root=_flat(str(chord.root)),
        bass=_flat(str(chord.bass)) if chord.bass is not None else None,
        kind=_KINDS.get(kind.name, kind.name),
        kindStr=chord.type.suffix,
    )
    for each in kind.degrees:
        change = harmony.ChordStepModification(each.type, each.value, interval.Interval(each.alter))
        found.addChordStepModification(change, updatePitches=False)
    return found


def _flat(name: str) -> str:
    """A note as music21 writes it, whose flat is a minus sign."""
    return name[0] + name[1:].replace("b", "-")


def from_music21(stream: Any, *, part: int = 1) -> Score:
    """A part of a music21 stream as a score with the one part ``line``.

    Bars are played once, as they stand; ``stream.expandRepeats()`` plays repeats out. Grace notes
    are left out.

    Parameters
    ----------
    stream : music21 stream
        A score, a part, or a stream of notes.
    part : int
        Which of a score's parts, counted from 1.

    Raises
    ------
    BadInput
        If it is no stream, or has no such part.
    TuneError
        If it can't be read as a tune.
    """
    from music21 import stream as streams

    if not isinstance(stream, streams.Stream):
        raise BadInput("stream", type(stream).__name__, "not a stream of music21's")
    parts = list(stream.parts) if isinstance(stream, streams.Score) else [stream]
    if not 1 <= part <= len(parts):
        raise BadInput("part", part, "not in this stream", accepted=f"1 to {len(parts)}")
    chosen = parts[part - 1]
    if not chosen.getElementsByClass(streams.Measure):
        chosen = chosen.makeNotation()
    tune = Tune(title=_title(stream))
    reader = _Bars(tune)
    for number, measure in enumerate(chosen.getElementsByClass(streams.Measure), start=1):
        try:
            reader.read(measure)
        except (BadInput, TuneError) as error:
            raise TuneError(str(error), bar=number) from None
    _tempo(chosen, tune)
    return tune_score(tune, repeats=False)


def _title(stream: Any) -> str:
    data = getattr(stream, "metadata", None)
    return str(data.bestTitle or "") if data is not None else ""


def _tempo(part: Any, tune: Tune) -> None:
    from music21 import tempo

    for mark in part.recurse().getElementsByClass(tempo.MetronomeMark):
        quarters = mark.getQuarterBPM()
        if quarters:
            tune.quarters_a_minute = float(quarters)
            return


class _Bars:
    """The measures of a part, read one after another into a tune."""

    def __init__(self, tune: Tune) -> None:
        self.tune = tune
        self.meter = "4/4"
        self.signature: Signature | None = None

    def read(self, measure: Any) -> None:
        from music21 import harmony, key, meter, note

        for each in measure.recurse().getElementsByClass(meter.TimeSignature):
            self.meter = read_meter(each.ratioString).name
        for each in measure.recurse().getElementsByClass(key.KeySignature):
            self.signature = _signature(each)
        bar = TuneBar(self.meter, self.signature)
        for each in measure.recurse().getElementsByClass(note.GeneralNote):
            offset = Fraction(each.getOffsetInHierarchy(measure))
            if isinstance(each, harmony.NoChord):
                bar.chords.append((offset, None))
            elif isinstance(each, harmony.ChordSymbol):
                chord = _chord(each)
                if chord is not None:
                    bar.chords.append((offset, chord))
            elif not each.duration.isGrace:
                length = Fraction(each.duration.quarterLength)
                bar.quarters = max(bar.quarters, offset + length)
                if length and not each.isRest:
                    bar.notes += _notes(each, offset, length)
        full = read_meter(self.meter)
        bar.quarters = bar.quarters or full.beats * full.beat_quarters
        self.tune.bars.append(bar)


def _signature(found: Any) -> Signature:
    mode = getattr(found, "mode", None) or "major"
    mode = {"major": "ionian", "minor": "aeolian"}.get(mode, mode)
    if mode not in MODES:
        mode = "ionian"
    # The major tonic lies that many fifths above C, the mode's own as many more as it takes back.
    place = found.sharps - MODES[mode] + 1
    return modal(Note("FCGDAEB"[place % 7], place // 7), mode)


def _pitch(found: Any) -> Pitch:
    alter = found.alter
    if int(alter) != alter:
        raise TuneError(f"{found.nameWithOctave} is a quarter tone")
    return Pitch(Note(found.step, int(alter)), found.implicitOctave)


def _notes(found: Any, offset: Fraction, length: Fraction) -> list[TuneNote]:
    from music21 import articulations

    single = list(found.notes) if found.isChord else [found] if found.isNote else []
    made: list[TuneNote] = []
    for each in single:
        own = each.tie or found.tie
        tied = own is not None and own.type in ("start", "continue")
        made.append(TuneNote(offset, length, _pitch(each.pitch), tied=tied))
    for kind, name in (
        (articulations.StringIndication, "string"),
        (articulations.FretIndication, "fret"),
        (articulations.Fingering, "finger"),
    ):
        marks = [
            mark for mark in found.articulations
            if isinstance(mark, kind) and isinstance(getattr(mark, "number", None), int)
        ]  # fmt: skip
        numbers = [mark.number for mark in marks]
        if name == "finger":
            numbers = [
                mark.fingerNumber
                for mark in found.articulations
                if isinstance(mark, kind) and isinstance(mark.fingerNumber, int)
            ]
        for note, number in zip(made, numbers, strict=False):
            setattr(note, name, number)
    for note, lyric in zip(made, found.lyrics, strict=False):
        try:
            note.degree = Degree.parse(lyric.text or "")
        except BadInput:
            continue
    return made


def _chord(symbol: Any) -> Chord | None:
    """A chord symbol; None for one that a chart does not write."""
    root, bass = symbol.root(), symbol.bass()
    kind = _KINDS_BACK.get(symbol.chordKind, symbol.chordKind)
    degrees = tuple(
        KindDegree(each.degree, int(each.interval.semitones) if each.interval else 0, each.modType)
        for each in symbol.getChordStepModifications()
    )
    try:
        found = kind_chord(ChordKind(kind, degrees))
    except BadInput:
        try:
            found = ChordType.parse(symbol.chordKindStr or "?")
        except BadInput:
            return None
    home = Note(root.step, int(root.alter))
    low = Note(bass.step, int(bass.alter)) if bass is not None else home
    return Chord(home, found, low if low != home else None)
