"""What the system must bring: found, installed with the right command, or named in a sentence."""

import dataclasses
import os

import pytest

from config import needs
from config.needs import PANGO, install, installer, main, sentence

GONE = dataclasses.replace(PANGO, present=lambda: False)


@pytest.fixture
def calls(monkeypatch) -> list[list[str]]:
    """The commands that would be run: a test must not install packages."""
    seen: list[list[str]] = []
    monkeypatch.setattr(needs.subprocess, "run", lambda words, **_: seen.append(list(words)))
    return seen


def test_everything_for_this_suite_is_present() -> None:
    assert main(["venv", "pango"]) == 0


def test_main_asks_for_a_known_group(capsys) -> None:
    assert main(["pandoc"]) == 2
    assert capsys.readouterr().out == "Name one or more of: venv, pango, tests.\n"


def test_sentence_says_what_for_and_how() -> None:
    assert sentence(PANGO) == (
        "Pango is missing; it is needed to make PDF files (quotes, sheets, delivery packets). "
        "Install it: sudo apt-get install libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0, "
        "or brew install pango."
    )


def test_main_fails_with_the_sentence_when_it_may_not_install(monkeypatch, capsys) -> None:
    monkeypatch.setitem(needs.GROUPS, "pango", (GONE,))
    monkeypatch.setattr(needs, "installer", lambda: None)
    assert main(["pango"]) == 1
    assert "Pango is missing" in capsys.readouterr().out


def test_install_asks_apt_for_fresh_lists_first(monkeypatch, calls) -> None:
    monkeypatch.setattr(needs, "installer", lambda: ["apt-get"])
    install([GONE])
    assert calls[0] == ["apt-get", "update", "-qq"]
    assert [call[1] for call in calls[1:]] == ["install"] * len(PANGO.apt)
    assert tuple(call[-1] for call in calls[1:]) == PANGO.apt


def test_install_uses_brew_names_with_brew(monkeypatch, calls) -> None:
    monkeypatch.setattr(needs, "installer", lambda: ["brew"])
    install([GONE])
    assert calls == [["brew", "install", "pango"]]


@pytest.mark.parametrize(
    ("programs", "user", "expected"),
    [
        ({"apt-get"}, 0, "apt-get"),
        ({"apt-get"}, 1000, None),
        ({"brew"}, 1000, "brew"),
        (set(), 0, None),
    ],
)
def test_installer_is_one_that_asks_nothing(
    monkeypatch, programs: set[str], user: int, expected: str | None
) -> None:
    monkeypatch.setattr(needs.shutil, "which", lambda name: name if name in programs else None)
    monkeypatch.setattr(os, "geteuid", lambda: user)
    found = installer()
    assert (found[0] if found else None) == expected
