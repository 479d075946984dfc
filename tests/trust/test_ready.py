"""What a run of the board makes once and copies is the same, and is made in earnest where nothing is kept."""

import pytest
from django.core import management
from django.db import ConnectionHandler

from tests.trust import ready

pytestmark = pytest.mark.django_db  # which lets a test open a database at all


class Making:
    """Django's own maker of a database for tests, over a database of one table."""

    def __init__(self, path, monkeypatch):
        engine = {"ENGINE": "django.db.backends.sqlite3", "NAME": str(path)}
        self.connection, self.migrated = ConnectionHandler({"default": engine})["default"], 0
        monkeypatch.setattr(management, "call_command", self._command)

    def _command(self, name, *words, **options):
        if name == "migrate":
            self.migrated += 1
            with self.connection.cursor() as cursor:
                cursor.execute("CREATE TABLE piano (maker TEXT)")
                cursor.execute("INSERT INTO piano VALUES ('Halden')")

    def make(self):
        def as_django_does(creation):
            management.call_command("migrate", database="default")

        ready._made(as_django_does, self)
        with self.connection.cursor() as cursor:
            return cursor.execute("SELECT maker FROM piano").fetchall()


@pytest.fixture
def kept(monkeypatch, tmp_path):
    (tmp_path / "kept").mkdir()
    monkeypatch.setenv(ready.FOLDER, str(tmp_path / "kept"))


def test_the_first_migrates_and_the_second_has_the_same_without(kept, tmp_path, monkeypatch):
    first = Making(tmp_path / "first", monkeypatch)
    assert (first.make(), first.migrated) == ([("Halden",)], 1)
    second = Making(tmp_path / "second", monkeypatch)
    assert (second.make(), second.migrated) == ([("Halden",)], 0)


def test_without_a_folder_nothing_is_kept_and_django_makes_its_own(monkeypatch, tmp_path):
    monkeypatch.delenv(ready.FOLDER, raising=False)
    assert (ready.folder(), ready.cluster_kept(), ready.copy_of_a_shop(tmp_path)) == (None, None, False)


def test_what_is_kept_goes_with_the_run(monkeypatch):
    monkeypatch.delenv(ready.FOLDER, raising=False)
    with ready.kept_for_this_run():
        folder = ready.folder()
        assert folder.is_dir()
    assert not folder.exists() and ready.folder() is None
