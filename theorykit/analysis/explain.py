"""Why the advice is what it is: the class of each note, the rule behind it, and its source."""

from __future__ import annotations

from dataclasses import dataclass

from theorykit.analysis import style as styles
from theorykit.analysis.advice import (
    LEAST_BEATS,
    LEAST_GAIN,
    SWITCH_COST_BEATS,
    Advice,
    candidates,
)
from theorykit.analysis.fit import Fit, NoteFit, Placement
from theorykit.analysis.resolution import resolve
from theorykit.analysis.style import CARE_AT, SWITCH_AT, NoteClass
from theorykit.analysis.wording import member_words, scale_words, token, told
from theorykit.theory.pitch import Note
from theorykit.theory.table import html_table

_PRACTICE = "common practice"
_DISPUTED = "Nettles & Graf 1997 and Levine 1995 disagree; from memory"

#: What each class means, and where that is from.
RULES: dict[NoteClass, tuple[str, str]] = {
    styles.CHORD_TONE: ("it sounds in the chord", _PRACTICE),
    styles.PASSING: ("a fourth over a major third may pass", _DISPUTED),
    styles.TENSION: (
        "the minor ninth and thirteenth of a dominant that leads to minor add tension",
        "Levine 1995; from memory",
    ),
    styles.AVOID_DIATONIC: (
        "a note of the key a half step above a chord tone rubs",
        "Nettles & Graf 1997; from memory",
    ),
    styles.AVOID_FOREIGN: (
        (
            "a foreign note a half step above a chord tone, or a major third over a minor one, "
            "clashes"
        ),
        "stipulated; the inequality that the model rests on",
    ),
    styles.LEADING_CONFLICT: (
        "a note of the key a half step below a dominant's third pulls against the leading note",
        "any handbook of the major-minor system; from memory",
    ),
    styles.BLUE: (
        (
            "the key's lowered third, fifth or seventh a half step below a chord tone, or the "
            "chord's own minor third below its major one, is a blue note"
        ),
        _PRACTICE,
    ),
    styles.APPROACH: ("a foreign note a half step below a chord tone leads up to it", _PRACTICE),
    styles.COLOUR: ("no other rule speaks of it", "stipulated"),
}

#: What each verdict follows from (stipulated).
VERDICT_RULES = {
    "stay": f"no note weighs {CARE_AT} or more",
    "pass": f"a note weighs {CARE_AT} or more, and none but an ornament weighs {SWITCH_AT}",
    "leave": f"a note weighs {SWITCH_AT} or more, and no other scale is worth the change",
    "switch": f"a note weighs {SWITCH_AT} or more, and another scale is worth the change",
}


@dataclass(frozen=True, slots=True)
class NoteReason:
    """Why a note of the scale has its class.

    Parameters
    ----------
    note : NoteFit
    effect : str
        ``"rest"``, ``"pass"`` or ``"leave out"``.
    rule, source : str
    words : str
        One sentence, its notes as degree tokens.
    """

    note: NoteFit
    effect: str
    rule: str
    source: str
    words: str


@dataclass(frozen=True, slots=True)
class Offer:
    """A scale that was weighed against the one that is held.

    Parameters
    ----------
    fit : Fit
    gain : float
        How much better its score is.
    taken : bool
    words : str
    """

    fit: Fit
    gain: float
    taken: bool
    words: str


@dataclass(frozen=True, slots=True)
class Explanation:
    """An advice with its reasons.

    Parameters
    ----------
    advice : Advice
    notes : tuple of NoteReason
        In the order of the scale.
    rule : str
        What the verdict follows from.
    offers : tuple of Offer
        Empty where nothing had to be left out.
    """

    advice: Advice
    notes: tuple[NoteReason, ...]
    rule: str
    offers: tuple[Offer, ...]

    @property
    def text(self) -> str:
        """Everything in plain lines, notes as degree tokens; see ``wording.fill``."""
        style = self.advice.fit.style.name
        lines = [self.advice.reason, f"In {style} style, {self.advice.verdict}: {self.rule}."]
        lines += [reason.words for reason in self.notes]
        lines += [offer.words for offer in self.offers]
        return "\n".join(lines)

    def records(self) -> list[dict[str, object]]:
        """A plain record for each note, its names as degrees."""
        return [
            {
                "note": token(reason.note.degree, reason.note.alternate),
                "class": reason.note.kind.name,
                "member": reason.note.member.ordinal if reason.note.member else "",
                "severity": reason.note.severity,
                "effect": reason.effect,
                "rule": reason.rule,
                "source": reason.source,
            }
            for reason in self.notes
        ]

    def html(self, tonic: Note | None = None) -> str:
        """The notes and their reasons as an HTML table, in a key or else in degrees."""
        rows = [
            (
                told(f"{{{token(reason.note.degree, reason.note.alternate)}}}", tonic),
                reason.note.kind.name,
                f"{reason.note.severity:g}",
                reason.effect,
                told(reason.words, tonic),
                reason.source,
            )
            for reason in self.notes
        ]
        caption = f"{told(self.advice.reason, tonic)} {self.advice.verdict}: {self.rule}."
        header = ("note", "class", "weight", "so", "why", "source")
        return html_table(caption, header, rows)

    def _repr_html_(self) -> str:
        return self.html()


def explain(advice: Advice) -> Explanation:
    """The reasons of an advice.

    Parameters
    ----------
    advice : Advice

    Examples
    --------
    >>> from theorykit.analysis.advice import advise
    >>> from theorykit.analysis.style import find_style
    >>> from theorykit.theory.numeral import Numeral
    >>> from theorykit.theory.scale import find_scale
    >>> scale, style = find_scale("minor pentatonic"), find_style("bluegrass")
    >>> why = explain(advise(scale, Numeral.parse("V"), style))
    >>> print(why.notes[1].words)
    {b3} weighs 0.9, so leave it out: a foreign note a half step above a chord tone, or a major \
third over a minor one, clashes; here above {2}, the fifth; it goes down a half step to {2}.
    >>> print(why.offers[0].words)
    {5} minor pentatonic is taken: nothing has to be left out, and its score is 0.19 better where \
0.045 is asked.
    """
    notes = tuple(_note_reason(note, advice) for note in advice.fit.notes)
    offers = _offers(advice) if advice.fit.has_unwanted else ()
    rule = VERDICT_RULES[advice.verdict]
    if advice.verdict == "leave" and advice.beats < LEAST_BEATS:
        rule = (
            f"a note weighs {SWITCH_AT} or more, and the chord is over in less than "
            f"{LEAST_BEATS} beats"
        )
    return Explanation(advice, notes, rule, offers)


def _note_reason(note: NoteFit, advice: Advice) -> NoteReason:
    rule, source = RULES[note.kind]
    name = f"{{{token(note.degree, note.alternate)}}}"
    if note.severity < CARE_AT:
        effect, so = "rest", "one may rest on it"
    elif note.ornament or note.severity < SWITCH_AT:
        effect, so = "pass", "pass through it"
    else:
        effect, so = "leave out", "leave it out"
    if note.ornament and note.severity >= SWITCH_AT:
        so = "pass through it, an ornament of the scale"
    text = f"{name} weighs {note.severity:g}, so {so}: {rule}"
    if note.member is not None:
        member = member_words(advice.numeral, note.member)
        sides = {-1: f"here above {member}", 1: f"here below {member}"}
        text += "; " + sides.get(note.kind.rubs_against, f"it is the {note.member.ordinal}")
    if effect != "rest":
        best = resolve(note, advice.numeral)[0]
        text += f"; it goes {best.direction} a {best.step} to {{{best.to}}}"
    return NoteReason(note, effect, rule, source, text + ".")


def _offers(advice: Advice) -> tuple[Offer, ...]:
    held = advice.fit
    asked = LEAST_GAIN + SWITCH_COST_BEATS / float(advice.beats)
    found = []
    for tonic, scale in candidates(advice.chosen, advice.numeral, held.placement.mode):
        would = Fit(Placement(scale, tonic, held.placement.harmony), held.style)
        gain = would.score - held.score
        chosen = (advice.scale, advice.scale_tonic) == (scale, tonic)
        taken = advice.verdict == "switch" and chosen
        name = scale_words(scale, tonic, advice.numeral)
        found.append(Offer(would, gain, taken, f"{name} {_weighed(advice, would, gain, asked)}."))
    return tuple(found)


def _weighed(advice: Advice, would: Fit, gain: float, asked: float) -> str:
    """What is said of a scale that was weighed."""
    if advice.beats < LEAST_BEATS:
        return f"is not tried: the chord is over in less than {LEAST_BEATS} beats"
    if would.has_unwanted:
        names = [f"{{{token(note.degree, note.alternate)}}}" for note in would.unwanted]
        return f"is not taken: {', '.join(names)} would have to be left out there"
    measured = f"its score is {gain:.2f} better where {asked:.3g} is asked"
    if gain < asked:
        return f"is not taken: {measured}"
    scale, tonic = would.placement.scale, would.placement.tonic
    if (advice.scale, advice.scale_tonic) == (scale, tonic):
        return f"is taken: nothing has to be left out, and {measured}"
    return f"would do, but another gains more: {measured}"
