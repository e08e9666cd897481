"""A card of one drive as a page to print and to write on."""

from __future__ import annotations

from precheck.answer.card_record import Card
from precheck.report.card import care, choice, title
from precheck.report.html.page import document


def card_page(card: Card) -> str:
    """One page in one file. The same record gives the same bytes."""
    return document(
        "card.html",
        title=f"{title(card)}: {card.called or card.file}",
        card=card,
        choice=choice,
        caution=care,
        capital=_capital,
    )


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
