import os
import sys
import threading

import pytest

from instruments.unhurried import AT_ONCE, RANK, unhurried


@pytest.mark.skipif(sys.platform != "linux", reason="threads have no rank of their own elsewhere")
def test_work_is_done_behind_all_else_and_who_asked_keeps_their_rank():
    mine = os.getpriority(os.PRIO_PROCESS, threading.get_native_id())
    rank = unhurried(lambda: os.getpriority(os.PRIO_PROCESS, threading.get_native_id()))
    assert (rank, os.getpriority(os.PRIO_PROCESS, threading.get_native_id())) == (max(RANK, mine), mine)


def test_only_so_many_are_at_work_at_once():
    lock, at_work, most = threading.Lock(), set(), []

    def work(number):
        with lock:
            at_work.add(number)
            most.append(len(at_work))
        threading.Event().wait(0.02)
        with lock:
            at_work.discard(number)

    asking = [threading.Thread(target=unhurried, args=[work, number]) for number in range(8)]
    for each in asking:
        each.start()
    for each in asking:
        each.join()
    assert max(most) == AT_ONCE


def test_what_goes_wrong_is_raised_where_it_was_asked_for():
    with pytest.raises(ZeroDivisionError):
        unhurried(lambda: 1 / 0)


def test_where_no_thread_is_to_be_had_no_place_is_lost(monkeypatch):
    def refuse(thread):
        raise RuntimeError("can't start new thread")

    with monkeypatch.context() as short:
        short.setattr(threading.Thread, "start", refuse)
        for _ in range(AT_ONCE):
            with pytest.raises(RuntimeError, match="new thread"):
                unhurried(int)
    assert unhurried(int) == 0


def test_no_thread_stays_behind_that_would_delay_the_end_of_a_killed_process():
    unhurried(int)
    behind = [each for each in threading.enumerate() if each.name.startswith("unhurried")]
    for each in behind:
        each.join(timeout=10)
    assert not any(each.is_alive() for each in behind)


def test_process_that_was_forked_has_hands_of_its_own():
    unhurried(int)
    child = os.fork()
    if child == 0:
        os._exit(unhurried(int, "7"))
    assert os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) == 7
