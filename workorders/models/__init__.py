from workorders.models.bench_cost import BenchRate, PartUsed, TimeSpent
from workorders.models.bench_hours import BenchHours, DaysAway, DaysAwayTakenBack
from workorders.models.consumable import Consumable, StockMovement, TaskPart
from workorders.models.item import WorkItem
from workorders.models.note import ItemNote
from workorders.models.order import WorkOrder
from workorders.models.outside import OutsideBill, OutsideJob, Outworker
from workorders.models.proposal import ProposalAnswer, WorkProposal
from workorders.models.reason import ItemFinding, ItemKeyMark
from workorders.models.suggestion import TaskSuggestion
from workorders.models.task import Task, TaskSet
from workorders.models.timer import BenchTimer
from workorders.models.waiver import GateWaiver

__all__ = [
    "BenchHours",
    "BenchRate",
    "BenchTimer",
    "Consumable",
    "DaysAway",
    "DaysAwayTakenBack",
    "GateWaiver",
    "ItemFinding",
    "ItemKeyMark",
    "ItemNote",
    "OutsideBill",
    "OutsideJob",
    "Outworker",
    "PartUsed",
    "ProposalAnswer",
    "StockMovement",
    "Task",
    "TaskPart",
    "TaskSet",
    "TaskSuggestion",
    "TimeSpent",
    "WorkItem",
    "WorkOrder",
    "WorkProposal",
]
