"""Tables of any answer on a page of 100 columns: no figure is broken, nothing is lost."""

from hypothesis import given
from hypothesis import strategies as st

from linesim.report.answers import Answer, AnswerTable, Column, Figure
from linesim.report.answers.printing import answer_text
from linesim.report.answers.table_layout import GAP, MOST_LINES, broken, layout
from linesim.report.plain import Terminal
from tests.report.any_width import assert_fits

texts = st.text("ab ", max_size=40).map(str.strip)
figures = st.from_regex(r"[0-9,]{1,12}( ± [0-9,]{1,8})?", fullmatch=True)


@given(st.data())
def test_every_column_stands_once_beside_the_first_and_fits(data: st.DataObject) -> None:
    columns = data.draw(st.integers(2, 12))
    width = data.draw(st.sampled_from([60, 80, 100, 160]))
    heads = data.draw(st.lists(texts, min_size=columns, max_size=columns))
    words = [True, *data.draw(st.lists(st.booleans(), min_size=columns - 1, max_size=columns - 1))]
    row = st.tuples(*(texts if each else figures for each in words))
    rows = data.draw(st.lists(row, max_size=4))
    ranked = st.lists(st.integers(0, 3), min_size=columns, max_size=columns)
    ranks = data.draw(st.none() | ranked)
    found, left_out = layout(heads, rows, words, width, ranks)
    assert [each[0].column for each in found] == [0] * len(found)
    shown = [fitted.column for each in found for fitted in each[1:]]
    assert shown == [n for n in range(1, columns) if n not in left_out]
    for each in found:
        assert sum(fitted.width for fitted in each) + GAP * (len(each) - 1) <= width
        for column, room in each:
            if words[column]:
                assert all(broken(cells[column], room).count("\n") < MOST_LINES for cells in rows)
            else:
                assert all(len(cells[column]) <= room for cells in rows)
    if left_out:
        assert ranks is not None
        assert 0 not in left_out
        # What goes matters no more than what stays.
        kept = [ranks[n] for n in shown if ranks[n]]
        assert min(ranks[n] for n in left_out) >= max(kept, default=1)


def test_a_wide_table_goes_on_below_itself_with_its_figures_whole() -> None:
    wide = AnswerTable(
        "wide",
        "Wide",
        (Column("change"), *(Column(f"figure number {n}", "reams a week") for n in range(8))),
        tuple(
            (
                f"a change of so many things that {k} lines hold it",
                *[Figure(1234567.0, 8000.0)] * 8,
            )
            for k in range(2)
        ),
    )
    printed = answer_text(Answer("s", "line", (), (wide,)))
    assert printed.count("1,235,000 ± 8,000") == 16
    assert printed.count("a change of so many") > 2
    assert max(map(len, printed.splitlines())) <= 100


def test_no_text_stands_on_more_than_four_lines() -> None:
    change = (
        "a bridge of 39.6 m, 120 places (now 20 m, 60); two wrappers; reels changed one by one;"
    )
    table = AnswerTable(
        "long",
        "Long",
        (Column("change"), *(Column(f"figure {n}", "reams a week", rank=n) for n in range(5))),
        ((f"{change} levels of the bridge: none", *[Figure(1234567.0, 8000.0)] * 5),),
    )
    assert_fits(Answer("s", "line", (), (table,)))
    printed = answer_text(Answer("s", "line", (), (table,)), Terminal(80, instead="Ask for more."))
    left_out = "; ".join(f"figure {n}, reams a week" for n in (2, 3, 4))
    assert f"(no room for: {left_out}. Ask for more.)" in " ".join(printed.split())


def test_a_text_too_long_for_four_lines_is_cut_and_said_to_be() -> None:
    why = "because " * 40
    table = AnswerTable("w", "W", (Column("why"), Column("n")), ((why.strip(), 3),))
    answer = Answer("s", "line", (), (table,))
    assert_fits(answer)
    assert "(…: the text is longer. More.)" in answer_text(answer, Terminal(60, instead="More."))
    assert answer_text(answer).count("because") == 40
