"""Which key and mode a tune is in: proposals with their evidence, for the player to judge."""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt

from theorykit.score.score import Score
from theorykit.score.signature import signature_changes
from theorykit.theory.degree import Degree
from theorykit.theory.key import Key
from theorykit.theory.pitch import Note
from theorykit.tune.weights import melody, profile, weighed

#: How well each half step above the tonic fits a key: Krumhansl & Kessler (1982), probe tones.
_MAJOR = (6.35, 2.23, 3.48, 2.33, 4.38, 4.09, 2.52, 5.19, 2.39, 3.66, 2.29, 2.88)
_MINOR = (6.33, 2.68, 3.52, 5.38, 2.60, 3.53, 2.54, 4.75, 3.98, 2.69, 3.34, 3.17)


def _swapped(row: tuple[float, ...], *pairs: tuple[int, int]) -> tuple[float, ...]:
    changed = list(row)
    for one, other in pairs:
        changed[one], changed[other] = row[other], row[one]
    return tuple(changed)


#: The profiles by mode. Those of the two modes are stipulated: major and minor with the degrees
#: that tell the modes from them exchanged.
PROFILES: dict[str, tuple[float, ...]] = {
    "major": _MAJOR,
    "minor": _MINOR,
    "mixolydian": _swapped(_MAJOR, (10, 11)),
    "dorian": _swapped(_MINOR, (8, 9)),
}

_SCALES: dict[str, frozenset[int]] = {
    "major": frozenset({0, 2, 4, 5, 7, 9, 11}),
    "minor": frozenset({0, 2, 3, 5, 7, 8, 10}),
    "mixolydian": frozenset({0, 2, 4, 5, 7, 9, 10}),
    "dorian": frozenset({0, 2, 3, 5, 7, 9, 10}),
}

#: Sharps in the signature beyond those of the major key on the same tonic.
_SHARPS = {"major": 0, "minor": -3, "mixolydian": -1, "dorian": -2}

# Stipulated: what each piece of evidence adds to the correlation, which is at most 1. In minor the
# raised seventh counts half as a note of the scale. Plain major and minor come before the modes
# where the notes do not decide.
_FINAL, _IN_SCALE, _SIGNATURE, _STATED, _MODAL = 0.35, 3.0, 0.4, 0.6, -0.03

# How far a signature with nothing in it is believed: a file has one too where nobody wrote any
# and the flats and sharps stand at the notes (stipulated).
_EMPTY = 0.5


@dataclass(frozen=True, slots=True)
class KeyProposal:
    """A key that a tune may be in.

    Parameters
    ----------
    key : Key
        Major or minor, whichever third the mode has.
    mode : str
        ``"major"``, ``"minor"``, ``"mixolydian"`` or ``"dorian"``.
    score : float
        The sum of the evidence; higher is likelier, and only the differences mean anything.
    correlation : float
        Of the tune's pitch classes with the mode's profile, -1 to 1.
    in_scale : float
        The share of the melody, by weight, that lies in the mode's scale.
    ends_on : Degree
        The last note above the tonic.
    signature : bool or None
        Whether the written signature is this key's; None where none was looked at.
    """

    key: Key
    mode: str
    score: float
    correlation: float
    in_scale: float
    ends_on: Degree
    signature: bool | None

    @property
    def name(self) -> str:
        """The tonic and the mode."""
        return f"{self.key.tonic} {self.mode}"

    @property
    def why(self) -> str:
        """The evidence in a sentence."""
        tonic = self.key.tonic
        at_home = self.ends_on.semitones % 12 == 0
        end = f"it ends on {tonic}" if at_home else f"it ends on the {self.ends_on}, not on {tonic}"
        parts = [end, f"{round(100 * self.in_scale)}% of it lies in the {self.mode} scale"]
        if self.signature is not None:
            parts.append(f"the signature {'fits' if self.signature else 'does not fit'}")
        return f"{self.name}: {', '.join(parts[:-1])} and {parts[-1]}."


def propose_key(score: Score, *, use_signature: bool = True) -> list[KeyProposal]:
    r"""The keys that a tune may be in, best first.

    It is a proposal: any `Key` may be given in its place to what takes one.

    Parameters
    ----------
    score : Score
    use_signature : bool
        False to judge by the notes alone.

    Raises
    ------
    BadInput
        If the score has no notes.

    Examples
    --------
    >>> from theorykit.tune.reading import read_tune
    >>> tune = read_tune(b"X:1\nM:4/4\nL:1/4\nK:D\nDFAF|G2 E2|C E A,C|D4|]")
    >>> best = propose_key(tune)[0]
    >>> best.why
    'D major: it ends on D, 100% of it lies in the major scale and the signature fits.'
    """
    notes = weighed(score)
    shares = profile(notes)
    line = melody(score)
    final = round(max(line, key=lambda note: (note.start, -note.midi)).midi) % 12
    stated = None
    if use_signature and score.key is not None:
        stated = signature_changes(score)[0][1]
    found = []
    for mode, row in PROFILES.items():
        for tonic in _tonics(mode, stated.fifths if stated is not None else None):
            home = tonic.pitch_class
            turned = shares[home:] + shares[:home]
            correlation = _correlation(turned, row)
            in_scale = sum(turned[step] for step in _SCALES[mode])
            if mode == "minor":
                in_scale += 0.5 * turned[11]
            fits = None
            total = correlation + _IN_SCALE * (in_scale - 1)
            total += _FINAL * ((final - home) % 12 == 0)
            total += _MODAL * (mode not in {"major", "minor"})
            if stated is not None:
                fits = stated.fifths == Key(tonic).fifths + _SHARPS[mode]
                said = stated.mode or stated.key.mode
                told = _SIGNATURE * fits
                told += _STATED * (fits and stated.key.tonic == tonic and said == mode)
                total += told if stated.fifths else _EMPTY * told
            key = Key(tonic, "minor" if mode in {"minor", "dorian"} else "major")
            ends_on = Degree.between(tonic, _named(final, tonic))
            found.append(KeyProposal(key, mode, total, correlation, in_scale, ends_on, fits))
    return sorted(found, key=lambda proposal: -proposal.score)


def _tonics(mode: str, fifths: int | None) -> list[Note]:
    """A tonic for each pitch class: of its names, the one whose signature is nearest."""
    middle = 0 if fifths is None else fifths
    best: dict[int, Note] = {}
    line = [Note("FCGDAEB"[at % 7], at // 7) for at in range(-6, 15)]
    for note in sorted(line, key=lambda each: _distance(each, mode, middle)):
        key = Key(note, "minor" if mode in {"minor", "dorian"} else "major")
        if abs(key.fifths) <= 7:
            best.setdefault(note.pitch_class, note)
    return list(best.values())


def _distance(note: Note, mode: str, middle: int) -> tuple[int, int]:
    fifths = Key(note).fifths + _SHARPS[mode]
    return abs(fifths - middle), abs(fifths)


def _named(pitch_class: int, tonic: Note) -> Note:
    steps = (pitch_class - tonic.pitch_class) % 12
    low = ("1", "b2", "2", "b3", "3", "4", "#4", "5", "b6", "6", "b7", "7")
    return Degree.parse(low[steps]).at(tonic)


def _correlation(one: list[float], other: tuple[float, ...]) -> float:
    mean_one, mean_other = sum(one) / 12, sum(other) / 12
    pairs = [(a - mean_one, b - mean_other) for a, b in zip(one, other, strict=True)]
    spread = sqrt(sum(a * a for a, _ in pairs) * sum(b * b for _, b in pairs))
    return sum(a * b for a, b in pairs) / spread if spread else 0.0
