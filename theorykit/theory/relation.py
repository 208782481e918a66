"""What scales share: notes added and dropped, scales that hold given notes, keys in common."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from theorykit.errors import BadInput
from theorykit.theory.degree import Degree
from theorykit.theory.key import MAJOR_TONICS, MINOR_TONICS, TONICS, Key
from theorykit.theory.pitch import Note
from theorykit.theory.scale import SCALES, Scale, ScaleFormula, every_scale


@dataclass(frozen=True, slots=True)
class Relation:
    """How one scale stands to another on the same tonic.

    Parameters
    ----------
    shared, added, dropped : tuple of Degree
        Degrees in both, only in the second, only in the first, each rising; sounds are compared,
        and a shared degree is spelled as in the first.
    """

    shared: tuple[Degree, ...]
    added: tuple[Degree, ...]
    dropped: tuple[Degree, ...]

    @property
    def kind(self) -> str:
        """``"same"``, ``"adds"``, ``"drops"`` or ``"changes"``."""
        if self.added and self.dropped:
            return "changes"
        return "adds" if self.added else "drops" if self.dropped else "same"

    def sentence(self, first: str, second: str) -> str:
        """The relation in words.

        >>> between = relation(SCALES["minor pentatonic"], SCALES["blues"])
        >>> between.sentence("minor pentatonic", "blues")
        'blues is minor pentatonic with b5 added'
        """
        if self.kind == "same":
            return f"{second} is {first} under another name"
        added, dropped = (", ".join(map(str, each)) for each in (self.added, self.dropped))
        parts = [f"{added} added"] if added else []
        parts += [f"{dropped} dropped"] if dropped else []
        return f"{second} is {first} with {' and '.join(parts)}"


def relation(first: ScaleFormula, second: ScaleFormula) -> Relation:
    """What ``second`` adds to ``first`` and drops from it, on one tonic.

    Examples
    --------
    >>> between = relation(SCALES["major"], SCALES["Mixolydian"])
    >>> [str(degree) for degree in between.added], [str(degree) for degree in between.dropped]
    (['b7'], ['7'])
    """
    in_first, in_second = set(first.semitones), set(second.semitones)
    return Relation(
        tuple(degree for degree in first.degrees if degree.semitones in in_second),
        tuple(degree for degree in second.degrees if degree.semitones not in in_first),
        tuple(degree for degree in first.degrees if degree.semitones not in in_second),
    )


def shared_notes(first: Scale, second: Scale) -> tuple[Note, ...]:
    """The notes that two scales on any tonics have in common by sound, spelled as in the first.

    >>> [str(note) for note in shared_notes(Scale.parse("G blues"), Scale.parse("D blues"))]
    ['G', 'C', 'D', 'F']
    """
    sounds = {note.pitch_class for note in second.notes}
    return tuple(note for note in first.notes if note.pitch_class in sounds)


def parents(formula: ScaleFormula) -> tuple[tuple[ScaleFormula, int], ...]:
    """The scales of the catalogue of which ``formula`` is another mode, with the mode's number.

    >>> [(parent.name, number) for parent, number in parents(SCALES["Dorian"])][0]
    ('major', 2)
    """
    found: list[tuple[ScaleFormula, int]] = []
    for parent in every_scale():
        if len(parent.degrees) != len(formula.degrees) or parent.semitones == formula.semitones:
            continue
        for number in range(2, len(parent.degrees) + 1):
            root = parent.semitones[number - 1]
            if sorted((each - root) % 12 for each in parent.semitones) == [*formula.semitones]:
                found.append((parent, number))
                break
    return tuple(found)


def keys_of(notes: Iterable[Note]) -> tuple[Key, ...]:
    """The keys whose signature holds every one of ``notes`` as it is spelled, fewest signs first.

    >>> [str(key) for key in keys_of(Scale.parse("G minor pentatonic").notes)]
    ['F major', 'D minor', 'Bb major', 'G minor', 'Eb major', 'C minor']
    """
    wanted = set(notes)
    keys = [Key(tonic, "major") for tonic in MAJOR_TONICS]
    keys += [Key(tonic, "minor") for tonic in MINOR_TONICS]
    natural = {"major": SCALES["major"], "minor": SCALES["natural minor"]}
    holding = [key for key in keys if wanted <= {*Scale(key.tonic, natural[key.mode]).notes}]
    return tuple(sorted(holding, key=lambda key: (abs(key.fifths), key.fifths, key.mode)))


def common_keys(first: Scale, second: Scale) -> tuple[Key, ...]:
    """The keys that hold both scales.

    >>> pair = Scale.parse("G major pentatonic"), Scale.parse("D major pentatonic")
    >>> [str(key) for key in common_keys(*pair)]
    ['G major', 'E minor', 'D major', 'B minor']
    """
    return keys_of({*first.notes, *second.notes})


@dataclass(frozen=True, slots=True)
class Holder:
    """A scale that holds the notes that were asked for.

    Parameters
    ----------
    scale : Scale
    extra : tuple of Note
        Its notes that were not among them.
    """

    scale: Scale
    extra: tuple[Note, ...]


def find_scales(
    notes: Iterable[Note], *, tonic: Note | None = None, most: int | None = None
) -> tuple[Holder, ...]:
    """Which scales hold these notes.

    Fewest extra notes come first, then scales on ``tonic``, then those whose tonic is the first of
    the notes, then those whose tonic is among them at all, then the order of the catalogue. Sounds
    are compared; each tonic is spelled so that the scale agrees with the notes as written.

    Parameters
    ----------
    notes : iterable of Note
    tonic : Note, optional
        The tonic that is meant; scales on others follow.
    most : int, optional
        How many to give at most.

    Raises
    ------
    BadInput
        If there are no notes.

    Examples
    --------
    >>> notes = [Note.parse(name) for name in "G Bb C D F".split()]
    >>> [str(holder.scale) for holder in find_scales(notes, most=3)]
    ['G minor pentatonic', 'Bb major pentatonic', 'C suspended pentatonic']
    """
    given = tuple(dict.fromkeys(notes))
    if not given:
        raise BadInput("notes", "", "there are none", accepted="one note or more")
    wanted = {note.pitch_class for note in given}
    ranked: list[tuple[tuple[int, ...], Holder]] = []
    formulas = [formula for formula in every_scale() if not formula.follows_chord]
    for order, formula in enumerate(formulas):
        for root in range(12):
            if not wanted <= {(root + step) % 12 for step in formula.semitones}:
                continue
            scale = _best_spelled(formula, root, given, tonic)
            extra = tuple(note for note in scale.notes if note.pitch_class not in wanted)
            rank = (
                len(extra),
                tonic is None or scale.tonic.pitch_class != tonic.pitch_class,
                scale.tonic.pitch_class != given[0].pitch_class,
                scale.tonic.pitch_class not in wanted,
                order,
                root,
            )
            ranked.append((rank, Holder(scale, extra)))
    ranked.sort(key=lambda pair: pair[0])
    return tuple(holder for _, holder in ranked[:most])


def _best_spelled(
    formula: ScaleFormula, root: int, given: tuple[Note, ...], tonic: Note | None
) -> Scale:
    spelled = [note for note in TONICS if note.pitch_class == root]
    if tonic is not None and tonic.pitch_class == root and tonic not in spelled:
        spelled.append(tonic)
    scales = [Scale(note, formula) for note in spelled]
    return min(
        scales,
        key=lambda scale: (
            scale.tonic != tonic,
            sum(note not in scale.notes for note in given),
            sum(abs(note.alter) for note in scale.notes),
        ),
    )
