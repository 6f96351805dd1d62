"""Words of a scenario, a log or a lesson, where Qt would look for markup in them."""

from __future__ import annotations

from html import escape


def plain_tip(text: str) -> str:
    """*text* for a tool tip, shown as it is written whatever is in it.

    >>> plain_tip("wrapper jam"), plain_tip("<b>jam</b>")
    ('wrapper jam', '<span>&lt;b&gt;jam&lt;/b&gt;</span>')
    """
    if "<" not in text:
        return text
    return f"<span>{escape(text).replace(chr(10), '<br>')}</span>"
