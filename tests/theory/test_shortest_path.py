"""The clever search against trying everything."""

from itertools import pairwise, product

from hypothesis import given
from hypothesis import strategies as st

from theorykit.theory.shortest_path import cheapest_path


def total(path, move):
    moves = [move(*pair) for pair in pairwise([None, *path, None])]
    return tuple(sum(parts) for parts in zip(*moves, strict=True))


@given(
    st.lists(st.lists(st.integers(0, 9), min_size=1, max_size=4), min_size=1, max_size=5),
    st.lists(st.tuples(st.integers(0, 3), st.integers(0, 3)), min_size=121, max_size=121),
)
def test_no_path_is_cheaper(layers, costs):
    def move(before, after):
        one, other = (10 if node is None else node for node in (before, after))
        return costs[11 * one + other]

    cost, path = cheapest_path(layers, move)
    assert all(node in layer for node, layer in zip(path, layers, strict=True))
    assert total(path, move) == cost
    assert cost == min(total(other, move) for other in product(*layers))


def test_ties_go_to_the_nodes_that_come_first():
    assert cheapest_path([[3, 1], [2, 0]], lambda *_: (0,)) == ((0,), [3, 2])
