"""How long the whole key-free table takes, its words written out."""

from theorykit.analysis.advice_table import advice_table, sounded_chords
from theorykit.analysis.classification import _harmony
from theorykit.analysis.style import STYLES
from theorykit.theory.form import FORMS
from theorykit.theory.scale import SCALES


def every_advice() -> list[tuple[str, str, str]]:
    # Nothing may be left over from the round before.
    _harmony.cache_clear()
    chords = sounded_chords(FORMS.values())
    table = advice_table(list(SCALES.values()), chords, list(STYLES.values()))
    return [
        (advice.verdict, advice.reason, advice.short)
        for row in table
        for answers in row
        for advice in answers
    ]


def test_all_scales_over_all_chords_of_all_forms_in_all_styles(benchmark):
    answers = benchmark(every_advice)
    chords = sounded_chords(FORMS.values())
    assert len(answers) == len(SCALES) * len(chords) * len(STYLES)
    assert {verdict for verdict, _, _ in answers} == {"stay", "pass", "leave", "switch"}
    assert all(reason.startswith("Over ") for _, reason, _ in answers)
