"""Our quick data classes do what those of the standard library do, which is the referee here."""

from __future__ import annotations

import copy
import dataclasses
import importlib
import pickle
import pkgutil
import subprocess
import sys
from typing import Any, ClassVar

import pytest

import precheck
from precheck.model import record

KINDS: tuple[dict[str, bool], ...] = (
    {},
    {"frozen": True},
    {"slots": True},
    {"frozen": True, "slots": True},
    {"frozen": True, "slots": True, "order": True},
)


def made(library: Any, **how: bool) -> Any:
    """The same class by one of the two."""

    @library.dataclass(**how)
    class Thing:
        counted: ClassVar[int] = 0
        name: str
        size: int = 3
        loose: list[int] = library.field(default_factory=list, compare=False)
        hidden: str = library.field(default="h", repr=False)
        worked_out: str = library.field(init=False, compare=False)

        def __post_init__(self) -> None:
            object.__setattr__(self, "worked_out", self.name * 2)

        @property
        def double(self) -> int:
            return self.size * 2

    return Thing


@pytest.mark.parametrize("how", KINDS)
def test_the_same_class_by_both_behaves_the_same(how: dict[str, bool]) -> None:
    ours, theirs = made(record, **how), made(dataclasses, **how)
    for given, more in ((("a",), {}), (("a", 4), {}), (("b",), {"size": 5, "hidden": "x"})):
        one, other = ours(*given, **more), theirs(*given, **more)
        assert repr(one).split("(", 1)[1] == repr(other).split("(", 1)[1]
        assert one == ours(*given, **more)
        assert one != other
        assert (one == ours("z")) == (other == theirs("z"))
        assert dataclasses.asdict(one) == dataclasses.asdict(other)
        assert one.double == other.double
        for function in (record.replace, dataclasses.replace):
            assert repr(function(one, name="n")) == repr(record.replace(one, name="n"))
            with pytest.raises((ValueError, TypeError)):
                function(one, worked_out="no")
            with pytest.raises(TypeError):
                function(one, no_such="no")
        if how.get("frozen"):
            assert hash(one) == hash(other)
            with pytest.raises(AttributeError):
                one.name = "changed"
            with pytest.raises(AttributeError):
                del one.name
        else:
            with pytest.raises(TypeError):
                hash(one)
        assert hasattr(one, "__dict__") == hasattr(other, "__dict__")
        assert copy.copy(one) == one == copy.deepcopy(one)
    assert ours("a").loose is not ours("a").loose
    assert [f.name for f in dataclasses.fields(ours)] == [f.name for f in dataclasses.fields(theirs)]
    assert ours.__match_args__ == theirs.__match_args__
    for wrong in ((), (1, 2, 3, 4, 5)):
        with pytest.raises(TypeError):
            ours(*wrong)
    if how.get("order"):
        assert sorted([ours("b"), ours("a", 9), ours("a")]) == [ours("a"), ours("a", 9), ours("b")]
        with pytest.raises(TypeError):
            assert ours("a") < theirs("b")


def modules() -> list[str]:
    return [m.name for m in pkgutil.walk_packages(precheck.__path__, "precheck.") if "__main__" not in m.name]


def classes() -> list[type]:
    found = {
        thing
        for name in modules()
        for thing in vars(importlib.import_module(name)).values()
        if isinstance(thing, type) and "__precheck_fields__" in vars(thing)
    }
    return sorted(found, key=lambda c: (c.__module__, c.__name__))


def standard(one: Any) -> Any:
    given = {
        name: getattr(one, name)
        for name in ("default", "default_factory")
        if getattr(one, name) is not dataclasses.MISSING
    }
    return dataclasses.field(init=one.init, repr=one.repr, compare=one.compare, **given)


@pytest.mark.parametrize("cls", classes(), ids=lambda c: c.__name__)
def test_every_class_of_precheck_has_the_fields_the_standard_library_sees(cls: Any) -> None:
    """The standard library makes a class of the same annotations and defaults; both must look alike."""
    fields = dataclasses.fields(cls)
    again = dataclasses.make_dataclass(cls.__name__, [(f.name, Any, standard(f)) for f in fields])
    values = {f.name: f"value of {f.name}" for f in fields if f.init}
    if any(not f.init for f in fields) or hasattr(cls, "__post_init__"):
        return  # what is worked out needs real values
    one, other = cls(**values), again(**values)
    assert dataclasses.astuple(one) == dataclasses.astuple(other)
    if "__repr__" not in vars(cls):
        assert repr(one) == repr(other).replace(again.__qualname__, cls.__qualname__, 1)
    assert one == cls(**values)
    assert pickle.loads(pickle.dumps(one)) == one


def test_a_cold_start_does_not_import_the_standard_ones() -> None:
    code = "import sys, precheck.cli.main as m; m.parser('gate'); print('dataclasses' in sys.modules)"
    said = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert said.stdout.strip() == "False"
