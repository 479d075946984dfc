"""An adversary's text in every column of every model prints as text, wherever the program says it again.

This reads every page with one round of texts; `python -m tests.trust --only 21,22` goes through all of them.
"""

import pytest
from django.contrib.auth.models import User

from tests.trust import hostile_walk, planting
from tests.trust.hostile_controls import (
    cells_past_the_exporter,
    name_marked_safe,
    words_read_as_markup,
)
from tests.trust.hostile_world import make_hostile_world
from tests.trust.planting_reasons import LEFT_OUT, TAKEN_APART, WRITTEN_BY_THE_PROGRAM
from tests.trust.seen_by_role import read_table, shown_of

pytestmark = pytest.mark.django_db
CONTROLS = {
    name_marked_safe: "shop:person_page",
    cells_past_the_exporter: "shop:stock_export",
    words_read_as_markup: "workorders:order_worksheet_print",
}


@pytest.fixture
def turn() -> int:
    """The round in which makers are called by a formula."""
    return planting.turn_with("=1+1", "Instrument.maker")


@pytest.fixture
def signed_in(client, monkeypatch):
    client.raise_request_exception = False
    # The test client copies the context of every template.
    monkeypatch.setattr("django.test.client.store_rendered_templates", lambda *args, **kwargs: None)
    return client


def test_an_adversarys_text_prints_as_text_everywhere(signed_in, turn):
    world = make_hostile_world(turn)
    public = hostile_walk.walk(signed_in, world, turn, who="stranger")
    assert public.faults == [] and public.kinds["text/html"] > 5

    table = read_table()
    assert shown_of(public) <= table["Stranger"]
    signed_in.force_login(User.objects.get(username="tobias"))
    bench = hostile_walk.walk(signed_in, world, turn, who="technician", look_at_page=hostile_walk.skim_page)
    assert bench.faults == [] and shown_of(bench) <= table["Technician"]

    signed_in.force_login(world.owner)
    found = hostile_walk.walk(signed_in, world, turn, who="owner", look_at_page=hostile_walk.skim_page)
    assert found.faults == [] and world.left_empty == {}
    assert shown_of(bench) < shown_of(found) and table["Technician"] < table["Owner"]
    assert set(found.kinds) == set(hostile_walk.LOOKS)

    for letter in world.letters:
        hostile_walk.look_at_letter(letter, "letter", hostile_walk.texts_of(turn), found)
    assert found.faults == [] and found.kinds["letter"] >= 4

    for take_away, name in CONTROLS.items():
        with pytest.MonkeyPatch.context() as patch:
            take_away(patch)
            names = {name: hostile_walk.ACCESS[name]}
            seen = hostile_walk.walk(signed_in, world, turn, who=take_away.__name__, names=names)
        assert seen.faults, take_away.__name__


def test_every_reason_is_of_a_column_that_is_there():
    columns = {f"{each.model.__name__}.{each.name}" for each in planting.text_columns()}
    assert {*LEFT_OUT, *WRITTEN_BY_THE_PROGRAM, *TAKEN_APART} - columns == set()
    assert not set(LEFT_OUT) & set(WRITTEN_BY_THE_PROGRAM)
