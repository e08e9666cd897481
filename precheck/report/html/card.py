"""A card of one drive as a page to print and to write on."""

from __future__ import annotations

from precheck.answer.card_record import Card
from precheck.report.card import care, title
from precheck.report.html.page import document
from precheck.report.lines import capital


def card_page(card: Card) -> str:
    """One page in one file. The same record gives the same bytes."""
    return document(
        "card.html",
        title=f"{title(card)}: {card.called or card.file}",
        card=card,
        caution=care,
        capital=capital,
    )
