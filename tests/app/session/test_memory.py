"""Recent files and choices outlast the program."""

from pathlib import Path

from app.session.recent import MOST_RECENT, Memory


def touch(folder: Path, name: str) -> Path:
    path = folder / name
    path.write_text("", encoding="utf-8")
    return path


def test_the_newest_file_comes_first_and_only_once(tmp_path: Path) -> None:
    a, b = touch(tmp_path, "a.fwl"), touch(tmp_path, "b.fwl")
    for path in (a, b, a):
        Memory().note_file(path)
    assert Memory().recent == (a, b)


def test_files_that_are_gone_are_not_offered(tmp_path: Path) -> None:
    path = touch(tmp_path, "a.fwl")
    Memory().note_file(path)
    path.unlink()
    assert Memory().recent == ()


def test_only_so_many_are_kept(tmp_path: Path) -> None:
    for i in range(MOST_RECENT + 3):
        Memory().note_file(touch(tmp_path, f"{i}.fwl"))
    assert len(Memory().recent) == MOST_RECENT


def test_the_theme_is_remembered() -> None:
    assert Memory().theme == "system"
    Memory().theme = "dark"
    assert Memory().theme == "dark"
