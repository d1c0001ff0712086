"""Kept sections: found again, never trusted blindly, cleared away when they are many."""

import os

from jobs.documents import cache
from jobs.documents.cache import clear_old_sections, get_section, put_section


def key(letter: str) -> str:
    return letter * 64


def test_section_is_kept() -> None:
    assert get_section(key("a")) is None
    put_section(key("a"), b"%PDF one")
    assert get_section(key("a")) == b"%PDF one"
    assert cache.has_section(key("a")) and not cache.has_section(key("b"))


def test_damaged_section_is_thrown_away() -> None:
    put_section(key("a"), b"%PDF one")
    path = cache._path(key("a"))
    data = bytearray(path.read_bytes())
    data[-1] ^= 1
    path.write_bytes(data)
    assert get_section(key("a")) is None
    assert not path.exists()


def test_longest_unused_sections_go_first() -> None:
    for age, letter in enumerate("abc"):
        put_section(key(letter), bytes(1000))
        os.utime(cache._path(key(letter)), (1000 - age, 1000 - age))
    get_section(key("c"))  # the oldest, but just used
    assert clear_old_sections(largest_bytes=1100) == 2
    assert [letter for letter in "abc" if cache.has_section(key(letter))] == ["c"]


def test_sections_that_fit_stay() -> None:
    put_section(key("a"), bytes(1000))
    assert clear_old_sections() == 0
    assert cache.has_section(key("a"))
