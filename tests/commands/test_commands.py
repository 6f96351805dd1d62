"""The command as a person uses it."""

import csv
import json
import subprocess
import sys
from itertools import pairwise
from pathlib import Path

import pytest
from click.testing import CliRunner

import linesim
from linesim.commands import main
from linesim.fast.readiness import WORTH_HOURS
from linesim.studies import run_spec
from linesim.version import __version__

PLAIN = """
[line]
name = "plain line"
invented = true
shift_hours = 1

[gate]
cuts_after_stop = 10

[[wrapper]]
name = "=wrapper"
rate_reams_per_min = 60
spoiled_per_10000 = 20

[[stop]]
cause = "wrapper jam"
every_reams = { law = "exponential", mean = 200 }
restore_min = 2

[[stop]]
cause = "edge guiding"
every_running_h = { law = "exponential", mean = 2 }
"""


@pytest.fixture
def plain(tmp_path: Path) -> str:
    path = tmp_path / "plain.toml"
    path.write_text(PLAIN, encoding="utf-8")
    return str(path)


def invoke(*args: str):
    return CliRunner().invoke(main, list(args))


def test_help_of_every_command_names_what_it_does():
    shown = invoke("--help")
    assert shown.exit_code == 0
    for name in ("run", "check", "schema", "causes", "rates"):
        assert name in shown.output
        told = invoke(name, "--help")
        assert told.exit_code == 0
        assert "Usage:" in told.output
        assert all(len(line) <= 100 for line in told.output.splitlines())


def test_a_few_runs_have_the_engine_made_that_tells_what_would_help(plain, monkeypatch):
    """Ten shifts by themselves would not pay it; what would help waits for it."""
    monkeypatch.setattr("linesim.fast.is_quick", lambda: False)
    monkeypatch.setattr("linesim.report.help_words.is_quick", lambda: False)
    seen = []
    monkeypatch.setattr("linesim.fast.ready_engine", lambda hours: seen.append(hours) or "")
    shift = ("--hours", "8", "--replications")
    assert "is told once the compiled engine" in invoke("run", plain, *shift, "2").output
    invoke("run", plain, *shift, "2", "--no-levers")
    invoke("run", plain, *shift, "1")
    asked, left_out, one = (hours >= WORTH_HOURS for hours in seen)
    assert (asked, left_out, one) == (True, False, False)


def test_report_says_the_main_things_within_the_width_of_a_mail(plain):
    shown = invoke("run", plain, "--replications", "3", "--audit", "--no-levers")
    assert shown.exit_code == 0, shown.output
    for text in (
        "good reams",
        "OEE",
        "What holds the line",
        "breakdowns",
        "wrapper jam",
        "edge guiding",
        "in good reams",
        "books balance",
        "seed 1",
        "no such line exists",
        "local codes",
        f"linesim {__version__}",
        "±",
    ):
        assert text in shown.output
    assert "FAULT" not in shown.output
    assert "(web" not in shown.output
    assert max(map(len, shown.output.splitlines())) <= 100


def test_one_run_has_no_interval(plain, tmp_path):
    answer = tmp_path / "one.json"
    shown = invoke("run", plain, "--replications", "1", "--json", str(answer))
    assert "one run: no interval" in shown.output
    assert "±" not in shown.output
    measures = json.loads(answer.read_text())["measures"]
    assert all(measure["half_width"] is None for measure in measures.values())


def test_json_is_the_same_to_the_byte_whatever_the_processes(plain, tmp_path, fresh_processes):
    path = tmp_path / "run.json"

    def said(seed: str, *others: str) -> bytes:
        asked = ("run", plain, "--hours", "0.5", "--replications", "4", "--seed", seed)
        shown = invoke(*asked, "--json", str(path), *others)
        assert shown.exit_code == 0, shown.output
        return path.read_bytes()

    first, *again = [said("7", "--processes", count) for count in ("1", "2", "1")]
    assert again == [first, first]
    other = said("8", "--no-levers")
    assert json.loads(other)["measures"] != json.loads(first)["measures"]


def test_json_holds_what_was_promised(plain):
    shown = invoke("run", plain, "--replications", "3", "--json", "-", "--no-levers")
    told = json.loads(shown.stdout)
    assert set(told["measures"]) == {
        "good_reams_per_hour",
        "oee",
        "availability",
        "performance",
        "quality",
        "waste_fraction",
        "avoidable_waste_fraction",
        "trim_and_surplus_fraction",
    }
    for measure in told["measures"].values():
        assert set(measure) == {"mean", "half_width", "level", "unit"}
    factors = [told["measures"][name]["mean"] for name in ("availability", "performance")]
    assert all(0.3 < factor <= 1 for factor in factors)
    assert told["seed"] == 1
    assert told["version"] == __version__
    assert told["constraint"]["by_net_rate"] in ("sheeter", "wrappers")
    assert told["balance"]["balanced"] is True
    for station in told["stations"].values():
        hours = sum(figure["mean"] for figure in station["hours_by_state"].values())
        assert hours == pytest.approx(1)
        lost = sum(figure["mean"] for figure in station["hours_by_cause"].values())
        assert lost == pytest.approx(1 - station["hours_by_state"]["running"]["mean"])
    for steps in told["losses"].values():
        down = sum(
            v["mean"]
            for k, v in steps.items()
            if k not in ("counted time", "planned stops", "planned busy time")
        )
        assert down == pytest.approx(steps["planned busy time"]["mean"])


def test_runs_are_added_until_the_interval_is_as_narrow_as_asked(plain):
    arguments = (
        "run",
        plain,
        "--hours",
        "0.5",
        "--replications",
        "3",
        "--start",
        "new",
        "--no-levers",
    )
    arguments += ("--json", "-")
    wide = json.loads(invoke(*arguments).stdout)
    shown = invoke(*arguments, "--within", "6", "--most", "90")
    told = json.loads(shown.stdout)
    good = told["measures"]["good_reams_per_hour"]
    before = wide["measures"]["good_reams_per_hour"]
    assert before["half_width"] > 0.06 * before["mean"]
    assert good["half_width"] <= 0.06 * good["mean"]
    assert 3 < told["replications"] < 90
    assert f"reached, ± {100 * good['half_width'] / good['mean']:.2g} %" in shown.stderr


def test_a_budget_that_is_spent_is_said(plain):
    shown = invoke(
        "run",
        plain,
        "--hours",
        "0.5",
        "--replications",
        "3",
        "--within",
        "0.01",
        "--most",
        "5",
        "--no-levers",
    )
    assert "not reached" in shown.stderr
    assert "with 5 runs" in shown.stderr
    assert shown.exit_code == 0


def test_more_runs_to_begin_with_than_allowed_are_refused(plain):
    shown = invoke(
        "run", plain, "--replications", "9", "--within", "1", "--most", "5", "--no-levers"
    )
    assert shown.exit_code == 2
    assert "--most (5)" in shown.stderr


def test_the_long_run_is_as_long_as_it_takes_and_says_so(plain):
    # Its slowest stop falls due every 2 h; a shift of 1 h is not the long run of it.
    arguments = ("run", plain, "--replications", "3", "--long-run", "--no-levers")
    shown = invoke(*arguments)
    assert shown.exit_code == 0, shown.stderr
    said = " ".join(shown.stdout.split())
    told = json.loads(invoke(*arguments, "--json", "-").stdout)
    assert told["hours"] >= 6
    first = f"{told['warm_up_h']:g} h"
    assert f"Long run: runs of {told['hours']:g} h; the first {first} of each are left out" in said
    assert "edge guiding, comes about every 2.00 h" in said


def test_how_a_run_starts_can_be_chosen_and_is_said(plain):
    arguments = ("run", plain, "--replications", "2", "--hours", "0.2", "--no-levers")
    found, new = (invoke(*arguments, *more).stdout for more in ((), ("--start", "new")))
    assert "starts as the line is found on any day" in found
    assert "starts with everything new" in new
    assert "All reels are fresh when counting begins" in " ".join(new.split())
    assert found.splitlines()[0] != new.splitlines()[0]


def test_a_page_that_plays_is_of_the_first_run_and_as_the_packages_make_it(plain, tmp_path):
    page = tmp_path / "shift.html"
    asked = ("--replications", "2", "--hours", "0.02", "--no-levers", "--share", str(page))
    shown = invoke("run", plain, *asked)
    assert shown.exit_code == 0, shown.output
    line = linesim.scenario.load(Path(plain))
    runs = linesim.studies.replicate(line, replications=2, hours=0.02)
    record = linesim.fast.simulate(line, seed=1, hours=0.02)
    assert page.read_text(encoding="utf-8") == linesim.report.shared_shift(record, runs)


def test_a_stop_is_put_into_the_page_that_plays_and_nowhere_else(plain, tmp_path):
    page = tmp_path / "stop.html"
    asked = ("--replications", "2", "--hours", "0.02", "--no-levers")
    stop = ("--share", str(page), "--stop", "wrapper", "0.005", "0.5")
    shown = invoke("run", plain, *asked, *stop)
    assert shown.exit_code == 0, shown.output
    assert shown.stdout == invoke("run", plain, *asked).stdout
    line = linesim.scenario.load(Path(plain))
    forced = linesim.scenario.ForcedStop(station="wrapper", at_h=0.005, minutes=0.5)
    without, record = (
        linesim.fast.simulate(line, seed=1, hours=0.02, forced=stops) for stops in ((), (forced,))
    )
    did = linesim.record.disturbance(without, record, forced)
    told = linesim.report.shared_shift(record, disturbance=did, without=without)
    assert page.read_text(encoding="utf-8") == told
    for wrong, words in (
        (("--stop", "wrapper", "0.005", "0.5"), "--stop needs --share"),
        ((*stop[:3], "wraper", "0.005", "0.5"), "'wraper' is none of unwind, "),
        ((*stop[:3], "palletiser", "0.005", "0.5"), "'palletiser' is none of unwind, "),
        ((*stop[:3], "wrapper", "2", "0.5"), "2 h is not within the run of 0.02 h"),
        ((*stop[:3], "wrapper", "nan", "0.5"), "nan h is not within the run of 0.02 h"),
        ((*stop[:3], "wrapper", "0.005", "0"), "0"),
    ):
        refused = invoke("run", plain, *asked, *wrong)
        assert refused.exit_code == 2
        assert words in refused.output


def test_csv_folder_holds_the_first_run_pictures_and_no_formula(plain, tmp_path):
    folder, pictures = tmp_path / "tables", tmp_path / "new" / "pictures"
    folders = ("--csv", str(folder), "--pictures", str(pictures))
    shown = invoke("run", plain, "--replications", "2", *folders, "--no-levers")
    assert shown.exit_code == 0, shown.output
    names = [
        f"{name}.{kind}" for name in ("line", "shift", "stairs", "rates") for kind in ("svg", "pdf")
    ]
    assert {path.name for path in pictures.iterdir()} == set(names)
    assert all((folder / name).read_bytes() == (pictures / name).read_bytes() for name in names)
    assert {path.name for path in folder.iterdir()} - set(names) == {
        "spans.csv",
        "sets.csv",
        "reams.csv",
        "bridge_level.csv",
        "sums.csv",
    }
    with (folder / "spans.csv").open(newline="", encoding="utf-8") as source:
        rows = list(csv.DictReader(source))
    names = {row["station"] for row in rows}
    assert "'=wrapper" in names
    assert not any(cell.startswith(("=", "+", "-", "@")) for row in rows for cell in row.values())
    knives = [row for row in rows if row["station"] == "cutter"]
    assert all(a["end_s"] == b["start_s"] for a, b in pairwise(knives))


@pytest.mark.parametrize(
    "args",
    [
        ("run", "no-such-file"),
        ("run", ".", "--hours", "1"),
        ("run", "PLAIN", "--hours", "-1"),
        ("run", "PLAIN", "--hours", "nan"),
        ("run", "PLAIN", "--hours", "inf"),
        ("run", "PLAIN", "--replications", "0"),
        ("run", "PLAIN", "--seed", "-1"),
        ("run", "PLAIN", "--json", "no/such/folder/x.json"),
        ("run", "PLAIN", "--csv", "PLAIN"),
        ("run", "PLAIN", "--pictures", "PLAIN"),
        ("run", "PLAIN", "--json", "."),
        ("check", "no-such-file"),
        ("rates", "no-such-file"),
        ("nonsense",),
        ("run",),
    ],
)
def test_bad_input_is_said_in_words(plain, args):
    shown = invoke(*(plain if arg == "PLAIN" else arg for arg in args))
    assert shown.exit_code == 2
    assert "Traceback" not in shown.output
    assert shown.output.strip()


def test_check_says_every_fault_of_every_file(plain, tmp_path):
    broken = tmp_path / "broken.toml"
    broken.write_text("[cutter]\nweb_sped = 3\n[slitter]\nlanes = 0\n", encoding="utf-8")
    shown = invoke("check", plain, str(broken))
    assert shown.exit_code == 2
    assert f"{plain}: no faults" in shown.output
    assert f"{broken}:2" in shown.output
    assert f"{broken}:4" in shown.output


def test_a_term_is_explained_and_a_slip_is_bad_input():
    assert invoke("glossary", "starved").stdout.startswith("starved [h]: ")
    slip = invoke("glossary", "starvd")
    assert slip.exit_code == 2
    assert "right would be: starved" in slip.stderr


def test_schema_is_json_and_causes_are_named():
    assert json.loads(invoke("schema").output)["title"]
    listed = invoke("causes")
    assert listed.exit_code == 0
    assert "wrapper jam" in listed.output
    assert "no source" in listed.output


def test_rates_need_no_run_and_warn_of_uneven_reams(plain, tmp_path):
    shown = invoke("rates", plain)
    assert shown.exit_code == 0
    assert "sheeter" in shown.output
    uneven = tmp_path / "uneven.toml"
    uneven.write_text('[unwind]\nwebs = 6\n[product]\ncounting = "round_up"\n', encoding="utf-8")
    assert "6 webs do not divide a ream of 500 sheets" in " ".join(
        invoke("rates", str(uneven)).output.split()
    )


def test_interrupt_reports_what_is_done(plain, monkeypatch):
    real, calls = run_spec.simulate, []

    def interrupted(*args, **kwargs):
        calls.append(1)
        if len(calls) == 3:
            raise KeyboardInterrupt
        return real(*args, **kwargs)

    monkeypatch.setattr(run_spec, "simulate", interrupted)
    shown = invoke("run", plain, "--hours", "0.2", "--processes", "1", "--no-levers")
    assert shown.exit_code == 130
    assert "stopped early; 10 were asked for" in " ".join(shown.output.split())

    def at_once(*args, **kwargs):
        raise KeyboardInterrupt

    monkeypatch.setattr(run_spec, "simulate", at_once)
    shown = invoke("run", plain, "--processes", "1", "--no-levers")
    assert shown.exit_code == 130
    assert "nothing to report" in shown.output


def test_audit_that_finds_something_exits_with_3(plain, monkeypatch):
    real = run_spec.simulate

    def careless(*args, **kwargs):
        record = real(*args, **kwargs)
        record.books.reams.made += 1
        record.books.paper.broken += 5
        return record

    monkeypatch.setattr(run_spec, "simulate", careless)
    shown = invoke("run", plain, "--hours", "0.2", "--replications", "2", "--audit", "--no-levers")
    assert shown.exit_code == 3
    assert "FAULT paper, sheets and reams balance" in shown.output
    assert "5 um of web unaccounted for" in shown.output
    assert "do NOT balance" in shown.output


def test_a_fault_of_the_program_is_one_line(plain, monkeypatch):
    def broken(*args, **kwargs):
        raise ZeroDivisionError("deep\ninside")

    monkeypatch.setattr(run_spec, "simulate", broken)
    shown = invoke("run", plain, "--no-levers")
    assert shown.exit_code == 1
    assert "ZeroDivisionError: deep inside" in shown.output
    assert "Traceback" not in shown.output


def test_nothing_heavy_is_loaded_before_it_is_needed():
    code = (
        "import sys, linesim; print(linesim.__version__);"
        "print([m for m in ('numpy', 'scipy', 'simpy', 'pydantic', 'rich') if m in sys.modules]);"
        # What a run and an answer are told with draws nothing yet.
        "import linesim.commands.run, linesim.report.as_text, linesim.report.answers;"
        "print([m for m in ('matplotlib', 'reportlab') if m in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.split("\n")[1:3] == ["[]", "[]"]
