"""Forms: the progressions that players know by name (common practice, all of them)."""

from __future__ import annotations

from theorykit.errors import BadInput, nearest
from theorykit.theory.key import Key
from theorykit.theory.progression import Progression

_CHARTS = {
    "I-IV-V vamp": "| I | IV | V | I |",
    "12-bar blues": """| I7 | I7 | I7 | I7 | IV7 | IV7 | I7 | I7 | V7 | IV7 | I7 | V7 |""",
    "12-bar blues, plain chords": "| I | I | I | I | IV | IV | I | I | V | IV | I | V |",
    "12-bar blues, quick change": """| I7 | IV7 | I7 | I7 | IV7 | IV7 | I7 | I7
        | V7 | IV7 | I7 | V7 |""",
    "12-bar minor blues": """| i7 | i7 | i7 | i7 | iv7 | iv7 | i7 | i7
        | bVI7 | V7 | i7 | V7 |""",
    "12-bar blues, turnaround": """| I7 | I7 | I7 | I7 | IV7 | IV7 | I7 | I7
        | V7 | IV7 | I7 IV7 | I7 V7 |""",
    "8-bar blues": "| I7 | V7 | IV7 | IV7 | I7 | V7 | I7 IV7 | I7 V7 |",
    "16-bar blues": """| I7 | I7 | I7 | I7 | I7 | I7 | I7 | I7
        | IV7 | IV7 | I7 | I7 | V7 | IV7 | I7 | V7 |""",
    "two-part dance tune": """| I | I | IV | I | I | I | V | V | I | I | IV | I | I V | I | I V | I
        | I | IV | I | V | I | IV | V | I | I | IV | I | V | I | IV | V | I |""",
    "bVII vamp": "| I | I | bVII | bVII | I | I | bVII V | I |",
    "ii-V-I": "| ii7 | V7 | Imaj7 | Imaj7 |",
    "I-vi-ii-V": "| I | vi | ii | V |",
    "circle of fourths": "| III7 | III7 | VI7 | VI7 | II7 | II7 | V7 | V7 |",
    "waltz": "3/4 | I | I | V | V | V | V | I | I | I | I7 | IV | IV | I | V | I | I |",
    "i-iv-V in minor": "| i | iv | V | i |",
    "one chord": "| I | I | I | I |",
    "I-bVII-IV": "| I | bVII | IV | I |",
    "Dorian vamp": "| i7 | IV7 | i7 | IV7 |",
    "two-part jig": """6/8 | I | I | IV | V | I | I | IV V | I | I | I | IV | V | I | I | IV V | I
        | I | V | I | V | IV | I | IV V | I | I | V | I | V | IV | I | IV V | I |""",
}

_MORE_CHARTS = {
    "12-bar blues, jazz changes": """| I7 | IV7 | I7 | v7 I7 | IV7 | #iv°7 | I7 | VI7
        | ii7 | V7 | I7 VI7 | ii7 V7 |""",
    "I-V-vi-IV": "| I | V | vi | IV |",
    "I-vi-IV-V": "| I | vi | IV | V |",
    "bVII tune": """| I | I | bVII | bVII | I | I | bVII V | I
        | I | I | I | bVII | I | I | bVII V | I |""",
    "minor ii-V-i": "| iiø7 | V7 | i | i |",
    "i-bVII-bVI-V": "| i | bVII | bVI | V |",
    "32-bar AABA": """| Imaj7 vi7 | ii7 V7 | iii7 VI7 | ii7 V7 | I7 | IV7 #iv°7 | I/5 VI7 | ii7 V7
        | Imaj7 vi7 | ii7 V7 | iii7 VI7 | ii7 V7 | I7 | IV7 #iv°7 | I/5 V7 | I
        | III7 | III7 | VI7 | VI7 | II7 | II7 | V7 | V7
        | Imaj7 vi7 | ii7 V7 | iii7 VI7 | ii7 V7 | I7 | IV7 #iv°7 | I/5 V7 | I |""",
}

#: The forms by name, in the order in which menus show them.
FORMS: dict[str, Progression] = {
    name: Progression.parse(chart, name=name) for name, chart in _CHARTS.items()
}


#: Forms that are found by name but that no menu lists.
MORE_FORMS: dict[str, Progression] = {
    name: Progression.parse(chart, name=name) for name, chart in _MORE_CHARTS.items()
}


def find_progression(text: str, *, key: Key | None = None) -> Progression:
    """A form by name, or a chart that a user typed.

    Raises
    ------
    BadInput
        If there is no such form and the text is no chart.

    Examples
    --------
    >>> len(find_progression("12-bar blues").bars), str(find_progression("1 4 5"))
    (12, '| I | IV | V |')
    """
    folded = " ".join(text.split()).casefold() if isinstance(text, str) else ""
    folded = folded.replace("–", "-").replace("♭", "b")
    for name, form in (*FORMS.items(), *MORE_FORMS.items()):
        if name.casefold() == folded:
            return form
    try:
        return Progression.parse(text, key=key)
    except BadInput as error:
        close = nearest(text, [*FORMS, *MORE_FORMS]) if isinstance(text, str) else None
        # A chart has bar lines or numerals all through; anything else was meant as a form's name.
        if close is not None and "|" not in text:
            raise BadInput(
                "progression",
                text,
                "no form of that name, and not a chart",
                accepted="a form's name or bars such as | I | IV | V | I |",
                nearest=close,
            ) from None
        raise error
