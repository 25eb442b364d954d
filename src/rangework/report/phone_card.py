"""A test's card for a phone: one HTML file that needs no network."""

from __future__ import annotations

from html import escape
from importlib.resources import files

from rangework.assessment.design import AssessmentDesign
from rangework.report.card_data import card_data, page_json


def phone_card(design: AssessmentDesign) -> str:
    """The page. Nothing in it is fetched, and nothing leaves the phone but the file that is exported."""
    parts = {
        name: _part(name) for name in ("phone_card.css", "card_scoring.js", "card_file.js", "phone_card.js")
    }
    page = _part("phone_card.html").replace("{{title}}", escape(design.words.name))
    for name, text in parts.items():
        page = page.replace(f"{{{{{name}}}}}", text)
    return page.replace("{{data}}", page_json(card_data(design)))


def _part(name: str) -> str:
    return files("rangework.report").joinpath("pages", name).read_text("utf-8")
