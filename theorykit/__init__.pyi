from theorykit.analysis.style import find_style as find_style
from theorykit.errors import BadInput as BadInput
from theorykit.errors import TheoryKitError as TheoryKitError
from theorykit.instruments.catalogue import find_instrument as find_instrument
from theorykit.theory.chord import Chord as Chord
from theorykit.theory.degree import Degree as Degree
from theorykit.theory.form import find_progression as find_progression
from theorykit.theory.interval import Interval as Interval
from theorykit.theory.key import Key as Key
from theorykit.theory.numeral import Numeral as Numeral
from theorykit.theory.pitch import Note as Note
from theorykit.theory.pitch import Pitch as Pitch
from theorykit.theory.progression import Progression as Progression
from theorykit.theory.scale import Scale as Scale
from theorykit.theory.scale import find_scale as find_scale
from theorykit.widgets.explorer import ProgressionExplorer as ProgressionExplorer
from theorykit.widgets.explorer import ScaleExplorer as ScaleExplorer
from theorykit.widgets.study import Study as Study

__version__: str
__all__: list[str]
