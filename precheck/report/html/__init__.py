"""Pages for a browser: one file each, that loads nothing, runs nothing, and reads well on paper too.

Another report makes a page in two ways.

From its own text report, with nothing more to lay out: say everything on an `Outline` instead of a `Page`
(it takes the same calls), and hand its sections over:

    outline = Outline()
    lay_out(record, outline)             # the same function that fills the `Page` of the text report
    return document("outline.html", title="What to mend", top=outline.top, sections=outline.sections)

With a template of its own in `templates/`, which starts with `{% extends "base.html" %}`, fills the blocks
`top` and `main`, and uses the macros of `outline.html` and `parts.html`:

    return document("sheet.html", title="What to measure", sheet=record)

What a template prints goes through `visible` and is then escaped; no template marks anything as safe, joins
texts with `~`, or has a script, a style attribute or an address that is loaded. `tests/report/test_html.py`
holds every template to that.
"""
