"""What is said while something takes long: a line on a terminal only, a wheel for long lists only."""

import io
import json
import sys
from contextlib import contextmanager
from threading import Event, Timer
from threading import enumerate as enumerate_threads

import pytest
from demos import DATA

from buildecon.cli import LONG, main
from buildecon.story import waiting


class Terminal(io.StringIO):
    def __init__(self):
        super().__init__()
        self.written = Event()

    def isatty(self):
        return True

    def flush(self):
        self.written.set()


def said(monkeypatch, stream, patience, words="Working ...", work=lambda: None):
    monkeypatch.setattr(sys, "stderr", stream)
    monkeypatch.setattr(waiting, "PATIENCE", patience)
    with waiting.told(words):
        work()
    return stream.getvalue()


def lines_to_come():
    return [one for one in enumerate_threads() if isinstance(one, Timer) and not one.finished.is_set()]


def test_long_work_is_told_once_on_a_terminal(monkeypatch):
    stream = Terminal()
    assert said(monkeypatch, stream, 0.0, work=lambda: stream.written.wait(10)) == "Working ...\n"


def test_short_work_is_not_told_and_leaves_no_line_behind(monkeypatch):
    assert said(monkeypatch, Terminal(), 3600.0) == "" and lines_to_come() == []


@pytest.mark.parametrize(("stream", "words"), [(io.StringIO, "Working ..."), (Terminal, "")])
def test_a_file_and_nothing_to_say_begin_no_line(monkeypatch, stream, words):
    begun = []
    assert said(monkeypatch, stream(), 3600.0, words, lambda: begun.extend(lines_to_come())) == "" and begun == []


def test_work_that_fails_stops_the_line(monkeypatch):
    def work():
        assert len(lines_to_come()) == 1
        raise ValueError("wrong")

    with pytest.raises(ValueError, match="wrong"):
        said(monkeypatch, Terminal(), 3600.0, work=work)
    assert lines_to_come() == []


@pytest.mark.parametrize(("long", "words"), [(waiting.CHANCES, "Working out the chances ..."), (waiting.JOBS, "Looking for the best set of jobs ...")])
def test_a_wheel_turns_for_long_lists_only(long, words):
    titles = []

    @contextmanager
    def spinner(title):
        titles.append(title)
        yield

    for count in (0, long[0], long[0] + 1):
        with waiting.turning(spinner, long, count):
            pass
    assert titles == [words]


@pytest.mark.parametrize("verb", ["check", "cost", "worth", "keep", "finish", "decide", "trim"])
def test_every_verb_that_works_something_out_says_so_on_a_terminal_and_not_in_its_answer(monkeypatch, capsys, verb):
    stream = Terminal()
    monkeypatch.setattr(sys, "stderr", stream)
    monkeypatch.setattr(waiting, "PATIENCE", 0.0)
    assert main([verb, str(DATA / "van"), "--json"]) == 0
    assert stream.getvalue() == f"{LONG[verb]}\n" and json.loads(capsys.readouterr().out)["format"] == f"buildecon.{verb}/1"
