"""The board itself: it shows what was seen, keeps the lines of others, and hides nothing that broke."""

import pytest

from tests.trust import __main__ as command
from tests.trust import bars_reading
from tests.trust.board import HARNESSES, Figure, Line, measured


@pytest.fixture
def figures(tmp_path, monkeypatch):
    monkeypatch.setattr(command, "FIGURES", tmp_path / "figures.json")


def test_what_breaks_in_a_harness_is_a_line_of_the_board(monkeypatch):
    monkeypatch.setitem(HARNESSES, 3, lambda long: 1 / 0)
    line = measured(3, "a bar", long=False)
    assert line.verdict == "broke" and "ZeroDivisionError" in line.trouble


@pytest.mark.parametrize(("long", "words"), [(False, "--only 3"), (True, "--only 3 --long")])
def test_what_is_not_met_names_the_one_command_that_runs_it_again(monkeypatch, long, words):
    monkeypatch.setitem(HARNESSES, 3, lambda long: Figure("two lost", False))
    assert measured(3, "a bar", long=long).again == f"python -m tests.trust {words}"


def test_the_time_of_all_counts_each_variant_against_its_own(figures):
    for number, seconds, long in ((1, 240, False), (2, 100, False), (3, 900, True)):
        command.keep([Line(number, "a bar", Figure("fine", True), seconds)], long=long)
    seen = bars_reading.time_of_all(False)
    assert "took 6 min, those in their long one 15;" in seen.said and not seen.met


def test_a_bar_without_a_harness_counts_as_not_measured(monkeypatch):
    monkeypatch.delitem(HARNESSES, 41, raising=False)
    assert measured(41, "a bar", long=False).verdict == "not measured"


def test_what_is_on_paper_alone_counts_as_met_by_nobody(figures):
    line = Line(41, "many shops", Figure("a plan", True, on_paper=True), 0.0)
    assert (line.verdict, line.again) == ("on paper", "")
    assert "Met: 0 of 43." in command.board(command.keep([line], long=False))


def test_a_bar_measured_anew_leaves_the_lines_of_the_others(figures):
    command.keep([Line(1, "one", Figure("40 kills", True, "red"), 2.4)], long=False)
    kept = command.keep([Line(2, "two", Figure("5 | 6", False), 1.0)], long=True)
    assert [kept[number]["verdict"] for number in ("1", "2")] == ["met", "NOT MET"]
    page = command.board(kept)
    assert "Met: 1 of 43." in page and "40 kills" in page and "5 / 6" in page
    assert page.count("not measured") == 41
