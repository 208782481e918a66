"""The command line, run as a process of its own."""

from __future__ import annotations

import json
import subprocess
import sys
from typing import Any


def run(*arguments: str) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-m", "theorykit", *arguments]
    return subprocess.run(command, capture_output=True, text=True, timeout=120, check=False)


def answer(*arguments: str) -> Any:
    """What a command that must succeed prints as JSON."""
    done = run(*arguments, "--json")
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)
