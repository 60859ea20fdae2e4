"""Values that a frozen shape works out when they are first asked for."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Generic, Self, TypeVar, overload

T = TypeVar("T")


class lazy(Generic[T]):  # noqa: N801  # read as a decorator, like ``property``
    """A property that is made once and then kept in its instance.

    As ``functools.cached_property``, without the lock that Python 3.11 takes each time: a draft asks for tens
    of thousands, and one made twice by two threads is the same value.
    """

    def __init__(self, make: Callable[[Any], T]) -> None:
        self.make = make
        self.name = make.__name__
        self.__doc__ = make.__doc__

    @overload
    def __get__(self, shape: None, owner: type) -> Self: ...
    @overload
    def __get__(self, shape: object, owner: type) -> T: ...
    def __get__(self, shape: object | None, owner: type) -> Self | T:
        if shape is None:
            return self
        value = shape.__dict__[self.name] = self.make(shape)
        return value
