"""A question of a quiz with its answer, its explanation and its sound, as plain values."""

from __future__ import annotations

from dataclasses import dataclass

#: The kinds of question with what a menu says of each, in the order in which they are asked.
KINDS: dict[str, str] = {
    "find": "find it on the neck",
    "name": "name what is shown",
    "scale": "which scale is it, by ear",
    "switch": "stay or switch?",
    "rub": "which note rubs?",
    "third": "with or without its third, by ear",
    "next": "which chord is next?",
}

#: The kinds that are asked by ear: without their sound they can't be answered.
BY_EAR = ("scale", "third")


@dataclass(frozen=True, slots=True)
class Mark:
    """A place on the neck with what is written on it.

    Parameters
    ----------
    string, fret : int
        String 1 for the first; fret 0 for the open string.
    label : str
    """

    string: int
    fret: int
    label: str


@dataclass(frozen=True, slots=True)
class NoteMark:
    """A note that is marked wherever it lies on the neck.

    Parameters
    ----------
    pitch_class : int
    label : str
    care : bool
        True for a note to be careful with.
    """

    pitch_class: int
    label: str
    care: bool = False


@dataclass(frozen=True, slots=True)
class Tone:
    """A note that is heard: key number, when it starts and how long it lasts, in beats."""

    midi: int
    beat: float
    beats: float


@dataclass(frozen=True, slots=True)
class Question:
    """One question.

    Parameters
    ----------
    kind : str
        One of ``KINDS``.
    level : int
        1 to 4.
    card : str
        What is asked, by itself: the same text is the same question to a practice log.
    text : str
        What is asked, as the player reads it.
    options : tuple of str
        What can be chosen; empty where a place on the neck is the answer.
    answer : int
        The number of the right option, 0 for the first; -1 where there are none.
    why : str
        One or two sentences, shown after the answer whether it was right or not.
    wrong : tuple of str
        For each option a sentence on it, empty where there is no more to say than ``why`` does.
    frets : int
        How far up the neck is shown.
    tonic : str
        The key's, by which places on the neck are named.
    shown : tuple of Mark
        What the neck shows with the question.
    marks : tuple of Mark
        What it shows after the answer.
    notes : tuple of NoteMark
        Likewise, wherever they lie up to ``frets``.
    places : tuple of (int, int)
        The strings and frets that answer it, where the neck is the answer.
    sound : tuple of Tone
        What is heard with the question.
    proof : tuple of Tone
        What is heard after it, to compare.
    """

    kind: str
    level: int
    card: str
    text: str
    options: tuple[str, ...]
    answer: int
    why: str
    wrong: tuple[str, ...]
    frets: int
    tonic: str
    shown: tuple[Mark, ...] = ()
    marks: tuple[Mark, ...] = ()
    notes: tuple[NoteMark, ...] = ()
    places: tuple[tuple[int, int], ...] = ()
    sound: tuple[Tone, ...] = ()
    proof: tuple[Tone, ...] = ()

    @property
    def expected(self) -> str:
        """The right answer in words: the option, or the places on the neck."""
        if self.options:
            return self.options[self.answer]
        return ", ".join(f"string {string} fret {fret}" for string, fret in self.places)
