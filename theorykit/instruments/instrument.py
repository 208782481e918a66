"""What an instrument is: its strings and its neck.

String order everywhere: string 1 first, the one nearest the player's feet, as tablature counts.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from theorykit.errors import BadInput
from theorykit.theory.pitch import Pitch

#: The clefs that the instruments read: sign, the line that it stands
#: on, and by how many octaves the music sounds higher than it would in the plain clef.
CLEFS: dict[str, tuple[str, int, int]] = {
    "treble": ("G", 2, 0),
    "treble 8vb": ("G", 2, -1),
    "alto": ("C", 3, 0),
    "bass": ("F", 4, 0),
    "bass 8vb": ("F", 4, -1),
}


@dataclass(frozen=True, slots=True)
class String:
    """A string or a course of strings.

    Parameters
    ----------
    open : Pitch
        What it sounds when it is not stopped.
    start_fret : int
        The fret at which it begins: 0 at the nut, 5 for a banjo's short fifth string.
    strands : int
        Strings in the course: 2 on a mandolin.
    octave_strand : bool
        True where one strand of the course sounds an octave above ``open``, as on a twelve-string.
    """

    open: Pitch
    start_fret: int = 0
    strands: int = 1
    octave_strand: bool = False


@dataclass(frozen=True, slots=True)
class Instrument:
    """A fretted or bowed neck.

    Parameters
    ----------
    name : str
    strings : tuple of String
        String 1 first.
    scale_length_mm : float
        Nut to bridge.
    frets : int
        How many the neck has, in half steps from the nut; on a fretless one, how far it is played.
    inlays : tuple of int
        Frets with a position mark.
    double_inlays : tuple of int
        Those of them that have two.
    voice : str
        Which of the player's voices sounds it.
    fretless : bool
        True where the finger, not a fret, ends the string.
    fretted : tuple of int
        The half steps that have a fret, where not all have: a dulcimer's. Empty for all.
    frets_a_finger : int
        Half steps that each finger has in a position: 1 on guitar, 2 on mandolin and fiddle; 0
        where a bar slides on the strings and no finger stops them.
    clef : str
        The one of ``CLEFS`` in which its music is written.
    aliases : tuple of str
        Other names that ``find_instrument`` takes.
    source : str
        Where the tuning is from.
    """

    name: str
    strings: tuple[String, ...]
    scale_length_mm: float
    frets: int
    inlays: tuple[int, ...]
    double_inlays: tuple[int, ...] = (12,)
    voice: str = "guitar"
    fretless: bool = False
    fretted: tuple[int, ...] = ()
    frets_a_finger: int = 1
    clef: str = "treble 8vb"
    aliases: tuple[str, ...] = field(default=(), compare=False)
    source: str = field(default="", compare=False)

    def string(self, number: int) -> String:
        """String ``number``, 1 for the first.

        Raises
        ------
        BadInput
            If the instrument has no such string.
        """
        if not 1 <= number <= len(self.strings):
            raise BadInput(
                "string", number, f"not on a {self.name}", accepted=f"1 to {len(self.strings)}"
            )
        return self.strings[number - 1]

    def has_fret(self, fret: int) -> bool:
        """True where the string can be stopped ``fret`` half steps from the nut."""
        return 1 <= fret <= self.frets and (not self.fretted or fret in self.fretted)

    def fret_name(self, fret: int) -> str:
        """What players call the fret: its number, counted over the frets that there are.

        >>> from theorykit.instruments.catalogue import find_instrument
        >>> find_instrument("dulcimer").fret_name(12), find_instrument("guitar").fret_name(12)
        ('7', '12')
        """
        return str(self.fretted.index(fret) + 1 if fret in self.fretted else fret)

    @property
    def tuning(self) -> str:
        """The open strings as players say them, the last one first: ``"G3 D4 A4 E5"``."""
        return " ".join(str(string.open) for string in reversed(self.strings))
