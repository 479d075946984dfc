"""What the registry said on the day of the last look, against the time that GUARDS.md gives."""

from datetime import date

from tests.trust import newest
from tests.trust.board import TREE

AGAIN = "run `python -m tests.trust.newest --keep`"


def test_the_look_is_at_what_is_pinned_now():
    parts = newest.kept()["parts"]
    assert {name: parts.get(name) for name in newest.pins()} == newest.pins(), AGAIN


def test_no_part_has_outstayed_its_time():
    looked = newest.kept()
    assert newest.outstayed(looked, on=date.fromisoformat(looked["looked_on"])) == []


def test_the_time_is_the_one_that_is_written_down():
    said = " ".join((TREE / "shop" / "operations" / "GUARDS.md").read_text().split())
    assert f"is taken within {newest.TAKEN_WITHIN.days} days" in said


def test_a_release_that_is_not_taken_in_its_time_is_told():
    """An old Django: behind since the second of March, and still on the tenth."""
    seen = newest.Pins({"django": "5.2.1"}, behind={"django": "5.2.2"})
    first = newest.record(seen, before={}, on=date(2026, 3, 2))
    later = newest.record(seen, before=first, on=date(2026, 3, 9))
    assert later["behind"]["django"] == {"newest": "5.2.2", "since": "2026-03-02", "why": ""}
    assert newest.outstayed(later, on=date(2026, 3, 9)) == []
    assert newest.outstayed(later, on=date(2026, 3, 10)) == ["django"]


def test_a_release_that_was_taken_is_forgotten():
    first = newest.record(newest.Pins({}, behind={"django": "5.2.2"}), before={}, on=date(2026, 3, 2))
    assert newest.record(newest.Pins({"django": "5.2.2"}), before=first, on=date(2026, 3, 4))["behind"] == {}
