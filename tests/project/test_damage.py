"""Files damaged at random: they read, or every fault is said in words; nothing else ever comes of it."""

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from project.folders import PLAIN, digests, made, records

from buildecon.project import ProjectFaults, read_project, write_project

# What slips into files: signs of the two formats, numbers at the ends, words of the tables.
SCRAPS = [
    "", "\n", "\r", "\t", "\0", '"', "'", '"""', "[", "]", "{", "}", "=", "#", ",", ";", ".", "-", "é", "\u2028", "\ufeff",
    "nan", "inf", "-1", "0", "1", "0.5", "1e400", "1e-400", "9" * 25, "1-2k", "<5", "1.234", "about", "2026-01-01", "2026-02-30",
    "true", '"x"', "{ low = 1, likely = 2, high = 3 }", "[]", "{}", "[use]", "[[options]]", "[options.facts]", "[files.lines]",
    'kind = "hire"', '"unknown"', "USD", "refund", "deposit back", "credit", "base car",
]  # fmt: skip
damages = st.lists(st.tuples(st.integers(0, 1500), st.sampled_from([0, 0, 1, 4, 20]), st.sampled_from(SCRAPS)), min_size=1, max_size=3)
ROUNDS = settings(deadline=None, derandomize=True, max_examples=300, suppress_health_check=[HealthCheck.function_scoped_fixture])


def damaged(text, damage):
    for start, length, scrap in damage:
        start %= len(text) + 1
        text = text[:start] + scrap + text[start + length :]
    return text


def replaced(text, damage):
    """The value of a key, or a cell, is another one."""
    lines = text.split("\n")
    for row, cell, scrap in damage:
        row %= len(lines)
        cells = lines[row].split("=" if "=" in lines[row] else ",")
        cells[-1 if "=" in lines[row] else cell % len(cells)] = scrap
        lines[row] = ("=" if "=" in lines[row] else ",").join(cells)
    return "\n".join(lines)


@given(st.sampled_from(sorted(PLAIN)), st.sampled_from([damaged, replaced]), damages)
@ROUNDS
def test_a_damaged_folder_reads_or_is_refused_in_words_and_is_never_touched(tmp_path, name, how, damage):
    folder = made(tmp_path / "car", **{name.split(".")[0]: how(PLAIN[name], damage)})
    before = digests(folder)
    try:
        project = read_project(folder)
    except ProjectFaults as trouble:
        assert trouble.faults and all(fault.file in PLAIN and fault.message.endswith((".", "?")) and len(str(fault)) < 1000 for fault in trouble.faults)
    else:
        write_project(project)
        write_project(project.model_copy(update={"events": project.events[:1]}))
        assert records(read_project(folder))["lines"] == records(project)["lines"]
        before.pop("events.csv")
    assert before.items() <= digests(folder).items()
