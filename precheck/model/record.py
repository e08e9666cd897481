"""`dataclass`, `field`, `replace`, `fields`, `is_dataclass` as in the standard library, made quickly.

Importing `dataclasses` and writing out six methods for each of a hundred classes takes a fifth of a cold
gate. Here a class gets one written-out method, its `__init__`; the others are shared. To type checkers these
are the names of the standard library, and its own functions (`dataclasses.replace`, `fields`, `asdict`,
`copy.replace`) take these classes too: `__dataclass_fields__` is made when it is first asked for.
Only what precheck uses is here: frozen, slots, order; field(default, default_factory, init, repr, compare).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from dataclasses import dataclass, field, fields, is_dataclass, replace
else:
    from operator import attrgetter

    _MISSING = object()
    _set = object.__setattr__

    class FrozenError(AttributeError):
        """Somebody tried to change what is frozen."""

    class Field:
        __slots__ = ("compare", "default", "default_factory", "init", "name", "repr")

        def __init__(self, default, default_factory, init, repr, compare):
            self.name = ""
            self.default, self.default_factory = default, default_factory
            self.init, self.repr, self.compare = init, repr, compare

    def field(*, default=_MISSING, default_factory=_MISSING, init=True, repr=True, compare=True):
        return Field(default, default_factory, init, repr, compare)

    def dataclass(cls=None, *, frozen=False, slots=False, order=False):
        if cls is None:
            return lambda found: _made(found, frozen, slots, order)
        return _made(cls, frozen, slots, order)

    def fields(thing):
        """The fields of a class or object, in order. Raises TypeError for anything else."""
        try:
            return thing.__precheck_fields__
        except AttributeError:
            raise TypeError(f"{thing!r} has no fields") from None

    def is_dataclass(thing):
        return hasattr(thing, "__precheck_fields__")

    def replace(thing, /, **changes):
        """A copy with other values. Raises TypeError for an unknown name, ValueError for init=False."""
        for one in fields(thing):
            if not one.init:
                if one.name in changes:
                    raise ValueError(f"{one.name} is not given, it is worked out")
            elif one.name not in changes:
                changes[one.name] = getattr(thing, one.name)
        return type(thing)(**changes)

    # -- making a class -----------------------------------------------------------------------

    def _made(cls, frozen, slots, order):
        notes = cls.__dict__.get("__annotations__", {})  # noqa: RUF063 (inspect is what must not be imported)
        own = [_own(cls, name, note) for name, note in notes.items()]
        own = [one for one in own if one is not None]
        inherited = {
            f.name: f for base in cls.__mro__[:0:-1] for f in getattr(base, "__precheck_fields__", ())
        }
        every = tuple({**inherited, **{f.name: f for f in own}}.values())
        if slots:
            names = {**cls.__dict__, "__slots__": tuple(f.name for f in own if f.name not in inherited)}
            for gone in (*(f.name for f in own), "__dict__", "__weakref__"):
                names.pop(gone, None)
            cls = type(cls)(cls.__name__, cls.__bases__, names)
            cls.__getstate__, cls.__setstate__ = _getstate, _setstate
        elif own:
            for one in own:
                if one.default is not _MISSING:
                    setattr(cls, one.name, one.default)
                elif one.name in cls.__dict__:
                    delattr(cls, one.name)
        cls.__precheck_fields__ = every
        cls.__dataclass_fields__ = _Standard()
        cls.__match_args__ = tuple(f.name for f in every if f.init)
        cls.__replace__ = replace
        if "__init__" not in cls.__dict__:
            cls.__init__ = _init(cls, every, frozen)
        _methods(cls, every, frozen, order)
        return cls

    def _own(cls, name, note):
        if str(note).startswith(("ClassVar", "typing.ClassVar")):
            return None
        found = cls.__dict__.get(name, _MISSING)
        if not isinstance(found, Field):
            found = Field(found, _MISSING, True, True, True)
        found.name = name
        return found

    def _init(cls, every, frozen):
        """`__init__`, written out, so that a call costs no more than by hand."""
        known = {"_set": _set, "_missing": _MISSING}
        given, lines = [], []
        for number, one in enumerate(every):
            value = one.name
            if one.default is not _MISSING:
                known[f"_d{number}"] = one.default
                word = f"{one.name}=_d{number}"
            elif one.default_factory is not _MISSING:
                known[f"_d{number}"] = one.default_factory
                word = f"{one.name}=_missing"
                value = f"_d{number}() if {one.name} is _missing else {one.name}"
            else:
                word = one.name
            if one.init:
                given.append(word)
                lines.append(f" _set(self,{one.name!r},{value})" if frozen else f" self.{one.name}={value}")
            elif one.default is not _MISSING:
                lines.append(f" _set(self,{one.name!r},_d{number})")
        if hasattr(cls, "__post_init__"):
            lines.append(" self.__post_init__()")
        text = f"def __init__(self{''.join(', ' + word for word in given)}):\n" + "\n".join(
            lines or [" pass"]
        )
        exec(text, known)
        made = known["__init__"]
        made.__qualname__ = f"{cls.__qualname__}.__init__"
        return made

    def _methods(cls, every, frozen, order):
        compared = [f.name for f in every if f.compare]
        if not compared:
            key = _no_key
        elif len(compared) == 1:
            key = _one_key(compared[0])
        else:
            key = attrgetter(*compared)
        shown = [f.name for f in every if f.repr]

        def equal(self, other):
            return key(self) == key(other) if other.__class__ is self.__class__ else NotImplemented

        def shown_as(self):
            inner = ", ".join(f"{name}={getattr(self, name)!r}" for name in shown)
            return f"{type(self).__qualname__}({inner})"

        own = cls.__dict__
        own_hash = own.get("__hash__")
        if "__eq__" not in own:
            cls.__eq__ = equal
        if "__repr__" not in own:
            cls.__repr__ = shown_as
        if own_hash is None:  # also where a class that has __eq__ got None for it
            cls.__hash__ = (lambda self: hash(key(self))) if frozen else None
        if frozen:
            cls.__setattr__ = _frozen_set
            cls.__delattr__ = _frozen_delete
        if order:
            for name, compare in _ORDERS.items():
                setattr(cls, name, _ordering(key, compare))

    def _no_key(self):
        return ()

    def _one_key(name):
        get = attrgetter(name)
        return lambda self: (get(self),)

    _ORDERS = {
        "__lt__": lambda a, b: a < b,
        "__le__": lambda a, b: a <= b,
        "__gt__": lambda a, b: a > b,
        "__ge__": lambda a, b: a >= b,
    }

    def _ordering(key, compare):
        def method(self, other):
            return compare(key(self), key(other)) if other.__class__ is self.__class__ else NotImplemented

        return method

    def _frozen_set(self, name, value):
        raise FrozenError(f"cannot assign to field {name!r}")

    def _frozen_delete(self, name):
        raise FrozenError(f"cannot delete field {name!r}")

    def _getstate(self):
        return [getattr(self, f.name) for f in self.__precheck_fields__]

    def _setstate(self, state):
        for one, value in zip(self.__precheck_fields__, state, strict=True):
            _set(self, one.name, value)

    class _Standard:
        """The fields as the standard library has them, made for a class when they are first asked for."""

        def __get__(self, thing: Any, cls: type) -> Any:
            import dataclasses

            made = {}
            for one in cls.__precheck_fields__:
                default = dataclasses.MISSING if one.default is _MISSING else one.default
                factory = dataclasses.MISSING if one.default_factory is _MISSING else one.default_factory
                standard = dataclasses.field(
                    init=one.init,
                    repr=one.repr,
                    compare=one.compare,
                    **({"default": default} if default is not dataclasses.MISSING else {}),
                    **({"default_factory": factory} if factory is not dataclasses.MISSING else {}),
                )
                standard.name = one.name
                standard.type = cls.__annotations__.get(one.name)
                standard._field_type = dataclasses._FIELD
                made[one.name] = standard
            cls.__dataclass_fields__ = made
            return made


__all__ = ["dataclass", "field", "fields", "is_dataclass", "replace"]
