"""What survives when processes are killed: the real command, its real children, real signals."""

import socket
from pathlib import Path

import pytest

from tests.running import RunningShop, is_alive, kill, prepared, wait_until

pytestmark = pytest.mark.slow


def test_up_stops_in_order_and_leaves_nothing(running: RunningShop) -> None:
    took = wait_until(lambda: running.stop() == 0, seconds=10, what="a clean stop")
    assert took < 10
    assert running.processes() == []
    assert running.log.read_text().rstrip().endswith("Stopped.")


def test_up_says_where_the_shop_is(running: RunningShop) -> None:
    sentence = f"The shop is open at http://127.0.0.1:{running.port}"
    wait_until(lambda: sentence in running.log.read_text(), seconds=5, what=sentence)


def test_up_refuses_a_second_instance(running: RunningShop) -> None:
    second = running.command("up")
    assert second.returncode == 1
    assert f"already being served from {running.data_dir}" in second.stderr
    assert running.answers()


def test_up_names_a_port_that_is_taken(prepared_folder: Path, tmp_path: Path) -> None:
    shop = prepared(prepared_folder, tmp_path / "data")
    with socket.socket() as other:
        other.bind(("127.0.0.1", shop.port))
        other.listen()
        done = shop.command("up")
    assert done.returncode == 1
    assert f"Port {shop.port} is in use by another program." in done.stderr
    assert shop.processes() == []


def test_up_asks_for_tables_first(prepared_folder: Path, tmp_path: Path) -> None:
    done = RunningShop(tmp_path).command("up")
    assert done.returncode == 1
    assert "python manage.py migrate" in done.stderr


@pytest.mark.parametrize("word", ["gunicorn", "celery worker", "celery beat", "redis"])
def test_killed_service_comes_back_without_its_old_children(
    running: RunningShop, word: str
) -> None:
    running.wait_for_worker()
    old = running.service(word)
    children = old.children(recursive=True)
    kill(old)
    wait_until(running.service_came_back(word, old), seconds=20, what=f"{word} runs again")
    wait_until(running.answers, seconds=30, what="the web server answers")
    assert [child for child in children if is_alive(child)] == []


def test_killed_supervisor_takes_everything_along_and_starts_again(running: RunningShop) -> None:
    for _ in range(3):
        running.wait_for_worker()
        assert len(running.processes()) == 8
        assert running.up is not None
        kill(running.up)
        wait_until(lambda: running.processes() == [], seconds=5, what="0 orphans")
        assert running.start() < 30
