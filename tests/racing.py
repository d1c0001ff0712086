"""Several people at the same moment, with real threads and real commits."""

from collections.abc import Callable
from threading import Barrier, Thread
from typing import Any

from django.db import connection


def race(
    *calls: Callable[[], Any], refusals: type[Exception] | tuple[type[Exception], ...]
) -> list:
    """Start all at the same moment; what each returned, or the refusal it got."""
    barrier, answers = Barrier(len(calls)), [None] * len(calls)

    def run(place: int, call: Callable[[], Any]) -> None:
        try:
            barrier.wait(10)
            answers[place] = call()
        except refusals as error:
            answers[place] = error
        except Exception as error:
            answers[place] = AssertionError(f"not refused with a sentence: {error!r}")
        finally:
            connection.close()

    threads = [Thread(target=run, args=(place, call)) for place, call in enumerate(calls)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(60)
    assert not any(thread.is_alive() for thread in threads)
    broken = [one for one in answers if isinstance(one, AssertionError)]
    assert broken == []
    return answers
