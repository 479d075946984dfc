import pytest
from django.apps import apps

from shop.backup import taking
from shop.backup.loading import wanted
from shop.backup.manifest import BadBackup
from shop.backup.writing import ArchiveWriter


@pytest.fixture
def writer(tmp_path, settings):
    settings.MEDIA_ROOT = tmp_path / "media"
    (tmp_path / "media" / "photos").mkdir(parents=True)
    (tmp_path / "media" / "photos" / "here.jpg").write_bytes(b"a picture")
    writer = ArchiveWriter(tmp_path / "archive.tar")
    yield writer
    writer.close()


def test_files_that_are_gone_are_named_and_the_others_taken(writer):
    names = ["photos/gone.jpg", "photos/here.jpg", "scans/gone.pdf"]
    assert taking._add_files(writer, names, taking._looked_up(names), say=print) == [
        "photos/gone.jpg",
        "scans/gone.pdf",
    ]
    assert list(writer.files) == ["media/photos/here.jpg"]


@pytest.mark.parametrize("name", ["../archive.tar", "photos/../photos/here.jpg", "photos//here.jpg"])
def test_name_that_points_elsewhere_is_refused(writer, name):
    with pytest.raises(BadBackup, match="something that no backup does"):
        taking._add_files(writer, [name], taking._looked_up([name]), say=print)


def migrated_tables() -> set[str]:
    models = apps.get_models(include_auto_created=True)
    return {model._meta.db_table for model in models if model._meta.managed} | {"django_migrations"}


@pytest.mark.django_db(transaction=True)
def test_it_counts_the_tables_that_migrations_make_on_either_database(tmp_path):
    manifest = taking.take_backup(tmp_path / "shop.tar", say=print)
    assert set(manifest.tables) == migrated_tables()


@pytest.mark.django_db(transaction=True)
def test_the_search_index_that_older_ones_counted_is_not_looked_for(tmp_path):
    manifest = taking.take_backup(tmp_path / "shop.tar", say=print)
    table = manifest.tables["instruments_instrument"]
    manifest.tables |= dict.fromkeys(["instruments_instrument_words", "shop_person_words_idx"], table)
    assert set(wanted(manifest)) == migrated_tables()
