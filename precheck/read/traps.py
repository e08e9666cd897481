"""Ways of writing a number that mean different things to different people, each with the way to write it."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable

from precheck.read.fault import Fault

_NUMBER = "a number in the digits 0-9 and a unit"
_QUOTES = "\"'\u2018\u2019\u201c\u201d\u2032\u2033"
_ALLOWED = "°·²"  # in units


def trap(text: str, example: str) -> Fault | None:
    """The first trap in `text`, or None. `example` is a measurement that would be right here."""
    if not text:
        return Fault("empty", "nothing is written", _NUMBER, example)
    for pattern, answer in _TRAPS:
        match = pattern.search(text)
        if match:
            return answer(match, text, example)
    for char in text:
        if not (" " <= char <= "~" or char in _ALLOWED):
            return _odd(char)
    return None


def _odd(char: str) -> Fault:
    if char.isspace():
        return Fault(
            "odd-character", f"an unusual space (U+{ord(char):04X})", "ordinary spaces", "type the space anew"
        )
    if unicodedata.category(char) in ("Nd", "No", "Nl"):
        return Fault(
            "odd-character", f"the sign {char} (U+{ord(char):04X})", "the digits 0-9", "2/32 or 1 1/16"
        )
    return Fault("odd-character", f"the sign {char} (U+{ord(char):04X})", "plain letters, digits and signs")


def _quotes(match: re.Match[str], text: str, example: str) -> Fault:
    feet = re.fullmatch(
        r"([0-9]+) ?['\u2019\u2032] ?([0-9./ -]+?) ?(?:[\"\u201d\u2033]|''|\u2032\u2032)", text
    )
    number = text[: match.start()].strip()
    if not number:
        bare = re.sub(rf"[{_QUOTES}]", "", text).strip()
        return Fault(
            "quote-mark", f"the mark {match.group()} before the number", "no such marks", bare or example
        )
    double = text[match.start() :].startswith(('"', "\u201d", "\u2033", "''", "\u2032\u2032"))
    how = f"{feet[1]} ft {feet[2]} in" if feet else f"{number or 5} {'in' if double else 'ft'}"
    return Fault("quote-mark", f"the mark {match.group()} for a unit", "in for inches, ft for feet", how)


def _comma(match: re.Match[str], text: str, example: str) -> Fault:
    grouped = re.search(r"[0-9]{1,3}(?:,[0-9]{3})+(?![0-9])", text)
    if grouped:
        plain, point = text.replace(",", ""), text.replace(",", ".")
        how = f"{plain}, or {point} if the comma is a decimal point" if text.count(",") == 1 else plain
        return Fault("comma", "a comma in a number", "a number without commas", how)
    return Fault("comma", "a comma in a number", "a point before decimals", text.replace(",", "."))


def _vulgar(match: re.Match[str], text: str, example: str) -> Fault:
    plain = unicodedata.normalize("NFKC", match.group(2)).replace("\u2044", "/")
    how = text.replace(match.group(), f"{match.group(1)} {plain}".strip())
    return Fault("fraction-sign", f"the sign {match.group(2)}", "fractions written as n/d", how)


def _spaced(match: re.Match[str], text: str, example: str) -> Fault:
    how = re.sub(r"([0-9]) */ *([0-9])", r"\1/\2", text)
    return Fault("spaced-fraction", "a space in a fraction", "a fraction without spaces", how)


def _minus(match: re.Match[str], text: str, example: str) -> Fault:
    return Fault(
        "odd-character",
        f"the sign {match.group()}",
        "- for minus, to for a range",
        text.replace(match.group(), "-"),
    )


def _dash_range(match: re.Match[str], text: str, example: str) -> Fault:
    how = text.replace(match.group(), f"{match[1]} to {match[2]}")
    return Fault("range", f'"{match.group()}" could be a range', "ranges written with the word to", how)


def _say(code: str, found: str, expected: str, how: str = "") -> Callable[[re.Match[str], str, str], Fault]:
    def answer(match: re.Match[str], text: str, example: str) -> Fault:
        return Fault(code, found.replace("@", match.group().strip()[:30]), expected, how or example)

    return answer


_N = r"[0-9]+(?:\.[0-9]+)?"
_TRAPS: tuple[tuple[re.Pattern[str], Callable[[re.Match[str], str, str], Fault]], ...] = tuple(
    (re.compile(pattern, re.ASCII), answer)
    for pattern, answer in (
        (rf"[{_QUOTES}]", _quotes),
        (r"([0-9]*) ?([\u00bc-\u00be\u2150-\u215e])", _vulgar),
        (r"[\u2010-\u2015\u2212]", _minus),
        (r"[0-9],[0-9]", _comma),
        (r"[0-9] +/ *[0-9]|[0-9]/ +[0-9]", _spaced),
        (r"[0-9]_[0-9]", _say("underscore", "an underscore in a number", "a number without underscores")),
        (
            r"(?i)^[+-]?(?:\.?nan|\.?inf|infinity)\b",
            _say("not-a-number", '"@" is not a measurement', _NUMBER),
        ),
        (r"(?i)^[+-]?0[xob][0-9a-f]", _say("not-decimal", "a number that is not decimal", "the digits 0-9")),
        (
            r"(?i)^[+-]?[0-9.]+e[+-]?[0-9]+",
            _say("exponent", "a number with an exponent (@)", "the number written out", "1000, not 1e3"),
        ),
        (r"^[+-] ", _say("sign", "a space after the sign", "the sign beside its number", "-5 degC")),
        (
            r"(?:^|[^0-9])\.[0-9]",
            _say("leading-point", "nothing before the point", "a digit before the point", "0.5"),
        ),
        (
            r"[0-9]\.(?![0-9])",
            _say("trailing-point", "nothing after the point", "a digit after the point", "5.0 or 5"),
        ),
        (
            rf"({_N}) ?\+/?- ?({_N})|\u00b1",
            _say("tolerance", "a plus-minus tolerance", "a range", "4 to 6 mm, for 5 mm give or take 1"),
        ),
        (
            r"^[<>=~\u2264\u2265\u2248]+",
            _say("comparison", "the sign @", "at least, at most, or low to high", "at least 40 psi"),
        ),
        (r"^(?:more than|over|above)\b", _say("comparison", '"@"', "at least", "at least 40 psi")),
        (r"^(?:less than|under|below|up to)\b", _say("comparison", '"@"', "at most", "at most 2 mm")),
        (
            r"^(?:about|approx\.?|approximately|around|circa|ca\.?)\b",
            _say(
                "vague",
                '"@" without saying how far off it may be',
                "what was measured, or a range",
                "4 to 6 mm",
            ),
        ),
        (r"^between\b", _say("range", '"between"', "low to high", "5 to 6 mm")),
        (rf"^({_N}) ?- ?({_N})(?![0-9/])", _dash_range),
    )
)
