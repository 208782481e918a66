"""Every public call in one table, made from the package itself, so that it can't be out of date."""

from __future__ import annotations

import inspect
from collections.abc import Callable
from dataclasses import dataclass
from importlib import import_module

from theorykit.theory.table import html_table

#: What the calls of each layer are for, in the order of the sheet.
TASKS = {
    "widgets": "Show, play and ask in a notebook",
    "theory": "Notes, scales, chords, charts",
    "analysis": "Which scale over which chord, and why",
    "instruments": "Necks, shapes and fingerings",
    "practice": "Material and plans to practise",
    "quiz": "Questions to check oneself with",
    "notation": "Written music and files of it",
    "tune": "Tunes from files",
    "review": "Check a take",
    "survey": "Survey a shelf of tunes",
    "log": "Keep a log",
    "score": "A band, and what it plays",
    "audio": "Sound",
    "plots": "Pictures",
    "scene": "Chord diagrams",
    "export": "Lessons",
    "errors": "What is raised",
}


@dataclass(frozen=True, slots=True)
class Call:
    """A public name.

    Parameters
    ----------
    task, name : str
    given : str
        Its parameters with no types, e.g. ``"(study=None, **choices)"``.
    words : str
        The first line of its documentation.
    """

    task: str
    name: str
    given: str
    words: str


@dataclass(frozen=True, slots=True)
class CheatSheet:
    """All public names; a notebook shows them as a table for each task."""

    calls: tuple[Call, ...]

    def records(self) -> list[dict[str, str]]:
        """One plain row for each name."""
        return [
            {"task": call.task, "name": call.name, "given": call.given, "words": call.words}
            for call in self.calls
        ]

    def __str__(self) -> str:
        return "\n".join(f"tk.{call.name}{call.given}\n    {call.words}" for call in self.calls)

    def _repr_html_(self) -> str:
        tables = [
            html_table(
                task,
                ("call", "what it is"),
                [
                    (f"tk.{call.name}{call.given}", call.words)
                    for call in self.calls
                    if call.task == task
                ],
            )
            for task in dict.fromkeys(call.task for call in self.calls)
        ]
        return "\n".join(tables)


def cheat_sheet() -> CheatSheet:
    """Every public call by task, with its parameters and what it is for.

    Examples
    --------
    >>> sheet = cheat_sheet()
    >>> [call.words for call in sheet.calls if call.name == "find_scale"]
    ['A scale by name, alias or formula.']
    """
    found = []
    # By name, when it is asked for: the list of all calls stands above every layer.
    package = import_module("theorykit")
    for name in package.__all__:
        if name.startswith("__"):
            continue
        value = getattr(package, name)
        layer = str(value.__module__).split(".")[1]
        words = (inspect.getdoc(value) or "").partition("\n")[0].replace("``", "")
        found.append(Call(TASKS.get(layer, layer.capitalize()), name, _given(value), words))
    order = {task: place for place, task in enumerate(TASKS.values())}
    found.sort(key=lambda call: (order.get(call.task, len(order)), call.task, call.name.casefold()))
    return CheatSheet(tuple(found))


def _given(value: object) -> str:
    """The parameters of a call; for a value that is read from a text, how that is done."""
    if not callable(value) or (inspect.isclass(value) and issubclass(value, Exception)):
        return ""
    if inspect.isclass(value) and hasattr(value, "parse"):
        return f".parse({', '.join(_names(value.parse))})"
    return f"({', '.join(_names(value))})"


#: What stands before a parameter that takes several.
_STARS: dict[object, str] = {
    inspect.Parameter.VAR_POSITIONAL: "*",
    inspect.Parameter.VAR_KEYWORD: "**",
}


def _names(call: Callable[..., object]) -> list[str]:
    """What each parameter is called, with ``=`` where it may be left out."""
    return [
        _STARS.get(each.kind, "") + name + ("=" if each.default is not each.empty else "")
        for name, each in inspect.signature(call).parameters.items()
    ]
