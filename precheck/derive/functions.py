"""The functions that rules/derived.yaml may name."""

from __future__ import annotations

from precheck.derive.dates import tire_age
from precheck.derive.outcome import Function

FUNCTIONS: dict[str, Function] = {
    "tire-age": tire_age,
}
