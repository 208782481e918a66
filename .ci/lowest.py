"""Print the lowest allowed version of each dependency, one a line, for pip's ``--constraint``."""

import re
import tomllib
from pathlib import Path

project = tomllib.loads(Path("pyproject.toml").read_text(encoding="utf-8"))["project"]
listed = [*project["dependencies"], *project["optional-dependencies"]["test"]]
for line in listed:
    name, bound = re.fullmatch(r"([A-Za-z0-9_-]+)>=([0-9.]+)", line).groups()
    print(f"{name}=={bound}")
