from workorders.models.bench_cost import BenchRate, PartUsed, TimeSpent
from workorders.models.bench_hours import BenchHours, DaysAway, DaysAwayTakenBack
from workorders.models.consumable import Consumable, StockMovement, TaskPart
from workorders.models.item import WorkItem
from workorders.models.order import WorkOrder
from workorders.models.outside import OutsideBill, OutsideJob, Outworker
from workorders.models.reason import ItemFinding, ItemKeyMark
from workorders.models.suggestion import TaskSuggestion
from workorders.models.task import Task

__all__ = [
    "BenchHours",
    "BenchRate",
    "Consumable",
    "DaysAway",
    "DaysAwayTakenBack",
    "ItemFinding",
    "ItemKeyMark",
    "OutsideBill",
    "OutsideJob",
    "Outworker",
    "PartUsed",
    "StockMovement",
    "Task",
    "TaskPart",
    "TaskSuggestion",
    "TimeSpent",
    "WorkItem",
    "WorkOrder",
]
