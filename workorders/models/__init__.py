from workorders.models.bench_cost import BenchRate, PartUsed, TimeSpent
from workorders.models.item import WorkItem
from workorders.models.order import WorkOrder
from workorders.models.reason import ItemFinding, ItemKeyMark
from workorders.models.suggestion import TaskSuggestion
from workorders.models.task import Task

__all__ = [
    "BenchRate",
    "ItemFinding",
    "ItemKeyMark",
    "PartUsed",
    "Task",
    "TaskSuggestion",
    "TimeSpent",
    "WorkItem",
    "WorkOrder",
]
