"""Notebooks that tests write, and their pages."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path
from typing import Any


def write_notebook(path: Path, *cells: str, title: str = "") -> Path:
    """A notebook; a cell that starts with a capital or # is words."""
    made: list[dict[str, Any]] = []
    for number, source in enumerate(cells):
        cell: dict[str, Any] = {"id": f"c{number}", "metadata": {}, "source": source}
        if source[0] == "#" or source[0].isupper():
            cell |= {"cell_type": "markdown"}
        else:
            cell |= {"cell_type": "code", "execution_count": None, "outputs": []}
        made.append(cell)
    metadata: dict[str, Any] = {"kernelspec": {"name": "python3", "display_name": "Python 3"}}
    if title:
        metadata["title"] = title
    content = {"nbformat": 4, "nbformat_minor": 5, "metadata": metadata, "cells": made}
    path.write_text(json.dumps(content), encoding="utf-8")
    return path


def export_page(notebook: Path, folder: Path) -> Path:
    """Execute and export a notebook as the command line does."""
    target = folder / f"{notebook.stem}.html"
    command = [sys.executable, "-m", "theorykit", "export", str(notebook), "-o", str(target)]
    done = subprocess.run(command, capture_output=True, text=True, check=False, timeout=300)
    assert done.returncode == 0, done.stderr
    return target
