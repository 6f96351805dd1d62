"""What the window remembers, from a window of another version too."""

from pathlib import Path

import pytest
from PySide6.QtWidgets import QMenu

import linesim
from gui.window.main_window import MainWindow
from gui.window.window_settings import WindowSettings


def test_what_an_older_window_kept_is_known_and_what_a_newer_one_kept_is_left_alone(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    # Not the settings of whoever runs the tests.
    file = tmp_path / "window.conf"
    monkeypatch.setattr(linesim.folders, "window_file", lambda: file)
    # As windows wrote it before it stated a format.
    file.write_text("[General]\nrecent=/tmp/one.toml, /tmp/two.toml\n")
    settings = WindowSettings()
    assert settings.recent() == [Path("/tmp/one.toml"), Path("/tmp/two.toml")]
    settings.choose("theme", "dark")
    assert WindowSettings().choice("theme", ["light", "dark"]) == "dark"
    newer = "[General]\nformat=99\nrecent=/tmp/three.toml\ntheme=none of ours\n"
    del settings
    file.write_text(newer)
    settings = WindowSettings()
    assert not settings.remembers
    assert settings.recent() == []
    settings.choose("theme", "dark")
    settings.opened(Path("/tmp/four.toml"))
    assert file.read_text() == newer


def test_unsaved_work_is_offered_whoever_wrote_the_settings(
    window: MainWindow, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    offered: list[bool] = []
    monkeypatch.setattr(window.files, "offer_recovered", lambda: offered.append(True) or True)
    monkeypatch.setattr(window, "_remember", True)
    # As where a newer window wrote them.
    assert not window.settings.remembers
    window.open_at_start(tmp_path / "none.toml")
    assert offered == [True]


def test_of_colours_and_sizes_of_letters_one_is_chosen(window: MainWindow) -> None:
    titles = {menu.title(): menu for menu in window.findChildren(QMenu)}
    for title, chosen in (("&Colours", "Dark"), ("&Text size", "Larger")):
        actions = titles[title].actions()
        before = [each for each in actions if each.isChecked()]
        assert len(before) == 1
        # One of several, not each with a tick of its own: what is chosen again stays chosen.
        for _ in range(2):
            next(each for each in actions if each.text() == chosen).trigger()
        assert [each.text() for each in actions if each.isChecked()] == [chosen]
        before[0].trigger()
