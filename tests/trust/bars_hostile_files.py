"""Bars 18, 19 and 20: files and bodies from outside, against gunicorn."""

import re
from functools import cache
from pathlib import Path

from tests.trust.board import Figure, measures

MUTATIONS_LONG, MUTATIONS_SHORT = 5_000, 40
IN_TURN, MOST_PHOTOGRAPHS = 6, 60
MEGABYTE = 1024 * 1024
MOST_MEMORY = 150 * MEGABYTE
MOST_TAKEN = 2 * MEGABYTE
P99_SECONDS = 0.5
UNGUARDED = "tests.trust.open_door:unguarded()"
OF_THE_CAMERA = (b"Exif\0\0", b"<x:xmpmeta", b"http://ns.adobe.com/xap", b"Hidden Camera", b"GPSLatitude")
OF_THE_CAMERA += (b"pwn(", b"2024:05:17", b"<script")


@cache
def sent(long: bool) -> dict:
    """Every file against every field that takes one, the mutations, and then what is served of them."""
    from tests.trust.hostile_shop import hostile_shop

    with hostile_shop() as shop:
        from tests.concurrency.served import served
        from tests.trust.crafted_files import crafted, mutations
        from tests.trust.line import awake

        files = crafted()
        fields = file_fields(shop)
        with served(shop.folder) as server:
            awake(server)
            seen = {"files": len(files), "fields": len(fields), "caps": bodies(server.port, shop)}
            photos = next(each for each in fields if re.fullmatch(r"/stock/[^/]+/photos/", each[0].action))
            changed = [(photos, each) for each in mutations(MUTATIONS_LONG if long else MUTATIONS_SHORT)]
            seen |= poured(server, shop, shared_out(fields, files, photos, long=long) + changed)
            seen["pictures"], seen["notes"] = pictures_served(server.port, shop)
        with served(shop.folder, door=UNGUARDED) as server:
            awake(server)
            some = [file for file in files if "169 megapixels" in file[0]]
            some += [("another JPEG", "other.jpg", files[0][2] + b"\0")]
            without = poured(server, shop, [(photos, file) for file in some])
            _, notes = pictures_served(server.port, shop)
            caps = bodies(server.port, shop, length=8 * MEGABYTE)
            seen["control"] = {"memory": without["memory"], "notes": notes, "caps": caps}
    return seen


def shared_out(fields, files, photos, *, long: bool) -> list[tuple]:
    """Every file to every field; in the short form all to the photographs, and to the others in turn."""
    return [
        (field, file)
        for turn, field in enumerate(fields)
        for place, file in enumerate(files)
        if long or field is photos or (turn + place) % IN_TURN == 0
    ]


def file_fields(shop) -> list[tuple]:
    """(form, the name of its field) for each that takes a file; of many alike on one page, the first."""
    found = {}
    for form in shop.forms:
        for control in form.controls:
            if control.kind == "file":
                found.setdefault((form.action, re.sub(r"[0-9]+", "#", control.name)), (form, control.name))
    return list(found.values())


def poured(server, shop, sendings) -> dict:
    """Send all of them one after another; what became of them and of the processes."""
    from tests.journeys import nonsense
    from tests.trust.line import Line, at_percent, memory_of

    line, workers = Line(server.port, shop.session), server.workers
    for _ in workers * 3:
        Line(server.port, shop.session).send("GET", "/stock/")
    idle = max(memory_of(pid)[0] for pid in workers)
    taken, faults, good = [], [], {}
    for (form, name), (what, file_name, content) in sendings:
        fields = good.setdefault(form.action, nonsense.all_good(form))
        said = line.post_file(form.action, fields, (name, file_name, content))
        taken.append(said.seconds)
        if said.status >= 500 or said.status == 0:
            faults.append(f"{form.action} {what}: {said.status}")
    alive = [pid for pid in server.workers if pid in workers]
    peak = max((memory_of(pid)[1] for pid in alive), default=0)
    return {
        "sent": len(taken),
        "faults": faults,
        "deaths": len(workers) - len(alive),
        "p99": at_percent(taken, 99),
        "memory": peak - idle,
    }


def pictures_served(port: int, shop) -> tuple[int, list[str]]:
    """How many pictures were served, and every note of a camera, unsafe head or telling name in them."""
    from django.urls import reverse

    from instruments.models import Photo
    from instruments.views.photo_files import PICTURES
    from tests.trust.line import Line

    line, count, faults = Line(port, shop.session), 0, []
    for photo in Photo.objects.select_related("instrument").order_by("-pk")[:MOST_PHOTOGRAPHS]:
        of = (photo.instrument.stock_number, photo.pk)
        for size in PICTURES:
            address = reverse("instruments:photo_file", args=[*of, size])
            said = line.send("GET", address)
            count += 1
            heads = {name.lower(): value for name, value in said.headers.items()}
            faults += [f"{address} {note!r}" for note in OF_THE_CAMERA if note in said.body]
            if heads.get("x-content-type-options") != "nosniff" or "sandbox" not in heads.get(
                "content-security-policy", ""
            ):
                faults.append(f"{address} is served without its heads: {said.status}")
            stored = Path(getattr(photo, size).name).stem
            if not all(sign in "0123456789abcdef" for sign in stored.partition("-")[0]):
                faults.append(f"{address} is kept as {stored}")
        original = line.send(
            "GET",
            reverse("instruments:photo_file", args=[photo.instrument.stock_number, photo.pk, "original"]),
        )
        if not original.headers.get("Content-Disposition", "").startswith("attachment"):
            faults.append(f"{address}: the original is shown in the page")
    return count, faults


def bodies(port: int, shop, *, length: int = 600 * MEGABYTE) -> list[tuple[str, int, int]]:
    """(who and where, answer, bytes taken) for bodies that go on and on."""
    from django.urls import reverse

    from tests.trust.line import bytes_taken

    owners = {form.action for form in shop.forms if form.method == "post"}
    upload = next(action for action in owners if re.fullmatch(r"/stock/[^/]+/photos/", action))
    plain = next(action for action in owners if action.endswith("/people/new/"))
    link = reverse("photo_send", args=[shop.world.link.token])
    asked = [("stranger", each) for each in ("/login/", "/window/", "/ask/", link, plain, upload)]
    asked += [("owner", plain), ("owner", upload)]
    told = []
    for who, address in asked:
        session = shop.session if who == "owner" else ""
        told.append((f"{who} {address}", *bytes_taken(port, address, length=length, session=session)))
    return told


@measures(18)
def uploads(long: bool) -> Figure:
    seen = sent(long)
    met = not seen["faults"] and not seen["deaths"]
    met = met and seen["memory"] <= MOST_MEMORY < seen["control"]["memory"] and seen["p99"] <= P99_SECONDS
    said = (
        f"{seen['files']} files on {seen['fields']} fields and mutations, {seen['sent']} sent: "
        f"{len(seen['faults'])} faults {seen['faults'][:2]}, {seen['deaths']} deaths, "
        f"p99 {seen['p99'] * 1000:.0f} ms, memory +{seen['memory'] / MEGABYTE:.0f} MB"
    )
    return Figure(said, met, f"any measures: memory +{seen['control']['memory'] / MEGABYTE:.0f} MB")


@measures(19)
def served_pictures(long: bool) -> Figure:
    seen = sent(long)
    said = f"{seen['pictures']} pictures served: {len(seen['notes'])} faults {seen['notes'][:2]}"
    without = seen["control"]["notes"]
    return Figure(said, not seen["notes"] and seen["pictures"] > 60, f"notes kept: {len(without)} faults")


@measures(20)
def too_large(long: bool) -> Figure:
    seen = sent(long)
    over = [each for each in seen["caps"] if each[1] != 413 or each[2] > MOST_TAKEN]
    most = max(taken for *_, taken in seen["caps"])
    said = (
        f"{len(seen['caps'])} bodies of 600 MB: at most {most / MEGABYTE:.1f} MB taken, not refused: {over}"
    )
    open_door = max(taken for *_, taken in seen["control"]["caps"])
    met = not over and open_door > MOST_TAKEN
    return Figure(said, met, f"without the limit {open_door / MEGABYTE:.1f} MB of 8 taken")
