"""From ink to pages: templates, breaking, title and foot; and the PDF, SVG and PNG painters.

`compose` gives a study's pages; `lay_out` the same with all that was computed on the way, so that
the next layout after an edit does only what changed.
"""

from core.handout.layout import Layout, compose, join, lay_out
from core.handout.pagination import PlacedSystem
from core.handout.pdf import pdf_bytes
from core.handout.png import png_pages
from core.handout.svg import svg_pages
from core.handout.template import PAPERS, Template, load_template, parse_template, template_names

__all__ = [
    "PAPERS", "Layout", "PlacedSystem", "Template", "compose", "join", "lay_out", "load_template", "parse_template",
    "pdf_bytes", "png_pages", "svg_pages", "template_names",
]
