"""What DEVELOPERS.md says of the sources is what rules/ holds."""

from __future__ import annotations

from tests.docs.sources_table import DEVELOPERS, shown, table


def test_the_table_of_sources_is_not_stale() -> None:
    assert shown(DEVELOPERS.read_text(encoding="utf-8")) == table()
