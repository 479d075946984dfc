"""A decoder runs in a process of its own, which knows little and may take little."""

import signal

import pytest

from instruments import apart, heic, sound_files
from instruments.apart import FellOver, answered_apart


def program(folder, words: str):
    (folder / "decoder.py").write_text(words)
    return folder / "decoder.py"


def test_it_is_told_its_words_and_given_the_content_and_answers_in_two_parts(tmp_path):
    says = program(
        tmp_path,
        "import json, sys\n"
        "print(json.dumps({'words': sys.argv[1:]}), flush=True)\n"
        "sys.stdout.buffer.write(sys.stdin.buffer.read()[::-1])\n",
    )
    assert answered_apart(says, b"one\ntwo", 3, "mov") == ({"words": ["3", "mov"]}, b"owt\neno")


def test_it_knows_nothing_of_what_the_shop_keeps_secret(monkeypatch, tmp_path):
    tells = program(tmp_path, "import json, os\nprint(json.dumps({'told': sorted(os.environ)}))\n")
    monkeypatch.setenv("SECRET_KEY", "canary")
    said, _ = answered_apart(tells, b"")
    assert "SECRET_KEY" not in said["told"]


def test_it_has_little_memory(tmp_path):
    greedy = program(
        tmp_path,
        'try:\n    bytes(2_000_000_000)\nexcept MemoryError:\n    print(\'{"refused": "too much"}\')\n',
    )
    assert answered_apart(greedy, b"") == ({"refused": "too much"}, b"")


def test_it_has_little_time(monkeypatch, tmp_path):
    monkeypatch.setattr(apart, "LONGEST_PROCESSOR_SECONDS", 1)
    with pytest.raises(FellOver) as fell:
        answered_apart(program(tmp_path, "max(iter(int, 1))"), b"")
    assert fell.value.__cause__.returncode in {-signal.SIGXCPU, -signal.SIGKILL}


def test_it_writes_no_file(tmp_path):
    writes = program(tmp_path, f"open({str(tmp_path / 'left')!r}, 'w').write('some')")
    with pytest.raises(FellOver):
        answered_apart(writes, b"")
    assert not (tmp_path / "left").exists() or not (tmp_path / "left").read_bytes()


@pytest.mark.parametrize(
    ("decoder", "words"), [(heic.DECODER, (1, 1, 1)), (sound_files.DECODER, ("mp3", 8, 180))]
)
def test_what_is_no_file_of_its_kind_costs_no_process_of_ours(decoder, words):
    try:
        said, _ = answered_apart(decoder, b"neither a picture nor a sound", *words)
    except FellOver:
        return
    assert said == {"refused": "damaged"}
