"""Photographs, papers and recordings in a store that several machines share, over the S3 protocol.

Everything still goes through our views, which ask who may see it: nobody is sent an address of the store. A
store that does not answer is a disk that does not answer (`shop/not_now.py` says so in words).
"""

import errno
import re
from collections.abc import Iterator
from contextlib import contextmanager
from functools import cached_property
from pathlib import PurePosixPath
from uuid import uuid4

from botocore.exceptions import BotoCoreError, ClientError
from storages.backends.s3 import S3File, S3Storage

GENERATED = re.compile(r"(?<![0-9a-f])[0-9a-f]{32}(?![0-9a-f])")
AT_ONCE_BYTES = 8 * 1024 * 1024  # what is longer goes up in parts, each of which may be sent again


@contextmanager
def told_as_of_a_disk() -> Iterator[None]:
    try:
        yield
    except (BotoCoreError, ClientError) as error:
        raise OSError(errno.EIO, f"The object store did not do it: {error}") from error


class ObjectFile(S3File):
    """It is brought when it is first read."""

    def _get_file(self):
        with told_as_of_a_disk():
            return super()._get_file()

    file = property(_get_file, S3File._set_file)


class ObjectStore(S3Storage):
    """Objects are private, their names are generated, and none is ever written over.

    The protocol's description is read once for a process, before it forks (`shop/serving.py`): each thread
    has a connection of its own, and would else spend a good part of a second on it.
    """

    @cached_property
    def _session_of_the_process(self):
        return super()._create_session()

    def _create_session(self):
        return self._session_of_the_process

    def _open(self, name, mode="rb"):
        with told_as_of_a_disk():
            try:
                return ObjectFile(self._normalize_name(name), mode, self)
            except ClientError as error:
                if error.response["ResponseMetadata"]["HTTPStatusCode"] == 404:
                    raise FileNotFoundError(errno.ENOENT, "There is no such object", name) from error
                raise

    def get_available_name(self, name, max_length=None):
        """A name that no other has, without asking: between question and answer another might take it."""
        if GENERATED.search(name):
            return name
        path = PurePosixPath(name)
        return str(path.with_stem(f"{path.stem}-{uuid4().hex[:16]}"))

    def _save(self, name, content):
        with told_as_of_a_disk():
            if content.size > AT_ONCE_BYTES:
                return super()._save(name, content)
            content.seek(0)
            self.connection.meta.client.put_object(
                Bucket=self.bucket_name,
                Key=self._normalize_name(name),
                Body=content.read(),
                **self._get_write_parameters(name, content),
            )
            return name

    def delete(self, name):
        with told_as_of_a_disk():
            super().delete(name)

    def exists(self, name):
        with told_as_of_a_disk():
            return super().exists(name)

    def size(self, name):
        with told_as_of_a_disk():
            return super().size(name)

    def get_modified_time(self, name):
        with told_as_of_a_disk():
            return super().get_modified_time(name)
