"""Which rows the page shows, kept for each template from day to day."""

from __future__ import annotations

from app.document import Document
from app.row_choice import Rows, as_text, from_text, rows_of, shown
from app.settings import Settings
from core.handout import load_template

_KEPT = "rows/{template}"


class RowWork:
    """Lays a document out by what was kept, at once and whenever it changes."""

    def __init__(self, document: Document, settings: Settings) -> None:
        self._document, self._settings = document, settings
        self.choose_template(document.look.template)

    @property
    def template(self) -> str:
        """By name: the one whose rows these are."""
        return self._document.look.template

    @property
    def rows(self) -> Rows:
        return self._rows_for(self.template)

    def _rows_for(self, template: str) -> Rows:
        return from_text(self._settings.text(_KEPT.format(template=template)), load_template(template))

    @property
    def is_own(self) -> bool:
        """Whether they are as the template has them."""
        return self.rows == rows_of(load_template(self.template))

    def choose_template(self, name: str) -> None:
        """Lay the document out by a template, with the rows kept for it. Raises BarglossError."""
        rows = self._rows_for(name)
        chosen = () if rows == rows_of(load_template(name)) else shown(rows)
        self._document.show_as(self._document.look._replace(template=name, rows=chosen))

    def choose(self, rows: Rows) -> None:
        """These rows from now on. Raises BarglossError."""
        self._settings.keep(_KEPT.format(template=self.template), as_text(rows))
        self.choose_template(self.template)

    def give_back(self) -> None:
        """As the template has them. Raises BarglossError."""
        self._settings.keep(_KEPT.format(template=self.template), "")
        self.choose_template(self.template)
