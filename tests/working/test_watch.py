"""The watch notices that the laptop slept, and nothing else."""

import time
from datetime import timedelta

from listener import Clock

from baycompanion.working import watch
from baycompanion.working.watch import Watch


def test_time_that_passes_in_small_steps_is_no_sleep() -> None:
    clock = Clock()
    seen = Watch(clock)
    for _ in range(1000):
        clock.move(100)
        assert seen.look() == 0


def test_a_jump_is_kept_until_it_is_accounted_for() -> None:
    clock = Clock()
    seen = Watch(clock)
    clock.move(600)
    assert seen.look() == 600
    clock.move(60)
    assert seen.look() == 600
    seen.forget()
    assert seen.look() == 0


def test_a_clock_set_back_is_no_sleep() -> None:
    clock = Clock()
    seen = Watch(clock)
    clock.at -= timedelta(days=1)
    assert seen.look() == 0


def test_it_looks_by_itself_while_a_question_waits() -> None:
    clock = Clock()
    seen = Watch(clock)
    with seen.running():
        looked = seen._at
        clock.move(1)
        end = time.monotonic() + 10 * watch.EVERY
        while seen._at == looked and time.monotonic() < end:
            time.sleep(0.01)
        assert seen._at == clock()
