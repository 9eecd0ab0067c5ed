"""Ways out by hand: whole by several routes, and in pieces."""

import pytest
from market.garage import spread

from buildecon.market.selling import part_out, ways_out
from buildecon.project.worth import PartForSale, PartOut, Route
from buildecon.quantities.estimate import sure

PIECES = PartOut(
    within_months=sure(6), fee_share=sure("0.08"), costs=spread(300, 350, 500), hours=sure(90),
    parts=(PartForSale(what="engine", price=spread(1500, 2000, 2500), chance=sure("0.5")), PartForSale(what="shell", price=sure(1000))),
)  # fmt: skip


def test_in_pieces_by_hand():
    parted = part_out(PIECES)
    assert parted.asked == 3000
    assert parted.fees == pytest.approx(160)  # 8 % of 1,000 + 1,000
    # likely (0.5 x 2,000 + 1,000) x 0.92 - 350; low (750 + 1,000) x 0.92 - 500; high (1,250 + 1,000) x 0.92 - 300
    assert parted.net == pytest.approx((1110, 1490, 1770))
    assert parted.by_luck == pytest.approx(920)  # 2,000 x 0.92 x sqrt(0.5 x 0.5)


def test_a_chance_told_as_a_range_goes_with_its_price_and_parts_apart_do_not_share_their_luck():
    parts = (PartForSale(what="engine", price=spread(1500, 2000, 2500), chance=spread("0.4", "0.5", "0.8")), PartForSale(what="gearbox", price=sure(1000), chance=sure("0.2")))
    parted = part_out(PartOut(within_months=sure(6), parts=parts))
    # low 1,500 x 0.4 + 200, likely 1,000 + 200, high 2,500 x 0.8 + 200; luck sqrt((2,000 x 0.5)^2 + (1,000 x 0.4)^2)
    assert parted.net == pytest.approx((800, 1200, 2200)) and parted.by_luck == pytest.approx((1000**2 + 400**2) ** 0.5)
    assert [one[2] for one in parted.parts] == [0.5, 0.2]


def test_what_is_sold_beside_pays_no_fee_of_the_route():
    [stock] = ways_out((Route(name="stock", price=sure(3000), parts_beside=sure(1500), fee_share=sure("0.1"), costs=sure(200), weeks=sure(30)),), (1.0, 2.0, 3.0))
    assert stock.net == pytest.approx((4000, 4000, 4000))  # 2,700 + 1,500 - 200


def test_routes_by_hand():
    routes = (
        Route(name="advert", fee_share=sure("0.04"), weeks=sure(8), hours=sure(12)),
        Route(name="auction", price_share=spread("0.8", "0.9", "1"), fee_share=sure("0.1"), costs=sure(100), weeks=sure(4), hours=sure(32)),
        Route(name="stock", price=sure(3000), parts_beside=sure(1500), costs=sure(700), weeks=sure(30), hours=sure(112)),
    )
    advert, auction, stock, pieces = ways_out(routes, (5000.0, 6000.0, 7000.0), part_out(PIECES))
    assert advert.net == pytest.approx((4800, 5760, 6720)) and advert.per_hour is None
    assert auction.net == pytest.approx((3500, 4760, 6200)) and auction.per_hour == pytest.approx(-50)  # 1,000 less for 20 hours more
    assert stock.net == pytest.approx((3800, 3800, 3800))
    assert (pieces.name, pieces.weeks, pieces.hours) == ("in pieces", 26, 90)
    assert ways_out((), (1.0, 2.0, 3.0)) == ()


def test_the_dear_end_of_a_cost_goes_with_the_poor_sale():
    [route] = ways_out((Route(name="advert", costs=spread(100, 200, 400), weeks=sure(8)),), (5000.0, 6000.0, 7000.0))
    assert route.net == pytest.approx((4600, 5800, 6900))


def test_fewer_hours_have_no_wage():
    routes = (Route(name="advert", weeks=sure(8), hours=sure(12)), Route(name="dealer", weeks=sure(8), hours=sure(3)))
    assert ways_out(routes, (1.0, 1.0, 1.0))[1].per_hour is None


def test_a_route_has_one_price():
    with pytest.raises(ValueError, match="given price or price_share, and not both"):
        Route(name="both", price=sure(1), price_share=sure("0.9"), weeks=sure(1))
