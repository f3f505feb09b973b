"""What the program says: every `Message(code, facts)` and `Fault(path, code, facts)` in the source, read from its syntax trees.

A function that hands one of its own parameters on as the code (a reader's `fault(code)`, a validator's `invalid(code)`) counts as
saying it too, wherever it is called; a class that is made with a `code` likewise. What stays unresolved is listed as dynamic.
"""

import ast
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

PACKAGE = Path(__file__).parents[2] / "configurator"


@dataclass(frozen=True)
class Emitter:
    """A callable that takes a code: where the code stands among its arguments, and where the facts (None: as keywords)."""

    kind: str
    code: int
    code_name: str
    facts: int | None


@dataclass(frozen=True)
class Said:
    """One place in the source that says a code, with the names of its facts (None where they can't be read from the source)."""

    kind: str
    code: str
    facts: frozenset[str] | None
    place: str


@dataclass(frozen=True)
class Dynamic:
    """A place whose code is worked out at run time."""

    kind: str
    place: str


ROOTS = {"Message": Emitter("message", 0, "code", 1), "Fault": Emitter("fault", 1, "code", 2)}


def everything_said() -> tuple[list[Said], list[Dynamic]]:
    trees = {path: ast.parse(path.read_text(encoding="utf-8")) for path in sorted(PACKAGE.rglob("*.py"))}
    emitters = ROOTS | {name: emitter for tree in trees.values() for name, emitter in _carriers(tree)}
    while found := _passing_on(trees, emitters):
        emitters |= found
    said: list[Said] = []
    dynamic: list[Dynamic] = []
    for path, tree in trees.items():
        for function, call, emitter in _calls(tree, emitters):
            place = f"{path.relative_to(PACKAGE)}:{call.lineno}"
            code = _argument(call, emitter.code, emitter.code_name)
            codes = _constants(code)
            if codes:
                said.extend(Said(emitter.kind, value, _facts(call, emitter), place) for value in codes)
            elif not (isinstance(code, ast.Name) and code.id in _parameters(function)):
                dynamic.append(Dynamic(emitter.kind, place.partition(":")[0]))
    return said, dynamic


def _carriers(tree: ast.Module) -> Iterator[tuple[str, Emitter]]:
    """Classes made with a `code`: exceptions and validators' messages that become a fault further on."""
    for node in ast.walk(tree):
        for method in node.body if isinstance(node, ast.ClassDef) else ():
            if isinstance(method, ast.FunctionDef) and method.name in ("__init__", "__new__") and "code" in _parameters(method):
                yield node.name, Emitter("fault", _parameters(method).index("code"), "code", None)


def _passing_on(trees: dict[Path, ast.Module], emitters: dict[str, Emitter]) -> dict[str, Emitter]:
    found: dict[str, Emitter] = {}
    for tree in trees.values():
        for function, call, emitter in _calls(tree, emitters):
            code = _argument(call, emitter.code, emitter.code_name)
            parameters = _parameters(function)
            if function is None or not isinstance(code, ast.Name) or code.id not in parameters:
                continue
            name = _public_name(function, tree)
            if name not in emitters:
                found[name] = Emitter(emitter.kind, parameters.index(code.id), code.id, None)
    return found


def _public_name(function: ast.FunctionDef, tree: ast.Module) -> str:
    """The name it is called by: its own, or its class's for a constructor."""
    if function.name in ("__init__", "__new__"):
        return next(node.name for node in ast.walk(tree) if isinstance(node, ast.ClassDef) and function in node.body)
    return function.name


def _calls(tree: ast.Module, emitters: dict[str, Emitter]) -> Iterator[tuple[ast.FunctionDef | None, ast.Call, Emitter]]:
    """Every call of an emitter with the function around it."""

    def walk(node: ast.AST, function: ast.FunctionDef | None) -> Iterator[tuple[ast.FunctionDef | None, ast.Call, Emitter]]:
        for child in ast.iter_child_nodes(node):
            inner = child if isinstance(child, ast.FunctionDef) else function
            if isinstance(child, ast.Call) and (emitter := emitters.get(_called(child))):
                yield inner, child, emitter
            yield from walk(child, inner)

    return walk(tree, None)


def _called(call: ast.Call) -> str:
    """The name that is called; printing a fault (`words.fault(fault)`) is not saying one."""
    if isinstance(call.func, ast.Attribute):
        printed = [ast.unparse(argument).rpartition(".")[2] for argument in call.args] == ["fault"]
        return "" if printed or "words" in ast.unparse(call.func.value) else call.func.attr
    return call.func.id if isinstance(call.func, ast.Name) else ""


def _parameters(function: ast.FunctionDef | None) -> list[str]:
    if function is None:
        return []
    names = [argument.arg for argument in (*function.args.posonlyargs, *function.args.args)]
    return names[1:] if names[:1] in (["self"], ["cls"]) else names


def _argument(call: ast.Call, position: int, name: str) -> ast.expr | None:
    if len(call.args) > position:
        return call.args[position]
    return next((keyword.value for keyword in call.keywords if keyword.arg == name), None)


def _constants(code: ast.expr | None) -> list[str]:
    if isinstance(code, ast.Constant) and isinstance(code.value, str):
        return [code.value]
    if isinstance(code, ast.IfExp):
        return [*_constants(code.body), *_constants(code.orelse)]
    return []


def _facts(call: ast.Call, emitter: Emitter) -> frozenset[str] | None:
    if emitter.facts is None:
        names = {keyword.arg for keyword in call.keywords if keyword.arg != emitter.code_name}
        return None if None in names or _has_facts_elsewhere(call) else frozenset(name for name in names if name)
    facts = _argument(call, emitter.facts, "facts")
    if facts is None:
        return frozenset()
    if isinstance(facts, ast.Dict) and all(isinstance(key, ast.Constant) for key in facts.keys):
        return frozenset(key.value for key in facts.keys if isinstance(key, ast.Constant) and isinstance(key.value, str))
    return None


def _has_facts_elsewhere(call: ast.Call) -> bool:
    """A dict among the positional arguments, a name that may be one: then the facts can't be read here."""
    return any(not isinstance(argument, ast.Constant) for argument in call.args)
