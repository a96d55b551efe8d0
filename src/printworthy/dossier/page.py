"""From the document model to one HTML file: style sheet and pictures inside, nothing loaded, no scripts."""

from __future__ import annotations

from importlib.resources import files

from jinja2 import BaseLoader, ChoiceLoader, Environment, PackageLoader, StrictUndefined
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
    template = environment().get_template("dossier.html.jinja")
    return template.render(document=document, json_name=json_name)


def environment(*further: BaseLoader) -> Environment:
    """The templates of the dossier, and `further` ones that may use them."""
    made = Environment(
        loader=ChoiceLoader([*further, PackageLoader("printworthy.dossier")]),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    made.filters["picture"] = _picture
    made.filters["shape"] = SHAPES.__getitem__
    return made


def style() -> str:
    """The style sheet of the dossier."""
    return (files("printworthy.dossier") / "templates" / "dossier.css").read_text(encoding="utf-8")


def _picture(figure: Figure) -> Markup:
    """The SVG of a figure: built by ElementTree, which escapes every text in it, so it may stand as markup."""
    return Markup(figure.svg)
