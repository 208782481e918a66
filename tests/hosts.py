"""A Chromium and a JupyterLab for the tests."""

from __future__ import annotations

import json
import os
import socket
import subprocess
import sys
import time
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from notebook_files import write_notebook
from playwright.sync_api import Browser, Page, sync_playwright

CHROMIUM = os.environ.get("CHROMIUM", "/usr/bin/chromium")
CHROMIUM_FLAGS = [
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--autoplay-policy=no-user-gesture-required",
]


@contextmanager
def running_chromium() -> Iterator[Browser]:
    """Start Debian's Chromium; stop it at the end."""
    assert Path(CHROMIUM).exists(), f"no Chromium at {CHROMIUM}: install Debian's 'chromium'"
    with sync_playwright() as playwright:
        chromium = playwright.chromium.launch(executable_path=CHROMIUM, args=CHROMIUM_FLAGS)
        yield chromium
        chromium.close()


class Lab:
    """A running JupyterLab and the folder that it serves."""

    def __init__(self, folder: Path, url: str) -> None:
        self.folder = folder
        self.url = url

    def add(self, name: str, *cells: str) -> str:
        """Put a notebook into the folder; gives its name."""
        return write_notebook(self.folder / name, *cells).name

    def open(self, page: Page, name: str) -> None:
        """Open a notebook in a workspace of its own and wait for its kernel."""
        page.goto(f"{self.url}/lab/workspaces/{Path(name).stem}/tree/{name}")
        page.wait_for_selector(".jp-NotebookPanel:not(.lm-mod-hidden) .jp-Notebook .jp-Cell")
        self.await_kernel(page)

    def open_in_notebook(self, page: Page, name: str) -> None:
        """Open a notebook in Notebook 7 and wait for its kernel."""
        page.goto(f"{self.url}/notebooks/{name}")
        page.wait_for_selector(".jp-Notebook .jp-Cell")
        self.await_kernel(page)

    def await_kernel(self, page: Page) -> None:
        """Wait until cells can be run."""
        page.wait_for_function(
            "() => { const context = window.jupyterapp?.shell.currentWidget?.sessionContext;"
            " return context?.isReady && context.session?.kernel?.status === 'idle'"
            " && context.session.kernel.connectionStatus === 'connected'; }"
        )

    def run_all(self, page: Page) -> None:
        """Ask for every cell to be run; wait for what they show, not for the request."""
        page.evaluate("() => { window.jupyterapp.commands.execute('notebook:run-all-cells'); }")


def _write_settings(folder: Path) -> None:
    """Answer beforehand what JupyterLab would ask in dialogs."""
    answers = {
        "notebook-extension/tracker": {"autoStartDefaultKernel": True},
        "apputils-extension/notification": {"fetchNews": "false", "checkForUpdates": False},
    }
    for name, answer in answers.items():
        path = folder / "@jupyterlab" / f"{name}.jupyterlab-settings"
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(json.dumps(answer), encoding="utf-8")


def _free_port() -> int:
    with socket.socket() as listener:
        listener.bind(("127.0.0.1", 0))
        port: int = listener.getsockname()[1]
        return port


@contextmanager
def running_lab(folder: Path) -> Iterator[Lab]:
    """Start JupyterLab in a folder of its own, its commands open to the tests; stop it at the end."""
    work = folder / "work"
    work.mkdir()
    _write_settings(folder / "settings")
    port = _free_port()
    environment = {
        **os.environ,
        "JUPYTER_CONFIG_DIR": str(folder / "config"),
        "JUPYTERLAB_SETTINGS_DIR": str(folder / "settings"),
        "JUPYTERLAB_WORKSPACES_DIR": str(folder / "workspaces"),
    }
    command = [
        *(sys.executable, "-m", "jupyter", "lab", "--no-browser", "--allow-root"),
        "--JupyterNotebookApp.expose_app_in_browser=True",
        *("--expose-app-in-browser", f"--port={port}", "--ServerApp.port_retries=0"),
        *("--IdentityProvider.token=", "--ServerApp.disable_check_xsrf=True"),
        f"--ServerApp.root_dir={work}",
    ]
    log = (folder / "lab.log").open("w")
    server = subprocess.Popen(command, env=environment, stdout=log, stderr=subprocess.STDOUT)
    url = f"http://127.0.0.1:{port}"
    try:
        _await_server(server, url, folder / "lab.log")
        yield Lab(work, url)
    finally:
        server.terminate()
        server.wait(timeout=30)
        log.close()


def _await_server(server: subprocess.Popen[bytes], url: str, log: Path) -> None:
    deadline = time.monotonic() + 90
    while True:
        assert server.poll() is None, log.read_text()[-2000:]
        assert time.monotonic() < deadline, log.read_text()[-2000:]
        try:
            with urllib.request.urlopen(f"{url}/api", timeout=2):
                return
        except OSError:
            # The server says in no other way that it listens.
            time.sleep(0.1)
