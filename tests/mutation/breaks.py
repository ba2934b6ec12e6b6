"""Every one-line break of a module: a condition negated, a comparison or an operator exchanged, an element dropped, ...

Not broken is what changes no answer: docstrings, messages, annotations, limits and what counts towards them, what is
raised or asserted. Which breaks a seed chooses hangs on the text of each line, not on its number: a break stays chosen
as long as its line stays the same, whatever is edited around it.
"""

from __future__ import annotations

import ast
import hashlib
import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import islice, pairwise
from pathlib import Path

COMPARED = {
    ast.Eq: "!=", ast.NotEq: "==", ast.Lt: "<=", ast.LtE: "<", ast.Gt: ">=", ast.GtE: ">",
    ast.In: "not in", ast.NotIn: "in", ast.Is: "is not", ast.IsNot: "is",
}  # fmt: skip
CALCULATED = {ast.Mult: "+", ast.FloorDiv: "*"}
"""Of every other operation the right side is dropped."""
EXCHANGED = {"any": "all", "all": "any", "min": "max", "max": "min"}
EMPTY = {"tuple": "()", "list": "[]", "dict": "{}", "Mapping": "{}", "frozenset": "frozenset()", "set": "set()"}
TUNING = ("key", "strict", "maxsize", "default", "timeout", "reason")
"""Keywords that say how or why, not what."""
SYMMETRIC = ("both", "either", "And", "Or")
"""Whose arguments may stand in any order."""
WORD = re.compile(r"[A-Za-z_:]{2,}")


@dataclass(frozen=True)
class Break:
    """One span of a module replaced by another text. ``place`` names its line whatever its number."""

    file: str
    line: int
    span: tuple[int, int]
    what: str
    new: str
    place: str

    def broken(self, source: str) -> str:
        data = source.encode()
        return (data[: self.span[0]] + self.new.encode() + data[self.span[1] :]).decode()


def chosen(source: Path, parts: Sequence[str], seed: str, count: int) -> list[Break]:
    """One break on each of ``count`` lines of a package that the seed decides; ``parts`` are folders or files of it."""

    def rank(text: str) -> str:
        return hashlib.sha256(f"{seed}:{text}".encode()).hexdigest()

    texts: dict[str, str] = {}
    by_place: dict[str, list[Break]] = {}
    for file in sorted(source.rglob("*.py")):
        name = file.relative_to(source).as_posix()
        if f"{name}/".startswith(tuple(f"{part}/" for part in parts)):
            texts[name] = file.read_text(encoding="utf-8")
            for each in breaks_of(texts[name], name):
                by_place.setdefault(each.place, []).append(each)
    ranked = (sorted(by_place[p], key=lambda b: rank(f"{p}:{b.what}:{b.new}")) for p in sorted(by_place, key=rank))
    valid = (next((b for b in breaks if _differs(texts[b.file], b.broken(texts[b.file]))), None) for breaks in ranked)
    return list(islice((b for b in valid if b is not None), count))


def breaks_of(source: str, name: str) -> list[Break]:
    """Every break of one module; a few are no longer a program, or the same one."""
    found = _Finder(source, name)
    found.visit(ast.parse(source))
    return found.breaks


def _differs(source: str, broken: str) -> bool:
    try:
        compile(broken, "broken", "exec")
        return ast.dump(ast.parse(broken)) != ast.dump(ast.parse(source))
    except SyntaxError:
        return False


class _Finder(ast.NodeVisitor):
    def __init__(self, source: str, name: str) -> None:
        self.data, self.name = source.encode(), name
        self.lines = source.splitlines()
        self.starts = [0]
        for line in self.data.splitlines(keepends=True):
            self.starts.append(self.starts[-1] + len(line))
        self.scopes: list[ast.AST] = []
        self.breaks: list[Break] = []
        self.seen: Counter[str] = Counter()
        self.places: dict[int, str] = {}

    # --- what is told of one node

    def text(self, node: ast.AST) -> str:
        first, last = self.span(node)
        return self.data[first:last].decode()

    def span(self, node: ast.AST) -> tuple[int, int]:
        first = self.starts[node.lineno - 1] + node.col_offset
        return first, self.starts[node.end_lineno - 1] + node.end_col_offset

    def add(self, node: ast.AST, what: str, new: str) -> None:
        self.breaks.append(Break(self.name, node.lineno, self.span(node), what, new, self.place(node.lineno)))

    def place(self, line: int) -> str:
        if line not in self.places:
            scope = ".".join(getattr(s, "name", "") for s in self.scopes)
            text = f"{self.name}:{scope}:{self.lines[line - 1].strip()}"
            self.seen[text] += 1
            self.places[line] = f"{text}:{self.seen[text]}"
        return self.places[line]

    def negate(self, node: ast.expr) -> None:
        self.add(node, "condition negated", f"(not ({self.text(node)}))")

    # --- what is passed over

    def visit_Import(self, node: ast.AST) -> None:
        """Passed over, like what else is no answer."""

    visit_ImportFrom = visit_Raise = visit_Assert = visit_JoinedStr = visit_Import

    def visit_Module(self, node: ast.Module) -> None:
        for each in node.body:
            limit = isinstance(each, ast.Assign) and isinstance(each.value, ast.Constant)
            alias = isinstance(each, ast.Assign) and isinstance(each.value, ast.Subscript | ast.BinOp | ast.Name)
            guard = isinstance(each, ast.If) and "TYPE_CHECKING" in ast.dump(each.test)
            if not (limit or (alias and "[" in self.text(each)) or guard):
                self.visit(each)

    def visit_FunctionDef(self, node: ast.FunctionDef) -> None:
        self.scopes.append(node)
        for each in [*node.args.defaults, *(d for d in node.args.kw_defaults if d), *node.body]:
            self.visit(each)
        self.scopes.pop()

    def visit_ClassDef(self, node: ast.ClassDef) -> None:
        self.scopes.append(node)
        for each in node.body:
            self.visit(each)
        self.scopes.pop()

    def visit_AnnAssign(self, node: ast.AnnAssign) -> None:
        if node.value is not None:
            self.visit(node.value)

    def visit_keyword(self, node: ast.keyword) -> None:
        if node.arg not in TUNING:
            self.visit(node.value)

    # --- conditions

    def visit_If(self, node: ast.If | ast.IfExp) -> None:
        self.negate(node.test)
        self.generic_visit(node)

    visit_IfExp = visit_If

    def visit_comprehension(self, node: ast.comprehension) -> None:
        for each in node.ifs:
            self.negate(each)
        self.generic_visit(node)

    def visit_match_case(self, node: ast.match_case) -> None:
        if node.guard is not None:
            self.negate(node.guard)
            self.add(node.guard, "guard dropped", "True")
        self.generic_visit(node)

    def visit_MatchOr(self, node: ast.MatchOr) -> None:
        for gone in node.patterns:
            kept = " | ".join(self.text(p) for p in node.patterns if p is not gone)
            self.add(node, "alternative dropped", kept)

    def visit_Compare(self, node: ast.Compare) -> None:
        if len(node.ops) == 1:
            right = node.comparators[0]
            operator = COMPARED[type(node.ops[0])]
            self.add(node, "comparison exchanged", f"({self.text(node.left)} {operator} {self.text(right)})")
            for each in (node.left, right):
                self.word(each)
                if isinstance(each, ast.Tuple | ast.List | ast.Set):
                    self.elements(each)
        self.generic_visit(node)

    def visit_MatchValue(self, node: ast.MatchValue) -> None:
        self.word(node.value)

    def visit_BoolOp(self, node: ast.BoolOp) -> None:
        other = " or " if isinstance(node.op, ast.And) else " and "
        self.add(node, "and, or exchanged", f"({other.join(f'({self.text(v)})' for v in node.values)})")
        same = " and " if isinstance(node.op, ast.And) else " or "
        for gone in node.values:
            kept = same.join(f"({self.text(v)})" for v in node.values if v is not gone)
            self.add(node, "operand dropped", f"({kept})")
        self.generic_visit(node)

    def visit_UnaryOp(self, node: ast.UnaryOp) -> None:
        if isinstance(node.op, ast.Not):
            self.add(node, "not dropped", f"({self.text(node.operand)})")
        self.generic_visit(node)

    # --- values

    def visit_BinOp(self, node: ast.BinOp) -> None:
        left, right = self.text(node.left), self.text(node.right)
        if type(node.op) in CALCULATED:
            self.add(node, "operator exchanged", f"(({left}) {CALCULATED[type(node.op)]} ({right}))")
        elif not isinstance(node.op, ast.Mod):
            self.add(node, "right side dropped", f"({left})")
        self.generic_visit(node)

    def visit_Constant(self, node: ast.Constant) -> None:
        if isinstance(node.value, bool):
            self.add(node, "constant changed", str(not node.value))
        elif isinstance(node.value, int):
            self.add(node, "constant changed", str(node.value + 1))

    def word(self, node: ast.expr) -> None:
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and WORD.fullmatch(node.value):
            self.add(node, "word changed", repr(node.value + "_"))

    def elements(self, node: ast.Tuple | ast.List | ast.Set | ast.Dict) -> None:
        members = node.keys if isinstance(node, ast.Dict) else node.elts
        if len(members) < 2:
            return
        for gone in range(len(members)):
            first, last = self.span(node)
            texts = [self.text(m) if m is not None else "" for m in members]
            if isinstance(node, ast.Dict):
                pairs = zip(members, texts, node.values, strict=True)
                texts = [f"{t}: {self.text(v)}" if k is not None else f"**{self.text(v)}" for k, t, v in pairs]
            kept = ", ".join(t for n, t in enumerate(texts) if n != gone)
            opened, closed = ("[", "]") if isinstance(node, ast.List) else ("{", "}")
            if isinstance(node, ast.Tuple):
                opened, closed, kept = "(", ")", f"{kept},"
            at = members[gone] if members[gone] is not None else node
            place = self.place(at.lineno)
            new = f"{opened}{kept}{closed}"
            self.breaks.append(Break(self.name, at.lineno, (first, last), f"dropped: {texts[gone]}", new, place))

    def visit_Dict(self, node: ast.Dict) -> None:
        self.elements(node)
        for each in node.values:
            self.visit(each)

    def visit_Set(self, node: ast.Set | ast.List) -> None:
        self.elements(node)
        self.generic_visit(node)

    visit_List = visit_Set

    def visit_Tuple(self, node: ast.Tuple) -> None:
        if isinstance(node.ctx, ast.Load):
            if any(isinstance(e, ast.Starred) for e in node.elts):
                self.elements(node)
            self.generic_visit(node)

    def visit_Assign(self, node: ast.Assign) -> None:
        if not self.scopes and isinstance(node.value, ast.Tuple):
            self.elements(node.value)
        self.visit(node.value)

    def visit_Subscript(self, node: ast.Subscript) -> None:
        self.visit(node.value)
        if not isinstance(node.slice, ast.Tuple):
            self.visit(node.slice)

    # --- calls and statements

    def visit_Call(self, node: ast.Call) -> None:
        called = self.text(node.func)
        if called in ("cast", "TypeVar", "NewType"):
            return
        if called in EXCHANGED:
            self.add(node.func, "function exchanged", EXCHANGED[called])
        if called in ("frozenset", "set", "tuple") and node.args and isinstance(node.args[0], ast.Tuple):
            self.elements(node.args[0])
        if (
            isinstance(node.func, ast.Attribute)
            and node.func.attr == "split"
            and isinstance(node.func.value, ast.Constant)
        ):
            words = str(node.func.value.value).split()
            for gone in words:
                kept = " ".join(w for w in words if w != gone)
                self.add(node.func.value, f"dropped: {gone}", repr(kept))
        self.arguments(node, called)
        self.generic_visit(node)

    def arguments(self, node: ast.Call, called: str) -> None:
        plain = [a for a in node.args if isinstance(a, ast.Name | ast.Attribute)]
        for one, other in pairwise(plain):
            if self.text(one) != self.text(other) and called.rpartition(".")[2] not in (
                *SYMMETRIC,
                "isinstance",
                "replace",
            ):
                first, middle, last = self.span(one), self.span(other), self.span(node)
                between = self.data[first[1] : middle[0]].decode()
                new = (
                    self.data[last[0] : first[0]].decode()
                    + self.text(other) + between + self.text(one)
                    + self.data[middle[1] : last[1]].decode()
                )  # fmt: skip
                self.add(node, "arguments exchanged", new)
        for each in node.keywords:
            if called[:1].isupper():
                self.word(each.value)
            if each.arg is not None and each.arg not in TUNING:
                self.drop(node, each)
        for each in node.args if called[:1].isupper() else ():
            self.word(each)

    def drop(self, node: ast.Call, keyword: ast.keyword) -> None:
        parts = [self.text(a) for a in node.args]
        parts += [
            f"{k.arg}={self.text(k.value)}" if k.arg else f"**{self.text(k.value)}"
            for k in node.keywords
            if k is not keyword
        ]
        self.add(node, "argument dropped", f"{self.text(node.func)}({', '.join(parts)})")

    def visit_Return(self, node: ast.Return) -> None:
        function = self.scopes[-1] if self.scopes else None
        if node.value is None or not isinstance(function, ast.FunctionDef) or function.returns is None:
            return
        returns = ast.unparse(function.returns)
        if returns == "bool" and not isinstance(node.value, ast.Constant):
            self.add(node.value, "returned the opposite", f"(not ({self.text(node.value)}))")
        elif returns.endswith("| None"):
            self.add(node.value, "returned nothing", "None")
        elif (empty := EMPTY.get(returns.partition("[")[0])) is not None:
            self.add(node.value, "returned nothing", empty)
        elif returns in ("str", "int"):
            self.add(node.value, "returned nothing", '""' if returns == "str" else "0")
        self.visit(node.value)

    def visit_Expr(self, node: ast.Expr) -> None:
        if isinstance(node.value, ast.Constant):
            return
        yields = isinstance(node.value, ast.Yield | ast.YieldFrom)
        others = sum(isinstance(n, ast.Yield | ast.YieldFrom) for n in ast.walk(self.scopes[-1])) if self.scopes else 0
        counts = isinstance(node.value, ast.Call) and self.text(node.value.func).endswith(".tick")
        if (isinstance(node.value, ast.Call) and not counts) or (yields and others > 1):
            self.add(node, "statement dropped", "pass")
        self.generic_visit(node)

    def visit_AugAssign(self, node: ast.AugAssign) -> None:
        self.add(node, "statement dropped", "pass")
        self.visit(node.value)

    def visit_Continue(self, node: ast.Continue) -> None:
        self.add(node, "statement dropped", "pass")
