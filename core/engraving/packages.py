"""Where the packages that carry fonts lie."""

from __future__ import annotations

from importlib.util import find_spec
from pathlib import Path


def folder_of(package: str) -> Path:
    """Found without importing the package, which may load far more than its fonts. Raises ModuleNotFoundError."""
    found = find_spec(package)
    if found is None or not found.submodule_search_locations:
        raise ModuleNotFoundError(package, name=package)
    return Path(found.submodule_search_locations[0])
