import pytest

from workorders.calc.stages import stage_of


@pytest.mark.parametrize(
    ("rank", "stage"),
    [(0, "Record and clean"), (29, "Record and clean"), (95, "Action and hammers"), (9999, "Finish")],
)
def test_every_rank_falls_into_a_stage(rank, stage):
    assert stage_of(rank) == stage
