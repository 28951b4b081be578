"""While a page is only looked at nothing changes under it: facts read once serve the whole page."""

from collections.abc import Callable, Collection, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from functools import wraps
from typing import Any, TypeVar

T = TypeVar("T")
Reader = Callable[[Collection[int]], dict[int, T]]  # of jobs: what is known of each

_kept: ContextVar[dict[Any, Any] | None] = ContextVar("kept", default=None)


@contextmanager
def looking() -> Iterator[None]:
    """Keep what is read until the page is composed. Never around a press: it writes, and must see what it wrote."""
    token = _kept.set({})
    try:
        yield
    finally:
        _kept.reset(token)


def once_a_page(read: Reader[T]) -> Reader[T]:
    """Make a reader of facts read each set of jobs once while a page is looked at; at any other time, each time."""

    @wraps(read)
    def reader(job_ids: Collection[int]) -> dict[int, T]:
        kept = _kept.get()
        if kept is None:
            return read(job_ids)
        asked = (read, frozenset(job_ids))
        if asked not in kept:
            kept[asked] = read(job_ids)
        return dict(kept[asked])  # its own dict: what one caller adds is not another's

    return reader
