"""Faults of judging: each ends in exit code 2, never in a verdict."""

from __future__ import annotations


class EngineFault(Exception):
    """The machinery of judging cannot be trusted in this run."""


class NotInstalled(EngineFault):
    """The rule network's C module does not import; the text has the line to run."""


class NetworkFault(EngineFault):
    """The network refused something, or is outside the limits it was proven in."""


class Incomplete(EngineFault):
    """A fact that went in did not come out, or an expected result is missing or there twice."""


class Disagreement(EngineFault):
    """The network and the judge do not say the same."""


class TallyFault(EngineFault):
    """The counts of a use do not add up to what was expected."""
