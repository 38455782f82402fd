"""From ink to pages: templates, breaking, title and foot; and the PDF, SVG and PNG painters.

`compose` gives a study's pages; `lay_out` the same with all that was computed on the way, so that
the next layout after an edit does only what changed. The painters (`pdf.pdf_bytes`, `svg.svg_pages`,
`png.png_pages`) are no names of this door: their libraries are slow to import, and the window opens without.
"""

from core.handout.excerpt import Excerpt, all_of
from core.handout.layout import Layout, compose, join, lay_out, lay_out_excerpt
from core.handout.pagination import PlacedSystem, placed_in
from core.handout.template import PAPERS, Template, load_template, parse_template, template_names, with_rows

__all__ = [
    "PAPERS", "Excerpt", "Layout", "PlacedSystem", "Template", "all_of", "compose", "join", "lay_out",
    "lay_out_excerpt", "load_template", "parse_template", "placed_in", "template_names", "with_rows",
]
