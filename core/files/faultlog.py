"""Faults of a study file as they are found, each with its bar and line, told together in the end."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar

from lxml import etree

from core.errors import BarglossError, Faults

MOST_FAULTS = 20
_T = TypeVar("_T")


class FaultLog:
    """Collects faults. bar: index of the bar being read, None outside the bars."""

    def __init__(self) -> None:
        self.bar: int | None = None
        self.count = 0
        self._found: list[tuple[int | None, str]] = []

    def add(self, element: etree._Element, what: str) -> None:
        """Note a sentence `what is wrong; what to do` of an element, whose line goes between the two."""
        self.count += 1
        if len(self._found) < MOST_FAULTS:
            wrong, semicolon, remedy = what.partition("; ")
            told = " ".join(f"{_clip(wrong)} (line {element.sourceline}){semicolon}{_clip(remedy)}".split())
            self._found.append((self.bar, told))

    def attempt(self, element: etree._Element, make: Callable[[], _T]) -> _T | None:
        """What `make` returns, or None and a fault at the element's line."""
        try:
            return make()
        except BarglossError as fault:
            self.add(element, fault.what)
            return None

    def told(self, first_number: int, file: str) -> Faults:
        """Everything found, at most 20 lines. first_number: printed number of the first bar."""
        faults = [BarglossError(what, bar=None if bar is None else bar + first_number, file=file)
                  for bar, what in self._found]
        if self.count > len(faults):
            more = self.count - len(faults) + 1
            faults[-1] = BarglossError(f"and {more} faults more; mend these first", file=file)
        return Faults(tuple(faults))


def _clip(text: str) -> str:
    return text if len(text) <= 240 else text[:239] + "…"
