"""How well proposed keys and chords agree with what is printed, and how well simple guesses do.

Truth: the ``K:`` fields of printed dance tunes, and chords printed over tunes, both in files that
music21 carries; and the forms over which example lines were made.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import music21

from theorykit.errors import TheoryKitError
from theorykit.notation.abc_book import abc_tunes
from theorykit.practice.line import line_over
from theorykit.score.score import Score
from theorykit.score.signature import signature_changes
from theorykit.theory.chord import Chord
from theorykit.theory.form import FORMS
from theorykit.tune.chord_proposal import ChordProposal, propose_chords
from theorykit.tune.key_proposal import propose_key
from theorykit.tune.reading import read_tune
from theorykit.tune.weights import bars_of, melody, weighed

CORPUS = Path(music21.__file__).parent / "corpus"
DANCES = {
    "Ryan": sorted((CORPUS / "ryansMammoth").glob("*.abc")),
    "O'Neill": sorted((CORPUS / "oneills1850").glob("*.abc")),
}
WITH_CHORDS = sorted((CORPUS / "nottingham-dataset").glob("*.abc"))
#: Tunes with chords that come with abc2midi where a system installs it.
EXAMPLES = [
    path
    for name in ("araber", "baym_rebin", "coleraine", "demo", "dergasn")
    if (path := Path("/usr/share/doc/abcmidi/examples", f"{name}.abc")).exists()
]
LEAD_SHEETS = sorted((CORPUS / "leadSheet").glob("*.mxl"))

SCALES = {
    "major": (0, 2, 4, 5, 7, 9, 11),
    "minor": (0, 2, 3, 5, 7, 8, 10),
    "mixolydian": (0, 2, 4, 5, 7, 9, 10),
    "dorian": (0, 2, 3, 5, 7, 9, 10),
}


def tunes(files: Iterable[Path]) -> Iterator[tuple[str, Score]]:
    """Every tune of some files that is read, by a name of its own."""
    for path in files:
        if path.suffix != ".abc":
            yield path.stem, read_tune(path)
            continue
        for tune in abc_tunes(path.read_bytes()):
            text = "\n".join(tune.lines).encode()
            try:
                yield f"{path.stem}-{tune.number}", read_tune(text)
            except TheoryKitError:
                continue


def spread(files: list[Path], count: int) -> list[tuple[str, Score]]:
    """Tunes from all over some files, always the same."""
    every = files[:: max(1, len(files) // count)] if len(files) > count else files
    found = list(tunes(every))
    return found[:: max(1, len(found) // count)][:count]


def triad(chord: Chord) -> tuple[int, tuple[int, ...]]:
    """The root and the kind of third and fifth, sevenths and further notes aside."""
    steps = {step % 12 for step in chord.type.semitones}
    third = 3 if 3 in steps and 4 not in steps else 4
    fifth = 6 if 6 in steps and 7 not in steps else 8 if 8 in steps and 7 not in steps else 7
    return chord.root.pitch_class, (third, fifth)


Beats = dict[Fraction, tuple[int, tuple[int, ...]]]


def by_beat(score: Score) -> Beats:
    """The triad that holds on each beat."""
    found: Beats = {}
    for placed in score.chords:
        if placed.chord is None:
            continue
        beat = Fraction(-(-placed.start // 1))
        while beat < placed.start + placed.beats:
            found[beat] = triad(placed.chord)
            beat += 1
    return found


def agreement(truth: Beats, guess: Beats) -> tuple[int, int]:
    """Beats that agree, and beats."""
    return sum(guess.get(beat) == chord for beat, chord in truth.items()), len(truth)


def tonic_everywhere(truth: Beats, tonic: int, mode: str) -> Beats:
    kind = (3 if mode in {"minor", "dorian"} else 4, 7)
    return dict.fromkeys(truth, (tonic, kind))


def best_triad_by_bar(score: Score, tonic: int, mode: str) -> Beats:
    """In each bar the triad of the scale on which most of its melody lies."""
    scale = SCALES[mode]
    triads = []
    for at in range(7):
        root = scale[at]
        third, fifth = ((scale[(at + up) % 7] - root) % 12 for up in (2, 4))
        triads.append(((tonic + root) % 12, (third, fifth)))
    notes = weighed(score)
    found: Beats = {}
    for bar in bars_of(score):
        end = bar.start + bar.beats
        inside = [note for note in notes if bar.start <= note.start < end]

        def held(each: tuple[int, tuple[int, ...]]) -> float:
            root, kind = each
            classes = {root, *((root + step) % 12 for step in kind)}
            return sum(note.weight for note in inside if note.pitch_class in classes)  # noqa: B023

        best = max(triads, key=held)
        beat = Fraction(-(-bar.start // 1))
        while beat < end:
            found[beat] = best
            beat += 1
    return found


def chord_table(scores: Iterable[Score]) -> dict[str, float]:
    """Shares of beats on which a guess has the root and the kind of triad that is printed."""
    sums: dict[str, int] = {}
    whole = roots = shown = 0
    for score in scores:
        truth = by_beat(score)
        if len(truth) < 4:
            continue
        bare = replace(score, chords=())
        proposal = propose_chords(bare)
        tonic, mode = proposal.key.tonic.pitch_class, proposal.mode
        guesses = {
            "proposal": by_beat(proposal.score_with_chords(bare)),
            "tonic everywhere": tonic_everywhere(truth, tonic, mode),
            "best triad by bar": best_triad_by_bar(bare, tonic, mode),
        }
        for name, guess in guesses.items():
            sums[name] = sums.get(name, 0) + agreement(truth, guess)[0]
        whole += len(truth)
        roots += agreement(roots_of(truth), roots_of(guesses["proposal"]))[0]
        shown += among_alternatives(truth, proposal)
    found = {name: count / whole for name, count in sums.items()}
    return found | {"its root": roots / whole, "or an alternative": shown / whole, "beats": whole}


def roots_of(beats: Beats) -> Beats:
    """The roots alone."""
    return {beat: (root, ()) for beat, (root, _) in beats.items()}


def among_alternatives(truth: Beats, proposal: ChordProposal) -> int:
    """Beats on which the proposal or one of its first three alternatives is what is printed."""
    found = 0
    for chord in proposal.chords:
        numerals = [chord.numeral, *(each.numeral for each in chord.alternatives[:3])]
        offered = {triad(numeral.chord(proposal.key.tonic)) for numeral in numerals}
        beat = Fraction(-(-chord.start // 1))
        while beat < chord.start + chord.beats:
            found += truth.get(beat) in offered
            beat += 1
    return found


def lines_over_forms(levels: Iterable[int] = (1, 2, 3), seeds: int = 2) -> list[Score]:
    """Example lines over every form, each with its chords."""
    keys = ("G", "D", "A", "C")
    found = []
    for at, form in enumerate(FORMS.values()):
        key = keys[at % 4] + (" minor" if form.mode == "minor" else "")
        for level in levels:
            for seed in range(seeds):
                found.append(line_over(form, key, level=level, seed=seed).score)
    return found


def true_key(score: Score) -> tuple[int, str]:
    """The tonic and the mode that the file states."""
    stated = signature_changes(score)[0][1]
    return stated.key.tonic.pitch_class, stated.mode or stated.key.mode


def _signs(tonic: int, mode: str) -> int:
    up = {"major": 0, "minor": 3, "mixolydian": 5, "dorian": 10}[mode]
    return (tonic + up) % 12


def key_table(scores: Iterable[Score]) -> dict[str, float]:
    """Shares of tunes whose stated key a guess finds, the signature hidden."""
    sums = dict.fromkeys(
        ("proposal", "among the first two", "with the signature", "signature alone right"), 0
    )
    sums |= dict.fromkeys(("last note, major", "D major everywhere"), 0)
    whole = 0
    for score in scores:
        truth = true_key(score)
        if truth[1] not in SCALES:
            continue
        whole += 1
        found = propose_key(score, use_signature=False)
        named = [(each.key.tonic.pitch_class, each.mode) for each in found[:2]]
        last = round(melody(score)[-1].midi) % 12
        sums["proposal"] += named[0] == truth
        sums["among the first two"] += truth in named
        shown = propose_key(score)[0]
        sums["with the signature"] += (shown.key.tonic.pitch_class, shown.mode) == truth
        sums["signature alone right"] += _signs(*named[0]) == _signs(*truth)
        sums["last note, major"] += (last, "major") == truth
        sums["D major everywhere"] += truth == (2, "major")
    return {name: count / whole for name, count in sums.items()} | {"tunes": whole}
