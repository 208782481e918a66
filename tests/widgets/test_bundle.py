"""The modules join into one that a browser can take."""

from __future__ import annotations

import re
from collections import Counter

import pytest

from theorykit.widgets.bundle import host_module, joined_modules, module_order, module_source


def test_each_module_comes_after_those_that_it_imports() -> None:
    order = module_order("explorer")
    assert order[-1] == "explorer"
    for name in order:
        for match in re.finditer(r'from "\./([a-z]+)\.js"', module_source(name)):
            assert order.index(match[1]) < order.index(name)


def test_no_import_or_export_is_left() -> None:
    joined = joined_modules("live", "page")
    assert not re.search(r"^(?:import|export)\b", joined, re.MULTILINE)


def test_every_top_level_name_is_unlike_every_other() -> None:
    names = re.findall(
        r"^(?:async )?(?:function|class|const|let) (\w+)",
        joined_modules("live", "page"),
        re.MULTILINE,
    )
    assert len(names) > 40
    assert [name for name, count in Counter(names).items() if count > 1] == []


@pytest.mark.parametrize(
    ("host", "ending"),
    [("live", "export default { render: renderLive };\n"), ("page", "mountPage();\n")],
)
def test_hosts_end_as_their_hosts_need(host: str, ending: str) -> None:
    assert host_module(host).endswith(ending)


def test_nothing_in_the_modules_reaches_for_the_network() -> None:
    joined = joined_modules("live", "page").replace("http://www.w3.org/2000/svg", "")
    assert not re.search(r"https?://|fetch\(|XMLHttpRequest|WebSocket", joined)
