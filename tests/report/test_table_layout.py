"""Tables of any answer on a page of 100 columns: no figure is broken, nothing is lost."""

from hypothesis import given
from hypothesis import strategies as st

from linesim.report.answers import Answer, AnswerTable, Column, Figure
from linesim.report.answers.printing import answer_text
from linesim.report.answers.table_layout import GAP, blocks

texts = st.text("ab ", max_size=40).map(str.strip)
figures = st.from_regex(r"[0-9,]{1,12}( ± [0-9,]{1,8})?", fullmatch=True)


@given(st.data())
def test_every_column_stands_once_beside_the_first_and_fits(data: st.DataObject) -> None:
    columns = data.draw(st.integers(2, 12))
    heads = data.draw(st.lists(texts, min_size=columns, max_size=columns))
    words = [True, *data.draw(st.lists(st.booleans(), min_size=columns - 1, max_size=columns - 1))]
    row = st.tuples(*(texts if each else figures for each in words))
    rows = data.draw(st.lists(row, max_size=4))
    found = blocks(heads, rows, words, 100)
    assert [each[0].column for each in found] == [0] * len(found)
    assert [fitted.column for each in found for fitted in each[1:]] == list(range(1, columns))
    for each in found:
        assert sum(fitted.width for fitted in each) + GAP * (len(each) - 1) <= 100
        for column, width in each:
            if not words[column]:
                assert all(len(cells[column]) <= width for cells in rows)


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
        (Column("change"), *(Column(f"figure {n}", "reams a week") for n in range(5))),
        ((f"{change} levels of the bridge: none", *[Figure(1234567.0, 8000.0)] * 5),),
    )
    printed = answer_text(Answer("s", "line", (), (table,))).splitlines()
    row = [n for n, line in enumerate(printed) if line.startswith("a bridge")]
    assert len(row) > 1
    for n in row:
        lines = "\n".join(printed[n:]).split("\n\n")[0].splitlines()
        assert len(lines) <= 4
    assert max(map(len, printed)) <= 100
