"""What the browser tests share: one Chromium, one JupyterLab."""

from __future__ import annotations

from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest
from hosts import Lab, running_chromium, running_lab
from hypothesis import settings
from notebook_files import export_page
from playwright.sync_api import Browser, Page

#: Scripts that measure, run by hand: some need what no test does.
collect_ignore = ["benchmarks"]

# A busy machine must not turn a slow example of a property into a failure, and the same code
# gets the same verdict each time. New examples: pytest --hypothesis-profile=searching
settings.register_profile("same", deadline=None, derandomize=True)
settings.register_profile("searching", deadline=None, max_examples=3_000)
settings.load_profile("same")


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--long", action="store_true", help="also run the tests that take minutes")


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Leave out what takes minutes, unless it is asked for: each has a short form beside it."""
    if config.getoption("--long") or "long" in config.option.markexpr:
        return
    wanted = [item for item in items if item.get_closest_marker("long") is None]
    config.hook.pytest_deselected(items=[item for item in items if item not in wanted])
    items[:] = wanted


ROOT = Path(__file__).parent.parent
NOTEBOOKS = sorted((ROOT / "notebooks").glob("*.ipynb"))


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """A real Chromium; a machine without one fails the tests, it does not skip them."""
    with running_chromium() as chromium:
        yield chromium


@pytest.fixture
def page(browser: Browser) -> Iterator[Page]:
    """A page that fails its test on any error of the page's own."""
    context = browser.new_context(viewport={"width": 1280, "height": 900})
    opened = context.new_page()
    errors: list[str] = []
    opened.on("pageerror", lambda error: errors.append(str(error)))
    yield opened
    context.close()
    assert not errors, errors


@pytest.fixture(scope="session")
def lesson_pages(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """Every notebook of the project, executed and exported, by its stem: minutes of work."""
    folder = tmp_path_factory.mktemp("pages")
    with ThreadPoolExecutor(2) as pool:
        pages = pool.map(lambda notebook: export_page(notebook, folder), NOTEBOOKS)
        return {notebook.stem: page for notebook, page in zip(NOTEBOOKS, pages, strict=True)}


@pytest.fixture(scope="session")
def lab(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Lab]:
    """JupyterLab on this machine, with its commands open to the tests."""
    with running_lab(tmp_path_factory.mktemp("lab")) as opened:
        yield opened
