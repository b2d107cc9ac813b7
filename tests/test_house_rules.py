"""The house style, as far as a machine can hold us to it."""

import ast
import io
import re
import sys
import tokenize
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


def bound_names(path: Path) -> set[str]:
    """Every name that a file defines, takes or imports, at the top or deeper."""
    found: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text())):
        if isinstance(node, ast.FunctionDef | ast.ClassDef):
            found.add(node.name)
        elif isinstance(node, ast.Name):
            found.add(node.id)
        elif isinstance(node, ast.arg):
            found.add(node.arg)
        elif isinstance(node, ast.Import | ast.ImportFrom):
            found |= {(one.asname or one.name).partition(".")[0] for one in node.names}
    return found


def stands_for_something(name: str) -> bool:
    """Whether a name such as "stock.clock.now" is a room, a module, or something in a module."""
    parts = name.split(".")
    for length in range(len(parts), 0, -1):
        place, rest = ROOT.joinpath(*parts[:length]), parts[length:]
        module = next(
            (one for one in (place.with_suffix(".py"), place / "__init__.py") if one.is_file()),
            None,
        )
        if module is not None:
            return not rest or rest[0] in bound_names(module)
    return False


def prose_of(path: Path) -> str:
    """The comments and docstrings of a module, or the comments of a template."""
    text = path.read_text()
    if path.suffix != ".py":
        return "\n".join(re.findall(r"\{#.*?#\}|\{% comment.*?endcomment %\}", text, re.DOTALL))
    tokens = tokenize.generate_tokens(io.StringIO(text).readline)
    comments = [one.string for one in tokens if one.type == tokenize.COMMENT]
    said = (
        ast.get_docstring(node) or ""
        for node in ast.walk(ast.parse(text))
        if isinstance(node, ast.Module | ast.ClassDef | ast.FunctionDef)
    )
    return "\n".join([*comments, *said])


def names_of_ours(path: Path) -> set[str]:
    """Dotted names of modules in a file's prose, and what stands behind those cut short."""
    prose = prose_of(path)
    found = set(re.findall(rf"\b(?:{'|'.join(FLOORS)})(?:\.[A-Za-z_]\w*)+", prose))
    if path.suffix == ".py":
        files = set(re.findall(r"`(\w+\.(?:toml|json|py|html|css|js|sqlite3)(?:\.gz)?)`", prose))
        short = set(re.findall(r"`([a-z]\w*(?:\.\w+)+)(?:\(\))?`", prose)) - files - found
        stands_for, known = bound(ast.parse(path.read_text())), bound_names(path)
        for name in short:
            head, _, rest = name.partition(".")
            if stands_for.get(head, "").startswith(FLOORS):
                found.add(f"{stands_for[head]}.{rest}")
            elif head not in known | set(sys.stdlib_module_names):
                found.add(name)
    return found


def files_not_there(path: Path) -> set[str]:
    """Names of modules' files in prose that stand neither beside it nor at the top."""
    found = set(re.findall(r"(?<![\w/.])\w+\.py\b", prose_of(path))) - {"coverage.py"}
    return {name for name in found if not any((at / name).is_file() for at in (path.parent, ROOT))}


@pytest.mark.slow
def test_every_module_that_the_prose_names_is_there() -> None:
    paths = [*python_files(*FLOORS, "tests"), *sorted((ROOT / "templates").rglob("*.html"))]

    wrong = {
        str(path.relative_to(ROOT)): sorted(
            files_not_there(path)
            | {name for name in names_of_ours(path) if not stands_for_something(name)}
        )
        for path in paths
    }

    assert {path: names for path, names in wrong.items() if names} == {}


@pytest.mark.slow
def test_no_module_sends_its_reader_to_itself() -> None:
    paths = python_files(*FLOORS)

    assert {dotted(path) for path in paths if f"`{dotted(path)}`" in prose_of(path)} == set()


@pytest.mark.parametrize(
    ("name", "is_there"),
    [
        ("stock.clock", True),
        ("stock.clock.now", True),
        ("shop.models.Seat", True),
        ("stock.watch", False),
        ("stock.clock.chime", False),
        ("watch.now", False),
    ],
)
def test_a_dotted_name_leads_to_a_module_or_into_one(name: str, is_there: bool) -> None:
    assert stands_for_something(name) == is_there
