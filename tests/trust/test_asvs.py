from tests.trust.bars_asvs import rows, without_proof


def test_every_row_names_what_proves_it():
    assert without_proof(rows()) == []


def test_a_row_that_names_no_test_is_found():
    (row,) = rows()[:1]
    assert without_proof([row | {"proof or reason": "tests/shop/test_sign_in.py::test_not_there"}]) == [
        row["row"]
    ]
