"""The order of a home trial is common practice of the trade, no source; the rules here are ours."""

from dataclasses import fields, replace
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.calc.trial_steps import DONE, KEPT, LATER, NOT_NEEDED, NOW, PASSED, Known, step_now, steps_of

DAY = date(2026, 3, 21)
DRAFT = Known(drafted_on=DAY, ends_on=DAY + timedelta(days=42))
OUT = replace(DRAFT, access_on=DAY, mover_on=DAY, handed_over_on=DAY, started_on=DAY, signed_on=DAY)
THERE = replace(OUT, delivered_on=DAY, is_there=True)
BACK = replace(THERE, chosen_on=DAY, outcome="returned", settled_on=DAY)


def standings(known: Known) -> dict[str, str]:
    return {step.code: step.standing for step in steps_of(known)}


def now(known: Known) -> str:
    step = step_now(steps_of(known))
    return step.code if step else "nothing"


@pytest.mark.parametrize(
    ("known", "next_one"),
    [
        (DRAFT, "access"),
        (replace(DRAFT, access_on=DAY), "mover"),
        (replace(DRAFT, access_on=DAY, mover_on=DAY), "started"),
        (replace(OUT, signed_on=None), "signed"),
        (replace(OUT, handed_over_on=None), "handed_over"),
        (OUT, "delivered"),
        (THERE, "chosen"),
        (replace(BACK, settled_on=None), "mover_back"),
        (replace(BACK, mover_back_on=DAY), "collected"),
        (replace(BACK, collected_on=DAY), "compared"),
        (replace(BACK, collected_on=DAY, compared_on=DAY), "nothing"),
        (replace(THERE, chosen_on=DAY, outcome=KEPT), "settled"),
        (replace(THERE, chosen_on=DAY, outcome=KEPT, settled_on=DAY), "nothing"),
        # Fetched before anybody said how it ends: it is looked at first, then they choose.
        (replace(THERE, mover_back_on=DAY), "collected"),
        (replace(THERE, collected_on=DAY), "compared"),
        (replace(THERE, collected_on=DAY, compared_on=DAY), "chosen"),
    ],
)
def test_one_thing_is_next(known, next_one):
    assert now(known) == next_one


def test_what_a_later_step_overtook_is_passed_over_and_says_so():
    gone = replace(DRAFT, started_on=DAY, signed_on=DAY, is_there=True)
    assert standings(gone)["access"] == standings(gone)["mover"] == PASSED
    assert standings(gone)["handed_over"] == NOW
    there = replace(gone, delivered_on=DAY)
    assert standings(there)["handed_over"] == PASSED
    assert [step.words for step in steps_of(there) if step.standing == PASSED] == ["not written down"] * 3


LAST = DRAFT.ends_on


@pytest.mark.parametrize(
    "written", [replace(DRAFT, started_on=DAY), replace(OUT, signed_on=None), OUT, THERE], ids=str
)
def test_past_its_last_day_the_choice_comes_before_whatever_was_not_written_down(written):
    assert now(replace(written, today=LAST)) != "nothing"
    late = replace(written, today=LAST + timedelta(days=6))
    assert now(late) == "chosen"
    assert step_now(steps_of(late)).words.endswith("by 2 May 2026; that is 6 days ago")
    assert LATER not in {step.standing for step in steps_of(late)[:7]}


def test_one_day_past_its_end_is_said_as_one_day():
    late = replace(THERE, today=LAST + timedelta(days=1))
    assert step_now(steps_of(late)).words.endswith("that is 1 day ago")


def test_fetched_after_its_last_day_it_is_not_late_any_more():
    assert now(replace(THERE, collected_on=LAST, today=LAST + timedelta(days=6))) == "compared"


def test_a_draft_whose_last_day_has_come_wants_other_days_first():
    lapsed = step_now(steps_of(replace(DRAFT, today=LAST)))
    assert (lapsed.code, lapsed.words) == ("started", "waits for other days first: its last day has come")
    assert now(replace(DRAFT, today=LAST - timedelta(days=1))) == "access"


def test_an_ended_trial_that_is_back_asks_for_nothing_that_does_not_matter_any_more():
    """It came home with no word of how; a report written months later says nothing of the trial."""
    ended = replace(DRAFT, started_on=DAY, chosen_on=LAST, outcome="exchanged", settled_on=LAST)
    assert now(ended) == "compared"
    late = replace(ended, is_too_late_to_compare=True)
    assert now(late) == "nothing"
    said = {step.code: step.words for step in steps_of(late) if step.standing == PASSED}
    assert said["signed"] == "not written down before it ended; not needed any more"
    assert said["mover_back"] == "not written down; it is back"
    assert said["compared"].startswith("no report was written as it came back")


def test_a_hand_over_report_left_open_is_closed_however_late():
    left_open = {"handed_over_on": None, "is_sheet_open": True}
    for known in (OUT, THERE, BACK):
        assert now(replace(known, **left_open)) == "handed_over"
    assert now(replace(THERE, **left_open, today=LAST + timedelta(days=1))) == "chosen"
    kept = replace(THERE, **left_open, chosen_on=DAY, outcome=KEPT, settled_on=DAY)
    assert now(kept) == "nothing"
    assert "begun, and never closed" in [step.words for step in steps_of(kept)]


def test_who_keeps_it_has_nothing_fetched_and_nothing_compared():
    kept = standings(replace(THERE, chosen_on=DAY, outcome=KEPT))
    assert [kept[code] for code in ("mover_back", "collected", "compared")] == [NOT_NEEDED] * 3


def test_it_waits_for_the_last_day_in_words():
    assert step_now(steps_of(THERE)).words == "waits for keep, exchange or return, by 2 May 2026"
    still = replace(THERE, chosen_on=DAY, outcome=KEPT, still_open="£800.00 still to pay on sale S26-001")
    assert step_now(steps_of(still)).words == "waits for £800.00 still to pay on sale S26-001"


DAYS = {each.name: st.sampled_from([None, DAY]) for each in fields(Known) if each.name.endswith("_on")}
FLAGS = {each.name: st.booleans() for each in fields(Known) if each.name.startswith("is_")}
NOW_OR_LATE = st.sampled_from([None, DAY, DAY + timedelta(days=9)])


@given(
    st.fixed_dictionaries(
        DAYS | FLAGS | {"drafted_on": st.just(DAY), "ends_on": st.just(DAY), "today": NOW_OR_LATE}
    ),
    st.sampled_from(["", KEPT, "returned", "exchanged"]),
)
def test_whatever_is_on_file_one_thing_at_most_is_next_and_all_before_it_is_dealt_with(given_days, outcome):
    steps = steps_of(Known(**given_days, outcome=outcome))
    places = [place for place, step in enumerate(steps) if step.is_now]
    assert len(places) <= 1
    assert len({step.code for step in steps}) == len(steps) == 12
    for place, step in enumerate(steps):
        assert (step.standing == DONE) == (step.day is not None)
        if step.standing == LATER:
            assert places
            assert place > places[0]
