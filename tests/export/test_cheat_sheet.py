"""The sheet of every call."""

from __future__ import annotations

import theorykit as tk
from theorykit.export.cheat_sheet import TASKS


def test_it_has_every_public_name_once() -> None:
    names = [call.name for call in tk.cheat_sheet().calls]
    assert sorted(names) == sorted(name for name in tk.__all__ if name != "__version__")


def test_each_says_what_it_is_and_what_it_takes() -> None:
    sheet = tk.cheat_sheet()
    assert all(call.words.endswith(".") for call in sheet.calls)
    by_name = {call.name: call for call in sheet.calls}
    assert {call.task for call in sheet.calls} <= set(TASKS.values())
    assert by_name["find_scale"].given == "(text)"
    assert by_name["Chord"].given == ".parse(text)"
    assert by_name["ScaleExplorer"].given.startswith("(study=")


def test_a_table_for_each_task_the_explorers_first() -> None:
    sheet = tk.cheat_sheet()
    shown = sheet._repr_html_()
    assert shown.count("<table>") == len({call.task for call in sheet.calls})
    assert shown.index("ScaleExplorer") < shown.index("find_scale")
    assert shown.count("<tr>") == len(sheet.calls) + shown.count("<table>")
