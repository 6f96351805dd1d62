"""What the window remembers, from a window of another version too."""

from pathlib import Path

import linesim
from gui.window.window_settings import WindowSettings


def test_what_an_older_window_kept_is_known_and_what_a_newer_one_kept_is_left_alone() -> None:
    file = linesim.folders.window_file()
    file.parent.mkdir(parents=True, exist_ok=True)
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
