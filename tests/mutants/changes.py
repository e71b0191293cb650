"""Small changes of a Python text, each of which a test should notice: another comparison, sign, limit or connective."""

import ast
import copy
from collections.abc import Iterator
from typing import Any, Final, NamedTuple

_OTHER: Final[dict[type[ast.AST], type[ast.AST]]] = {
    ast.Lt: ast.LtE, ast.LtE: ast.Lt, ast.Gt: ast.GtE, ast.GtE: ast.Gt, ast.Eq: ast.NotEq, ast.NotEq: ast.Eq,
    ast.Is: ast.IsNot, ast.IsNot: ast.Is, ast.In: ast.NotIn, ast.NotIn: ast.In, ast.And: ast.Or, ast.Or: ast.And,
    ast.Add: ast.Sub, ast.Sub: ast.Add, ast.Mult: ast.Div, ast.Div: ast.Mult, ast.FloorDiv: ast.Div, ast.Pow: ast.Mult,
    ast.Break: ast.Continue, ast.Continue: ast.Break,
}  # fmt: skip
_OTHER_NAME: Final = {"min": "max", "max": "min", "any": "all", "all": "any"}
_NO_WORK: Final = ("annotation", "returns", "pattern", "type_params", "decorator_list")
"""What is written for the type checker, as that a value is frozen, and what cannot be changed in its place."""
_SAYS_ONLY: Final = ("example", "strict")
"""Arguments without an effect: examples for people, and that what is zipped is of one length."""


class Change(NamedTuple):
    """One expression or statement written otherwise; lines count from 1, columns are bytes of UTF-8."""

    line: int
    end_line: int
    column: int
    end_column: int
    text: str

    def made_in(self, source: str) -> str:
        """The source with the change made."""
        lines = source.encode().splitlines(keepends=True)
        before = b"".join(lines[: self.line - 1]) + lines[self.line - 1][: self.column]
        after = lines[self.end_line - 1][self.end_column :] + b"".join(lines[self.end_line :])
        return (before + self.text.encode() + after).decode()


def changes(source: str) -> list[Change]:
    """Every change of a module that `python -m tests.mutants` may draw, in the order of their places."""
    return sorted(
        Change(
            place.lineno,
            place.end_lineno or 0,
            place.col_offset,
            place.end_col_offset or 0,
            f"({ast.unparse(changed)})" if isinstance(changed, ast.expr) else ast.unparse(changed),
        )
        for node in _working(ast.parse(source))
        for place, changed in _changed(node)
    )


def _working(node: ast.AST) -> Iterator[ast.expr | ast.stmt]:
    """The parts of a module that do something; texts are left alone, and so is what stands in them."""
    for name, value in ast.iter_fields(node):
        children = value if isinstance(value, list) else [value]
        for child in children if name not in _NO_WORK else ():
            if isinstance(child, ast.AST) and not isinstance(child, ast.JoinedStr) and not _says_only(child):
                if isinstance(child, ast.expr | ast.stmt):
                    yield child
                yield from _working(child)


def _says_only(node: ast.AST) -> bool:
    return isinstance(node, ast.keyword) and node.arg in _SAYS_ONLY


def _changed(node: ast.expr | ast.stmt) -> Iterator[tuple[ast.expr | ast.stmt, ast.expr | ast.stmt]]:
    """What of a node can be written otherwise, and how."""
    match node:
        case ast.Compare(ops=operators):
            for i, operator in enumerate(operators):
                changed = copy.deepcopy(node)
                changed.ops[i] = _other(operator)
                yield node, changed
        case ast.BoolOp(op=connective, values=values):
            yield node, ast.BoolOp(_other(connective), values)
        case ast.BinOp(left, operator, right) if type(operator) in _OTHER:
            yield node, ast.BinOp(left, _other(operator), right)
        case ast.UnaryOp(ast.Not() | ast.USub(), operand):
            yield node, operand
        case ast.IfExp(test, body, orelse):
            yield node, ast.IfExp(test, orelse, body)
        case ast.If(test=ast.Name() | ast.Attribute() | ast.Call() | ast.NamedExpr() as test):
            yield test, ast.UnaryOp(ast.Not(), test)
        case ast.Constant(bool() as value):
            yield node, ast.Constant(not value)
        case ast.Constant(int() | float() as value):
            yield node, ast.Constant(value + 1)
        case ast.Name(id=name, ctx=ast.Load()) if name in _OTHER_NAME:
            yield node, ast.Name(_OTHER_NAME[name])
        case ast.Break() | ast.Continue():
            yield node, _other(node)


def _other(part: Any) -> Any:
    return _OTHER[type(part)]()
