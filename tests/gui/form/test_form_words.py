"""The form speaks to who fills it in: names of the file's own stay in the file."""

from __future__ import annotations

import linesim
from gui.document import help_words
from gui.form.entries import group_words


def test_no_name_of_a_field_is_in_what_the_form_says_of_a_table() -> None:
    groups = {group.name: group for group in linesim.scenario.field_groups()}
    assert "every_" in groups["stop"].help
    for group in groups.values():
        said = group_words(group)
        assert said.endswith(".")
        assert "_" not in said
        for field in group.fields:
            assert "_" not in help_words(field.help)
