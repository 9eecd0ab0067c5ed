"""How a fault is worded and ordered."""

from buildecon.project.faults import Fault, ProjectFaults, unknown_name, wrong


def test_a_fault_names_its_file_line_and_column_where_it_has_them():
    assert str(Fault("lines.csv", 14, "paid", "must be given.")) == "lines.csv line 14, paid: must be given."
    assert str(Fault("lines.csv", 14, "", "must be csv.")) == "lines.csv line 14: must be csv."
    assert str(Fault("build.toml", 0, "use", "must be given.")) == "build.toml, use: must be given."
    assert str(Fault("build.toml", 0, "", "must be there.")) == "build.toml: must be there."


def test_faults_are_told_once_by_file_and_line():
    a, b, c = Fault("b.csv", 10, "x", "m"), Fault("b.csv", 9, "x", "m"), Fault("a.csv", 99, "x", "m")
    trouble = ProjectFaults([a, b, c, a])
    assert trouble.faults == (c, b, a)
    assert str(trouble) == "a.csv line 99, x: m\nb.csv line 9, x: m\nb.csv line 10, x: m"


def test_a_value_is_shown_about_as_the_owner_wrote_it():
    assert wrong("text", "a 'b'") == "must be text, got \"a 'b'\"."
    assert wrong("text", True) == "must be text, got true."
    assert wrong("text", {"low": 1, "high": "x"}, "Do so.") == "must be text, got { low = 1, high = 'x' }. Do so."
    assert wrong("text", "x" * 200) == "must be text, got '" + "x" * 79 + "."


def test_an_unknown_name_is_answered_with_the_nearest_or_with_some():
    assert unknown_name("pric", ["price", "paid"]) == "is not a known name. Did you mean 'price'?"
    assert unknown_name("zzz", ["price", "paid"]) == "is not a known name. Known names: paid, price."
    assert unknown_name("zzz", []) == "is not a known name. Known names: none."
    assert unknown_name("zzz", [f"n{k:03}" for k in range(500)]).endswith("n028, n029 and 470 more.")


def test_a_name_that_is_not_near_is_answered_with_the_list():
    natures = ["part", "outside work", "credit"]
    assert unknown_name("weldin", natures) == "is not a known name. Known names: credit, outside work, part."  # half its letters are in credit
    assert unknown_name("refused offer", ["offer refused", "sold"]) == "is not a known name. Did you mean 'offer refused'?"
    assert unknown_name("credti", natures) == "is not a known name. Did you mean 'credit'?"
