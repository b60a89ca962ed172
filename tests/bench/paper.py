"""Speed of the wiring sheet."""

from pathlib import Path
from tempfile import TemporaryDirectory
from time import perf_counter, process_time

from core.analysis.examine import study_layout
from core.checks.run import run_checks
from core.sheet.write import write_sheet
from tests.bench.generate import club_layout
from tests.bench.table import Row


def sheet_rows(pieces: int = 400) -> list[Row]:
    """Time the sheet of the club layout, from the study to the file."""
    study = study_layout(club_layout(pieces))
    findings = run_checks(study)
    asked: list[float] = []

    def progress(share: float, _: str) -> bool:
        asked.append(share)
        return True

    with TemporaryDirectory() as folder:
        path = Path(folder) / "sheet.pdf"
        begun, worked = perf_counter(), process_time()
        write_sheet(study, findings, path, progress=progress)
        wall, work = perf_counter() - begun, process_time() - worked
        size_kb = path.stat().st_size / 1000.0
    note = f"{size_kb:,.0f} kB, could stop at {len(asked)} places; CPU {work:.1f} s"
    return [Row("sheet of the club layout", wall, "≤ 5 s", note, "s")]
