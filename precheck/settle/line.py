"""What is left of the claims of one point at one place, while the visits are walked."""

from __future__ import annotations

from precheck.model.document import Claim, Value
from precheck.model.record import dataclass, field


@dataclass
class Line:
    """What is left of the claims of one point at one place after walking the visits.

    `live` are the readings that were not struck or voided; `standing` is the one that counts, unless
    `hold` says why none does. `named` holds the last finding at this very place and hearsay of it since,
    `wide` what was said since for all places: what a look or a word for all places does not clear.
    """

    live: list[Claim] = field(default_factory=list)
    passed: list[tuple[Claim, str]] = field(default_factory=list)
    standing: Claim | None = None
    named: list[Claim] = field(default_factory=list)
    wide: list[Claim] = field(default_factory=list)
    void: str = ""
    hold: str = ""
    not_reached: str = ""
    lost: tuple[Value, ...] = ()

    def take(self, claim: Claim) -> None:
        self.live.append(claim)
        self.standing = claim
        self.hold = self.void = self.not_reached = ""
        self.lost = ()

    def end(self, why: str, mended: bool) -> None:
        """Work or an event ends the readings; what an event took back is not forgotten."""
        if self.standing:
            self.lost = self.standing.values
        if mended:
            self.lost = ()
        self.passed += [(c, why) for c in self.live]
        self.standing, self.void, self.hold = None, why, ""
        for kept in (self.live, self.named, self.wide):
            kept.clear()
