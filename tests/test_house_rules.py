"""The house style, as far as a machine can hold us to it."""

import ast
import re
from collections.abc import Iterable, Iterator
from pathlib import Path

import pytest
from django.core.management import call_command

ROOT = Path(__file__).resolve().parent.parent
FLOORS = ("stock", "billets", "shop")  # imports go down only: a floor may import those before it

DJANGO = {"django", "django_htmx", "csp", "template_partials"}


def python_files(*folders: str) -> list[Path]:
    """Every module of these folders."""
    return sorted(path for folder in folders for path in (ROOT / folder).rglob("*.py"))


def dotted(path: Path) -> str:
    """A file's name as it is imported."""
    return ".".join(path.relative_to(ROOT).with_suffix("").parts).removesuffix(".__init__")


def imported(path: Path) -> set[str]:
    """What a file imports, at the top or inside a function."""
    found: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text())):
        if isinstance(node, ast.Import):
            found |= {one.name for one in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module:
            found |= {node.module} | {f"{node.module}.{one.name}" for one in node.names}
    return found


def touches_django(name: str, imports: dict[str, set[str]]) -> bool:
    """Whether a module imports Django itself, or carries its name into templates or commands."""
    parts = set(name.split("."))
    if parts & {"migrations", "management", "templatetags"}:
        return True
    return any(one.split(".")[0] in DJANGO for one in imports[name])


def divided() -> tuple[set[str], set[str]]:
    """Modules that know nothing of Django, through and through, and all the others."""
    imports = {dotted(path): imported(path) for path in python_files(*FLOORS)}
    impure = {name for name in imports if touches_django(name, imports)}
    while True:
        more = {name for name, used in imports.items() if name not in impure and used & impure}
        if not more:
            return set(imports) - impure, impure
        impure |= more


PURE_NAMES, IMPURE_NAMES = divided()
PURE = [path for path in python_files(*FLOORS) if dotted(path) in PURE_NAMES]
IMPURE = [path for path in python_files(*FLOORS) if dotted(path) in IMPURE_NAMES]

# The arithmetic of the design, by the doors that lead to all of it.
SUMS = {
    "stock.quantities.units",
    "stock.alloys.book",
    "stock.ledger.marks",
    "stock.materials.matching",
    "stock.ledger.valuation",
    "stock.buying.best",
    "stock.cutting.bars.best",
    "stock.cutting.sheets.best",
    "stock.cutting.plans.plan",
    "stock.cutting.plans.checks",
    "stock.cutting.worker",
    "billets.findings.findings",
    "billets.layup.case",
    "billets.layup.stack",
    "billets.layup.window",
    "billets.heat.cooling",
    "billets.heat.section_cooling",
    "billets.forging.drawout",
    "billets.blade.bevel",
    "billets.forging.calibration",
    "billets.drawings.stack",
    "billets.forging.forecast",
    "billets.heat.treatment",
    "billets.findings.cautions",
    "billets.panel.panel",
    "billets.panel.blade",
    "billets.layup.seam",
    "billets.blanks.rows_on_a_sheet",
    "shop.costing.lines",
    "shop.yields.spares",
    "shop.calendar.timeline",
    "shop.costing.pricing",
    "shop.costing.fuel",
    "shop.planning.laying_out",
    "shop.planning.cut_plan",
}
# Sums so small, and so bound to one act, that they stand beside it.
SUMS_BESIDE_AN_ACT = {"billets.history.bar_making"}


@pytest.mark.slow
@pytest.mark.parametrize("floor", FLOORS)
def test_imports_go_down_only(floor: str) -> None:
    above = FLOORS[FLOORS.index(floor) + 1 :]

    wrong = {
        dotted(path): sorted(one for one in imported(path) if one.split(".")[0] in above)
        for path in python_files(floor)
    }

    assert {name: used for name, used in wrong.items() if used} == {}


@pytest.mark.slow
def test_no_two_modules_need_each_other() -> None:
    names = {dotted(path): path for path in python_files(*FLOORS)}
    needs = {name: imported(path) & set(names) - {name} for name, path in names.items()}

    while free := {name for name, used in needs.items() if not used & set(needs)}:
        needs = {name: used for name, used in needs.items() if name not in free}

    assert needs == {}


def test_the_arithmetic_knows_nothing_of_django() -> None:
    assert PURE_NAMES >= SUMS


@pytest.mark.slow
def test_a_module_that_says_it_is_pure_is_pure() -> None:
    said = {
        dotted(path)
        for path in IMPURE
        if re.search(r"\bPure\b", ast.get_docstring(ast.parse(path.read_text())) or "")
    }

    assert said == set()


def test_a_sum_with_a_source_stands_in_a_module_that_knows_nothing_of_django() -> None:
    wrong = {
        f"{dotted(path)}.{node.name}"
        for path in IMPURE
        for node in ast.parse(path.read_text()).body
        if isinstance(node, ast.FunctionDef)
        and re.search(r"^Source:$", ast.get_docstring(node) or "", re.MULTILINE)
        and dotted(path) not in SUMS_BESIDE_AN_ACT
    }

    assert wrong == set()


def bound(tree: ast.AST) -> dict[str, str]:
    """What the names of a file stand for, by dotted name."""
    found: dict[str, str] = {}
    for node in ast.walk(tree):
        if isinstance(node, ast.ImportFrom) and node.module:
            found |= {one.asname or one.name: f"{node.module}.{one.name}" for one in node.names}
    return found


def taken_by(paths: Iterable[Path]) -> set[str]:
    """Everything that these modules take from others, by dotted name or as an attribute."""
    found: set[str] = set()
    for path in paths:
        tree = ast.parse(path.read_text())
        names = bound(tree)
        found |= set(names.values())
        found |= {
            f"{names[node.value.id]}.{node.attr}"
            for node in ast.walk(tree)
            if isinstance(node, ast.Attribute)
            and isinstance(node.value, ast.Name)
            and node.value.id in names
        }
    return found


# The solvers are one thing in many files: of theirs only what others use is public.
USED = {
    name for name in taken_by(python_files(*FLOORS)) if not name.startswith("stock.cutting.")
} | taken_by(path for path in python_files(*FLOORS) if "cutting" not in path.parts)


def public_functions() -> Iterator[tuple[str, ast.FunctionDef]]:
    """Functions of the pure modules that another module of ours uses."""
    for path in PURE:
        for node in ast.parse(path.read_text()).body:
            if isinstance(node, ast.FunctionDef) and f"{dotted(path)}.{node.name}" in USED:
                yield f"{dotted(path)}.{node.name}", node


def given(node: ast.FunctionDef) -> list[str]:
    """Names of a function's arguments."""
    return [one.arg for one in (*node.args.posonlyargs, *node.args.args, *node.args.kwonlyargs)]


def what_is_missing(node: ast.FunctionDef) -> list[str]:
    """Parts of the house's docstring that a public pure function lacks."""
    docstring = ast.get_docstring(node) or ""
    missing: list[str] = []
    if given(node) and "Args:" not in docstring:
        missing.append("Args")
    missing += [name for name in given(node) if not re.search(rf"\b{name}\b", docstring)]
    is_nothing = isinstance(node.returns, ast.Constant) and node.returns.value is None
    if not is_nothing and "Returns:" not in docstring:
        missing.append("Returns")
    return missing


@pytest.mark.slow
def test_public_pure_functions_say_what_they_take_and_give() -> None:
    wrong = {name: what_is_missing(node) for name, node in public_functions()}

    assert {name: parts for name, parts in wrong.items() if parts} == {}


UNITS = {
    "mm": "mm", "nm": "nm", "nm2": "nm²", "mm2": "mm²", "ug": "µg", "c": "°C", "n": "N",
    "mpa": "MPa", "s": "s", "deg": "°",
}  # fmt: skip


def without_unit(node: ast.FunctionDef) -> list[str]:
    """Arguments whose name carries a unit that their line in the docstring does not say."""
    lines = (ast.get_docstring(node) or "").split("\n")
    wrong = []
    for name in given(node):
        stem, _, ending = name.rpartition("_")
        unit = UNITS.get(ending) if stem else None
        told = " ".join(line for line in lines if re.match(rf"\s*{name}:", line))
        if unit and told and "[" not in told:
            follows = lines.index(next(line for line in lines if re.match(rf"\s*{name}:", line)))
            told += " ".join(lines[follows + 1 : follows + 3])
        if unit and "[" not in told and "seconds" not in told:
            wrong.append(name)
    return wrong


@pytest.mark.slow
def test_arguments_with_a_unit_in_their_name_say_it_in_the_docstring() -> None:
    wrong = {name: without_unit(node) for name, node in public_functions()}

    assert {name: args for name, args in wrong.items() if args} == {}


def makers_of(model: str, path: Path) -> bool:
    """Whether a file makes rows of a model."""
    text = path.read_text()
    return bool(re.search(rf"\b{model}(\.objects\.(bulk_)?create)?\(\s*\w+=", text))


@pytest.mark.parametrize(
    ("model", "writers"),
    [
        ("Entry", {"stock.ledger.entries"}),
        ("SetAside", {"stock.ledger.set_asides"}),
        ("WorkTime", {"billets.hours.writing"}),
        ("KnifeTime", {"shop.knives.writing"}),
    ],
)
def test_each_kind_of_record_has_one_writer(model: str, writers: set[str]) -> None:
    found = {
        dotted(path)
        for path in python_files(*FLOORS)
        if makers_of(model, path) and "navigation" not in path.name
    }

    assert found == writers


def test_who_acts_has_a_type() -> None:
    wrong = {
        dotted(path)
        for path in python_files(*FLOORS)
        if re.search(r"\b(by|person): Any\b", path.read_text())
    }

    assert wrong == set()


def settings_read() -> set[str]:
    """Names of the environment that shop/settings.py reads."""
    text = (ROOT / "shop" / "settings.py").read_text()
    return set(re.findall(r"read_\w+\(\s*\"([A-Z_]+)\"", text)) | {"DATABASE_URL"}


def test_every_setting_is_in_the_readme() -> None:
    readme = (ROOT / "README.md").read_text()

    assert len(settings_read()) >= 8
    assert {name for name in settings_read() if name not in readme} == set()


@pytest.mark.django_db
def test_no_migration_is_missing() -> None:
    call_command("makemigrations", check=True, dry_run=True, verbosity=0)


def test_no_module_is_a_drawer_for_everything() -> None:
    names = {path.name for path in python_files(*FLOORS)}

    assert names & {"utils.py", "helpers.py", "common.py", "misc.py"} == set()
