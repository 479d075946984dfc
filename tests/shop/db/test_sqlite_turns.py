import os
import threading
import time

from shop.db.sqlite.turns import Turns, turns_at


def test_turn_goes_to_whoever_came_first():
    turns, order, threads = Turns(), [], []
    turns.take(1)

    def come(number):
        turns.take(5)
        order.append(number)
        turns.leave()

    for number in range(4):
        threads.append(threading.Thread(target=come, args=[number]))
        threads[-1].start()
        while len(turns.waiting) <= number:
            time.sleep(0.001)
    turns.leave()
    for thread in threads:
        thread.join()
    assert order == [0, 1, 2, 3]


def test_whoever_waited_too_long_stands_in_line_no_more():
    turns = Turns()
    turns.take(1)
    assert not turns.take(0.01)
    turns.leave()
    assert turns.take(0.01)


def test_turns_of_one_path_are_the_same_for_all_its_gates():
    assert turns_at("a") is turns_at("a")
    assert turns_at("a") is not turns_at("b")


def test_process_that_was_forked_has_a_line_of_its_own():
    turns_at("forked").take(1)
    child = os.fork()
    if child == 0:
        os._exit(0 if turns_at("forked").take(0.01) else 1)
    turns_at("forked").leave()
    assert os.waitpid(child, 0)[1] == 0
