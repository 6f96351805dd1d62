"""Words of a scenario, a log or a lesson, where Qt would look for markup in them."""

from __future__ import annotations

from html import escape


def plain_tip(text: str) -> str:
    """*text* for a tool tip or a question, shown as it is written whatever is in it.

    >>> plain_tip("wrapper jam"), plain_tip("<b>jam</b>")
    ('wrapper jam', '<span>&lt;b&gt;jam&lt;/b&gt;</span>')
    """
    # Qt takes a text with this entity for markup, too, though there is none in it.
    if "<" not in text and "&lt;" not in text:
        return text
    return f"<span>{escape(text).replace(chr(10), '<br>')}</span>"
