"""From the document model to one HTML file: style sheet and pictures inside, nothing loaded, no scripts."""

from __future__ import annotations

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup

from printworthy.dossier.document import Document, Figure
from printworthy.results import Word

# One shape per word, so that it is told apart in grey and by every eye; the word itself always stands beside it.
SHAPES: dict[Word, str] = {
    "print": "full",
    "print with conditions": "half",
    "do not print": "cross",
    "not decided": "open",
}


def lay_out(document: Document, json_name: str) -> str:
    """The HTML text of a document; `json_name` is the file name of its JSON twin."""
    environment = Environment(
        loader=PackageLoader("printworthy.dossier"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.filters["picture"] = _picture
    environment.filters["shape"] = SHAPES.__getitem__
    template = environment.get_template("dossier.html.jinja")
    return template.render(document=document, json_name=json_name)


def _picture(figure: Figure) -> Markup:
    """The SVG of a figure: built by ElementTree, which escapes every text in it, so it may stand as markup."""
    return Markup(figure.svg)
