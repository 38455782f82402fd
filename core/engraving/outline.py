"""Outlines of glyphs, as painters want them."""

from __future__ import annotations

from typing import Any, NamedTuple

from fontTools.pens.basePen import AbstractPen, BasePen


class Segment(NamedTuple):
    """verb: "move" (1 point), "line" (1), "curve" (3: two controls and the end), "close" (0)."""

    verb: str
    points: tuple[tuple[float, float], ...]


Outline = tuple[Segment, ...]


class OutlinePen(BasePen):  # type: ignore[misc]
    """A fontTools pen that keeps what is drawn with it, scaled, with y turned downward."""

    def __init__(self, scale: float, glyphs: Any = None) -> None:
        super().__init__(glyphs)
        self._scale = scale
        self.segments: list[Segment] = []

    def _at(self, point: tuple[float, float]) -> tuple[float, float]:
        return point[0] * self._scale, -point[1] * self._scale

    def _moveTo(self, pt: tuple[float, float]) -> None:  # noqa: N802  (fontTools names it)
        self.segments.append(Segment("move", (self._at(pt),)))

    def _lineTo(self, pt: tuple[float, float]) -> None:  # noqa: N802
        self.segments.append(Segment("line", (self._at(pt),)))

    def _curveToOne(self, pt1: tuple[float, float], pt2: tuple[float, float], pt3: tuple[float, float]) -> None:  # noqa: N802
        self.segments.append(Segment("curve", (self._at(pt1), self._at(pt2), self._at(pt3))))

    def _closePath(self) -> None:  # noqa: N802
        self.segments.append(Segment("close", ()))

    def _endPath(self) -> None:  # noqa: N802
        self._closePath()


__all__ = ["AbstractPen", "Outline", "OutlinePen", "Segment"]
