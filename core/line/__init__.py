"""The line: every note against the chord in force, the key and the teacher's reading, and the part it plays."""

from core.line.analysis import Analysis, BarAnalysis, ChordSpan, NoteAnalysis, ReadingSpan, analyse, shown_degree
from core.line.roles import Role

__all__ = ["Analysis", "BarAnalysis", "ChordSpan", "NoteAnalysis", "ReadingSpan", "Role", "analyse", "shown_degree"]
