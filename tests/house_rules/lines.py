"""What may not stand in a source, and where the one exception lives."""

import ast
import re
from collections.abc import Iterable

from tests.house_rules.sources import Source

# One door each: everybody else goes through these modules.
ONLY_IN = {
    "csv.writer": {"instruments.exports"},
    "csv.DictWriter": {"instruments.exports"},
    "mark_safe": {
        "instruments.templatetags.icons",
        "instruments.templatetags.drawings",
        "instruments.templatetags.linked_data",
    },
    "SafeString": set(),
    "Paragraph": {"instruments.documents.text"},
    "Image.open": {"instruments.pictures", "instruments.heic_decoder"},
    "raw": set(),
    "RawSQL": set(),
    "extra": set(),
}
MONEY_WORDS = re.compile(
    r"price|amount|cost|paid|deposit|fee|charge|refund|credit|reserve|wage|pay(?:able|ment)?$"
)
LONGEST = {"module": 300, "view": 30}


def doors_gone_round(sources: Iterable[Source]) -> list[str]:
    """Calls of what only one module may call: it escapes, guards or checks for all the others."""
    return [
        f"{source.name}:{call.lineno} calls {name}"
        for source in sources
        for call in _calls(source)
        for name in ONLY_IN
        if _called(call) in _spellings(name) and source.name not in ONLY_IN[name]
    ]


def _spellings(name: str) -> set[str]:
    """`raw` and `extra` are methods of any queryset; the others are called by their own name."""
    return {f".{name}"} if name in {"raw", "extra"} else {name}


def _calls(source: Source) -> list[ast.Call]:
    return [node for node in ast.walk(source.tree) if isinstance(node, ast.Call)]


def _called(call: ast.Call) -> str:
    match call.func:
        case ast.Name(name):
            return name
        case ast.Attribute(ast.Name("csv" | "Image" as module), name):
            return f"{module}.{name}"
        case ast.Attribute(_, "raw" | "extra" as name):
            return f".{name}"
        case ast.Attribute(_, name):
            return name
    return ""


def open_ended_forms(sources: Iterable[Source]) -> list[str]:
    """A form says which fields it takes; "all", or all but some, takes tomorrow's field as well."""
    breaches = []
    for source in sources:
        for node in ast.walk(source.tree):
            match node:
                case ast.Assign([ast.Name("fields")], ast.Constant("__all__")):
                    breaches.append(f"{source.name}:{node.lineno} takes all fields")
                case ast.ClassDef(name="Meta", body=body):
                    breaches += [
                        f"{source.name}:{line.lineno} takes all fields but some"
                        for line in body
                        if isinstance(line, ast.Assign) and _names(line) == ["exclude"]
                    ]
    return breaches


def _names(assignment: ast.Assign) -> list[str]:
    return [target.id for target in assignment.targets if isinstance(target, ast.Name)]


def inexact_money(sources: Iterable[Source]) -> list[str]:
    """No float column anywhere; what is called after money is whole minor units and says so."""
    breaches = []
    for source in sources:
        for node in ast.walk(source.tree):
            if isinstance(node, ast.Name | ast.Attribute) and _last_name(node) == "FloatField":
                breaches.append(f"{source.name}:{node.lineno} uses FloatField")
            if isinstance(node, ast.Assign) and isinstance(node.value, ast.Call) and _names(node):
                breaches += _money_field(source, node)
        if source.name.startswith(("shop.calc", "shop.actions", "workorders.calc.money")):
            breaches += [
                f"{source.name}:{node.lineno} makes a float"
                for node in ast.walk(source.tree)
                if (isinstance(node, ast.Constant) and isinstance(node.value, float))
                or (isinstance(node, ast.Call) and _called(node) == "float")
            ]
    return breaches


def _money_field(source: Source, node: ast.Assign) -> list[str]:
    (name, *_), field = _names(node), _called(node.value)
    if ".models" not in source.name or not field.endswith("Field"):
        return []
    is_number = field in {"DecimalField", "IntegerField", "BigIntegerField"} or field.startswith("Positive")
    if name.endswith("_minor") and "Integer" not in field:
        return [f"{source.name}:{node.lineno} keeps {name} in a {field}"]
    if (
        is_number
        and MONEY_WORDS.search(name)
        and not name.endswith(("_minor", "_percent", "_count", "_days"))
    ):
        return [f"{source.name}:{node.lineno} keeps money in {name}, which is not in minor units by its name"]
    return []


def _last_name(node: ast.Name | ast.Attribute) -> str:
    return node.id if isinstance(node, ast.Name) else node.attr


def unmarked_uploads(sources: Iterable[Source]) -> list[str]:
    """A view that takes files, itself or by a helper beside it, has to say so: a plain form is kept small."""
    return [
        f"{source.name}:{function.lineno} {function.name} takes files and is not marked accepts_uploads"
        for source, function in _views(sources)
        if _takes_files(source, function) and "accepts_uploads" not in _decorators(function)
    ]


def _takes_files(source: Source, view: ast.FunctionDef) -> bool:
    called = {node.id for node in ast.walk(view) if isinstance(node, ast.Name)} | {view.name}
    return any(
        isinstance(node, ast.FunctionDef) and node.name in called and "request.FILES" in ast.unparse(node)
        for node in source.tree.body
    )


def views_without_methods(sources: Iterable[Source]) -> list[str]:
    """Every view says which methods it answers."""
    stated = re.compile(r"require_(GET|POST|safe|http_methods)")
    return [
        f"{source.name}:{function.lineno} {function.name} answers any method"
        for source, function in _views(sources)
        if not any(stated.match(name) for name in _decorators(function))
    ]


def _views(sources: Iterable[Source]) -> list[tuple[Source, ast.FunctionDef]]:
    """Public functions of a views module that take a request first and are decorated as views are."""
    return [
        (source, node)
        for source in sources
        if source.name.split(".")[1:2] == ["views"]
        for node in source.tree.body
        if isinstance(node, ast.FunctionDef) and node.decorator_list and _takes_request(node)
    ]


def _takes_request(function: ast.FunctionDef) -> bool:
    return [argument.arg for argument in function.args.args[:1]] == ["request"]


def _decorators(function: ast.FunctionDef) -> set[str]:
    calls = [each.func if isinstance(each, ast.Call) else each for each in function.decorator_list]
    return {_last_name(each) for each in calls if isinstance(each, ast.Name | ast.Attribute)}


def overlong(sources: Iterable[Source]) -> list[str]:
    """Modules over 300 lines (migrations are written by Django), views over 30."""
    sources = [source for source in sources if ".migrations" not in source.name]
    modules = [
        f"{source.name} has {count} lines"
        for source in sources
        if (count := len(source.text.splitlines())) > LONGEST["module"]
    ]
    views = [
        f"{source.name}:{function.lineno} {function.name} has {count} lines"
        for source, function in _views(sources)
        if (count := function.end_lineno - function.lineno + 1) > LONGEST["view"]
    ]
    return modules + views
