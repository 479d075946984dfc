import pytest

from shop.backup import taking
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
