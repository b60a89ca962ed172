"""Unsaved work outlives kill -9, and belongs to one program at a time."""

import os
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from msgspec.structs import replace

from core.errors import FileAccessError, FileFormatError
from core.layout.change import Change
from core.layout.layout import Layout
from core.layout.storage.read import read_layout
from core.layout.storage.recover import (
    Recovery,
    clear_recovery,
    discard,
    find_recoveries,
    write_recovery,
)
from core.layout.storage.text import dump_layout
from core.layout.storage.write import write_layout
from tests.core.layout.samples import BOOSTER, BUS, DROP, RUN, content, file_of, read

WORKER = """
import sys
from pathlib import Path
from core.layout.storage.read import read_layout
from core.layout.storage.recover import clear_recovery, write_recovery
layout, _ = read_layout(Path(sys.argv[1]))
folder = Path(sys.argv[2])
for line in sys.stdin:
    if line == "keep\\n":
        print(write_recovery(layout, Path(sys.argv[1]), folder), flush=True)
    elif line == "clear\\n":
        clear_recovery(folder)
        print("cleared", flush=True)
    else:
        print("endless", flush=True)
        while True:
            write_recovery(layout, None, folder)
"""


@pytest.fixture
def layout() -> Layout:
    return read(RUN, BOOSTER, BUS, DROP)[0]


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return tmp_path / "state" / "unsaved"


class Worker:
    """Another running program, told what to do line by line."""

    def __init__(self, child: "subprocess.Popen[str]") -> None:
        self._child = child

    def do(self, what: str) -> str:
        assert self._child.stdin is not None
        assert self._child.stdout is not None
        self._child.stdin.write(f"{what}\n")
        self._child.stdin.flush()
        return self._child.stdout.readline().strip()

    def keep(self) -> Path:
        return Path(self.do("keep"))

    def kill(self) -> None:
        self._child.kill()
        self._child.wait()


@contextmanager
def worker(layout: Layout, folder: Path, title: str = "theirs") -> Iterator[Worker]:
    before = layout.settings
    own = layout.copy()
    own.apply(
        Change("", {before.id: before}, {before.id: replace(before, title=title)})
    )
    source = folder.parent.parent / f"{title}.fwl"
    write_layout(own, source)
    with subprocess.Popen(
        [sys.executable, "-c", WORKER, str(source), str(folder)],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    ) as child:
        try:
            yield Worker(child)
        finally:
            child.kill()


def test_unsaved_work_of_a_killed_program_is_found(
    layout: Layout, folder: Path, tmp_path: Path
) -> None:
    started = datetime.now(UTC)
    with worker(layout, folder) as other:
        path = other.keep()
        other.kill()
    (found,) = find_recoveries(folder)
    assert found.path == path
    assert found.title == "theirs"
    assert found.original == tmp_path / "theirs.fwl"
    assert found.saved_at is not None
    assert started - timedelta(seconds=1) <= found.saved_at <= datetime.now(UTC)
    again, report = read_layout(found.path)
    assert report.is_clean
    original, _ = read_layout(tmp_path / "theirs.fwl")
    assert content(again) == content(original)


def test_the_note_in_the_head_is_not_saved_with_the_layout(
    layout: Layout, folder: Path
) -> None:
    path = write_recovery(layout, None, folder)
    again, _ = read_layout(path)
    assert dump_layout(again) == dump_layout(layout)


def test_a_running_programs_work_is_left_to_it(layout: Layout, folder: Path) -> None:
    with worker(layout, folder) as other:
        theirs = other.keep()
        mine = write_recovery(layout, None, folder)
        assert theirs != mine
        assert find_recoveries(folder) == ()
        assert theirs.exists()


def test_of_two_programs_only_the_dead_ones_work_is_found(
    layout: Layout, folder: Path
) -> None:
    with (
        worker(layout, folder, "living") as living,
        worker(layout, folder, "dead") as dead,
    ):
        living.keep()
        dead.keep()
        dead.kill()
        assert [r.title for r in find_recoveries(folder)] == ["dead"]
        living.kill()
        assert [r.title for r in find_recoveries(folder)] == ["dead", "living"]


def test_a_new_program_does_not_write_over_a_dead_ones_work(
    layout: Layout, folder: Path
) -> None:
    with worker(layout, folder, "first") as first:
        left = first.keep()
        first.kill()
    with worker(layout, folder, "second") as second:
        assert second.keep() != left
        assert [r.title for r in find_recoveries(folder)] == ["first"]


def test_a_program_keeps_its_newest_state_only(layout: Layout, folder: Path) -> None:
    first = write_recovery(layout, None, folder)
    assert write_recovery(layout, None, folder) == first
    assert sorted(folder.glob("*.fwl")) == [first]


def test_saved_work_is_no_longer_kept(layout: Layout, folder: Path) -> None:
    with worker(layout, folder) as other:
        other.keep()
        assert other.do("clear") == "cleared"
        other.kill()
    assert find_recoveries(folder) == ()


def test_clearing_before_anything_was_kept_does_nothing(folder: Path) -> None:
    clear_recovery(folder)
    assert not folder.exists()


def test_discarded_work_is_gone(layout: Layout, folder: Path) -> None:
    with worker(layout, folder) as other:
        other.keep()
        other.kill()
    (found,) = find_recoveries(folder)
    discard(found)
    assert find_recoveries(folder) == ()
    assert not found.path.exists()


def test_discarding_twice_does_not_touch_newer_work_in_its_place(
    layout: Layout, folder: Path
) -> None:
    with worker(layout, folder, "old") as old:
        old.keep()
        old.kill()
    (found,) = find_recoveries(folder)
    discard(found)
    with worker(layout, folder, "new") as new:
        assert new.keep() == found.path
        discard(found)
        assert found.path.exists()
        new.kill()
    discard(found)
    assert [r.title for r in find_recoveries(folder)] == ["new"]


@pytest.mark.parametrize("pause_ms", [0, 2, 5, 9, 14, 25, 40])
def test_killed_at_any_moment_it_leaves_one_whole_state(
    pause_ms: int, layout: Layout, folder: Path
) -> None:
    with worker(layout, folder) as other:
        assert other.do("endless") == "endless"
        with pytest.raises(subprocess.TimeoutExpired):
            other._child.wait(pause_ms / 1000.0)
        other.kill()
    for found in find_recoveries(folder):
        _, report = read_layout(found.path)
        assert report.is_clean
        assert found.title == "theirs"


def test_the_newest_work_comes_first(layout: Layout, folder: Path) -> None:
    with (
        worker(layout, folder, "older") as older,
        worker(layout, folder, "newer") as newer,
    ):
        older.keep()
        newer.keep()
        older.kill()
        newer.kill()
    assert [r.title for r in find_recoveries(folder)] == ["newer", "older"]


def test_a_torn_file_is_listed_and_can_be_thrown_away(folder: Path) -> None:
    folder.mkdir(parents=True)
    torn = folder / "unsaved-7.fwl"
    torn.write_bytes(b'{"format": "feederwright-lay')
    (found,) = find_recoveries(folder)
    assert found == Recovery(torn, None, None, "unsaved-7.fwl")
    with pytest.raises(FileFormatError):
        read_layout(found.path)
    discard(found)
    assert not torn.exists()


def test_what_is_no_file_is_listed_and_stands_in_nobodys_way(folder: Path) -> None:
    (folder / "unsaved-3.fwl").mkdir(parents=True)
    (found,) = find_recoveries(folder)
    assert found.title == "unsaved-3.fwl"


def test_files_that_were_never_whole_are_swept_after_a_day(folder: Path) -> None:
    folder.mkdir(parents=True)
    old, young = folder / ".fwl-old", folder / ".fwl-young"
    for path in (old, young):
        path.touch()
    yesterday = datetime.now(UTC) - timedelta(days=1, minutes=1)
    os.utime(old, (yesterday.timestamp(), yesterday.timestamp()))
    assert find_recoveries(folder) == ()
    assert not old.exists()
    assert young.exists()


@pytest.mark.parametrize("moment", ["0001-01-01T00:00:00", "9999-12-31T23:59:59Z"])
def test_an_impossible_moment_does_not_hide_the_work(moment: str, folder: Path) -> None:
    folder.mkdir(parents=True)
    (folder / "unsaved-1.fwl").write_bytes(file_of(recovery={"saved_at": moment}))
    (folder / "unsaved-2.fwl").write_bytes(file_of())
    assert len(find_recoveries(folder)) == 2


def test_no_folder_means_no_unsaved_work(folder: Path) -> None:
    assert find_recoveries(folder) == ()


def test_a_folder_that_cannot_be_made_is_named(layout: Layout, tmp_path: Path) -> None:
    (tmp_path / "file").touch()
    with pytest.raises(FileAccessError, match="cannot be written"):
        write_recovery(layout, None, tmp_path / "file" / "unsaved")
