"""What is still to come: the pickup's own range, widening by evidence, scaling by the overrun."""

from decimal import Decimal

from demos import demo, line, money, small

from buildecon.ledger.forecast import forecast, overrun_so_far, widened
from buildecon.ledger.settlement import settle
from buildecon.project.records import Plan
from buildecon.quantities.estimate import Estimate


def test_the_pickup_has_four_to_ten_thousand_to_go():
    # 4,220 / 6,230 / 9,780, mean 6,487, standard deviation 427 if each line went its own way: worked out when the build was invented.
    pickup = demo("pickup")
    ahead = forecast(pickup, settle(pickup))
    assert (ahead.as_written.low, ahead.as_written.likely, ahead.as_written.high) == (4220, 6230, 9780)
    assert round(ahead.apart) == 427 and round(ahead.together) == round((9780 - 4220) / 6)


def test_a_single_figure_is_as_wide_as_its_paper_is_thin():
    # Common practice, no source: a guess may be 40 % below or twice as much, a quote a tenth more.
    assert (widened(money(100), "guess").low, widened(money(100), "guess").high) == (60, 200)
    assert (widened(money(100), "quote").low, widened(money(100), "quote").high) == (100, 110)
    written = Estimate(Decimal(90), Decimal(100), Decimal(120))
    assert widened(written, "guess") == written


def test_what_is_left_is_scaled_by_what_is_done_unless_the_owner_says_why_not():
    lines = [line("done", paid=150).model_copy(update={"planned": money(100)}), line("left").model_copy(update={"to_finish": money(200), "grade": "receipt"})]
    project = small(lines)
    settled = settle(project)
    assert overrun_so_far(settled) == Decimal("1.5")
    assert forecast(project, settled).scaled.likely == 300
    calm = project.model_copy(update={"file": project.file.model_copy(update={"plan": Plan(scale_by_overrun=False, because="only bolt-on parts left")})})
    assert forecast(calm, settled).scaled.likely == 200
