"""`manage.py bench cuts | buying`: how good and how quick cut plans and purchases are.

With a PATH it answers each case with one JSON line and prints nothing else on standard output.
Without one it solves made-up and published cases and compares them with first-fit decreasing.
What `bench buying` does is in `shop.running.bench`.
"""

import json
import sys
from argparse import ArgumentParser
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from shop.running import bench
from shop.running.bench import Report
from stock.cutting import worker
from stock.cutting.bench import cases as bench_cases
from stock.cutting.bench import sheet_cases
from stock.cutting.bench.cases import BadJson, case_from_json, plan_to_json
from stock.cutting.plans.checks import BadCase, PlanFault, faults
from stock.cutting.plans.plan import Case, Plan

LIMIT_S = 10.0


class Command(BaseCommand):
    """Solve cutting cases, one after the other, in the worker process."""

    help = (
        "Benchmarks. 'bench cuts PATH' solves the cases of a JSON file or of a folder of them "
        "and writes one JSON line a case. 'bench cuts' without PATH solves the published and "
        "made-up cases and compares them with first-fit decreasing. 'bench buying' weighs "
        "made-up offers and compares the cheapest purchase with buying each thing by eye."
    )
    requires_system_checks: list[str] = []

    def add_arguments(self, parser: ArgumentParser) -> None:
        """The command line."""
        parser.add_argument("name", choices=["cuts", "buying"], help="what to benchmark")
        parser.add_argument("path", nargs="?", type=Path, help="a JSON file or a folder of them")
        parser.add_argument(
            "--limit", type=_seconds, default=LIMIT_S, help="seconds for each case (10)"
        )
        parser.add_argument("--json", action="store_true", help="JSON lines, also without PATH")
        parser.add_argument(
            "--made", type=int, default=None, help="so many made-up cases, of bars or of buying"
        )
        parser.add_argument(
            "--pieces",
            type=_from_to,
            default=bench_cases.CLASS_SIZE,
            help="pieces in a made-up case, such as 100-200 (10-80)",
        )
        parser.add_argument("--bins", type=int, default=None, help="so many bin-packing cases")
        parser.add_argument(
            "--sheets",
            type=int,
            default=None,
            help="so many each of dissected strips, class cases and mixtures on roll and sheets",
        )
        parser.add_argument("--seed", type=int, default=1, help="of the made-up cases (1)")

    def handle(self, *args: Any, **options: Any) -> None:
        """Solve the cases and show what came out."""
        if options["name"] == "buying":
            bench.run(options, write=self.stdout.write)
            return
        self.broken: list[str] = []
        self.report = Report()
        is_json = options["json"] or options["path"] is not None
        worker.warm()
        for case in self._cases(options):
            plan = self._solved(case, options["limit"])
            if plan is None:
                continue
            if is_json:
                self.stdout.write(json.dumps(plan_to_json(plan)))
                self.stdout.flush()
            else:
                self.stdout.write(self.report.line(case, plan))
        if not is_json:
            self.stdout.write(self.report.summary())
        if self.broken:
            number = len(self.broken)
            cases = "1 case" if number == 1 else f"{number} cases"
            raise CommandError(f"{cases} could not be answered; see above.")

    def _cases(self, options: dict[str, Any]) -> Iterator[Case]:
        if options["path"] is not None:
            yield from self._read(options["path"])
            return
        chosen = {key: options[key] for key in ("made", "bins", "sheets")}
        if all(n is None for n in chosen.values()):
            yield bench_cases.published_case()
            chosen = {"made": 36, "bins": 4, "sheets": 4}
        seed = options["seed"]
        yield from bench_cases.made_cases(chosen["made"] or 0, seed=seed, pieces=options["pieces"])
        yield from bench_cases.bin_packing_cases(chosen["bins"] or 0, seed=seed)
        sheets = chosen["sheets"] or 0
        yield from bench_cases.dissected_cases(sheets, seed=seed)
        yield from sheet_cases.class_sheet_cases(sheets, seed=seed)
        yield from sheet_cases.mixed_sheet_cases(sheets, seed=seed)

    def _read(self, path: Path) -> Iterator[Case]:
        """The cases of a file (one, or a list) or of all JSON files in a folder, by name."""
        if not path.exists():
            raise CommandError(f"{path} does not exist. Name a JSON file or a folder of them.")
        for file in sorted(path.glob("*.json")) if path.is_dir() else [path]:
            try:
                data = json.loads(file.read_text(encoding="utf-8"))
            except (OSError, ValueError, RecursionError) as error:
                self._complain(f"{file}: {error}")
                continue
            for item in data if isinstance(data, list) else [data]:
                try:
                    case = case_from_json(item, name=file.stem)
                except ValueError as error:
                    self._complain(f"{file}: {error}")
                else:
                    yield case

    def _solved(self, case: Case, limit_s: float) -> Plan | None:
        try:
            plan = worker.solved(case, limit_s=limit_s)
            found = faults(case, plan)
            if found:
                raise PlanFault(case.name, found)
        except (BadJson, BadCase, PlanFault, worker.NoPlan, worker.SolverBroke) as error:
            self._complain(f"{case.name}: {error}")
            return None
        return plan

    def _complain(self, sentence: str) -> None:
        self.broken.append(sentence)
        print(sentence, file=sys.stderr, flush=True)


def _seconds(text: str) -> float:
    seconds = float(text)
    if not 0 < seconds <= 86_400:
        raise ValueError(text)
    return seconds


def _from_to(text: str) -> tuple[int, int]:
    low, _, high = text.partition("-")
    return int(low), int(high or low)
