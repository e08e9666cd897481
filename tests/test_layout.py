"""The shape of the package: imports one way, one door to the C module, small modules, no floats."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
PACKAGE = ROOT / "precheck"
ORDER = ("model", "read", "rulebook", "settle", "derive", "engine", "answer", "report", "cli")
MODULES = sorted(PACKAGE.rglob("*.py"))


def imported(path: Path) -> set[str]:
    names: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            names |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module:
            names.add(node.module)
            names |= {f"{node.module}.{alias.name}" for alias in node.names}
    return names


@pytest.mark.parametrize("path", MODULES, ids=lambda p: str(p.relative_to(ROOT)))
def test_imports_run_one_way(path: Path) -> None:
    parts = path.relative_to(PACKAGE).parts
    if len(parts) == 1:
        return
    own = ORDER.index(parts[0])
    for name in imported(path):
        words = name.split(".")
        if words[0] == "precheck" and len(words) > 1 and words[1] in ORDER:
            assert ORDER.index(words[1]) <= own, f"{parts[0]} imports {name}"


def test_only_the_network_imports_the_c_module() -> None:
    doors = [p for p in MODULES if any(n.startswith("durable") for n in imported(p))]
    assert [str(p.relative_to(PACKAGE)) for p in doors] == ["engine/network.py"]


@pytest.mark.parametrize("path", MODULES, ids=lambda p: str(p.relative_to(ROOT)))
def test_modules_stay_small(path: Path) -> None:
    assert len(path.read_text(encoding="utf-8").splitlines()) <= 400


@pytest.mark.parametrize(
    "path",
    [p for p in MODULES if p.relative_to(PACKAGE).parts[0] in ("read", "settle", "derive", "engine")],
    ids=lambda p: str(p.relative_to(ROOT)),
)
def test_no_float_between_reading_and_verdict(path: Path) -> None:
    if path.name == "near.py":
        return  # how alike two words are, for "did you mean"; no value passes through it
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        assert not (isinstance(node, ast.Constant) and isinstance(node.value, float)), node.lineno
        assert not (isinstance(node, ast.Name) and node.id == "float"), node.lineno


def test_the_top_level_is_as_laid_out() -> None:
    visible = {p.name for p in ROOT.iterdir() if not p.name.startswith(".")}
    allowed = {
        "README.md",
        "DEVELOPERS.md",
        "pyproject.toml",
        "precheck",
        "rules",
        "schemas",
        "tests",
        "fixtures",
    }
    made_by_tools = {n for n in visible if n.endswith(".egg-info")} | {"build", "dist"}
    assert visible - made_by_tools <= allowed
