"""Rules of [half_way] and [[phases]]: lines that are there, once, in one phase."""

import pytest
from project.folders import LINES, MARKET, TOML, faults_of, made


def said(tmp_path, more):
    return [str(fault) for fault in faults_of(made(tmp_path / "car", build=TOML + "\n" + more, market=MARKET, lines=LINES))]


ID = LINES.splitlines()[1].split(",")[0]
PHASE = '[[phases]]\nid = "{}"\nwhat = "x"\n'


@pytest.mark.parametrize(
    ("more", "message"),
    [
        ('[half_way]\n[[half_way.without]]\nwhat = "x"\nlines = ["nope"]\nfinished = 1\n', "half_way.without.1.lines: 'nope' is not a known name. Known names: a1"),
        (f'[half_way]\n[[half_way.without]]\nwhat = "x"\nlines = ["{ID}", "{ID}"]\nfinished = 1\n', f"half_way.without.1.lines: must name each line once, got '{ID}' 2 times."),
        (PHASE.format("a") + 'lines = ["nope"]\n', "phases.1.lines: 'nope' is not a known name. Known names: a1"),
        (PHASE.format("a") + f'lines = ["{ID}"]\n' + PHASE.format("b") + f'lines = ["{ID}"]\n', f"phases.2.lines: must be in one phase only, got '{ID}', which 'a' has already."),
        (PHASE.format("a") + "stop_value = 900\n", "phases.1.stop_value: must be left out of the first phase, got 900. Stopping before it is selling today: value.as_is."),
        ("".join(PHASE.format(k) for k in range(8)), "phases: must be at most 7, got 8. Put small ones together."),
        (PHASE.format("a") + f'lines = ["{ID}"]\ncost = 5\n', "given lines or cost, and not both"),
        (PHASE.format("a") + "outcomes = [" + "{ times = 1, chance = 0.25 }, " * 4 + "]\n", "given at most 3 outcomes. It has 4; put near ones together."),
        (PHASE.format("a") + "outcomes = [{ times = 1, chance = 0.5 }]\n", "given outcomes whose chances add up to 1. They add up to 0.5."),
        ("[half_way]\npast_overruns = [0]\n", "must be above 0"),
        ("[half_way.shelve]\nmonths = 6\ndrift = -6\n", "Write 5 % less a year as -0.05."),
    ],
)
def test_what_cannot_be_is_refused(tmp_path, more, message):
    [fault] = said(tmp_path, more)
    assert fault.startswith("build.toml line") and message in fault


def test_a_whole_table_is_taken(tmp_path):
    more = f'[half_way]\nmonths = 3\n[[half_way.without]]\nwhat = "x"\nlines = ["{ID}"]\nfinished = 900\n' + PHASE.format("a") + f'lines = ["{ID}"]\n' + PHASE.format("b") + "stop_value = 900\n"
    assert said(tmp_path, more) == []
