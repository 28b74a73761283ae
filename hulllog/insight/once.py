"""Answers that several questions rest on, found once in a session that only reads."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import TYPE_CHECKING, Concatenate, ParamSpec, TypeVar, cast

if TYPE_CHECKING:
    from hulllog.records.book import Book

P = ParamSpec("P")
T = TypeVar("T")

_ANSWERED = "insight.answered"


def once_a_reading(
    find: Callable[Concatenate[Book, P], list[T]],
) -> Callable[Concatenate[Book, P], list[T]]:
    """Answer from memory where a session for reading asks the same again.

    What is read cannot change under such a session.  One that writes is always answered anew.
    """

    defaults = find.__defaults__ or ()
    plain = find.__code__.co_argcount - 1 - len(defaults)

    def named(about: tuple[object, ...]) -> tuple[object, ...]:
        """Leave out what is given as it would be anyway: it asks for the same."""
        while len(about) > plain and about[-1] is defaults[len(about) - plain - 1]:
            about = about[:-1]
        return about

    @wraps(find)
    def answer(book: Book, *about: P.args, **more: P.kwargs) -> list[T]:
        if book.writing:
            return find(book, *about, **more)
        kept = book.info.setdefault(_ANSWERED, {})
        asked = (find.__module__, find.__qualname__, named(about), tuple(more.items()))
        if asked not in kept:
            kept[asked] = find(book, *about, **more)
        return list(kept[asked])

    return cast("Callable[Concatenate[Book, P], list[T]]", answer)
