"""The tunes that music21 carries, found without loading it."""

from __future__ import annotations

from importlib.util import find_spec
from pathlib import Path

from theorykit.errors import BadInput, TheoryKitError, nearest


def corpus_folder(name: str = "") -> Path:
    """The folder of music21's own corpus, or of one collection in it.

    Parameters
    ----------
    name : str
        Such as ``"ryansMammoth"``; all of it if not given.

    Raises
    ------
    BadInput
        If it has no such collection.
    TheoryKitError
        If the package is not installed, or has no corpus.

    Examples
    --------
    >>> corpus_folder("oneills1850").is_dir()
    True
    """
    found = find_spec("music21")
    if found is None or found.origin is None:
        raise TheoryKitError("music21 is not installed, which brings the corpus")
    corpus = Path(found.origin).parent / "corpus"
    if not corpus.is_dir():
        raise TheoryKitError("this music21 has no corpus")
    if not name:
        return corpus
    names = sorted(
        path.name for path in corpus.iterdir() if path.is_dir() and not path.name.startswith("_")
    )
    if name not in names:
        close = nearest(name, names)
        raise BadInput(
            "collection", name, "none in the corpus", accepted=", ".join(names), nearest=close
        )
    return corpus / name
