"""Measure every speed of the design in one run: `python3 -m tests.bench`."""

from tests.bench.engine import growth_rows, scan_rows
from tests.bench.table import markdown

if __name__ == "__main__":
    print(markdown([*scan_rows(), *growth_rows()]))
