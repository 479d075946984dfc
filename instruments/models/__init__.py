from instruments.models.append_only import AppendOnly, RecordIsPermanent
from instruments.models.finding import Finding
from instruments.models.instrument import Instrument, folded
from instruments.models.numbers import NumberSeries
from instruments.models.photo import Photo, StoredPicture, WaitingPhoto
from instruments.models.place import Move
from instruments.models.statement import Statement
from instruments.models.submission import Submission
from instruments.models.weighing import KeyReading, Weighing

__all__ = [
    "AppendOnly",
    "Finding",
    "Instrument",
    "KeyReading",
    "Move",
    "NumberSeries",
    "Photo",
    "RecordIsPermanent",
    "Statement",
    "StoredPicture",
    "Submission",
    "WaitingPhoto",
    "Weighing",
    "folded",
]
