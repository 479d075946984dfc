from instruments.models.append_only import AppendOnly, RecordIsPermanent
from instruments.models.chain import ChainLink
from instruments.models.climate import ClimateReading
from instruments.models.condition_report import ConditionReport
from instruments.models.document import Document
from instruments.models.evidence import Evidence, Sighting, TellTale
from instruments.models.finding import Finding, MeasuredValue
from instruments.models.instrument import Instrument
from instruments.models.key_mark import KeyMark, KeyMarkClearing
from instruments.models.lead import KeyLead, KeyLeadTakenOut, LeadSize, LeverMeasure
from instruments.models.numbers import NumberSeries
from instruments.models.photo import Photo, StoredPicture, WaitingPhoto
from instruments.models.pin import PinLine, PinReading, PinSurvey
from instruments.models.pitch import HousePitch, PitchReading, PitchSurvey, RaiseChoice, house_a4_hz
from instruments.models.place import Move
from instruments.models.recording import Breaks, Film, HeardNote, Recording
from instruments.models.searching import folded, holding, rare_words
from instruments.models.serial_mark import SerialMark
from instruments.models.statement import Statement
from instruments.models.submission import Submission
from instruments.models.tone import Tone
from instruments.models.weighing import KeyReading, Weighing, WeighingClosing
from instruments.models.wire import WireReading, WireSurvey

__all__ = [
    "AppendOnly",
    "Breaks",
    "ChainLink",
    "ClimateReading",
    "ConditionReport",
    "Document",
    "Evidence",
    "Film",
    "Finding",
    "HeardNote",
    "HousePitch",
    "Instrument",
    "KeyLead",
    "KeyLeadTakenOut",
    "KeyMark",
    "KeyMarkClearing",
    "KeyReading",
    "LeadSize",
    "LeverMeasure",
    "MeasuredValue",
    "Move",
    "NumberSeries",
    "Photo",
    "PinLine",
    "PinReading",
    "PinSurvey",
    "PitchReading",
    "PitchSurvey",
    "RaiseChoice",
    "RecordIsPermanent",
    "Recording",
    "SerialMark",
    "Sighting",
    "Statement",
    "StoredPicture",
    "Submission",
    "TellTale",
    "Tone",
    "WaitingPhoto",
    "Weighing",
    "WeighingClosing",
    "WireReading",
    "WireSurvey",
    "folded",
    "holding",
    "house_a4_hz",
    "rare_words",
]
