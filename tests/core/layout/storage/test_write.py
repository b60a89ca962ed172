"""Saving puts the whole new file in place, or leaves the old one whole."""

import errno
import os
import stat
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from msgspec.structs import replace

from core.errors import FileAccessError, FileFormatError
from core.layout.change import Change
from core.layout.ids import BACKDROP_ID
from core.layout.layout import Layout
from core.layout.parts import Backdrop
from core.layout.storage.read import read_layout
from core.layout.storage.text import dump_layout
from core.layout.storage.write import backup_path, write_layout
from tests.core.layout.samples import BOOSTER, BUS, DROP, RUN, content, read


@pytest.fixture
def layout() -> Layout:
    return read(RUN, BOOSTER, BUS, DROP)[0]


def retitled(layout: Layout, title: str) -> Layout:
    before = layout.settings
    after = layout.copy()
    after.apply(
        Change("", {before.id: before}, {before.id: replace(before, title=title)})
    )
    return after


def test_a_saved_layout_is_read_back(layout: Layout, tmp_path: Path) -> None:
    path = tmp_path / "Größe 1 Ω.fwl"
    write_layout(layout, path)
    again, report = read_layout(path)
    assert report.is_clean
    assert content(again) == content(layout)


def test_the_state_before_is_kept_beside_it(layout: Layout, tmp_path: Path) -> None:
    path = tmp_path / "a.fwl"
    for title in ("one", "two", "three"):
        write_layout(retitled(layout, title), path)
    assert backup_path(path) == tmp_path / "a.fwl~"
    assert read_layout(backup_path(path))[0].settings.title == "two"
    assert sorted(p.name for p in tmp_path.iterdir()) == ["a.fwl", "a.fwl~"]


def test_a_first_save_has_nothing_to_keep(layout: Layout, tmp_path: Path) -> None:
    write_layout(layout, tmp_path / "a.fwl")
    assert [p.name for p in tmp_path.iterdir()] == ["a.fwl"]


def test_saving_the_same_again_keeps_the_state_before(
    layout: Layout, tmp_path: Path
) -> None:
    path = tmp_path / "a.fwl"
    write_layout(retitled(layout, "one"), path)
    write_layout(retitled(layout, "two"), path)
    write_layout(retitled(layout, "two"), path)
    assert read_layout(backup_path(path))[0].settings.title == "one"


def test_a_disk_without_hard_links_keeps_the_state_before_too(
    layout: Layout, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(*_: Any) -> None:
        raise OSError(errno.EPERM, os.strerror(errno.EPERM))

    monkeypatch.setattr(os, "link", refuse)
    path = tmp_path / "a.fwl"
    write_layout(retitled(layout, "one"), path)
    write_layout(retitled(layout, "two"), path)
    assert read_layout(backup_path(path))[0].settings.title == "one"
    assert sorted(p.name for p in tmp_path.iterdir()) == ["a.fwl", "a.fwl~"]


def test_rights_stay_as_they_were(layout: Layout, tmp_path: Path) -> None:
    path = tmp_path / "a.fwl"
    write_layout(layout, path)
    path.chmod(0o640)
    write_layout(retitled(layout, "two"), path)
    assert stat.S_IMODE(path.stat().st_mode) == 0o640


def test_a_new_file_has_the_rights_of_any_new_file(
    layout: Layout, tmp_path: Path
) -> None:
    write_layout(layout, tmp_path / "a.fwl")
    (tmp_path / "other").touch()
    modes = {stat.S_IMODE(p.stat().st_mode) for p in tmp_path.iterdir()}
    assert len(modes) == 1


def test_a_link_stays_a_link(layout: Layout, tmp_path: Path) -> None:
    (tmp_path / "far").mkdir()
    real, link = tmp_path / "far" / "a.fwl", tmp_path / "link.fwl"
    write_layout(layout, real)
    link.symlink_to(real)
    write_layout(retitled(layout, "through the link"), link)
    assert link.is_symlink()
    assert read_layout(real)[0].settings.title == "through the link"
    assert backup_path(real).exists()


# The world's errors ---------------------------------------------------------------


def fail_full(*_: Any, **__: Any) -> None:
    raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))


@pytest.mark.parametrize("step", ["fsync", "link", "replace"])
def test_a_full_disk_leaves_the_old_file_whole(
    step: str, layout: Layout, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "a.fwl"
    write_layout(retitled(layout, "one"), path)
    before = path.read_bytes()
    if step == "replace":
        monkeypatch.setattr(Path, "replace", fail_full)
    else:
        monkeypatch.setattr(os, step, fail_full)
    if step == "link":  # then a copy is tried, on the same full disk
        monkeypatch.setattr("core.layout.storage.write.shutil.copy2", fail_full)
    with pytest.raises(FileAccessError, match="the disk is full") as caught:
        write_layout(retitled(layout, "two"), path)
    assert caught.value.where == str(path)
    assert "untouched" in caught.value.hint
    monkeypatch.undo()
    assert path.read_bytes() == before
    assert [p.name for p in tmp_path.iterdir()] == ["a.fwl"]


def test_a_truly_full_disk_leaves_the_old_file_whole(
    layout: Layout, tmp_path: Path
) -> None:
    """A limit on the size of files stands for the full disk; the kernel is real."""
    path = tmp_path / "a.fwl"
    write_layout(layout, path)
    before = path.read_bytes()
    program = (
        "import resource, signal, sys\n"
        "from pathlib import Path\n"
        "from core.errors import FileAccessError\n"
        "from core.layout.storage.read import read_layout\n"
        "from core.layout.storage.write import write_layout\n"
        "path = Path(sys.argv[1])\n"
        "layout, _ = read_layout(path)\n"
        "signal.signal(signal.SIGXFSZ, signal.SIG_IGN)\n"
        "resource.setrlimit(resource.RLIMIT_FSIZE, (100, 100))\n"
        "try:\n"
        "    write_layout(layout, path)\n"
        "except FileAccessError as error:\n"
        "    print(error.sentence())\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", program, str(path)],
        capture_output=True,
        text=True,
        check=True,
        timeout=60,
    )
    assert "cannot be written" in done.stdout
    assert path.read_bytes() == before
    assert [p.name for p in tmp_path.iterdir()] == ["a.fwl"]


def test_a_missing_folder_is_named(layout: Layout, tmp_path: Path) -> None:
    with pytest.raises(FileAccessError, match="not there"):
        write_layout(layout, tmp_path / "none" / "a.fwl")


def test_a_folder_cannot_be_saved_over(layout: Layout, tmp_path: Path) -> None:
    (tmp_path / "a.fwl").mkdir()
    with pytest.raises(FileAccessError, match="is a folder"):
        write_layout(layout, tmp_path / "a.fwl")
    assert [p.name for p in tmp_path.iterdir()] == ["a.fwl"]


def test_a_link_to_itself_is_named(layout: Layout, tmp_path: Path) -> None:
    path = tmp_path / "loop.fwl"
    path.symlink_to(path)
    with pytest.raises(FileAccessError, match="link to itself"):
        write_layout(layout, path)
    assert path.is_symlink()


def test_a_pipe_is_not_saved_over(layout: Layout, tmp_path: Path) -> None:
    path = tmp_path / "pipe.fwl"
    os.mkfifo(path)
    with pytest.raises(FileAccessError, match="not a file"):
        write_layout(layout, path)
    assert [p.name for p in tmp_path.iterdir()] == ["pipe.fwl"]
    assert path.is_fifo()


@pytest.mark.parametrize("name", ["a\0b.fwl", "x" * 300 + ".fwl"])
def test_a_name_that_no_disk_takes_is_refused(
    name: str, layout: Layout, tmp_path: Path
) -> None:
    with pytest.raises(FileAccessError, match="name"):
        write_layout(layout, tmp_path / name)
    assert list(tmp_path.iterdir()) == []


def test_a_file_that_may_not_be_written_is_left_alone(
    layout: Layout, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "a.fwl"
    write_layout(retitled(layout, "mine"), path)
    path.chmod(0o444)
    # Root may write everything; ask as somebody else would be answered.
    monkeypatch.setattr(os, "access", lambda *_: False)
    with pytest.raises(FileAccessError, match="you may not"):
        write_layout(retitled(layout, "theirs"), path)
    assert read_layout(path)[0].settings.title == "mine"


def test_a_layout_too_large_for_a_file_is_not_written(
    layout: Layout, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "a.fwl"
    write_layout(layout, path)
    before = path.read_bytes()
    picture = Backdrop(
        media="image/png", data=bytes(31_000_000), width_px=1, height_px=1
    )
    large = layout.copy()
    large.apply(Change("", {BACKDROP_ID: None}, {BACKDROP_ID: picture}))
    with pytest.raises(FileFormatError, match="too large for a file: 41 MB"):
        write_layout(large, path)
    assert path.read_bytes() == before


def test_killed_at_any_moment_a_save_leaves_a_whole_file(
    layout: Layout, tmp_path: Path
) -> None:
    """A child saves two states in turn, without end, and is killed with -9."""
    path = tmp_path / "a.fwl"
    states = [retitled(layout, title * 40) for title in ("one ", "two ")]
    whole = {dump_layout(state) for state in states}
    write_layout(states[0], path)
    program = (
        "import sys\n"
        "from pathlib import Path\n"
        "from core.layout.storage.read import read_layout\n"
        "from core.layout.storage.write import write_layout\n"
        "states = [read_layout(Path(p))[0] for p in sys.argv[2:]]\n"
        "print('ready', flush=True)\n"
        "while True:\n"
        "    for state in states:\n"
        "        write_layout(state, Path(sys.argv[1]))\n"
    )
    sources = [tmp_path / f"{i}.source" for i in range(2)]
    for state, source in zip(states, sources, strict=True):
        source.write_bytes(dump_layout(state))
    for pause_ms in (0, 3, 7, 12, 20):
        with subprocess.Popen(
            [sys.executable, "-c", program, str(path), *map(str, sources)],
            stdout=subprocess.PIPE,
            text=True,
        ) as child:
            assert child.stdout is not None
            assert child.stdout.readline() == "ready\n"
            with pytest.raises(subprocess.TimeoutExpired):
                child.wait(pause_ms / 1000.0)
            child.kill()
        assert path.read_bytes() in whole
        kept = backup_path(path)
        assert not kept.exists() or kept.read_bytes() in whole
