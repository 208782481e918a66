"""Music theory to see, hear and play, for teachers of improvisation on string instruments.

Names are loaded when they are first used, so that ``import theorykit`` is instant.
"""

from __future__ import annotations

from importlib import import_module
from typing import Any

#: Where each public name lives; ``__init__.pyi`` tells editors the same.
_HOMES = {
    "BadInput": "errors",
    "TheoryKitError": "errors",
    "Chord": "theory.chord",
    "Degree": "theory.degree",
    "BlankNeck": "widgets.blank_neck",
    "EnsembleExplorer": "widgets.explorer",
    "NeckMark": "scene.blank",
    "Interval": "theory.interval",
    "Key": "theory.key",
    "Note": "theory.pitch",
    "Numeral": "theory.numeral",
    "Pitch": "theory.pitch",
    "PositionExplorer": "widgets.explorer",
    "Progression": "theory.progression",
    "ProgressionExplorer": "widgets.explorer",
    "Recording": "audio.recording",
    "Scale": "theory.scale",
    "ScaleExplorer": "widgets.explorer",
    "Score": "score.score",
    "ShapeExplorer": "widgets.explorer",
    "Study": "widgets.study",
    "advise_progression": "analysis.advice",
    "arrange": "score.arrange",
    "compare_without": "analysis.omission",
    "explain": "analysis.explain",
    "Diagram": "scene.diagram",
    "DiagramRow": "scene.diagram",
    "diagram_figure": "plots.diagram",
    "Fingering": "instruments.fingering",
    "finger_line": "instruments.fingering",
    "find_instrument": "instruments.catalogue",
    "find_progression": "theory.form",
    "find_shapes": "instruments.shape_search",
    "find_scale": "theory.scale",
    "find_scales": "theory.relation",
    "find_style": "analysis.style",
    "guide_tone_line": "analysis.guide_tones",
    "load_style": "analysis.saved_style",
    "nearest_without": "instruments.shape_change",
    "plan_progression": "analysis.plan",
    "rank_scales": "analysis.ranking",
    "relation": "theory.relation",
    "render": "audio.mix",
    "render_soundfont": "audio.soundfont",
    "save_style": "analysis.saved_style",
    "scale_run": "score.run",
    "shape_sequence": "instruments.shape_change",
    "shape_voicings": "score.voicing",
    "stems": "audio.mix",
    "third_excess": "analysis.roughness",
    "write_midi": "score.midi",
    "write_musicxml": "notation.musicxml",
    "write_abc": "notation.abc",
    "read_musicxml": "notation.musicxml_reader",
    "read_abc": "notation.abc_reader",
    "read_midi": "notation.midi_reader",
    "records": "notation.records",
    "from_records": "notation.records",
    "to_music21": "notation.music21_bridge",
    "from_music21": "notation.music21_bridge",
    "TuneError": "errors",
    "SequenceExplorer": "widgets.explorer",
    "LineExplorer": "widgets.explorer",
    "sequence": "practice.sequence",
    "sequence_over": "practice.sequence_over",
    "line_over": "practice.line",
    "line_from_tune": "practice.line_skeleton",
    "add_neighbours": "practice.neighbour",
    "routine": "practice.routine",
    "RoutineItem": "practice.routine_item",
    "engrave": "notation.engrave",
    "tablature_text": "notation.tablature",
    "read_tune": "tune.reading",
    "propose_key": "tune.key_proposal",
    "propose_chords": "tune.chord_proposal",
    "tune_study": "tune.study",
    "TuneStudy": "tune.study",
    "export_notebook": "export.lesson",
    "make_class": "export.class_run",
    "TuneExplorer": "widgets.tune_explorer",
    "open_tune": "widgets.tune_explorer",
    "check_solo": "review.solo",
    "Review": "review.review",
    "compare_reviews": "review.comparison",
    "hear": "listening.hearing",
    "Heard": "listening.heard",
    "take_from_recording": "listening.hearing",
    "kept_reviews": "review.kept",
    "review_trend": "review.kept",
    "corpus_folder": "survey.corpus",
    "survey_folder": "survey.survey",
    "Survey": "survey.survey",
    "handout": "handouts.handout",
    "Handout": "handouts.handout",
    "scale_reference": "handouts.reference",
    "PracticeLog": "log.practice_log",
    "SoloExplorer": "widgets.solo_explorer",
    "ProgressPlot": "widgets.figure_view",
    "progress_plot": "widgets.figure_view",
    "survey_plot": "widgets.figure_view",
    "cheat_sheet": "export.cheat_sheet",
    "QuizExplorer": "widgets.quiz_explorer",
    "quiz_questions": "quiz.quiz",
    "Question": "quiz.question",
}

__version__ = "0.1.0"
__all__ = [*sorted(_HOMES), "__version__"]


def __getattr__(name: str) -> Any:
    if name not in _HOMES:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    value = getattr(import_module(f"{__name__}.{_HOMES[name]}"), name)
    globals()[name] = value
    return value


def __dir__() -> list[str]:
    return __all__
