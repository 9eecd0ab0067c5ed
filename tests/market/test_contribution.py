"""What the work adds: the sum by hand, below nothing, above the ceiling."""

import pytest
from market.garage import spread

from buildecon.market.contribution import contribution, kind_share
from buildecon.project.worth import KINDS_OF_WORK, Contribution, Work
from buildecon.quantities.estimate import sure

COSTS = {"Drive": 10000.0, "Paint": 3000.0}


def terms(**more):
    work = (Work(kind="well-known engine swap with papers", systems=("Drive",)), Work(kind="green flames", systems=("Paint",), adds=spread("-0.3", "-0.1", "0")))
    return Contribution(**({"base": spread(4000, 5000, 6000), "work": work} | more))


def test_base_plus_shares_of_cost_by_hand():
    built = contribution(terms(), COSTS)
    # 5,000 + 0.35 x 10,000 - 0.1 x 3,000; low 4,000 + 2,000 - 900, high 6,000 + 5,000 + 0
    assert built.value == pytest.approx((5100, 8200, 11000))
    assert not built.capped
    assert [one.stated for one in built.work] == [False, True]
    assert built.left_behind == pytest.approx(13000 - 3500 + 300)


def test_papers_open_faults_and_the_ceiling():
    built = contribution(terms(papers=spread("0.9", "1.1", "1.2"), open_faults=spread(100, 200, 400), ceiling=spread(8000, 8500, 9000)), COSTS)
    # low: 0.9 x 5,100 - 400; likely: 1.1 x 8,200 - 200, below the ceiling; high 1.2 x 9,000 - 100, cut from 11,000
    assert built.value == pytest.approx((4190, 8820, 10700))
    assert built.before_ceiling[1] == pytest.approx(8200) and not built.capped
    low = contribution(terms(ceiling=sure(7000), open_faults=sure(1500)), COSTS)
    assert low.value[1] == pytest.approx(5500) and low.capped  # what is wrong is taken off what the ceiling leaves
    assert low.left_behind == pytest.approx(13000 - 2000)  # 7,000 without its faults; they are not the work's
    assert contribution(terms(), COSTS | {"Seats": 700.0}).unlisted == 700


def test_never_below_nothing_and_no_cost_adds_nothing():
    assert contribution(terms(base=sure(100), open_faults=sure(50000)), COSTS).value == (0, 0, 0)
    assert contribution(terms(), {}).value == pytest.approx((4000, 5000, 6000))


def test_every_kind_has_a_range_that_rises_and_its_middle_is_the_likely_share():
    for kind in KINDS_OF_WORK:
        low, likely, high = kind_share(kind)
        assert -0.3 <= low < likely < high <= 0.9 and likely == pytest.approx((low + high) / 2)


def test_a_kind_without_a_share_is_refused():
    with pytest.raises(ValueError, match="given adds, the share of its cost that a buyer pays for"):
        Work(kind="green flames", systems=("Paint",))
