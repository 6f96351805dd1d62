"""Make the bundle, a folder that needs no Python on the machine, and try it in an empty home.

    python .ci/bundle.py [--chroot] FOLDER

FOLDER/linesim has two commands, linesim and linesim-window, and their licences. The same on Linux,
Windows and macOS, each for itself: a bundle is for the system, and the kind of processor, that it
was made on. Prints sizes and times. ``--chroot``: on Linux, as root, it is tried where there is
nothing but the bundle and the system's C library, and for the window the libraries of its screen.
"""

from __future__ import annotations

import argparse
import contextlib
import os
import re
import shutil
import subprocess
import sys
import tempfile
import time
import venv
from collections.abc import Iterator, Sequence
from pathlib import Path

CLONE = Path(__file__).resolve().parents[1]
WINDOWS = os.name == "nt"
EXTRAS = "xlsx"
_LICENCE = re.compile(r"licen[sc]e|copying|notice|authors", re.IGNORECASE)


def main() -> int:
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("folder", type=Path)
    parser.add_argument("--chroot", action="store_true")
    parser.add_argument("--only-try", action="store_true", help="the bundle that is there")
    asked = parser.parse_args()
    bundle = asked.folder.resolve() / "linesim"
    if not asked.only_try:
        with tempfile.TemporaryDirectory() as work:
            make(bundle, Path(work))
    print(f"{_megabytes(bundle):.0f} MB in {bundle}")
    with tempfile.TemporaryDirectory() as work:
        (try_in_chroot if asked.chroot else try_in_empty_home)(bundle, Path(work))
    return 0


# -- making ------------------------------------------------------------------------------------


def make(bundle: Path, work: Path) -> None:
    """The bundle, with the licences of all that is in it."""
    environment = {name: value for name, value in os.environ.items() if name != "PYTHONPATH"}
    venv.create(work / "venv", with_pip=True)
    python = work / "venv" / ("Scripts/python.exe" if WINDOWS else "bin/python")

    def run(what: str, *arguments: str | Path, **more: str) -> None:
        begun = time.monotonic()
        done = subprocess.run(
            [python, "-m", *arguments],
            cwd=work,
            env=environment | more,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
            errors="replace",
        )
        print(f"{time.monotonic() - begun:6.1f} s  {what}", flush=True)
        if done.returncode:
            raise SystemExit(done.stdout[-4000:])

    run("packages installed", "pip", "install", "-q", f"{CLONE}[{EXTRAS}]", "pyinstaller>=6.10,<7")
    run("engine made, for any processor of this kind", "linesim.fast.making", work / "engine")
    (engine,) = (work / "engine").glob("*.o")
    run(
        "bundle put together",
        "PyInstaller",
        "--noconfirm",
        "--log-level=WARN",
        f"--distpath={bundle.parent}",
        f"--workpath={work / 'build'}",
        CLONE / ".ci" / "bundle.spec",
        BUNDLED_ENGINE=str(engine),
        BUNDLED_WORK=str(work),
    )
    put_licences(bundle / "licences", next((work / "venv").rglob("site-packages")), bundle)


def put_licences(folder: Path, packages: Path, bundle: Path) -> None:
    """Whose work is in it, and on what terms."""
    shutil.copytree(CLONE / ".ci" / "licences", folder, dirs_exist_ok=True)
    for info in sorted(packages.glob("*.dist-info")):
        name = info.name.removesuffix(".dist-info")
        if name.lower().startswith(("pip-", "setuptools-", "pyinstaller", "altgraph", "linesim-")):
            continue
        found = [file for file in info.rglob("*") if file.is_file() and _LICENCE.search(file.name)]
        for file in [info / "METADATA", *found]:
            target = folder / name / file.relative_to(info)
            target.parent.mkdir(parents=True, exist_ok=True)
            shutil.copyfile(file, target)
    terms = Path(os.__file__).parent / "LICENSE.txt"
    if not terms.exists():
        terms = Path(sys.base_prefix) / ("LICENSE.txt" if WINDOWS else "LICENSE")
    (folder / "Python").mkdir(exist_ok=True)
    shutil.copyfile(terms, folder / "Python" / "LICENSE.txt")
    for package, terms in _terms_of_system_libraries(bundle):
        (folder / "system").mkdir(exist_ok=True)
        shutil.copyfile(terms, folder / "system" / f"{package}.txt")


def _terms_of_system_libraries(bundle: Path) -> Iterator[tuple[str, Path]]:
    """Packages of the system that libraries in the bundle are from, with their copyright files."""
    if shutil.which("dpkg-query") is None:
        return
    names = [file.name for file in (bundle / "_internal").glob("*.so*")]
    said = subprocess.run(
        ["dpkg-query", "--search", *(f"*/{name}" for name in names)],
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        text=True,
    ).stdout
    for package in sorted({line.split(":")[0] for line in said.splitlines()}):
        terms = Path("/usr/share/doc") / package / "copyright"
        if terms.exists():
            yield package, terms


# -- trying ------------------------------------------------------------------------------------


def try_in_empty_home(bundle: Path, work: Path) -> None:
    """With nothing on PATH, and nothing in the home."""
    home = work / "home"
    home.mkdir()
    environment = {"PATH": str(work / "none")}
    if WINDOWS:
        kept = ("SYSTEMROOT", "TEMP", "TMP")
        environment |= {name: os.environ[name] for name in kept if name in os.environ}
        environment |= {"USERPROFILE": str(home), "LOCALAPPDATA": str(home), "APPDATA": str(home)}
    else:
        environment["HOME"] = str(home)
    with _screen() as screen:
        _try([], bundle, home, str(home), environment, screen)


def try_in_chroot(bundle: Path, work: Path) -> None:
    """As root of a folder with the bundle, the C library and what the screen needs."""
    root = work / "root"
    for folder in ("home", "tmp", "dev/shm", "proc", "tmp/.X11-unix"):
        (root / folder).mkdir(parents=True)
    shutil.copytree(bundle, root / "linesim", symlinks=True)
    asked = _asked_of_the_system(bundle)
    print("of this system:", ", ".join(sorted(each.name for each in asked)))
    for library in asked:
        target = root / library.relative_to("/")
        target.parent.mkdir(parents=True, exist_ok=True)
        shutil.copyfile(library.resolve(), target)
        target.chmod(0o755)
    with contextlib.ExitStack() as mounted, _screen() as screen:
        for source, kind in (
            ("/dev", "--rbind"),
            ("/proc", "--rbind"),
            ("/tmp/.X11-unix", "--bind"),
        ):
            if not Path(source).exists():
                continue
            target = root / source.lstrip("/")
            subprocess.run(["mount", kind, source, target], check=True)
            subprocess.run(["mount", "--make-rslave", target], check=True)
            mounted.callback(subprocess.run, ["umount", "-l", target], check=True)
        environment = {"HOME": "/home", "PATH": "/none"}
        in_there = [shutil.which("chroot") or "/usr/sbin/chroot", str(root)]
        _try(in_there, Path("/linesim"), root / "home", "/home", environment, screen)


def _asked_of_the_system(bundle: Path) -> set[Path]:
    """Libraries that those of the bundle are linked to, and that are not in it."""
    found: set[Path] = set()
    own = {file.name for file in bundle.rglob("*.so*")}
    for file in [bundle / "linesim", *bundle.rglob("*.so*")]:
        said = subprocess.run(["ldd", file], stdout=subprocess.PIPE, stderr=subprocess.DEVNULL)
        for path in re.findall(r"(/[^\s]+) \(0x", said.stdout.decode()):
            # The command itself looks for its libraries before it knows of those in the bundle.
            begins = file.parent == bundle
            if not Path(path).is_relative_to(bundle) and (begins or Path(path).name not in own):
                found.add(Path(path))
    return found


@contextlib.contextmanager
def _screen() -> Iterator[dict[str, str]]:
    """Xvfb where it is to be had, else none; as variables of the environment."""
    if WINDOWS or sys.platform == "darwin":
        yield {}
    elif shutil.which("Xvfb") is None:
        yield {"QT_QPA_PLATFORM": "offscreen"}
    else:
        read, write = os.pipe()
        command = ["Xvfb", "-displayfd", str(write), "-screen", "0", "1440x900x24"]
        quiet = subprocess.DEVNULL
        with subprocess.Popen(command, pass_fds=[write], stdout=quiet, stderr=quiet) as server:
            os.close(write)
            with os.fdopen(read) as told:
                display = told.readline().strip()
            try:
                yield {"DISPLAY": f":{display}"}
            finally:
                server.terminate()


def _try(
    within: Sequence[str],
    bundle: Path,
    home: Path,
    home_within: str,
    environment: dict[str, str],
    screen: dict[str, str],
) -> None:
    """What a user does on the first day, a command after the other."""
    ending = ".exe" if WINDOWS else ""

    def run(command: str, *arguments: str, **more: str) -> str:
        begun = time.monotonic()
        done = subprocess.run(
            [*within, str(bundle / f"{command}{ending}"), *arguments],
            cwd="/" if within else home,
            env=environment | more,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
            encoding="utf-8",
            errors="replace",
        )
        print(f"{time.monotonic() - begun:6.1f} s  {command} {' '.join(arguments)}", flush=True)
        if done.returncode:
            raise SystemExit(done.stdout)
        return done.stdout

    own: set[str] = set()

    def made(name: str) -> str:
        own.add(name)
        return f"{home_within}/{name}"

    def must_be(name: str, begins: bytes) -> None:
        content = (home / name).read_bytes()
        if not content.startswith(begins):
            raise SystemExit(f"{name} is not what it should be: {content[:20]!r}")

    run("linesim", "--version")
    run("linesim", "--version")
    about = run("linesim", "about")
    if "compiled" not in about or about.count("the known figures in 6 demo lines") != 2:
        raise SystemExit(about)
    run("linesim", "run", "short-bridge", "--share", made("shared.html"))
    must_be("shared.html", b"<!")
    study = ("size-bridge", "short-bridge", "--places", "21,40", "--hours", "24", "--no-levels")
    runs = (*study, "--replications", "6", "--processes")
    run("linesim", *runs, "1", "--json", made("1.json"))
    run("linesim", *runs, "2", "--json", made("2.json"), "--pictures", made("pictures"))
    must_be("2.json", (home / "1.json").read_bytes())
    run("linesim", "report", "short-bridge", "-o", made("report.pdf"))
    must_be("report.pdf", b"%PDF")
    must_be("pictures/output.svg", b"<")
    must_be("pictures/output.pdf", b"%PDF")
    run("linesim", "manual", "-o", made("manual.html"))
    must_be("manual.html", b"<!")
    picture = ("--size", "1280x800", "--picture", made("window.png"))
    run("linesim-window", "short-bridge", *picture, **screen)
    must_be("window.png", b"\x89PNG")
    if sys.platform.startswith("linux"):
        run("linesim-window", "--desktop-entry", "put")

    def kept() -> list[str]:
        files = (each.relative_to(home) for each in home.rglob("*") if each.is_file())
        return sorted(str(each) for each in files if each.parts[0] not in own)

    print("kept in the home:", *kept(), sep="\n         ")
    run("linesim", "about", "--remove", "all")
    if left := kept():
        raise SystemExit(f"that is left in the home: {', '.join(left)}")


def _megabytes(folder: Path) -> float:
    return sum(each.lstat().st_size for each in folder.rglob("*") if each.is_file()) / 1e6


if __name__ == "__main__":
    raise SystemExit(main())
