from __future__ import annotations

from pathlib import Path

import pytest
import yaml

from precheck.read.files import read_file
from precheck.read.quantity import Units

ROOT = Path(__file__).resolve().parents[2]
LOADERS = [pytest.param(yaml.SafeLoader, id="pure")]
if yaml.__with_libyaml__:
    LOADERS.append(pytest.param(yaml.CSafeLoader, id="c"))


@pytest.fixture(params=LOADERS)
def loader(request):
    return request.param


@pytest.fixture(scope="session")
def units() -> Units:
    source, problems = read_file(ROOT / "rules" / "units.yaml", "units.yaml")
    assert problems == ()
    assert source is not None
    return Units.load(source)
