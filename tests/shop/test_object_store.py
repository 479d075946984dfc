"""Media in an S3 bucket: kept, read in parts, taken out, and behind the access check like any other file."""

import hashlib
import io
import random
from uuid import uuid4

import boto3
import pytest
from django.core.exceptions import ImproperlyConfigured
from django.core.files.base import ContentFile
from django.core.files.storage import storages
from moto import mock_aws

from shop.backup.taking import _add_files, _looked_up
from shop.backup.writing import ArchiveWriter
from shop.environment import media_storage
from shop.object_store import AT_ONCE_BYTES
from tests import make

BUCKET = {"WRESTPLANK_S3_BUCKET": "shop", "WRESTPLANK_S3_KEY": "key", "WRESTPLANK_S3_SECRET": "secret"}


@pytest.fixture
def bucket(settings, monkeypatch):
    for name, value in BUCKET.items():
        monkeypatch.setenv(name, value)
    with mock_aws():
        client = boto3.client("s3", aws_access_key_id="key", aws_secret_access_key="secret")
        client.create_bucket(Bucket="shop")
        settings.STORAGES = settings.STORAGES | {"default": media_storage()}
        yield client


def test_without_a_bucket_media_lie_on_the_disk():
    assert media_storage() == {"BACKEND": "shop.storage.SettledFileSystemStorage"}


def test_half_of_the_credentials_is_refused(monkeypatch):
    monkeypatch.setenv("WRESTPLANK_S3_BUCKET", "shop")
    monkeypatch.setenv("WRESTPLANK_S3_KEY", "key")
    with pytest.raises(ImproperlyConfigured, match="belong together"):
        media_storage()


def test_what_is_kept_is_read_again_under_a_name_of_its_own(bucket):
    store = storages["default"]
    names = [store.save("papers/quote.pdf", ContentFile(words)) for words in (b"first", b"second")]
    assert len(set(names)) == 2
    assert [store.open(name).read() for name in names] == [b"first", b"second"]
    store.delete(names[0])
    with pytest.raises(FileNotFoundError):
        store.open(names[0])


def test_a_file_is_kept_by_one_request_and_no_other_is_asked_for(bucket):
    store, asked = storages["default"], []
    store.connection.meta.client.meta.events.register(
        "before-call.s3", lambda model, **others: asked.append(model.name)
    )
    store.save("papers/quote.pdf", ContentFile(b"words"))
    store.save(f"photos/{uuid4().hex}-thumb.webp", ContentFile(b"picture"))
    assert asked == ["PutObject", "PutObject"]


def test_a_name_that_was_generated_is_kept_as_it_is(bucket):
    name = f"photos/{uuid4().hex}-thumb.webp"
    assert storages["default"].save(name, ContentFile(b"picture")) == name
    kept = bucket.get_object(Bucket="shop", Key=name)
    assert (kept["Body"].read(), kept["ContentType"]) == (b"picture", "image/webp")


def test_what_is_long_goes_up_in_parts_and_is_read_again_whole(bucket):
    content = random.Random(7).randbytes(AT_ONCE_BYTES + 1)
    name = storages["default"].save("sounds/c4.wav", ContentFile(content))
    assert storages["default"].open(name).read() == content
    assert "-" in bucket.head_object(Bucket="shop", Key=name)["ETag"]  # as of several parts


def test_a_store_that_does_not_answer_is_told_as_a_disk_that_does_not(bucket):
    store = storages["default"]
    bucket.delete_bucket(Bucket="shop")
    with pytest.raises(OSError, match="object store"):
        store.save("papers/quote.pdf", ContentFile(b"words"))


@pytest.mark.django_db
def test_a_photograph_goes_through_the_access_check_and_in_parts(bucket, client, technician, stranger):
    instrument = make.make_instrument()
    photo = make.make_photo(instrument=instrument)
    address = f"/stock/{instrument.stock_number}/photos/{photo.pk}/thumb/"
    assert stranger.get(address).status_code == 302
    client.force_login(technician)
    whole = client.get(address)
    content = b"".join(whole.streaming_content)
    assert whole.status_code == 200 and "amazonaws" not in str(whole.headers)
    part = client.get(address, headers={"Range": "bytes=4-9"})
    assert part.status_code == 206 and b"".join(part.streaming_content) == content[4:10]
    kept = bucket.get_object(Bucket="shop", Key=photo.thumb.name)["Body"].read()
    assert kept == content and io.BytesIO(kept).read(4) == b"RIFF"


def test_what_lies_in_it_is_backed_up_byte_for_byte(bucket, tmp_path):
    content = random.Random(5).randbytes(1_300_000)  # more than is read at a time
    names = [storages["default"].save("papers/quote.pdf", ContentFile(content)), "papers/gone.pdf"]
    writer = ArchiveWriter(tmp_path / "archive.tar")
    assert _add_files(writer, names, _looked_up(names), say=print) == ["papers/gone.pdf"]
    writer.close()
    kept = writer.files[f"media/{names[0]}"]
    assert (kept.size, kept.sha256) == (len(content), hashlib.sha256(content).hexdigest())
    assert content in (tmp_path / "archive.tar").read_bytes()
