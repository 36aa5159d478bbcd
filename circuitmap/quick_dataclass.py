"""Dataclasses that are made in a fifth of the time.

The standard library writes out six functions for each frozen class and compiles them each time that the program
starts, which took a tenth of a short command's time. Here only `__init__` is written out, since that is called often:
the others are the same for all classes but for the names of their fields. What comes out is a dataclass for all who
ask (`fields`, `replace`, a type checker).
"""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from dataclasses import dataclass as dataclass
else:
    import dataclasses
    from dataclasses import MISSING, FrozenInstanceError
    from operator import attrgetter

    def dataclass(cls=None, /, *, frozen=False, slots=False, kw_only=False, eq=True):
        """Like the decorator of the standard library, with those of its words that are used here."""

        def made(cls):
            cls = dataclasses.dataclass(init=False, repr=False, eq=False, slots=slots, kw_only=kw_only)(cls)
            its = dataclasses.fields(cls)
            functions = {"__init__": _init(cls, its, frozen), "__repr__": _repr(its)}
            if eq:
                functions["__eq__"] = _eq(_values_of([one.name for one in its if one.compare]))
                hashed = [one.name for one in its if (one.compare if one.hash is None else one.hash)]
                functions["__hash__"] = _hash(_values_of(hashed)) if frozen else None
            if frozen:
                functions |= {"__setattr__": _refuse, "__delattr__": _refuse}
            if frozen and slots:  # nobody can set what was copied or pickled one by one
                functions |= {"__getstate__": _state, "__setstate__": _set_state}
            for name, function in functions.items():
                if name not in cls.__dict__:
                    setattr(cls, name, function)
            return cls

        return made if cls is None else made(cls)

    def _init(cls, its, frozen):
        """Positional fields, then those by name only; a default that is made anew is made where it is missing."""
        known = {"_set": object.__setattr__, "_missing": MISSING}
        words, lines = ["self"], []
        for by_name in (False, True):
            some = [one for one in its if one.kw_only is by_name]
            if by_name and any(one.init for one in some):
                words.append("*")
            for one in some:
                name, value = one.name, one.name
                if one.default_factory is not MISSING:
                    known[f"_make_{name}"] = one.default_factory
                    value = f"_make_{name}()"
                    if one.init:
                        words.append(f"{name}=_missing")
                        value = f"{value} if {name} is _missing else {name}"
                elif one.default is not MISSING:
                    known[f"_usual_{name}"] = one.default
                    value = name if one.init else f"_usual_{name}"
                    if one.init:
                        words.append(f"{name}=_usual_{name}")
                elif one.init:
                    words.append(name)
                else:
                    continue
                lines.append(f" _set(self, {name!r}, {value})" if frozen else f" self.{name} = {value}")
        if hasattr(cls, "__post_init__"):
            lines.append(" self.__post_init__()")
        exec(f"def __init__({', '.join(words)}):\n" + "\n".join(lines or [" pass"]), known)
        known["__init__"].__qualname__ = f"{cls.__qualname__}.__init__"
        return known["__init__"]

    def _values_of(names):
        if len(names) > 1:
            return attrgetter(*names)
        return lambda self: tuple([getattr(self, name) for name in names])

    def _eq(values):
        def __eq__(self, other):
            return values(self) == values(other) if other.__class__ is self.__class__ else NotImplemented

        return __eq__

    def _hash(values):
        def __hash__(self):
            return hash(values(self))

        return __hash__

    def _repr(its):
        shown = [one.name for one in its if one.repr]

        def __repr__(self):
            return f"{type(self).__qualname__}({', '.join([f'{name}={getattr(self, name)!r}' for name in shown])})"

        return __repr__

    def _refuse(self, name, *_value):
        raise FrozenInstanceError(f"{type(self).__name__}.{name} cannot change")

    def _state(self):
        return [getattr(self, one.name) for one in dataclasses.fields(self)]

    def _set_state(self, state):
        for one, value in zip(dataclasses.fields(self), state, strict=True):
            object.__setattr__(self, one.name, value)
