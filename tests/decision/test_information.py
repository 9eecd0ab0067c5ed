"""What to find out next: printed tables, closed forms, quadrature, the guard against what does not matter, and what must hold for any draws."""

import hypothesis.strategies as st
import numpy as np
import pytest
from hypothesis import given, settings
from reference.printed import printed, rows
from scipy import stats

from buildecon.decision.information import first_order, perfect_information, worth_finding_out
from buildecon.quantities.sampling import correlated, drawn, points

steadily = settings(deadline=None, derandomize=True, max_examples=40)
LOSSES = rows("unit_normal_loss.csv")
ISHIGAMI = rows("ishigami.csv")
EVEN = stats.norm.ppf((np.arange(200_000) + 0.5) / 200_000)


def loss(z):
    """What a standard normal is above z on average."""
    return stats.norm.pdf(z) - z * stats.norm.sf(z)


def scores(n, d, seed):
    return stats.norm.ppf(points(n, d, seed)).T


def against_nothing(y):
    """Two options, one of them to leave it."""
    return np.stack([np.zeros_like(y), y])


# perfect_information


@pytest.mark.parametrize("row", LOSSES, ids=[f"{row['source']} {row['z']}" for row in LOSSES])
def test_knowing_a_normal_difference_is_worth_what_printed_tables_say(row):
    z = float(row["z"])
    assert perfect_information(against_nothing(EVEN - z)) == printed(row["printed"])
    assert perfect_information(against_nothing(EVEN + z)) == printed(row["printed"])


def test_the_game_of_barclay_brothers_agrees_with_its_slide():
    # Render and others, module 3 (read in a slide): sales 8,000 with sd 2,885, break-even at 6,000, 6 a set; N(.69) = .1453, so 6 x 2,885 x .1453.
    sales = 8000 + 2885 * EVEN
    assert perfect_information(against_nothing(6 * (sales - 6000))) == pytest.approx(6 * 2885 * 0.1453, abs=6 * 2885 * 0.0009)  # .69 stands for .6932
    at_the_tables_place = 8000 - 0.69 * 2885
    assert perfect_information(against_nothing(6 * (sales - at_the_tables_place))) == pytest.approx(6 * 2885 * 0.1453, abs=6 * 2885 * 0.00005)


def test_perfect_information_by_hand():
    # Best by draw 0, 100, 50: mean 50. Best mean: (-300 + 100 + 50) / 3 = -50, (0 + 0 + 0) / 3 = 0, so 50.
    assert perfect_information([[0, 0, 0], [-300, 100, 50]]) == pytest.approx(50)
    assert perfect_information([[0, 0, 0], [-300, 100, 50], [200, -400, -400]]) == pytest.approx((200 + 100 + 50) / 3)


def test_with_one_option_there_is_nothing_to_know():
    y = scores(128, 2, 1)
    assert perfect_information(y[:1]) == 0
    found = worth_finding_out(y, y[:1])
    assert np.array_equal(found.shown, [0, 0]) and np.array_equal(found.worth, [0, 0])


# worth_finding_out


@pytest.mark.parametrize(("mu", "parts"), [(1, (2, 1, 0.5, 0.1)), (0, (1, 0.6, 0.3, 0.2)), (-0.7, (-1.5, 0.8, -0.4, 0))])
def test_parts_of_a_sum_are_worth_what_the_closed_form_says(mu, parts):
    # |a| L(|mu| / |a|) of each, Raiffa and Schlaifer's linear loss; together s L(|mu| / s).
    z = scores(4096, 4, 3)
    y = mu + np.array(parts) @ z
    found, size = worth_finding_out(z, against_nothing(y)), np.abs(parts)
    wanted = [a * loss(abs(mu) / a) if a else 0 for a in size]
    np.testing.assert_allclose(found.worth, wanted, atol=0.004 if mu == 0 else 0.002)
    s = np.linalg.norm(parts)
    assert perfect_information(against_nothing(y)) == pytest.approx(s * loss(abs(mu) / s), abs=0.003)
    assert np.all(np.abs(found.cross_validated - wanted) < 3 * found.error + 0.02)


def test_more_draws_come_nearer():
    wanted = [a * loss(1 / a) for a in (2, 1, 0.5)]
    misses = []
    for n in (512, 16384):
        z = scores(n, 3, 5)
        misses.append(np.abs(worth_finding_out(z, against_nothing(1 + np.array([2, 1, 0.5]) @ z)).worth - wanted).max())
    assert misses[1] < 0.0007 < misses[0]


def test_an_input_tells_of_those_that_move_with_it():
    # Scores with correlation rho: knowing the first is knowing (a1 + rho a2) of it. A rank correlation of 0.6 is 2 sin(0.1 pi) = 0.618 of the scores.
    together = correlated([[1, 0.6], [0.6, 1]])
    draws = np.stack(list(drawn({"a": stats.norm.ppf, "b": stats.norm.ppf}, 4096, 2, together).values()))
    rho = 2 * np.sin(np.pi * 0.1)
    found = worth_finding_out(draws, against_nothing(0.5 + draws[0] - 1.4 * draws[1]))
    first, second = abs(1 - 1.4 * rho), abs(-1.4 + rho)
    np.testing.assert_allclose(found.worth, [first * loss(0.5 / first), second * loss(0.5 / second)], atol=0.002)


def test_three_options_with_a_kink_agree_with_quadrature():
    # Benefits 0, x - 0.3 with noise, |x| - 0.9 with noise; given x the means are known, and their largest is integrated.
    z = scores(16384, 3, 7)
    x = z[0]
    benefit = np.stack([np.zeros_like(x), x - 0.3 + 0.5 * z[1], np.abs(x) - 0.9 + 0.5 * z[2]])
    grid = np.linspace(-9, 9, 360_001)
    best = np.maximum(np.maximum(0, grid - 0.3), np.abs(grid) - 0.9)
    wanted = np.trapezoid(best * stats.norm.pdf(grid), grid)  # the best mean is that of doing nothing, 0
    found = worth_finding_out(x[None], benefit)
    assert found.worth[0] == pytest.approx(wanted, abs=0.002)
    assert found.cross_validated[0] == pytest.approx(wanted, abs=2 * found.error[0])


@pytest.mark.parametrize("quotes", [1, 4])
def test_quotes_are_worth_what_raiffa_and_schlaifer_say(quotes):
    # Believed N(0.2, 1), the mean of k quotes off by sd 0.8 / sqrt k: what will be believed is N(0.2, s'), s' = sqrt(k / (k + 0.64)).
    z = scores(4096, 3, 11)
    quote = z[0] + 0.8 / np.sqrt(quotes) * z[1]
    s = np.sqrt(quotes / (quotes + 0.64))
    found = worth_finding_out(quote[None], against_nothing(0.2 + z[0] + 0.5 * z[2]))
    assert found.worth[0] == pytest.approx(s * loss(0.2 / s), abs=0.003)


def test_a_part_that_holds_or_breaks_by_hand():
    # It breaks in 1 of 32 draws and then costs 80, else 0, against 1 for having another: mean -80 / 32 = -2.5, so the other is bought.
    # Knowing that it holds saves the 1: 31 / 32.
    breaks = np.zeros(4096)
    breaks[:128] = 1
    breaks = np.random.default_rng(1).permutation(breaks)
    found = worth_finding_out(breaks[None], np.stack([-80 * breaks, np.full(4096, -1.0)]))
    assert found.worth[0] == pytest.approx(31 / 32, rel=1e-12)
    assert found.shown[0] == pytest.approx(31 / 32, rel=1e-12)
    assert found.cross_validated[0] == pytest.approx(31 / 32, rel=1e-12)


def test_a_constant_is_worth_nothing():
    z = scores(1024, 1, 2)
    found = worth_finding_out(np.stack([np.full(1024, 3.0), z[0]]), against_nothing(z[0]))
    assert (found.worth[0], found.shown[0]) == (pytest.approx(0, abs=1e-12), 0)
    assert found.shown[1] == pytest.approx(loss(0), abs=0.001)


def test_a_curve_that_swings_over_an_edge_is_not_believed_above_perfect_information():
    # Never better than nothing, and at once much worse above the middle: knowing is worth 0, though the curve rises above 0 beside the step.
    x = points(1024, 1, 4).T
    y = -1.0 * (x[0] > 0.5)
    found = worth_finding_out(x, against_nothing(y))
    assert (perfect_information(against_nothing(y)), found.worth[0], found.shown[0]) == (0, 0, 0)


@pytest.mark.parametrize("even", [True, False], ids=["even points", "plain draws"])
def test_what_does_not_matter_is_shown_as_nothing_though_its_curve_is_above_it(even):
    shown, worths = [], []
    for seed in range(10):
        z = scores(1024, 21, seed) if even else np.random.default_rng(seed).standard_normal((21, 1024))
        found = worth_finding_out(z, against_nothing(z[0]))  # as close as can be: the mean is 0
        shown.append(found.shown[1:] > 0)
        worths.append(found.worth[1:])
        assert found.shown[0] == found.worth[0] == pytest.approx(loss(0), abs=0.001 if even else 0.07)
    assert np.mean(worths) > 0.003  # of the 0.4 that all is worth, from noise alone
    # Two standard errors let 1 in 44 pass; 10 of 200 has a chance of 1 in 100.
    assert np.sum(shown) == 0 if even else np.sum(shown) <= 10


def test_what_is_worth_a_tenth_of_everything_is_still_shown_when_it_is_close():
    # 1, .5, .3, .2 and .1: the least is worth .04 of .47.
    parts, shown = np.array([1, 0.5, 0.3, 0.2, 0.1, 0, 0, 0]), []
    for seed in range(10):
        z = scores(4096, 8, seed)
        shown.append(worth_finding_out(z, against_nothing(parts @ z)).shown > 0)
    often = np.mean(shown, axis=0)
    assert np.all(often[:4] == 1) and often[4] >= 0.6 and np.all(often[5:] == 0)


@steadily
@given(st.integers(0, 10**6), st.floats(-2, 2), st.floats(-1e4, 1e4), st.floats(0.01, 1e4))
def test_no_one_thing_is_worth_more_than_everything_and_money_may_be_in_any_currency(seed, mu, added, scale):
    rng = np.random.default_rng(seed)
    z = rng.standard_normal((3, 256))
    benefit = np.stack([np.zeros(256), mu + z[0] + 0.5 * z[1] * z[2], np.abs(z[1]) - 1])
    plain, most = worth_finding_out(z, benefit), perfect_information(benefit)
    assert np.all(plain.worth <= most + 1e-12) and np.all(plain.worth >= 0)
    assert np.all((plain.shown == plain.worth) | (plain.shown == 0))
    same, in_another = worth_finding_out(z, benefit + added), worth_finding_out(z, scale * benefit)
    for name in ("worth", "cross_validated", "error", "shown"):
        np.testing.assert_allclose(getattr(same, name), getattr(plain, name), atol=1e-8)
        np.testing.assert_allclose(getattr(in_another, name), scale * getattr(plain, name), atol=1e-9 * scale)
    assert perfect_information(scale * benefit + added) == pytest.approx(scale * most, rel=1e-6, abs=1e-8)


@steadily
@given(st.integers(0, 10**6))
def test_the_order_of_draws_inputs_and_options_does_not_matter(seed):
    rng = np.random.default_rng(seed)
    z = rng.standard_normal((3, 256))
    benefit = np.stack([np.zeros(256), 0.1 + z[0], z[1] ** 2 - 1])
    plain = worth_finding_out(z, benefit)
    draws, inputs = rng.permutation(256), rng.permutation(3)
    other = worth_finding_out(z[inputs][:, draws], benefit[rng.permutation(3)][:, draws])
    for name in ("worth", "cross_validated", "error", "shown"):
        np.testing.assert_allclose(getattr(other, name), getattr(plain, name)[inputs], atol=1e-9)


# first_order


def test_shares_of_a_published_function_agree():
    u = 2 * np.pi * points(4096, 3, 1).T - np.pi
    found = first_order(u, np.sin(u[0]) + 7 * np.sin(u[1]) ** 2 + 0.1 * u[2] ** 4 * np.sin(u[0]))
    np.testing.assert_allclose(found, [float(row["first"]) for row in ISHIGAMI[:3]], atol=0.001)


def test_shares_of_a_sum_are_those_of_the_squares_and_what_moves_together_has_the_whole_each():
    z = scores(4096, 3, 2)
    np.testing.assert_allclose(first_order(z, 5 + 3 * z[0] - 2 * z[1] + z[2]), np.array([9, 4, 1]) / 14, atol=0.002)
    other = 0.6 * z[0] + 0.8 * z[1]  # of y = first + other: (1 + .6)^2 of 1 + 1 + 2 x .6
    np.testing.assert_allclose(first_order(np.stack([z[0], other]), z[0] + other), [2.56 / 3.2] * 2, atol=0.002)


def test_shares_know_no_unit_and_nothing_shares_in_a_constant():
    z = scores(1024, 2, 3)
    y = z[0] ** 3 + z[1]
    np.testing.assert_allclose(first_order(z, 1e6 * y + 1e3), first_order(z, y), rtol=1e-9)
    assert first_order(z, np.full(1024, 7.0)).tolist() == [0, 0]
    assert first_order(z, z[0])[0] == pytest.approx(1, abs=1e-8)


# refusals


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: perfect_information([[0, np.nan]]), "benefit must be finite, got nan."),
        (lambda: perfect_information([1, 2]), "benefit must be options by draws, got shape (2,)."),
        (lambda: worth_finding_out(np.full((2, 128), np.nan), np.zeros((2, 128))), "inputs must be finite, got nan."),
        (lambda: worth_finding_out(np.zeros((2, 128)), np.full((2, 128), np.inf)), "benefit must be finite, got inf."),
        (lambda: worth_finding_out(np.zeros((2, 128)), np.zeros((2, 256))), "inputs must be as many draws as benefit, 256, got shape (2, 128)."),
        (lambda: worth_finding_out(np.zeros((2, 64)), np.zeros((2, 64))), "inputs must be at least 128 draws, got 64. Draw 1024 or 4096."),
        (lambda: first_order(np.zeros((2, 128)), np.zeros(127)), "inputs must be as many draws as figure, 127, got shape (2, 128)."),
        (lambda: first_order(np.zeros((2, 128)), np.full(128, np.nan)), "figure must be finite, got nan."),
    ],
)
def test_what_cannot_be_judged_is_refused(call, message):
    with pytest.raises(ValueError) as refused:
        call()
    assert str(refused.value) == message
