"""The house style, as far as a machine can hold us to it.

Floors, rooms, the names of files and of templates have rules of their own, in `tests/house`.
"""

import ast
import io
import re
import sys
import tokenize
from collections.abc import Iterable, Iterator
from pathlib import Path

import pytest
from django.core.management import call_command

from tests.house.source import FLOORS, ROOT, dotted, impure, made, modules, python_files, tree_of

IMPURE_NAMES = impure()
PURE_NAMES = set(modules()) - IMPURE_NAMES
PURE = [path for name, path in modules().items() if name in PURE_NAMES]
IMPURE = [path for name, path in modules().items() if name in IMPURE_NAMES]

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
SUMS_BESIDE_AN_ACT = {"billets.history.bar_writing"}


def test_the_arithmetic_knows_nothing_of_django() -> None:
    assert PURE_NAMES >= SUMS


def says_pure(paths: Iterable[Path]) -> list[str]:
    """Files that call themselves pure."""
    return [
        path.stem
        for path in paths
        if re.search(r"\bPure\b", ast.get_docstring(tree_of(path)) or "")
    ]


def sums_with_a_source(paths: Iterable[Path]) -> list[str]:
    """Functions that name what their formula is from."""
    return [
        f"{path.stem}.{node.name}"
        for path in paths
        for node in tree_of(path).body
        if isinstance(node, ast.FunctionDef)
        and re.search(r"^Source:$", ast.get_docstring(node) or "", re.MULTILINE)
    ]


def test_a_module_that_says_it_is_pure_is_pure() -> None:
    assert says_pure(IMPURE) == []


def test_a_sum_with_a_source_stands_in_a_module_that_knows_nothing_of_django() -> None:
    others = [path for path in IMPURE if dotted(path) not in SUMS_BESIDE_AN_ACT]

    assert sums_with_a_source(others) == []


def test_a_module_that_knows_django_and_says_what_sums_say_is_named(tmp_path: Path) -> None:
    text = (
        '"""Pure."""\ndef few() -> int:\n    """So few.\n\n    Source:\n        A book.\n    """\n'
    )
    made(tmp_path, {"shop/rack/reading.py": text, "shop/rack/views.py": '"""Purely views."""'})
    paths = python_files("shop", root=tmp_path)

    assert says_pure(paths) == ["reading"]
    assert sums_with_a_source(paths) == ["reading.few"]


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
        tree = tree_of(path)
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
        for node in tree_of(path).body:
            if isinstance(node, ast.FunctionDef) and f"{dotted(path)}.{node.name}" in USED:
                yield f"{dotted(path)}.{node.name}", node


def given(node: ast.FunctionDef) -> list[str]:
    """Names of a function's arguments."""
    return [one.arg for one in (*node.args.posonlyargs, *node.args.args, *node.args.kwonlyargs)]


def parsed(text: str) -> ast.FunctionDef:
    """A function, from its text."""
    (node,) = ast.parse(text).body
    assert isinstance(node, ast.FunctionDef)
    return node


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


def test_a_function_that_leaves_out_what_it_takes_or_gives_is_named() -> None:
    assert what_is_missing(parsed("def f(*, a: int) -> int:\n    '''So.'''")) == [
        "Args",
        "a",
        "Returns",
    ]
    assert what_is_missing(parsed("def f() -> None:\n    '''So.'''")) == []


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


@pytest.mark.parametrize(
    ("told", "wrong"),
    [("how long [mm].", []), ("how long.", ["length_mm"]), ("how\n        long [mm].", [])],
)
def test_an_argument_without_its_unit_is_named(told: str, wrong: list[str]) -> None:
    docstring = f"So.\n\n    Args:\n        length_mm: {told}\n    "

    assert without_unit(parsed(f"def f(length_mm: int) -> int:\n    '''{docstring}'''")) == wrong


NO_RECORDS = {"shop.templatetags.navigation"}  # its `Entry` is a line of the menu


def makers_of(model: str, root: Path = ROOT) -> set[str]:
    """Modules that make rows of a model."""
    made_here = re.compile(rf"\b{model}(\.objects\.(bulk_)?create)?\(\s*\w+=")
    return {name for name, path in modules(root).items() if made_here.search(path.read_text())}


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
    assert makers_of(model) - NO_RECORDS == writers


def test_a_second_writer_of_a_record_is_named(tmp_path: Path) -> None:
    made(
        tmp_path,
        {
            "stock/ledger/entries.py": "Entry.objects.bulk_create([Entry(piece=one)])",
            "shop/rack/reading.py": "rows = Entry.objects.filter(piece=one)",
            "shop/rack/views.py": "Entry.objects.create(piece=one)",
        },
    )

    assert makers_of("Entry", tmp_path) == {"stock.ledger.entries", "shop.rack.views"}


def without_a_type(root: Path = ROOT) -> list[str]:
    """Modules in which whoever acts could be anything."""
    return [
        name
        for name, path in modules(root).items()
        if re.search(r"\b(by|person): Any\b", path.read_text())
    ]


def test_who_acts_has_a_type() -> None:
    assert without_a_type() == []


def test_one_who_acts_without_a_type_is_named(tmp_path: Path) -> None:
    made(
        tmp_path,
        {
            "stock/rack/writing.py": "def cut(*, by: Any) -> None: ...",
            "stock/rack/views.py": "def cut(*, by: Person, nearby: Any) -> None: ...",
        },
    )

    assert without_a_type(tmp_path) == ["stock.rack.writing"]


def settings_read(root: Path = ROOT) -> set[str]:
    """Names of the environment that shop/settings.py reads."""
    text = (root / "shop" / "settings.py").read_text()
    return set(re.findall(r"read_\w+\(\s*\"([A-Z_]+)\"", text)) | {"DATABASE_URL"}


def untold_settings(root: Path = ROOT) -> set[str]:
    """Settings of which the readme says nothing."""
    readme = (root / "README.md").read_text()
    return {name for name in settings_read(root) if name not in readme}


def test_every_setting_is_in_the_readme() -> None:
    assert len(settings_read()) >= 8
    assert untold_settings() == set()


def test_a_setting_that_the_readme_leaves_out_is_named(tmp_path: Path) -> None:
    text = 'read_text("BILLETWRIGHT_ONE"), read_flag(\n    "BILLETWRIGHT_TWO", False)'
    told = "DATABASE_URL and BILLETWRIGHT_ONE"

    assert untold_settings(made(tmp_path, {"shop/settings.py": text, "README.md": told})) == {
        "BILLETWRIGHT_TWO"
    }


@pytest.mark.django_db
def test_no_migration_is_missing() -> None:
    call_command("makemigrations", check=True, dry_run=True, verbosity=0)


def drawers(root: Path = ROOT) -> list[str]:
    """Modules and rooms that are named for no subject."""
    nothing = {"utils", "helpers", "common", "misc", "tools"}
    return sorted(name for name in modules(root) if nothing & set(name.split(".")))


def test_no_module_is_a_drawer_for_everything() -> None:
    assert drawers() == []


def test_a_drawer_for_everything_is_named(tmp_path: Path) -> None:
    made(tmp_path, {"shop/rack/utils.py": "", "stock/misc/bars.py": "", "stock/rack/bars.py": ""})

    assert drawers(tmp_path) == ["shop.rack.utils", "stock.misc", "stock.misc.bars"]


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
    told_of_all = {
        "coverage.py",
        "forms.py",
        "reading.py",
        "seat_writing.py",
        "views.py",
        "writing.py",
    }
    found = set(re.findall(r"(?<![\w/.])\w+\.py\b", prose_of(path))) - told_of_all
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


def test_what_a_page_shows_has_known_names() -> None:
    shows = re.compile(r"(reading|views|detail|pages|card)\.py")
    wrong = {
        dotted(path)
        for path in python_files(*FLOORS)
        if shows.search(path.name) and re.search(r"dict\[str, (Any|object)\]", path.read_text())
    }

    assert wrong == set()
