"""That the shares found of what is not known are those of the line, in short."""

from tests.trust.shares import doubtful, found_shares, true_shares


def test_the_doubt_that_makes_most_of_a_line_is_found() -> None:
    line = doubtful(("wrapper jam", "tension control"))
    truth = true_shares(line, 2, 24)
    found = found_shares(line, 10, 24, seed=1)
    most = max(truth, key=truth.__getitem__)
    assert most == "wrapper: rate_reams_per_min"
    assert next(iter(found)) == most
    _, low, high = found[most]
    assert low <= truth[most] <= high
