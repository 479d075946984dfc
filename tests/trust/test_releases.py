"""Which release is rolled out from: one that a shop could have run."""

from tests.trust.releases import newest_of


def migration(folder, name: str, after: str) -> None:
    (folder / f"{name}.py").write_text(f'dependencies = [("shop", "{after}")]\n')


def test_a_tree_with_one_way_has_one_newest(tmp_path):
    migration(tmp_path, "0001_initial", "")
    migration(tmp_path, "0002_doors", "0001_initial")
    assert newest_of(tmp_path) == ["0002_doors"]


def test_two_made_side_by_side_are_both_newest(tmp_path):
    migration(tmp_path, "0001_initial", "")
    migration(tmp_path, "0002_doors", "0001_initial")
    migration(tmp_path, "0002_locks", "0001_initial")
    assert sorted(newest_of(tmp_path)) == ["0002_doors", "0002_locks"]
