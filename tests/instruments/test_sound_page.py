"""The page of an instrument's recordings: what is taken, measured, served, put away and brought back."""

from datetime import timedelta

import pytest
from django.urls import reverse

from instruments.actions.recordings import describe_recording, remove_recording, set_breaks
from instruments.models import Film, Recording, Tone
from tests import make
from tests.make_recording import make_film, make_recording
from tests.sounds import film, note, packed, prepared_sound, run, sound_upload, wav

pytestmark = pytest.mark.django_db
TOKEN = "a" * 32


@pytest.fixture
def piano(technician):
    return make.make_instrument()


@pytest.fixture
def bench(client, technician):
    client.force_login(technician)
    return client


def address(piano, name: str = "sound", *more) -> str:
    return reverse(f"instruments:{name}", args=[piano.stock_number, *more])


def send(client, piano, *, to: str = "", token: str = TOKEN, prefix: str = "", **said):
    said = {"file": sound_upload(), "register": "tenor", "recorded_on": "2026-03-21"} | said
    fields = {f"{prefix}{name}": value for name, value in said.items()}
    return client.post(to or address(piano), fields | {"form_token": token})


def text(answer) -> str:
    return " ".join(answer.content.decode().split())


@pytest.mark.parametrize("kind", ["wav", "m4a", "mp3", "ogg"])
def test_a_recording_from_a_telephone_is_kept_and_plays(bench, piano, kind):
    content = wav(note()) if kind == "wav" else packed(note(), kind)
    answer = send(
        bench, piano, file=sound_upload(f"x.{kind}", content), device="Shop telephone", distance_cm="150"
    )
    recording = piano.recordings.get()
    assert answer.url == f"{address(piano)}#recording-{recording.pk}"
    page = text(bench.get(address(piano)))
    assert address(piano, "recording_file", recording.pk, "copy") in page
    assert "Shop telephone at 150 cm" in page
    assert recording.original.open().read() == content


def test_what_is_missing_says_how_it_is_played(bench, piano):
    make_recording(instrument=piano, register="soft")
    page = text(bench.get(address(piano)))
    assert page.count("Missing.") == 7
    assert "Half a minute of music, the same for every piano." in page


def test_a_break_that_is_not_there_is_not_missed(bench, piano, technician):
    set_breaks(instrument=piano, bass=28, treble=None, by=technician)
    page = text(bench.get(address(piano)))
    assert '<h2 class="h3">Across the bass break' in page
    assert '<h2 class="h3">Across the treble break' not in page


def test_the_days_since_tuning_come_from_the_record(bench, piano):
    make.make_pitch_survey(instrument=piano, stage="after_tuning", on=make.A_DAY - timedelta(days=12))
    send(bench, piano)
    assert piano.recordings.get().tuned_days == 12


def test_the_bench_knows_tunings_too(bench, piano, technician):
    task = make.make_task(code="fine-tune")
    item = make.make_item(order=make.make_order(instrument=piano), task=task)
    at = f"{make.A_DAY - timedelta(days=3)}T11:00:00Z"
    type(item).objects.filter(pk=item.pk).update(
        state="done", result="Tuned", closed_at=at, closed_by=technician
    )
    send(bench, piano)
    assert piano.recordings.get().tuned_days == 3


def test_days_since_tuning_that_are_given_count_before_the_record(bench, piano):
    make.make_pitch_survey(instrument=piano, stage="after_tuning", on=make.A_DAY)
    send(bench, piano, tuned_days="40")
    assert piano.recordings.get().tuned_days == 40


def test_the_same_telephone_is_offered_again(bench, piano):
    make_recording(instrument=piano, device="Shop telephone", distance_cm=150)
    assert 'value="Shop telephone"' in text(bench.get(address(piano)))


@pytest.mark.parametrize(
    ("said", "words"),
    [
        ({"file": ""}, "Choose the recording, or record one now."),
        ({"file": sound_upload("x.mp3", b"words")}, "x.mp3: This is no recording that is taken here"),
        ({"file": sound_upload("x.m4a", b"")}, "empty"),
        ({"file": sound_upload("x.m4a", film())}, "This is a film."),
        ({"register": "kazoo"}, "that is not among the choices"),
        ({"notes": "H9"}, "is not a key"),
        ({"notes": "C3, E3"}, "without gaps"),
        ({"notes": "A1 to A5"}, "24 notes at most"),
        ({"notes": "E3", "register": "bass_break"}, "has a first and a last note"),
        ({"recorded_on": "2999-01-01"}, "That day has not come yet."),
        ({"humidity_percent": "140"}, "“Humidity of the room” is 100 at most."),
        ({"tuned_days": "-1"}, "“Days since it was tuned” is 0 at least."),
        ({"distance_cm": "99999"}, "“Distance” is 2000 at most."),
        ({"device": "\x00"}, "“Recorded with” has a character in it that cannot be kept."),
    ],
)
def test_bad_input_gets_its_sentence_keeps_what_was_typed_and_changes_nothing(bench, piano, said, words):
    for each in said.values():
        if hasattr(each, "seek"):
            each.seek(0)
    page = text(send(bench, piano, remark="Lid open", **said))
    assert words in page
    assert 'value="Lid open"' in page
    assert not Recording.objects.exists()


def test_a_refused_form_leaves_no_file_behind(bench, piano, media_root):
    send(bench, piano, notes="H9")
    assert not list(media_root.rglob("*.*"))


def test_sent_twice_it_is_kept_once(bench, piano):
    first, second = send(bench, piano), send(bench, piano)
    assert first.url == second.url
    assert piano.recordings.count() == 1


def test_the_same_file_is_not_kept_twice(bench, piano, media_root):
    make_recording(instrument=piano)
    files = len(list(media_root.rglob("*.*")))
    assert "This very recording is here already." in text(send(bench, piano))
    assert len(list(media_root.rglob("*.*"))) == files


def test_one_that_was_put_away_says_so_when_it_comes_again(bench, piano, technician):
    remove_recording(recording=make_recording(instrument=piano), by=technician)
    assert "This very recording was put away." in text(send(bench, piano))


def test_a_single_note_is_told_in_words_and_pictures(bench, piano):
    send(bench, piano, file=sound_upload("x.wav", wav(note(49, seconds=6))), notes="A4")
    page = text(bench.get(address(piano, "recording_page", piano.recordings.get().pk)))
    assert "held against 440.0 Hz (equal temperament, A4 at 440 Hz)" in page
    assert "It falls by 20 dB a second at first" in page
    assert page.count("<svg") >= 3
    assert "no mark of how beautiful it sounds" in page


def test_it_is_held_against_the_pitch_of_the_instrument(bench, piano):
    make.make_pitch_survey(instrument=piano, a4_hz=430)
    recording = make_recording(instrument=piano, prepared=prepared_sound("x.wav", wav(note(49))), keys=(49,))
    page = text(bench.get(address(piano, "recording_page", recording.pk)))
    assert "40 cents sharp, held against 430.0 Hz" in page


def test_a_run_that_was_miscounted_is_kept_and_says_so(bench, piano):
    send(bench, piano, file=sound_upload("x.wav", wav(run(22, 25))), notes="F#2 to B2", register="bass_break")
    recording = piano.recordings.get()
    assert recording.unheard.startswith("6 notes were to be heard one by one, and 4 strikes are")
    assert recording.unheard in text(bench.get(address(piano)))


def test_notes_that_are_corrected_are_measured_anew(bench, piano):
    content = wav(run(22, 25))
    recording = make_recording(
        instrument=piano, prepared=prepared_sound("x.wav", content), keys=(22, 23, 24), register="bass"
    )
    assert recording.unheard
    said = {"register": "bass", "recorded_on": "2026-03-21", "notes": "F#2 to A2", "form_token": TOKEN}
    bench.post(address(piano, "recording_page", recording.pk), said)
    recording.refresh_from_db()
    assert (recording.unheard, [each.key for each in recording.heard.all()]) == ("", [22, 23, 24, 25])


def test_breaks_are_ranked_from_a_run_across_each(bench, piano, technician):
    set_breaks(instrument=piano, bass=27, treble=33, by=technician)
    louder = dict.fromkeys(range(22, 28), -6.0) | dict.fromkeys(range(28, 34), -16.0)
    content = wav(run(22, 39, louder=louder | dict.fromkeys(range(34, 40), -13.0)))
    make_recording(
        instrument=piano,
        prepared=prepared_sound("x.wav", content),
        keys=tuple(range(22, 40)),
        register="bass_break",
    )
    page = text(bench.get(address(piano)))
    first, second = (page.index(f"{each}, level") for each in ("B2 to C3", "F3 to F♯3"))
    assert first < second
    assert "Bass break, B2 to C3, level: stands out clearly." in page


def test_what_was_recorded_another_way_is_not_held_against_it(bench, piano, technician):
    set_breaks(instrument=piano, bass=27, treble=None, by=technician)
    for low, device in ((22, "One"), (28, "Other")):
        make_recording(
            instrument=piano,
            prepared=prepared_sound("x.wav", wav(run(low, low + 5))),
            keys=tuple(range(low, low + 6)),
            register="bass_break",
            device=device,
        )
    assert "recorded on one day with the same telephone" in text(bench.get(address(piano)))


def test_a_break_is_written_down_and_nonsense_is_refused(bench, piano):
    page = text(bench.post(address(piano, "breaks_set"), {"bass": "C9", "treble": "", "form_token": TOKEN}))
    assert "C9" in page and not hasattr(type(piano).objects.get(pk=piano.pk), "breaks")
    page = text(
        bench.post(address(piano, "breaks_set"), {"bass": "E3", "treble": "E2", "form_token": "b" * 32})
    )
    assert "The treble break lies above the bass break." in page
    bench.post(address(piano, "breaks_set"), {"bass": "E3", "treble": "", "form_token": "c" * 32})
    assert "Bass break above E3" in text(bench.get(address(piano)))


def test_how_it_sounds_to_us_is_said_in_few_words_and_taken_back(bench, piano):
    def said(*words, token):
        return text(
            bench.post(address(piano, "tone_set"), {"words": words, "form_token": token}, follow=True)
        )

    assert "Choose 3 at most" in said("warm", "clear", "full", "dry", token="a" * 32)
    assert "that is not among the choices" in said("lovely", token="b" * 32)
    assert not Tone.objects.exists()
    page = said("clear", "warm", token="c" * 32)
    assert "<p>Warm and clear <span" in page and "a judgement, not a measurement" in page
    assert "Nothing is said of its tone." in said(token="d" * 32)
    assert Tone.objects.get().words == [] and Tone.objects.get().history.count() == 2


def test_a_newer_one_takes_its_place_and_the_older_stays_on_file(bench, piano):
    old = make_recording(instrument=piano)
    newer = sound_upload("new.wav", wav(note(seed=2)))
    send(bench, piano, to=address(piano, "recording_replace", old.pk), prefix="new-", file=newer)
    old.refresh_from_db()
    assert old.removed_at and old.replaced_by == piano.recordings.kept().get()
    assert "Recording replaced by a newer one" in old.history.first().history_change_reason
    assert old.original.storage.exists(old.original.name)


def test_put_away_it_plays_no_more_in_the_list_and_can_be_brought_back(bench, piano):
    recording = make_recording(instrument=piano)
    bench.post(address(piano, "recording_remove", recording.pk))
    page = text(bench.get(address(piano)))
    assert "Bring back" in page and "<audio" not in page
    assert bench.get(address(piano, "recording_page", recording.pk)).status_code == 404
    bench.post(address(piano, "recording_restore", recording.pk))
    assert "<audio" in text(bench.get(address(piano)))


def test_a_part_of_it_is_served_as_a_player_asks(bench, piano):
    recording = make_recording(instrument=piano)
    copy = address(piano, "recording_file", recording.pk, "copy")
    whole = bench.get(copy)
    content = b"".join(whole.streaming_content)
    assert (whole["Content-Type"], whole["Accept-Ranges"]) == ("audio/mpeg", "bytes")
    assert whole["Content-Disposition"] == "inline" and whole["X-Content-Type-Options"] == "nosniff"
    part = bench.get(copy, headers={"range": "bytes=100-199"})
    assert part.status_code == 206 and b"".join(part.streaming_content) == content[100:200]
    assert part["Content-Range"] == f"bytes 100-199/{len(content)}"
    assert bench.get(copy, headers={"range": f"bytes={len(content)}-"}).status_code == 416


def test_the_original_goes_only_to_those_who_record(client, seller, bench, piano):
    recording = make_recording(instrument=piano)
    original = address(piano, "recording_file", recording.pk, "original")
    assert bench.get(original)["Content-Disposition"].startswith("attachment")
    client.force_login(seller)
    assert client.get(address(piano, "recording_file", recording.pk, "copy")).status_code == 200
    assert client.get(original).status_code == (
        200 if seller.has_perm("instruments.inspect_instrument") else 403
    )
    assert client.get(address(piano, "recording_file", recording.pk, "thumb")).status_code == 404


def test_a_stranger_hears_nothing_by_the_shops_own_addresses(client, piano):
    recording = make_recording(instrument=piano, is_public=True)
    assert client.get(address(piano, "recording_file", recording.pk, "copy")).status_code == 302


def test_a_recording_is_not_found_under_another_number(bench, piano):
    recording = make_recording(instrument=piano)
    other = make.make_instrument()
    assert bench.get(address(other, "recording_file", recording.pk, "copy")).status_code == 404
    assert bench.get(address(other, "recording_page", recording.pk)).status_code == 404


def test_a_film_is_a_plain_link(bench, piano):
    said = {"film-title": "A waltz", "film-url": "https://films.example/a", "form_token": TOKEN}
    bench.post(address(piano, "film_add"), said)
    page = text(bench.get(address(piano)))
    assert '<a href="https://films.example/a" rel="noopener noreferrer external">A waltz' in page
    assert "<iframe" not in page


@pytest.mark.parametrize("url", ["http://films.example/a", "javascript:alert(1)", "words"])
def test_a_film_wants_an_address_that_is_safe_to_follow(bench, piano, url):
    page = text(
        bench.post(
            address(piano, "film_add"), {"film-title": "A waltz", "film-url": url, "form_token": TOKEN}
        )
    )
    assert not Film.objects.exists() and 'class="error"' in page


def test_a_film_that_is_put_away_is_linked_no_more(bench, piano):
    shown = make_film(instrument=piano)
    bench.post(address(piano, "film_remove", shown.pk))
    assert shown.url not in text(bench.get(address(piano)))


def test_the_page_asks_as_often_for_one_as_for_three(bench, piano, django_assert_max_num_queries):
    make_recording(instrument=piano, prepared=prepared_sound("x.wav", wav(note(49))), keys=(49,))
    bench.get(address(piano))
    with django_assert_max_num_queries(40) as one:
        bench.get(address(piano))
    for seed in (5, 6):
        make_recording(
            instrument=piano, prepared=prepared_sound("x.wav", wav(note(49, seed=seed))), keys=(49,)
        )
    with django_assert_max_num_queries(len(one)):
        bench.get(address(piano))


def test_the_record_says_what_became_of_it(bench, piano, technician):
    recording = make_recording(instrument=piano, by=technician, keys=(49,), a4_hz=440)
    describe_recording(recording=recording, by=technician, is_public=True, low_key=50, high_key=50)
    set_breaks(instrument=piano, bass=28, treble=None, by=technician)
    page = text(bench.get(f"/stock/{piano.stock_number}/record/"))
    assert "Recording described: Tenor, A♯4, may be heard by the public" in page
    assert "A4" in page and "C3" in page and "loudness" not in page
