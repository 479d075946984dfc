import pytest

from workorders.calc.library import library_faults, suggestion_faults


def row(code, *needs, **fields):
    return {"code": code, "needs": list(needs), "acceptance": "note"} | fields


def test_a_sound_table_has_no_faults():
    figure = {"acceptance": "figure", "figure_name": "key dip", "figure_unit": "mm", "figure_high": "10.4"}
    assert library_faults([row("clean"), row("set-dip", "clean", **figure)]) == []


def test_a_need_that_is_not_in_the_table_is_named():
    assert library_faults([row("tune", "regulate")]) == ["tune needs regulate, which is not in the table."]


def test_tasks_that_wait_for_one_another_are_named():
    (fault,) = library_faults([row("a", "b"), row("b", "a")])
    assert fault.startswith("These wait for one another: ")


def test_a_code_that_stands_there_twice_is_named():
    assert library_faults([row("tune"), row("tune")]) == ["tune stands there twice."]


def test_a_figure_without_unit_and_limit_is_a_fault():
    faults = library_faults([row("set-dip", acceptance="figure", figure_name="key dip")])
    assert faults == [
        "set-dip closes on a figure without a name or a unit.",
        "set-dip closes on a figure without a limit.",
    ]


KNOWN = (("case", "attend", ""), ("", "", "sticks"))


def test_suggestions_for_what_is_known_by_tasks_of_the_library_have_no_faults():
    rows = [{"part": "case", "condition": "attend", "task": "tune"}, {"fault": "sticks", "task": "tune"}]
    assert suggestion_faults(rows, ["tune"], KNOWN) == []


@pytest.mark.parametrize(
    ("row", "fault"),
    [
        ({"fault": "haunted", "task": "tune"}, "haunted is nothing that can be found."),
        ({"fault": "sticks", "task": "sing"}, "sticks asks for sing, which is not in the library."),
        ({"task": "tune"}, "A row without a part or fault is nothing that can be found."),
    ],
)
def test_a_suggestion_for_or_of_what_is_unknown_is_named(row, fault):
    assert suggestion_faults([row], ["tune"], KNOWN) == [fault]


def test_a_suggestion_that_stands_there_twice_is_named():
    row = {"fault": "sticks", "task": "tune"}
    assert suggestion_faults([row, row], ["tune"], KNOWN) == ["sticks stands there twice."]
