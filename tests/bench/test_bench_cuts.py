"""`manage.py bench cuts`: JSON in, JSON lines out, and the comparison with first-fit decreasing."""

import json
import subprocess
import sys
from io import StringIO
from pathlib import Path
from typing import Any

import pytest
from django.core.management import call_command
from django.core.management.base import CommandError

pytestmark = pytest.mark.slow  # a process of the solver's own

ROOT = Path(__file__).resolve().parent.parent.parent
MM = 1_000_000
BARS: dict[str, Any] = {
    "name": "three blanks",
    "kerf": 2 * MM,
    "keep_from": 50 * MM,
    "reference": 3000 * MM,
    "on_hand": [{"length": 650 * MM, "count": 1}],
    "offers": [{"length": 3000 * MM, "price": 2700}],
    "pieces": [{"length": 200 * MM, "count": 3}, {"length": 150 * MM, "count": 2}],
}
ROLL: dict[str, Any] = {
    "name": "strip",
    "roll": {"width": 100 * MM, "length": 900 * MM},
    "sheets": [],
    "pieces": [{"width": 50 * MM, "length": 80 * MM, "count": 4, "turn": False}],
}


def answers(path: Path, *arguments: str) -> list[dict[str, Any]]:
    out = StringIO()
    call_command("bench", "cuts", str(path), *arguments, stdout=out)
    return [json.loads(line) for line in out.getvalue().splitlines()]


def write(path: Path, data: object) -> Path:
    path.write_text(json.dumps(data), encoding="utf-8")
    return path


def test_a_bars_case_is_answered_in_the_format(tmp_path: Path) -> None:
    (answer,) = answers(write(tmp_path / "case.json", BARS))

    assert list(answer) == [
        "name",
        "proved",
        "spent",
        "spent_at_least",
        "loss_at_least",
        "seconds",
        "bars",
    ]
    assert (answer["name"], answer["proved"]) == ("three blanks", True)
    assert (answer["spent"], answer["spent_at_least"]) == (2700, 2700)
    assert {bar["from"] for bar in answer["bars"]} == {"on_hand", "offer"}
    cuts = sorted(cut for bar in answer["bars"] for cut in bar["cuts"])
    assert cuts == [150 * MM] * 2 + [200 * MM] * 3


def test_a_roll_case_is_answered_in_the_format(tmp_path: Path) -> None:
    (answer,) = answers(write(tmp_path / "case.json", ROLL))

    assert list(answer) == ["name", "roll_length", "at_least", "proved", "seconds", "placed"]
    assert (answer["roll_length"], answer["at_least"]) == (160 * MM, 160 * MM)
    assert len(answer["placed"]) == 4
    first = answer["placed"][0]
    assert list(first) == ["from", "x", "y", "width", "length", "piece"]
    assert (first["from"], first["piece"]) == ("roll", 0)


def test_pieces_on_sheets_name_their_sheet(tmp_path: Path) -> None:
    case = {**ROLL, "roll": None, "sheets": [{"width": 100 * MM, "length": 200 * MM}]}

    (answer,) = answers(write(tmp_path / "case.json", case))

    assert answer["roll_length"] == 0
    assert {placed["from"] for placed in answer["placed"]} == {"sheet0"}


def test_what_is_short_is_said(tmp_path: Path) -> None:
    case = {**BARS, "offers": []}

    (answer,) = answers(write(tmp_path / "case.json", case))

    # 200 + 200 + 200 with two kerfs is 604; no other set of pieces fills the 650 as well.
    assert answer["short"] == [{"length": 150 * MM, "count": 2}]


def test_a_folder_is_answered_one_line_a_case_in_order(tmp_path: Path) -> None:
    write(tmp_path / "b.json", {**BARS, "name": "second"})
    write(tmp_path / "a.json", {**BARS, "name": "first"})
    write(tmp_path / "c.json", [{**BARS, "name": "third"}, {**ROLL, "name": "fourth"}])

    names = [answer["name"] for answer in answers(tmp_path)]

    assert names == ["first", "second", "third", "fourth"]


def test_nothing_but_json_lines_is_on_standard_output(tmp_path: Path) -> None:
    write(tmp_path / "a.json", BARS)
    write(tmp_path / "b.json", ROLL)

    done = subprocess.run(
        [sys.executable, "manage.py", "bench", "cuts", str(tmp_path), "--limit", "20", "--json"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        timeout=300,
        check=True,
    )

    lines = done.stdout.splitlines()
    assert [json.loads(line)["name"] for line in lines] == ["three blanks", "strip"]


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("{", "case.json: Expecting property name"),
        ("[3]", "case.json: Case case: 'the case' must be an object."),
        ('{"pieces": [{"length": 1.5}]}', "Case case: 'length' must be a whole number."),
        ('{"pieces": 4}', "Case case: 'pieces' must be a list of objects."),
        ('{"kerf": -1, "pieces": []}', "case: The kerf is -1; it must be 0 or more."),
    ],
)
def test_a_case_that_cannot_be_read_is_named_and_the_rest_answered(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], text: str, sentence: str
) -> None:
    (tmp_path / "case.json").write_text(text, encoding="utf-8")
    write(tmp_path / "good.json", BARS)
    out = StringIO()

    with pytest.raises(CommandError, match="1 case could not be answered"):
        call_command("bench", "cuts", str(tmp_path), stdout=out)

    assert sentence in capsys.readouterr().err
    assert [json.loads(line)["name"] for line in out.getvalue().splitlines()] == ["three blanks"]


def test_a_bad_case_in_a_list_does_not_hide_those_after_it(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    write(tmp_path / "all.json", [BARS, {**BARS, "kerf": "wide"}, ROLL])
    out = StringIO()

    with pytest.raises(CommandError, match="1 case could not be answered"):
        call_command("bench", "cuts", str(tmp_path), stdout=out)

    names = [json.loads(line)["name"] for line in out.getvalue().splitlines()]
    assert names == ["three blanks", "strip"]
    assert "'kerf' must be a whole number" in capsys.readouterr().err


def test_a_path_that_does_not_exist_is_named(tmp_path: Path) -> None:
    with pytest.raises(CommandError, match=r"does not exist\. Name a JSON file"):
        call_command("bench", "cuts", str(tmp_path / "nowhere"))


def test_made_up_cases_are_compared_with_first_fit_decreasing() -> None:
    out = StringIO()

    call_command("bench", "cuts", "--made", "6", "--pieces", "10-20", "--seed", "2", stdout=out)

    lines = out.getvalue().splitlines()
    assert [line.split()[0] for line in lines[:6]] == [f"made-2-{i}" for i in range(6)]
    assert lines[6].startswith("6 cases: ")
    assert "first-fit decreasing" in lines[7]


def test_made_up_cases_can_be_had_as_json() -> None:
    out = StringIO()

    call_command("bench", "cuts", "--made", "2", "--pieces", "10-12", "--json", stdout=out)

    names = [json.loads(line)["name"] for line in out.getvalue().splitlines()]
    assert names == ["made-1-0", "made-1-1"]
