"""The project's own Python files, read once, and what they import."""

import ast
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
APPS = ("instruments", "workorders", "shop")  # each may import itself and those before it


@dataclass(frozen=True)
class Import:
    """One imported module, or name in a module, as a dotted path."""

    target: str
    line: int
    is_inside_function: bool


@dataclass(frozen=True)
class Source:
    """One module: its dotted name, its text and where it lies."""

    name: str
    text: str
    is_package: bool = False

    @cached_property
    def tree(self) -> ast.Module:
        return ast.parse(self.text)

    @property
    def app(self) -> str:
        return self.name.partition(".")[0]

    @cached_property
    def imports(self) -> list[Import]:
        return list(_imports(self.tree, self._package, is_inside_function=False))

    @property
    def _package(self) -> str:
        return self.name if self.is_package else self.name.rpartition(".")[0]


def _imports(node: ast.AST, package: str, *, is_inside_function: bool) -> Iterator[Import]:
    for child in ast.iter_child_nodes(node):
        inside = is_inside_function or isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef | ast.Lambda)
        if isinstance(child, ast.Import):
            yield from (Import(alias.name, child.lineno, inside) for alias in child.names)
        elif isinstance(child, ast.ImportFrom):
            parts = package.split(".") if child.level else []
            base = ".".join([*parts[: len(parts) - child.level + 1], *filter(None, [child.module])])
            yield from (Import(f"{base}.{alias.name}", child.lineno, inside) for alias in child.names)
        yield from _imports(child, package, is_inside_function=inside)


def project_sources(root: Path = ROOT) -> list[Source]:
    return [
        Source(_dotted(path.relative_to(root)), path.read_text(), path.name == "__init__.py")
        for app in APPS
        for path in sorted((root / app).rglob("*.py"))
    ]


def _dotted(path: Path) -> str:
    parts = path.with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)
