"""What is left out on a second database asks none."""

from types import SimpleNamespace

import pytest

from tests import sampling


def test_one_that_asks_no_database_is_left_out(request):
    assert not sampling.may_ask_a_database(request.node)


def test_one_that_has_a_database_stays(db, request):
    assert sampling.may_ask_a_database(request.node)


@pytest.mark.django_db
def test_one_that_is_marked_stays(request):
    assert sampling.may_ask_a_database(request.node)


@pytest.mark.parametrize("name", sorted(sampling.REACHING))
def test_one_that_may_reach_it_past_the_fixtures_stays(request, monkeypatch, name):
    monkeypatch.setattr(request.module, name, SimpleNamespace(), raising=False)
    assert sampling.may_ask_a_database(request.node)


def test_only_on_a_second_database_anything_is_left_out(request, monkeypatch):
    left_out = []
    config = SimpleNamespace(hook=SimpleNamespace(pytest_deselected=lambda items: left_out.extend(items)))
    items = [request.node]
    monkeypatch.setattr(sampling, "ONE_OF", 1)
    sampling.arrange(config, items)
    assert (items, left_out) == ([request.node], [])
    monkeypatch.setattr(sampling, "ONE_OF", 2)
    sampling.arrange(config, items)
    assert (items, left_out) == ([], [request.node])
