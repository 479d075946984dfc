"""Runs a decoder in a process of its own, in memory and time that are bounded.

Decoders of pictures and sounds are written in C and one wrong byte in a file can end the process that runs
them; here that costs one file and no worker. A decoder is a program that reads the file from its standard
input and answers with one line of JSON and then with bytes. It is started by this very file,

    python apart.py MEMORY_BYTES PROCESSOR_SECONDS DECODER WORD… < file > answer

which bounds itself before it runs what it was given, and knows nothing of what is set for the shop.
"""

import json
import os
import resource
import runpy
import subprocess
import sys
from pathlib import Path

LARGEST_MEMORY_BYTES = 1_500_000_000
LONGEST_PROCESSOR_SECONDS = 30
LONGEST_WAIT_SECONDS = 60


class FellOver(ValueError):
    """The decoder gave up on the file, or could not finish."""


def answered_apart(decoder: Path, content: bytes, *words: object) -> tuple[dict, bytes]:
    """What the program `decoder` answers to this content. FellOver where it says nothing that is whole."""
    command = [sys.executable, "-I", "-W", "ignore", __file__]
    command += map(str, (LARGEST_MEMORY_BYTES, LONGEST_PROCESSOR_SECONDS, decoder, *words))
    told = {name: os.environ[name] for name in ("LD_LIBRARY_PATH",) if name in os.environ}
    try:
        done = subprocess.run(  # noqa: S603 - our own files, and words that are ours
            command, input=content, capture_output=True, timeout=LONGEST_WAIT_SECONDS, check=True, env=told
        )
        line, _, rest = done.stdout.partition(b"\n")
        return json.loads(line), rest
    except (subprocess.SubprocessError, ValueError) as error:
        raise FellOver(f"{decoder.name} could not finish") from error


def _bounded(memory_bytes: int, processor_seconds: int) -> None:
    resource.setrlimit(resource.RLIMIT_AS, (memory_bytes, memory_bytes))
    resource.setrlimit(resource.RLIMIT_CPU, (processor_seconds, processor_seconds))
    resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
    resource.setrlimit(resource.RLIMIT_FSIZE, (0, 0))
    os.nice(10)


if __name__ == "__main__":
    _bounded(int(sys.argv[1]), int(sys.argv[2]))
    sys.argv = sys.argv[3:]
    runpy.run_path(sys.argv[0], run_name="__main__")
