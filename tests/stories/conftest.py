from __future__ import annotations

from pathlib import Path

import pytest

from tests.stories.telling import Person


@pytest.fixture
def person(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Person:
    """Somebody in an empty folder of their own."""
    monkeypatch.chdir(tmp_path)
    return Person(tmp_path, capsys)
