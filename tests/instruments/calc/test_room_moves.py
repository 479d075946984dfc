import pytest

from instruments.calc.room_moves import Air, moisture_sentence, room_move


# Source: derived from Wood Handbook eq. 4-5 and table 13-5 (Sitka spruce from memory): 12.00 to 6.96 %.
def test_a_board_shrinks_on_its_way_to_a_dry_room():
    move = room_move(Air(20, 65), Air(20, 35))
    assert move.moisture_points == pytest.approx(-5.033, abs=0.005)
    assert move.board_mm == pytest.approx(-7.449, abs=0.005)


# Source: D. Rose, pianotech 30 Mar 2005, one technician's rule of thumb.
def test_pitch_follows_by_a_rule_of_thumb():
    move = room_move(Air(20, 65), Air(20, 45))
    assert (move.a4_cents, move.a3_cents) == (pytest.approx(-16), pytest.approx(-32))


def test_a_board_is_not_reckoned_outside_its_range():
    move = room_move(Air(20, 80), Air(20, 50))
    assert move.board_mm is None and "between 6 and 14 %" in move.board_refusal


def test_a_large_change_and_the_new_air_both_warn():
    cautions = " ".join(room_move(Air(20, 50), Air(20, 66)).cautions)
    assert "mould" in cautions and "16 points" in cautions


@pytest.mark.parametrize(
    ("after", "words"),
    [(Air(20, 50), "little will move"), (Air(20, 60), "take up"), (Air(20, 40), "give off")],
)
def test_what_the_wood_does_is_said_in_a_line(after, words):
    assert words in room_move(Air(20, 50), after).sentence


# Source: Wood Handbook, table 4-2 (from memory), 70 °F and 50 %: 9.2.
def test_where_wood_rests_is_said():
    assert moisture_sentence(Air(21.1, 50)) == "Wood comes to rest at about 9.2 % moisture here."
