"""Who gave what, on a frame and aloud."""

from demos import changed, demo, line, money, small

from buildecon.project.for_readers import for_readers
from buildecon.project.honesty import Disclosure
from buildecon.story.telling.drawn.frames import frames
from buildecon.story.telling.sponsors import listed, sponsors, sponsors_line, sponsors_sentence
from buildecon.story.telling.told import Told

GIFT = line("p1", paid=0, funding="given", street_price=money(300), supplier="Tin Shed")


def with_deals(project, *deals):
    return Told(changed(project, disclosures=tuple(Disclosure(**({"gave": "a part", "in_return": ""} | deal)) for deal in deals)))


def test_the_pickup_s_two_are_named():
    told = Told(demo("pickup"))
    assert sponsors_line(told) == "With parts given or discounted by Dry Ferry Suspension and Hollow Peak Tents"
    assert sponsors_sentence(told) == "Before anything else: some parts were given to me, or made cheaper, by Dry Ferry Suspension and Hollow Peak Tents, and I promised something for it."


def test_a_part_given_without_a_disclosure_is_told_all_the_same_and_nobody_is_named_who_did_not_agree():
    # A reader's copy has a number in place of such a name; "With parts swapped with supplier 5" would be nobody.
    assert sponsors(Told(small([GIFT]))) == (("given or discounted by", ""),)
    told = Told(for_readers(small([GIFT])))
    assert sponsors_line(told) == "With parts given or discounted"
    assert sponsors_sentence(told) == "Before anything else: some of the parts were given to me, or were cheaper for me than for you."
    swapped = Told(for_readers(small([GIFT.model_copy(update={"funding": "swapped"})])))
    assert sponsors_line(swapped) == "With parts swapped" and sponsors_sentence(swapped) == "Before anything else: some of the parts I swapped for others."
    assert not [frame for frame in frames(swapped) if "supplier" in frame.alt]


def test_where_nobody_gave_anything_nothing_is_said():
    told = Told(small([line("p1", paid=1)]))
    assert (sponsors(told), sponsors_line(told), sponsors_sentence(told)) == ((), "", "")


def test_what_was_lent_swapped_or_paid_for_is_called_so():
    told = with_deals(small([]), {"supplier": "A Tools", "kind": "on loan"}, {"supplier": "B Oil", "kind": "paid", "in_return": "a video"})
    assert sponsors_line(told) == "With parts lent by A Tools; paid for by B Oil"
    assert sponsors_sentence(told) == "Before anything else: some things were lent to me by A Tools; some of this was paid for by B Oil, and I promised something for it."
    assert sponsors_line(with_deals(small([]), {"supplier": "C", "kind": "swapped"})) == "With parts swapped with C"


def test_a_deal_of_a_line_of_another_supplier_names_who_made_the_deal():
    told = with_deals(small([GIFT]), {"supplier": "The maker", "lines": ("p1",)})
    assert sponsors_line(told) == "With parts given or discounted by The maker"


def test_of_many_the_first_are_named_and_the_others_counted():
    told = with_deals(small([]), *({"supplier": name} for name in ("Ann", "Bob", "Cas", "Dee", "Eve")))
    assert sponsors_line(told) == "With parts given or discounted by Ann, Bob and 3 more"
    assert sponsors_sentence(told) == "Before anything else: some parts were given to me, or made cheaper, by Ann, Bob and Cas; two more gave something as well."


def test_names_stand_in_a_list_as_one_says_them():
    assert [listed(names) for names in (["a"], ["a", "b"], ["a", "b", "c"])] == ["a", "a and b", "a, b and c"]
