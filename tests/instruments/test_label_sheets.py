import pytest

from instruments.documents.label_sheets import PAPER_TALL_MM, PAPER_WIDE_MM, SHEETS, placed


@pytest.mark.parametrize("sheet", SHEETS.values(), ids=SHEETS)
def test_the_labels_of_a_sheet_stand_in_its_middle_and_on_the_paper(sheet):
    left, top = sheet.corner_mm(0)
    right, low = sheet.corner_mm(sheet.count - 1)
    assert left == pytest.approx(PAPER_WIDE_MM - right - sheet.wide_mm)
    assert top == pytest.approx(PAPER_TALL_MM - low - sheet.tall_mm)
    assert left > 4 and top > 4


def test_the_corners_that_can_be_measured_with_a_ruler():
    assert [round(each, 2) for each in SHEETS["21"].corner_mm(4)] == [73.25, 53.25]
    assert [round(each, 2) for each in SHEETS["8"].corner_mm(7)] == [106.25, 216.2]


def test_a_begun_sheet_is_used_up_before_the_next():
    assert placed(4, sheet=SHEETS["8"], first=7) == [(0, 6), (0, 7), (1, 0), (1, 1)]


@pytest.mark.parametrize("first", [0, 22])
def test_a_place_that_the_sheet_lacks_is_refused(first):
    with pytest.raises(ValueError, match="has no place"):
        placed(1, sheet=SHEETS["21"], first=first)
