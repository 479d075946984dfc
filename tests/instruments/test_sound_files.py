"""Sound files become numbers, whatever telephone they came from; what is damaged is refused in words."""

import wave

import av
import numpy as np
import pytest

from instruments.sound_files import NotASound, decoded

RATE = 44_100


def a_tone(seconds: float = 1.0):
    return 0.5 * np.sin(2 * np.pi * 440 * np.arange(round(RATE * seconds)) / RATE)


def write_wav(path, sound, channels: int = 1):
    with wave.open(str(path), "wb") as file:
        file.setnchannels(channels)
        file.setsampwidth(2)
        file.setframerate(RATE)
        file.writeframes(np.repeat((sound * 32767).astype("<i2"), channels).tobytes())
    return path


def write_packed(path, codec: str, sound):
    with av.open(str(path), "w") as file:
        stream = file.add_stream(codec, rate=48_000)
        stream.layout = "mono"
        frame = av.AudioFrame.from_ndarray(
            (sound * 32767).astype(np.int16)[None, :], format="s16", layout="mono"
        )
        frame.sample_rate = RATE
        resampler = av.AudioResampler(format=stream.format, layout="mono", rate=48_000)
        fifo = av.AudioFifo()
        for each in resampler.resample(frame):
            fifo.write(each)
        size = stream.codec_context.frame_size or 1024
        while piece := fifo.read(size, partial=True):
            file.mux(stream.encode(piece))
        file.mux(stream.encode(None))
    return path


@pytest.mark.parametrize("channels", [1, 2])
def test_a_wav_file_is_read_sample_for_sample(tmp_path, channels):
    sound, rate = decoded(write_wav(tmp_path / "a.wav", a_tone(), channels))
    assert rate == RATE
    assert np.abs(sound - a_tone()).max() < 2 / 32767  # two roundings to 16 bits


@pytest.mark.parametrize(("name", "codec"), [("a.m4a", "aac"), ("a.mp3", "libmp3lame"), ("a.ogg", "libopus")])
def test_what_a_telephone_records_keeps_its_note_and_level(tmp_path, name, codec):
    sound, rate = decoded(write_packed(tmp_path / name, codec, a_tone(2.0)))
    middle = sound[rate // 2 : rate // 2 + rate]
    loudest = np.argmax(np.abs(np.fft.rfft(middle * np.hanning(len(middle)))))
    assert loudest * rate / len(middle) == pytest.approx(440, abs=1)
    assert np.sqrt(np.mean(middle**2)) == pytest.approx(0.5 / np.sqrt(2), rel=0.1)


def test_a_damaged_file_is_refused_in_words(tmp_path):
    whole = write_packed(tmp_path / "a.m4a", "aac", a_tone()).read_bytes()
    for name, content in {
        "words.wav": b"not a sound",
        "none.wav": b"",
        "cut.m4a": whole[: len(whole) // 2],
    }.items():
        (tmp_path / name).write_bytes(content)
        with pytest.raises(NotASound):
            decoded(tmp_path / name)
