from decimal import Decimal

import pytest

from instruments.calc.condition.comparing import Line, Value, compared

PARTS = ("case", "lid", "keys", "pins", "back")


def change(before: Line | None, after: Line | None) -> str:
    lines = [{"case": line} if line else {} for line in (before, after)]
    return compared(["case"], *lines)[0].change


@pytest.mark.parametrize(
    ("before", "after", "what"),
    [
        (Line("sound"), Line("repair"), "worse"),
        (Line("replace"), Line("attend"), "better"),
        (Line("sound", "new"), Line("sound", "worn"), "otherwise"),
        (Line("sound"), Line("sound", "a new scratch"), "otherwise"),
        (Line("sound", "as ever", keys="C4"), Line("sound"), "same"),
        (Line("attend", "one chip"), Line("attend"), "otherwise"),
        (Line("attend", keys="C4"), Line("attend", keys="C4, D4"), "otherwise"),
        (Line("attend", signs=("split",)), Line("attend"), "otherwise"),
        (Line("sound", "as ever"), Line("sound", "as ever"), "same"),
        (Line("not_examined"), Line("repair"), "unknown"),
        (Line("sound"), None, "unknown"),
        (None, None, "unknown"),
    ],
)
def test_how_a_part_changed(before, after, what):
    assert change(before, after) == what


def torque(figure: str, unit: str = "N·m") -> Line:
    return Line("sound", values=(Value("pin_torque_lowest", "lowest torque", Decimal(figure), unit=unit),))


def test_another_figure_is_a_change_although_the_grade_is_the_same():
    assert change(torque("8"), torque("5.5")) == "otherwise"


@pytest.mark.parametrize(
    ("before", "after", "difference"),
    [
        (torque("8"), torque("5.5"), "−2.5 N·m"),
        (torque("5.5"), torque("8.00"), "+2.5 N·m"),
        (torque("8"), torque("8.0"), "no change"),
        (torque("60", "lbf·in"), torque("8"), ""),
    ],
)
def test_the_difference_of_a_measured_value(before, after, difference):
    (value,) = compared(["pins"], {"pins": before}, {"pins": after})[0].values
    assert value.difference == difference


def test_answers_are_compared_in_words():
    falls, stays = (
        Line("attend", values=(Value("lifted_sharp", "lifted sharp", answer=each),))
        for each in ("falls", "stays")
    )
    (value,) = compared(["keys"], {"keys": falls}, {"keys": stays})[0].values
    assert (value.before, value.after, value.is_changed) == ("falls", "stays", True)


def test_a_value_measured_once_stands_there_alone():
    (pair,) = compared(["pins"], {"pins": torque("8")}, {"pins": Line("sound")})
    (value,) = pair.values
    assert (value.before, value.after, value.difference) == ("8 N·m", "", "")
    assert (pair.change, pair.left_out) == ("same", [value])


def test_changed_parts_come_first_the_worse_ones_before_the_better():
    before = {"case": Line("sound"), "lid": Line("repair"), "keys": Line("sound"), "pins": Line("sound", "a")}
    after = {"case": Line("sound"), "lid": Line("sound"), "keys": Line("repair"), "pins": Line("sound", "b")}
    order = [pair.part for pair in compared(PARTS, before, after)]
    assert order == ["keys", "pins", "lid", "back", "case"]
