"""No code runs from data: what the sources may and may not say."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

_TOP = Path(__file__).resolve().parents[2]
_SOURCES = sorted([*(_TOP / "linesim").rglob("*.py"), *(_TOP / "gui").rglob("*.py")])

# Reads or runs code, or other programs.
_NO_MODULES = {
    "pickle", "cPickle", "marshal", "shelve", "dill", "cloudpickle", "joblib", "yaml",
    "subprocess", "pty", "ctypes", "cffi", "code", "codeop", "runpy", "imp",
    # XML with entities; workbooks are read by openpyxl.
    "xml.dom", "xml.etree", "xml.sax.handler", "xml.sax.expatreader", "lxml",
}  # fmt: skip
# The network.
_NO_NETWORK = {
    "socketserver", "http", "urllib", "requests", "httpx", "ftplib", "smtplib", "telnetlib",
    "xmlrpc", "asyncio", "ssl", "socket",
    "PySide6.QtNetwork", "PySide6.QtWebEngineCore", "PySide6.QtWebSockets",
    "multiprocessing.managers", "multiprocessing.connection.Listener",
}  # fmt: skip
_ALLOWED = {
    # A pair of ends of its own, by which a signal is heard.
    ("gui/window/abnormal_exit.py", "socket"),
    # What the window and its own processes say to each other, over a pipe that nobody else has.
    ("gui/work/pipe_io.py", "pickle"),
    # This program itself, once, to make the compiled engine while one goes on working.
    ("linesim/fast/kept_engine.py", "subprocess"),
    # The desktop's own tools, by their names, told that an entry is there.
    ("linesim/platforms.py", "subprocess"),
    # The compiled engine is called by its address.
    ("linesim/fast/compiled.py", "ctypes"),
    ("linesim/fast/machine_code.py", "ctypes"),
    # The name of an error.
    ("linesim/plant/workbook.py", "xml.etree"),
}
_NO_CALLS = {"eval", "exec", "compile", "__import__", "execfile"}
_NO_METHODS = {
    "os.system", "os.popen", "os.execv", "os.execve", "os.execvp", "os.spawnv", "os.startfile",
    "np.load", "numpy.load", "np.loads", "shutil.unpack_archive",
}  # fmt: skip
# Who writes files: one place, whole or not at all, and the log, at its end.
_WRITERS = {"linesim/files.py", "linesim/log_file.py"}


@cache
def trees() -> tuple[tuple[str, ast.Module], ...]:
    """Every source, by its path from the top of the clone."""
    return tuple(
        (path.relative_to(_TOP).as_posix(), ast.parse(path.read_text("utf-8"))) for path in _SOURCES
    )


@cache
def nodes() -> tuple[tuple[str, ast.AST, str], ...]:
    """Every call and import of every source, with its place and the name that is called."""
    return tuple(
        (f"{name}:{node.lineno}", node, dotted(node.func) if isinstance(node, ast.Call) else "")
        for name, tree in trees()
        for node in ast.walk(tree)
        if isinstance(node, ast.Call | ast.Import | ast.ImportFrom)
    )


def dotted(node: ast.AST) -> str:
    """A dotted name as it is written; "?" stands for what is none."""
    if isinstance(node, ast.Name):
        return node.id
    return f"{dotted(node.value)}.{node.attr}" if isinstance(node, ast.Attribute) else "?"


def imported(node: ast.AST) -> set[str]:
    """Modules that a node imports, each with what lies above it."""
    names: set[str] = set()
    if isinstance(node, ast.Import):
        names = {alias.name for alias in node.names}
    elif isinstance(node, ast.ImportFrom) and node.module is not None and not node.level:
        names = {node.module, *(f"{node.module}.{alias.name}" for alias in node.names)}
    return {
        ".".join(name.split(".")[: n + 1]) for name in names for n in range(name.count(".") + 1)
    }


def test_nothing_is_loaded_that_reads_code_runs_programs_or_talks_to_the_network() -> None:
    found = [
        (place, module)
        for place, node, called in nodes()
        for module in imported(node) & (_NO_MODULES | _NO_NETWORK)
        if (place.split(":")[0], module) not in _ALLOWED
    ]
    assert found == []


def test_nothing_is_evaluated_and_no_shell_is_asked() -> None:
    found = []
    for place, node, called in nodes():
        if not isinstance(node, ast.Call):
            continue
        keywords = {keyword.arg for keyword in node.keywords}
        if called in _NO_CALLS | _NO_METHODS or keywords & {"shell", "allow_pickle"}:
            found.append((place, called))
    assert found == []


def test_modules_are_loaded_by_names_that_stand_in_the_source() -> None:
    """Only studies, which are the modules of one folder, and the three libraries of frames."""
    found = [
        (place.split(":")[0], ast.unparse(node))
        for place, node, called in nodes()
        if isinstance(node, ast.Call)
        and called.endswith("import_module")
        and not isinstance(node.args[0], ast.Constant)
    ]
    assert found == [
        # Names of a tuple beside it.
        ("gui/charts/ahead.py", "import_module(name)"),
        ("linesim/interactive.py", "import_module(name)"),
        ("linesim/questions/catalogue/__init__.py", "import_module(f'{__name__}.{module.name}')"),
    ]


def test_sql_is_written_down_and_values_are_parameters() -> None:
    found = []
    for place, node, _ in nodes():
        if not (isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute)):
            continue
        if node.func.attr not in ("execute", "executemany", "executescript"):
            if "extension" in node.func.attr:
                found.append((place, ast.unparse(node)))
            continue
        statement = node.args[0]
        parts = statement.values if isinstance(statement, ast.JoinedStr) else [statement]
        for part in parts:
            value = part.value if isinstance(part, ast.FormattedValue) else part
            constant = isinstance(value, ast.Constant) or (
                isinstance(value, ast.Name) and re.fullmatch(r"_[A-Z_]+|statement", value.id)
            )
            if not constant:
                found.append((place, ast.unparse(statement)))
    assert found == []
    connected = [
        place.split(":")[0] for place, node, called in nodes() if called == "sqlite3.connect"
    ]
    assert connected == ["linesim/studies/study_file.py"]


def test_files_of_the_user_are_written_in_one_place() -> None:
    found = []
    for place, node, called in nodes():
        if not isinstance(node, ast.Call) or place.split(":")[0] in _WRITERS:
            continue
        modes = {
            argument.value
            for argument in [*node.args[:2], *(each.value for each in node.keywords)]
            if isinstance(argument, ast.Constant) and isinstance(argument.value, str)
        }
        opens = called.split(".")[-1] in ("open", "fdopen") and any(
            re.fullmatch(r"[rwxab+t]*[wxa+][rwxab+t]*", mode) for mode in modes
        )
        writes = called.split(".")[-1] in ("write_text", "write_bytes", "mkstemp", "touch")
        ours = called in (
            "write_text",
            "write_bytes",
            "linesim.files.write_bytes",
            "linesim.files.write_text",
        )
        if opens or (writes and not ours):
            found.append((place, ast.unparse(node)))
    assert found == []


def _is_written_down(node: ast.AST) -> bool:
    """Whether the text that is called markup stands in the source as it is."""
    assert isinstance(node, ast.Call)
    (text,) = node.args
    choices = [text.body, text.orelse] if isinstance(text, ast.IfExp) else [text]
    return all(isinstance(each, ast.Constant) for each in choices)


def test_pages_escape_what_is_put_into_them() -> None:
    environments, trusted = [], []
    for place, node, called in nodes():
        if isinstance(node, ast.Call) and called == "Environment":
            escaped = {each.arg: ast.unparse(each.value) for each in node.keywords}
            environments.append(escaped.get("autoescape"))
        # What is put into a template of our own is escaped.
        if called == "Markup" and not _is_written_down(node):
            trusted.append((place.split(":")[0], ast.unparse(node)))
    assert environments == ["True"]
    # The manual, in whose Markdown no HTML passes; our own hatches, script and style sheets, a name
    # that is escaped first, a drawing that escapes the texts in it.
    assert sorted(trusted) == [
        ("linesim/manual/page.py", "Markup(html)"),
        (
            "linesim/report/page/html.py",
            "Markup(colour_rules() + ''.join((_source(package, name) for name in names)))",
        ),
        (
            "linesim/report/page/html.py",
            "Markup(hatch_patterns('on') + hatch_patterns('on', strokes='ink'))",
        ),
        (
            "linesim/report/page/html.py",
            "Markup(re.sub('([._])(?=\\\\w)', '\\\\1<wbr>', str(escape(name))))",
        ),
        ("linesim/report/page/html.py", "Markup(script)"),
        ("linesim/report/page/html.py", "Markup(svg(drawing, name))"),
        # A cell is of one of two kinds.
        ("linesim/report/page/rich_text.py", "Markup(f'<{cell} {look}>{{}}</{cell}>')"),
    ]
    for template in (_TOP / "linesim").rglob("template/*"):
        assert not re.search(r"\|\s*safe|autoescape", template.read_text("utf-8")), template.name


# Words of the program's own that tips are made of, besides what stands in the source.
_OWN_WORDS = {
    "page.help", "PAGES[name].help", "group.help", "part.help", "field.help", "field.name",
    "named.field.help", "info.description", "tip", "_TIP", "_HELP", "meaning", "told", "words",
    "why_not", "_WRITES", "_NOT_SHOWN", "text", "details", "with_titles",
}  # fmt: skip
_TIPS_OF_OWN_WORDS = {
    "gui/form/law_picture.py",
    "gui/headline/row.py",
    "gui/plan/view.py",
    "gui/strip/view.py",
}


def test_tips_of_words_from_files_are_no_markup() -> None:
    """``plain_tip`` stands around everything that is not the program's own."""
    found = []
    for place, node, _ in nodes():
        if not (isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute)):
            continue
        if node.func.attr not in ("setToolTip", "showText", "setWhatsThis"):
            continue
        shown = node.args[1 if node.func.attr == "showText" else 0]
        if place.split(":")[0] in _TIPS_OF_OWN_WORDS and isinstance(shown, ast.Name):
            continue
        for part in outside_plain_tip(shown):
            if isinstance(part, ast.Name | ast.Attribute) and ast.unparse(part) not in _OWN_WORDS:
                found.append((place, ast.unparse(shown)))
                break
    assert found == []


# Where markup of the program's own is shown; words from files are escaped in it.
_MARKUP = {
    "gui/form/fault_list.py": "self.text.setTextFormat(Qt.TextFormat.RichText)",
    "gui/window/told_label.py": "self.label.setTextFormat(Qt.TextFormat.RichText)",
}
_ASKED = {
    f"QMessageBox.{kind}" for kind in ("question", "information", "warning", "critical", "about")
}


def test_labels_are_plain() -> None:
    """Qt takes the text of a label of its own for markup where it looks like some."""
    found, formats = [], []
    for place, node, called in nodes():
        if not isinstance(node, ast.Call) or place.split(":")[0] == "gui/look/label.py":
            continue
        last = called.split(".")[-1]
        if last == "QLabel" or (last == "addRow" and makes_a_label(node)):
            found.append((place, ast.unparse(node)))
        if last == "setTextFormat" and "PlainText" not in ast.unparse(node):
            formats.append((place.split(":")[0], ast.unparse(node)))
    for name, tree in trees():
        for node in ast.walk(tree):
            if isinstance(node, ast.ClassDef) and name != "gui/look/label.py":
                found += [(name, node.name) for base in node.bases if dotted(base) == "QLabel"]
    assert found == []
    assert formats == list(_MARKUP.items())


def makes_a_label(row: ast.Call) -> bool:
    """Whether a row of a form is given words, of which Qt makes a label."""
    first = row.args[0]
    ours = isinstance(first, ast.Call) and dotted(first.func) in ("label_of", "PlainLabel")
    return len(row.args) == 2 and not ours and ast.unparse(first) != "label"


def test_messages_are_plain() -> None:
    """What a message says is no markup: it is told so, or goes through ``plain_tip``."""
    made, found = [], []
    for place, node, called in nodes():
        if not isinstance(node, ast.Call):
            continue
        if called == "QMessageBox":
            made.append(place.split(":")[0])
        if called in _ASKED and any(
            name for said in node.args[2:3] for name in outside_plain_tip(said)
        ):
            found.append((place, ast.unparse(node)))
    assert found == []
    assert made == ["gui/dialogs.py", "gui/window/error_box.py"]


def outside_plain_tip(node: ast.AST) -> Iterator[ast.AST]:
    """Names in an expression that do not go through ``plain_tip``; conditions show nothing."""
    if isinstance(node, ast.Call) and dotted(node.func) == "plain_tip":
        return
    if isinstance(node, ast.Name | ast.Attribute):
        yield node
        return
    children = (
        [node.body, node.orelse] if isinstance(node, ast.IfExp) else ast.iter_child_nodes(node)
    )
    for child in children:
        yield from outside_plain_tip(child)


@pytest.mark.parametrize("folder", ["linesim", "gui"])
def test_there_was_something_to_look_at(folder: str) -> None:
    assert sum(name.startswith(f"{folder}/") for name, _ in trees()) > 50
