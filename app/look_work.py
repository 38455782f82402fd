"""How the page looks, kept from day to day: template, paper, strip, and which rows each template shows."""

from __future__ import annotations

from PySide6.QtCore import QLocale

from app.document import Document, Look
from app.row_choice import Rows, as_text, from_text, rows_of, shown
from app.settings import Settings
from core.handout import PAPERS, load_template, template_names

_LETTER = frozenset(("BZ", "CA", "CL", "CO", "CR", "GT", "MX", "NI", "PA", "PH", "PR", "SV", "US", "VE"))
"""Where letter paper is usual: Unicode CLDR, supplemental data, paperSize US-Letter (from memory)."""
_ROWS, _TEMPLATE, _PAPER, _STRIP = "rows/{template}", "look/template", "look/paper", "look/strip"


class LookWork:
    """Lays a document out by what was kept, at once and whenever it changes. All but the readers raise BarglossError
    where it cannot be laid out so, and then nothing has changed."""

    def __init__(self, document: Document, settings: Settings) -> None:
        self._document, self._settings = document, settings
        document.show_as(kept_look(settings))

    @property
    def template(self) -> str:
        """By name: the one whose rows these are."""
        return self._document.look.template

    @property
    def rows(self) -> Rows:
        return _kept_rows(self._settings, self.template)

    @property
    def is_own(self) -> bool:
        """Whether they are as the template has them."""
        return self.rows == rows_of(load_template(self.template))

    def choose_template(self, name: str) -> None:
        """Lay the document out by a template, with the rows kept for it."""
        self._document.show_as(self._document.look._replace(template=name, rows=_chosen(self._settings, name)))
        self._settings.keep(_TEMPLATE, name)

    def choose_paper(self, name: str) -> None:
        self._document.show_as(self._document.look._replace(paper=name))
        self._settings.keep(_PAPER, name)

    def turn_strip(self) -> None:
        strip = not self._document.look.strip
        self._document.show_as(self._document.look._replace(strip=strip))
        self._settings.keep(_STRIP, "yes" if strip else "")

    def choose(self, rows: Rows) -> None:
        """These rows from now on."""
        self._keep_rows(as_text(rows))

    def give_back(self) -> None:
        """As the template has them."""
        self._keep_rows("")

    def _keep_rows(self, text: str) -> None:
        self._settings.keep(_ROWS.format(template=self.template), text)
        self.choose_template(self.template)


def kept_look(settings: Settings) -> Look:
    """As it was left the last time; at first the lesson's, on the paper that is usual where the person lives."""
    template, paper = settings.text(_TEMPLATE), settings.text(_PAPER)
    if template not in template_names():
        template = Look().template
    if paper not in PAPERS:
        paper = "letter" if QLocale.territoryToCode(QLocale().territory()) in _LETTER else "a4"
    return Look(template, paper, _chosen(settings, template), settings.text(_STRIP) == "yes")


def _kept_rows(settings: Settings, template: str) -> Rows:
    return from_text(settings.text(_ROWS.format(template=template)), load_template(template))


def _chosen(settings: Settings, template: str) -> tuple[str, ...]:
    """The rows kept for a template; () for its own."""
    rows = _kept_rows(settings, template)
    return () if rows == rows_of(load_template(template)) else shown(rows)
