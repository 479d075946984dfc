"""Findings that usually end a purchase: the trade's own list, common practice, no source."""

from decimal import Decimal

import pytest

from instruments.calc.condition.enders import Found, enders_of, sign_faults
from instruments.library import SIGNS_FILE, condition_signs, table_of
from instruments.states import Part


def sentences(*found: Found) -> list[str]:
    return [ender.sentence for ender in enders_of(found, condition_signs())]


@pytest.mark.parametrize(
    ("part", "sign", "begins"),
    [
        ("pins", "plank_split", "The wrest plank is split. This usually ends a purchase, unless"),
        ("pins", "pins_failed", "The wrest pins do not hold all over"),
        ("frame", "frame_cracked", "The frame is cracked. This usually ends a purchase."),
        ("action", "plastic_crumbles", "Plastic parts of the action crumble"),
        ("pests", "pests_live", "Live moth or woodworm."),
        ("damp", "mould_live", "Live mould. This usually ends a purchase."),
        ("strings", "rust_whole_compass", "Strings and pins are rusted over the whole compass."),
        ("back", "plank_parted", "The plank has parted from the back."),
    ],
)
def test_a_sign_ends_a_purchase_in_a_sentence(part, sign, begins):
    (sentence,) = sentences(Found(part, "repair", (sign,)))
    assert sentence.startswith(begins)


def test_what_can_hurt_comes_with_its_caution():
    (sentence,) = sentences(Found("frame", "replace", ("frame_cracked",)))
    assert "stand clear" in sentence


@pytest.mark.parametrize(
    ("signs", "sustain", "ends"),
    [
        (("bars_loose",), None, False),
        (("treble_dead",), None, False),
        (("bars_loose", "treble_dead"), None, True),
        (("bars_loose",), "11.9", True),
        (("bars_loose",), "12", False),
        ((), "4", False),
    ],
)
def test_loose_bars_end_a_purchase_only_with_a_dead_treble(signs, sustain, ends):
    """Under 12 s after a hard A5 counts as dead: one worker's rule, no standard."""
    figures = {"sustain_a5": Decimal(sustain)} if sustain else {}
    assert bool(sentences(Found("soundboard", "repair", signs, figures))) == ends


@pytest.mark.parametrize(("torque", "ends"), [("3.38", True), ("3.4", False), ("5.8", False)])
def test_a_torque_in_the_failing_band_ends_a_purchase(torque, ends):
    """30 lbf·in = 3.39 N·m and below (howardpianoindustries.com, Pounding loose tuning pins)."""
    found = Found("pins", "attend", (), {"pin_torque_lowest": Decimal(torque)})
    assert bool(sentences(found)) == ends


@pytest.mark.parametrize(
    ("part", "condition", "ends"),
    [
        ("pins", "replace", True),
        ("pins", "repair", False),
        ("frame", "repair", True),
        ("keys", "replace", False),
    ],
)
def test_some_parts_end_it_by_their_condition_alone(part, condition, ends):
    assert bool(sentences(Found(part, condition))) == ends


def test_one_part_is_not_told_twice_for_one_thing():
    assert len(sentences(Found("pins", "replace", ("plank_split",)))) == 1


def test_the_signs_that_are_shipped_are_sound():
    assert sign_faults(table_of(SIGNS_FILE), Part.values) == []


def test_a_sign_for_no_part_without_words_is_named():
    row = {"code": "x", "part": "wheels", "words": "", "sentence": "It.", "source": "somebody"}
    assert sign_faults([row, row], ["case"]) == [
        "x stands there twice.",
        "x: “words” is empty.",
        "x: there is no part “wheels”.",
        "x: “words” is empty.",
        "x: there is no part “wheels”.",
    ]
