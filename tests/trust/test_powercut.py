"""The disk of the power cut: what was waited for is there, what was not may be missing or torn."""

import random

from tests.trust.powercut import CUT, HEAD, SETTLED, WRITTEN, Disk, records


def outcomes(*met: tuple, tmp_path) -> set[bytes]:
    """All that fifty cuts at one moment leave of the database's file."""
    disk = Disk(b"")
    for each in met:
        disk.meet(*each)
    return {disk.after_a_cut(tmp_path, random.Random(seed)).read_bytes() for seed in range(50)}


def test_what_was_waited_for_is_there_however_the_cut_falls(tmp_path):
    met = [(WRITTEN, 0, 0, b"a" * 600), (SETTLED, 0, 0, b"")]
    assert outcomes(*met, tmp_path=tmp_path) == {b"a" * 600}


def test_what_was_not_waited_for_is_there_or_missing_or_torn(tmp_path):
    met = [(WRITTEN, 0, 0, b"a" * 8), (SETTLED, 0, 0, b""), (WRITTEN, 0, 8, b"b" * 1024)]
    whole, none, torn = b"a" * 8 + b"b" * 1024, b"a" * 8, b"a" * 8 + b"b" * 512
    assert outcomes(*met, tmp_path=tmp_path) == {whole, none, torn}


def test_a_cut_to_a_length_waits_like_a_write(tmp_path):
    met = [(WRITTEN, 0, 0, b"abcd"), (SETTLED, 0, 0, b""), (CUT, 0, 1, b"")]
    assert outcomes(*met, tmp_path=tmp_path) == {b"abcd", b"a"}


def test_log_is_read_back_to_its_last_whole_record():
    log = HEAD.pack(WRITTEN, 1, 7, 3) + b"abc" + HEAD.pack(SETTLED, 1, 0, 0)
    assert list(records(log + b"half a head")) == [(WRITTEN, 1, 7, b"abc"), (SETTLED, 1, 0, b"")]
