"""What a teacher decides about a finding or a draft, as named steps of the document."""

from __future__ import annotations

from app import words_about as words
from app.document import Document
from app.line_work import LineWork
from app.spoken import bar_name
from core.line import accepting
from core.line.drafts import Draft, accept_draft
from core.line.finding import Finding
from core.line.telling import tell
from core.study import Dismissed, Study


def accept(document: Document, finding: Finding) -> None:
    """Keep it as a callout, or as a reading. Raises BarglossError."""
    document.edit(_named(words.ACCEPT_EDIT, document.study, finding),
                  lambda study: accepting.accept(study, finding, tell(finding)))


def dismiss(document: Document, finding: Finding) -> None:
    """Offer it no more. Raises BarglossError."""
    document.edit(_named(words.DISMISS_EDIT, document.study, finding), lambda study: accepting.dismiss(study, finding))


def restore(document: Document, finding: Finding) -> None:
    """Offer it again. Raises BarglossError."""
    document.edit(_named(words.RESTORE_EDIT, document.study, finding), lambda study: accepting.restore(study, finding))


def take_draft(document: Document, draft: Draft) -> None:
    """Keep it as a callout. Raises BarglossError."""
    bar = bar_name(document.study, draft.bar)
    document.edit(words.ACCEPT_DRAFT_EDIT.format(bar=bar), lambda study: accept_draft(study, draft))


def is_offered(line: LineWork, finding: Finding) -> bool:
    """Whether it still stands in the study as it is now."""
    bars = line.told.bars
    return finding.first.bar < len(bars) and finding in bars[finding.first.bar]


def dismissed_in(line: LineWork, study: Study, bar: int) -> list[Finding]:
    """The bar's findings that are offered no more because the teacher said so."""
    marks = set(study.bars[bar].dismissed)
    if not marks:
        return []
    return [finding for finding in line.told.noticed[bar]
            if Dismissed(study.event_at(finding.first).onset, finding.kind) in marks]


def _named(name: str, study: Study, finding: Finding) -> str:
    return name.format(kind=words.KINDS[finding.kind], bar=bar_name(study, finding.first.bar))
