"""People at work as browsers are: what was said to them is read on the page that follows."""

from types import SimpleNamespace

from tests.concurrency.callers import Answer
from tests.trust.traffic import Act


def test_words_are_read_after_each_act_and_the_session_is_kept():
    caller = SimpleNamespace(cookies={"messages": "Received.", "sessionid": "abc"})
    answer = Answer(302, "/sales/S26-001/", "", 0.0)
    act = Act("pay", 1, SimpleNamespace(caller=caller, press=lambda: answer))
    act.press()
    assert (act.is_acknowledged, caller.cookies) == (True, {"sessionid": "abc"})
