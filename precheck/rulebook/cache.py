"""The parsed library, kept between runs by the hash of everything it was made from.

The cache lives in the user's own cache folder. It is read back by an unpickler that knows only the data
classes of precheck, after its own hash was checked; anything odd and the library is read anew.
"""

from __future__ import annotations

import contextlib
import hashlib
import io
import os
import pickle
import sys
from collections.abc import Callable
from copy import copy
from fractions import Fraction
from pathlib import Path
from typing import Any

from precheck.model.record import fields, is_dataclass, replace
from precheck.model.rules import Rule
from precheck.rulebook.book import Rulebook
from precheck.rulebook.kept import KeptRules

_OFF = "PRECHECK_NO_CACHE"
_SHA = 32
_MODULES = ("precheck.rulebook.book", "precheck.read.units")
_ALLOWED = {("fractions", "Fraction"), ("builtins", "frozenset"), ("builtins", "set")}


def get(folder: Path, load: Callable[[], Rulebook]) -> Rulebook:
    """The library of `folder`: from the cache where it is there and whole, else loaded and kept."""
    path = _path(folder)
    if path is None:
        return load()
    kept = _read(path)
    if kept is not None:
        return kept
    book = load()
    rules = {name: replace(rule, cases=()) for name, rule in book.rules.items()}
    small = replace(book, rules=rules)
    _write(path, small)
    return small


def _path(folder: Path) -> Path | None:
    if os.environ.get(_OFF):
        return None
    root = os.environ.get("XDG_CACHE_HOME") or os.path.join(os.path.expanduser("~"), ".cache")
    return Path(root) / "precheck" / f"rulebook-{_key(folder)}.pickle"


def _key(folder: Path) -> str:
    """A hash over the library's files and over the code that reads them."""
    code = Path(__file__).resolve().parent.parent
    sources = [p for name in ("model", "read", "rulebook") for p in (code / name).glob("*.py")]
    found = hashlib.sha256(f"{sys.version_info[:3]}".encode())
    for path in sorted([*folder.glob("*.yaml"), *folder.glob("*/*.yaml"), *sources]):
        data = path.read_bytes()
        found.update(f"{path.parent.name}/{path.name}:{len(data)}:".encode())
        found.update(data)
    return found.hexdigest()[:32]


def _read(path: Path) -> Rulebook | None:
    try:
        data = path.read_bytes()
    except OSError:
        return None
    if hashlib.sha256(data[_SHA:]).digest() != data[:_SHA]:
        return None
    try:
        book, index, packed = _loads(data[_SHA:])
    except Exception:  # an old or foreign cache is no reason to stop
        return None
    return replace(book, rules=KeptRules(index, packed, _loads)) if isinstance(book, Rulebook) else None


def _write(path: Path, book: Rulebook) -> None:
    """Keep it, or do without: a full disk or a read-only home does not matter."""
    import tempfile

    by_source: dict[str, list[Rule]] = {}
    for rule in book.rules.values():
        by_source.setdefault(rule.source, []).append(rule)
    packed = {source: _dumps(tuple(rules)) for source, rules in by_source.items()}
    index = {name: rule.source for name, rule in book.rules.items()}
    with contextlib.suppress(OSError):
        path.parent.mkdir(parents=True, exist_ok=True)
        data = _dumps((replace(book, rules={}), index, packed))
        handle, name = tempfile.mkstemp(dir=path.parent)
        with os.fdopen(handle, "wb") as file:
            file.write(hashlib.sha256(data).digest() + data)
        os.replace(name, path)
        for old in path.parent.glob("rulebook-*.pickle"):
            if old != path:
                old.unlink()


def _dumps(thing: object) -> bytes:
    stream = io.BytesIO()
    _Pickler(stream, protocol=5).dump(_Shared().of(thing))
    return stream.getvalue()


def _loads(data: bytes) -> Any:
    return _Unpickler(io.BytesIO(data)).load()


class _Shared:
    """Makes equal parts of frozen data one object, so that they are kept and read once.

    Equal means of the same classes down to the last word: 1 is not True, and a test is not another test
    that only compares alike.
    """

    def __init__(self) -> None:
        self.known: dict[object, object] = {}

    def of(self, thing: Any) -> Any:
        if is_dataclass(thing) and not isinstance(thing, type):
            names = [f.name for f in fields(thing)]
            parts = [self.of(getattr(thing, name)) for name in names]
            made = copy(thing)
            for name, part in zip(names, parts, strict=True):
                object.__setattr__(made, name, part)
            return self.known.setdefault((type(thing), *map(id, parts)), made)
        if isinstance(thing, tuple):
            parts = [self.of(part) for part in thing]
            return self.known.setdefault((tuple, *map(id, parts)), tuple(parts))
        if isinstance(thing, dict):
            return {self.of(key): self.of(value) for key, value in thing.items()}
        if isinstance(thing, (str, int, Fraction, frozenset, bytes)):
            return self.known.setdefault((type(thing), thing), thing)
        return thing


class _Pickler(pickle.Pickler):
    """Data classes as a call with their fields: reading a state back is three times as slow."""

    def reducer_override(self, thing: Any) -> Any:
        if is_dataclass(thing) and not isinstance(thing, type):
            return type(thing), tuple(getattr(thing, f.name) for f in fields(thing) if f.init)
        return NotImplemented


class _Unpickler(pickle.Unpickler):
    """Makes only data classes and words of precheck, Fractions and sets; nothing else can be called."""

    def find_class(self, module: str, name: str) -> Any:
        found = super().find_class(module, name) if self._may(module, name) else None
        if not isinstance(found, type) or found.__module__ != module:
            raise pickle.UnpicklingError(f"{module}.{name}")
        return found

    @staticmethod
    def _may(module: str, name: str) -> bool:
        ours = module.startswith("precheck.model.") or module in _MODULES
        return "." not in name and (ours or (module, name) in _ALLOWED)
