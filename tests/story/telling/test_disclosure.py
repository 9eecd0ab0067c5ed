"""Who gave what: told for each sponsor, marked on each line, and never left out."""

from datetime import date

import pytest
from demos import changed, demo, event, line, money, small

from buildecon.ledger.ladder import ladder
from buildecon.project.honesty import Disclosure
from buildecon.story.telling.disclosure import disclosure_sentences, sponsored_marks, undisclosed


def sentences(project):
    return disclosure_sentences(project, ladder(project))


def deal(**more):
    return Disclosure(**({"supplier": "Hollow Peak", "gave": "A roof tent.", "in_return": "One video."} | more))


TENT = line("tent", paid=0, funding="given", street_price=money(900), supplier="Hollow Peak")
SPRINGS = line("springs", paid=300, funding="discounted", street_price=money(400), supplier="Dry Ferry")


def test_the_pickup_s_sponsors_by_hand():
    told = sentences(demo("pickup"))
    assert told[0].startswith("Dry Ferry Suspension gave: 25 % off the suspension kit: 1,860 instead of 2,480. In return: Two videos. ")
    assert told[0].endswith("Paid: 1,860 USD; a reader would pay 2,180 USD.")  # 791.13 + 615.32 + 773.55
    assert told[1].endswith("In return: One video. Paid: 0 USD; a reader would pay 1,690 USD.")
    assert told[2] == "In all: 1,860 USD paid for what a reader gets for 3,870 USD, 2,010 USD less."
    assert len(told) == 3


def test_one_sponsor_needs_no_sum_and_a_day_is_told():
    told = sentences(changed(small([TENT]), disclosures=(deal(since=date(2026, 3, 2)),)))
    assert told == ["Hollow Peak (since 02 March 2026) gave: A roof tent. In return: One video. Paid: 0 GBP; a reader would pay 900 GBP."]


def test_the_owner_s_own_wording_is_used_as_it_is():
    own = deal(wording="#ad Hollow Peak gave me the tent; I said yes to a video.")
    assert sentences(changed(small([TENT]), disclosures=(own,))) == ["#ad Hollow Peak gave me the tent; I said yes to a video. Paid: 0 GBP; a reader would pay 900 GBP."]


def test_two_deals_of_one_sponsor_are_counted_once():
    two = (deal(), deal(gave="A mat.", in_return=""))
    told = sentences(changed(small([TENT]), disclosures=two))
    assert told == ["Hollow Peak gave: A roof tent. In return: One video. Hollow Peak gave: A mat. In return: nothing. Paid: 0 GBP; a reader would pay 900 GBP."]


def test_freight_laid_on_a_gift_is_the_owner_s_own_money():
    post = line("post", nature="freight and tax", paid=60, lay_on="tent")
    told = sentences(changed(small([TENT, post]), disclosures=(deal(),)))
    assert told[0].endswith("Paid: 0 GBP; a reader would pay 900 GBP.")


@pytest.mark.parametrize(("kind", "told", "mark"), [("on loan", "Hollow Peak lent: A roof tent.", "lent by Hollow Peak"), ("paid", "Hollow Peak paid for this: A roof tent.", "paid for by Hollow Peak")])
def test_a_loan_and_a_paid_piece_are_disclosed_too(kind, told, mark):
    lent = line("tent", paid=0)
    project = changed(small([lent]), disclosures=(deal(kind=kind, lines=("tent",)),))
    assert sentences(project) == [f"{told} In return: One video."]
    assert sponsored_marks(project) == {"tent": mark}


def test_every_line_that_was_not_the_owner_s_own_has_its_mark():
    swapped = line("wheels", paid=0, funding="swapped", street_price=money(80), supplier="a neighbour")
    project = changed(small([TENT, SPRINGS, swapped, line("a", paid=1, supplier="Hollow Peak")]), disclosures=(deal(),))
    assert sponsored_marks(changed(project, disclosures=(deal(supplier="Dry Ferry"),)))["springs"] == "sold cheaper by Dry Ferry"
    assert sponsored_marks(project) == {"tent": "given by Hollow Peak", "springs": "sold cheaper", "wheels": "swapped"}


def test_marks_and_undisclosed_lines_are_all_that_was_given():
    project = changed(small([TENT, SPRINGS, line("a", paid=1)]), disclosures=(deal(),))
    assert [one.id for one in undisclosed(project, ladder(project))] == ["springs"]
    for name in ("van", "roadster", "pickup"):
        assert undisclosed(demo(name), ladder(demo(name))) == ()


def test_a_disclosure_without_a_word_discloses_nothing():
    for blank, count in ((deal(gave=" "), 1), (deal(gave=" ", wording="Thanks to Hollow Peak for the tent."), 0), (deal(supplier="Other", lines=("tent",)), 0), (deal(lines=("a",)), 1)):
        project = changed(small([TENT, line("a", paid=1)]), disclosures=(blank,))
        assert len(undisclosed(project, ladder(project))) == count


def test_nobody_gave_anything():
    assert sentences(demo("van")) == [] and sponsored_marks(demo("van")) == {}
    plain = small([line("a")], [event("a", "payment", 5)])
    assert sentences(plain) == [] and undisclosed(plain, ladder(plain)) == ()
