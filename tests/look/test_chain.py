"""A chain of part numbers: columns by supersession, branches below, circles survived."""

from diagnostics.charts import chain
from tests.look.chart_examples import numbers
from tests.look.drawing import strokes


def by_number(drawing):
    return {node.part.number: node for node in drawing.nodes}


def test_each_supersession_is_a_column_further_right():
    nodes = by_number(numbers())
    columns = [nodes[n].x for n in ("LN 27 408-0", "LN 27 410-0", "LN 27 411-0")]
    assert columns == [2.0, 263.0, 524.0]
    assert nodes["LN 27 410-0"].wanted


def test_a_branch_that_nothing_follows_stands_below_its_origin():
    nodes = by_number(numbers())
    branch, origin = nodes["LN 27 410-9"], nodes["LN 27 410-0"]
    assert branch.x == origin.x
    assert branch.y > origin.y + origin.height


def test_no_two_numbers_cover_each_other():
    nodes = numbers().nodes
    for index, one in enumerate(nodes):
        for other in nodes[:index]:
            apart = abs(one.x - other.x) >= chain.NODE_WIDTH or abs(one.y - other.y) >= min(one.height, other.height)
            assert apart


def test_only_the_step_that_does_not_fit_backwards_is_crossed():
    drawing = numbers()
    assert len(strokes(drawing.backwards)) == 1
    assert len(strokes(drawing.crosses)) == 2  # the two strokes of one cross


def test_a_circle_of_supersessions_still_draws():
    number = chain.Number
    drawing = chain.build(
        key="k",
        title="t",
        numbers=[number(number="A"), number(number="B")],
        steps=[chain.Step(old="A", new="B"), chain.Step(old="B", new="A")],
    )
    assert {node.part.number for node in drawing.nodes} == {"A", "B"}


def test_a_step_to_an_unknown_number_draws_no_arrow():
    number = chain.Number(number="A")
    assert chain.build(key="k", title="t", numbers=[number], steps=[chain.Step(old="A", new="Z")]).arrows == ""
