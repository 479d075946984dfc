from tests.trust.bars_asvs import rows, without_proof
from tests.trust.bars_reading import CRITERIA


def test_every_criterion_of_level_a_and_aa_names_what_proves_it_or_why_not():
    """WCAG 2.2 has 31 criteria of level A and 24 of level AA: 4.1.1 was taken out of it."""
    table = rows(CRITERIA)
    levels = [each["level"] for each in table]
    assert (levels.count("A"), levels.count("AA")) == (31, 24)
    assert len({each["row"] for each in table}) == 55
    assert without_proof(table) == []
