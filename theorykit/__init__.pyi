from theorykit.analysis.advice import advise_progression as advise_progression
from theorykit.analysis.explain import explain as explain
from theorykit.analysis.guide_tones import guide_tone_line as guide_tone_line
from theorykit.analysis.omission import compare_without as compare_without
from theorykit.analysis.plan import plan_progression as plan_progression
from theorykit.analysis.ranking import rank_scales as rank_scales
from theorykit.analysis.roughness import third_excess as third_excess
from theorykit.analysis.saved_style import load_style as load_style
from theorykit.analysis.saved_style import save_style as save_style
from theorykit.analysis.style import find_style as find_style
from theorykit.errors import BadInput as BadInput
from theorykit.errors import TheoryKitError as TheoryKitError
from theorykit.instruments.catalogue import find_instrument as find_instrument
from theorykit.instruments.shape_change import nearest_without as nearest_without
from theorykit.instruments.shape_change import shape_sequence as shape_sequence
from theorykit.instruments.shape_search import find_shapes as find_shapes
from theorykit.theory.chord import Chord as Chord
from theorykit.theory.degree import Degree as Degree
from theorykit.theory.form import find_progression as find_progression
from theorykit.theory.interval import Interval as Interval
from theorykit.theory.key import Key as Key
from theorykit.theory.numeral import Numeral as Numeral
from theorykit.theory.pitch import Note as Note
from theorykit.theory.pitch import Pitch as Pitch
from theorykit.theory.progression import Progression as Progression
from theorykit.theory.relation import find_scales as find_scales
from theorykit.theory.relation import relation as relation
from theorykit.theory.scale import Scale as Scale
from theorykit.theory.scale import find_scale as find_scale
from theorykit.widgets.explorer import PositionExplorer as PositionExplorer
from theorykit.widgets.explorer import ProgressionExplorer as ProgressionExplorer
from theorykit.widgets.explorer import ScaleExplorer as ScaleExplorer
from theorykit.widgets.explorer import ShapeExplorer as ShapeExplorer
from theorykit.widgets.study import Study as Study

__version__: str
__all__: list[str]
