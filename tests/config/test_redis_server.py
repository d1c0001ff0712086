"""The broker that "manage.py up" starts: which program, and what survives a kill."""

import os
import signal
import stat
import subprocess
import sys
import time
from pathlib import Path

import pytest
import redis

from config import redis_server
from config.redis_server import (
    RedisMissing,
    choose_redis,
    prepare_redis,
    redis_answers,
    stop_redis,
    version_of,
)


def fake_redis(folder: Path, version: str) -> Path:
    folder.mkdir()
    program = folder / "redis-server"
    program.write_text(f"#!/bin/sh\necho 'Redis server v={version} sha=0'\n")
    program.chmod(0o755)
    return program


def test_choose_redis_takes_the_systems_own(tmp_path: Path) -> None:
    program = fake_redis(tmp_path / "bin", "7.0.15")
    assert choose_redis(str(program.parent)) == str(program)


def test_choose_redis_passes_over_one_that_is_too_old(tmp_path: Path) -> None:
    program = fake_redis(tmp_path / "bin", "6.0.16")
    assert choose_redis(str(program.parent)) != str(program)


def test_choose_redis_does_not_take_the_copy_beside_our_python() -> None:
    chosen = choose_redis(str(Path(sys.prefix) / "bin"))
    assert Path(chosen).parent != Path(sys.prefix) / "bin"
    assert (version_of(chosen) or ()) >= redis_server.OLDEST_REDIS


def test_choose_redis_says_what_to_install(monkeypatch, tmp_path: Path) -> None:
    monkeypatch.setattr(redis_server, "find_spec", lambda name: None)
    with pytest.raises(RedisMissing, match="apt-get install redis-server"):
        choose_redis(str(tmp_path))


def test_version_of_something_else_is_nothing() -> None:
    assert version_of("/bin/true") is None
    assert version_of("/nonexistent/redis-server") is None


def start(socket_path: Path) -> subprocess.Popen[bytes]:
    command = prepare_redis(socket_path=socket_path, search_path=os.environ["PATH"])
    process = subprocess.Popen(command)
    for _ in range(100):
        if redis_answers(socket_path):
            return process
        time.sleep(0.05)
    raise AssertionError("redis-server did not answer")


@pytest.mark.slow
def test_redis_keeps_every_accepted_message_through_a_kill(tmp_path: Path) -> None:
    socket_path = tmp_path / "r" / "r.sock"
    process = start(socket_path)
    with redis.Redis(unix_socket_path=str(socket_path)) as client:
        for number in range(200):
            client.rpush("queue", number)
    process.send_signal(signal.SIGKILL)
    process.wait()
    again = start(socket_path)
    try:
        with redis.Redis(unix_socket_path=str(socket_path)) as client:
            assert client.llen("queue") == 200
    finally:
        stop_redis(socket_path)
        again.wait(10)


@pytest.mark.slow
def test_redis_is_reached_by_its_owner_only(tmp_path: Path) -> None:
    socket_path = tmp_path / "r" / "r.sock"
    process = start(socket_path)
    try:
        assert stat.S_IMODE(socket_path.parent.stat().st_mode) == 0o700
        assert stat.S_IMODE(socket_path.stat().st_mode) == 0o700
        with redis.Redis(unix_socket_path=str(socket_path)) as client:
            assert client.config_get("port") == {"port": "0"}
    finally:
        stop_redis(socket_path)
        process.wait(10)


@pytest.mark.slow
def test_prepare_redis_ends_a_server_that_a_killed_run_left(tmp_path: Path) -> None:
    socket_path = tmp_path / "r" / "r.sock"
    process = start(socket_path)
    prepare_redis(socket_path=socket_path, search_path=os.environ["PATH"])
    assert process.wait(10) == 0
