"""The line: each note against its chord, the key and the reading; what the line does, and drafts that tell it."""

from core.line.accepting import accept, callout_of, dismiss, restore
from core.line.analysis import Analysis, BarAnalysis, ChordSpan, NoteAnalysis, ReadingSpan, analyse, shown_degree
from core.line.drafts import Draft, accept_draft, drafts
from core.line.finding import Finding, Kind
from core.line.roles import Role
from core.line.scales_used import scales_used
from core.line.summary import Summary, summarise, summary_lines
from core.line.telling import Told, tell, told
from core.line.tones import Tone, Tones

__all__ = [
    "Analysis", "BarAnalysis", "ChordSpan", "Draft", "Finding", "Kind", "NoteAnalysis", "ReadingSpan", "Role",
    "Summary", "Told", "Tone", "Tones", "accept", "accept_draft", "analyse", "callout_of", "dismiss", "drafts",
    "restore", "scales_used", "shown_degree", "summarise", "summary_lines", "tell", "told",
]
