"""Drawn pictures of the invented instruments, taken in like photographs and captioned as what they are."""

from collections.abc import Collection, Iterable, Iterator
from concurrent.futures import Future, ProcessPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass
from multiprocessing import get_context

from django.core.files.uploadedfile import SimpleUploadedFile

from instruments.drawings.instrument_picture import Subject, instrument_drawing
from instruments.drawings.picture import to_jpeg
from instruments.drawings.plates import plate
from instruments.drawings.shapes import Drawing
from instruments.photos import PreparedPhoto, prepare_photo
from instruments.states import CaseWood
from shop.demo.pieces import Piece

PICTURE_PX = 1280
PAINTERS = 2
PLATES = {
    "keys": "key tops",
    "hammers": "hammers",
    "pins": "pins",
    "serial": "serial",
    "keys_back": "key tops",
}
# Taken when it came back from a trial, not when it was first photographed.
TAKEN_LATER = {"keys_back"}
CAPTIONS = {
    "front": "Drawing, to scale, not a photograph",
    "inside": "Drawing from above with the lid off, not a photograph",
    "keys": "Drawing of the key tops, not a photograph",
    "keys_back": "Drawing of the key tops as they came back, not a photograph",
    "hammers": "Drawing of the hammers, not a photograph",
    "pins": "Drawing of the wrest pins, not a photograph",
    "serial": "Drawing of the number in the frame, not a photograph",
}


@dataclass(frozen=True)
class Shot:
    kind: str
    photo: PreparedPhoto

    @property
    def caption(self) -> str:
        return CAPTIONS[self.kind]


Album = dict[str, list[Future[Shot]]]
# Taken at the bench when a job was done, by piece and task.
TakenAfter = dict[tuple[str, str], Future[Shot]]

# What a photograph after the work shows, where that is not the front.
SHOWN_BY = {
    "clean-out": "keys",
    "check-frame": "serial",
    "repair-key-tops": "keys",
    "reface-hammers": "hammers",
}
# No two pictures of one piece are the same file.
NARROWER_PX = 4


@contextmanager
def painted(
    pieces: Iterable[Piece], *, shown_after: Collection[str], picture_px: int = PICTURE_PX
) -> Iterator[tuple[Album, TakenAfter]]:
    """The pictures of each piece, drawn in other processes while the diary is written; the oldest first.

    Beside them those taken after each job whose task is among `shown_after`.
    """
    painters = ProcessPoolExecutor(max_workers=PAINTERS, mp_context=get_context("spawn"))
    album, after = Album(), TakenAfter()
    try:
        for piece in sorted(pieces, key=lambda piece: -piece.arrived):
            album[piece.key] = [painters.submit(taken, piece, kind, picture_px) for kind in piece.shots]
            tasks = [step.task for order in piece.orders for step in order.steps if step.task in shown_after]
            for number, task in enumerate(tasks, start=1):
                width_px = picture_px - NARROWER_PX * number
                after[piece.key, task] = painters.submit(taken, piece, shown_by(task, piece), width_px)
        yield album, after
    finally:
        painters.shutdown(cancel_futures=True)


def shown_by(task: str, piece: Piece) -> str:
    wanted = SHOWN_BY.get(task, "front")
    return wanted if wanted in piece.shots else "front"


def taken(piece: Piece, kind: str, picture_px: int) -> Shot:
    jpeg = to_jpeg(drawing_of(piece, kind), width_px=picture_px)
    upload = SimpleUploadedFile(f"{piece.key}-{kind}.jpg", jpeg, content_type="image/jpeg")
    return Shot(kind, prepare_photo(upload))


def drawing_of(piece: Piece, kind: str) -> Drawing:
    identity = piece.identity
    maker = "" if identity["maker"] == "unknown" else identity["maker"]
    if kind in PLATES:
        seed = f"{piece.key} {kind} 3" if kind in TAKEN_LATER else piece.key
        return plate(PLATES[kind], seed=seed, serial=identity.get("serial", ""), maker=maker)
    subject = Subject(
        kind=identity["kind"],
        first_key=identity.get("first_key", 1),
        key_count=identity["key_count"],
        height_cm=identity.get("height_cm"),
        length_cm=identity.get("length_cm"),
        width_cm=identity.get("width_cm"),
        case_wood=CaseWood(wood).label if (wood := identity.get("case_wood")) else "",
        case_finish=identity.get("case_finish", ""),
        maker=identity.get("name_on_fall", maker),
        pedal_count=identity.get("pedals", 2),
        seed=piece.key,
    )
    return instrument_drawing(subject, view="above" if kind == "inside" else "front")
