# Lays out the page on standard input as sheets on standard output, to the same bytes as `weasyprint - -` in less time: what is
# alike is calculated once, and nothing is given back at the end. An argument is a file to attach. The former reaches into the
# library, and only into the version that it was measured with. tests/document/paper_check.py compares the bytes.
import gc
import os
import sys

# Not what lies in the folder of whoever calls.
if sys.path[0] == '':
    del sys.path[0]

# The layout builds some ten million objects and drops hardly any before its end.
gc.disable()

import weasyprint
from weasyprint import css
from weasyprint.formatting_structure import boxes
from weasyprint.text.fonts import FontConfiguration

MEASURED = '57.'

# Properties that a style sheet can take from attributes of the element itself.
OF_THE_ELEMENT = {'anchor', 'link', 'lang', 'content', 'string_set', 'bookmark_label'}


def model(style):
    """The shared style that this one is a copy of, or itself: what inherits is the same under both."""
    return style.__dict__.get('model', style)


def text_style(cls, parent, *arguments, **named):
    """Lines and texts have no element: those of one style share one."""
    parent_style = model(parent.style)
    style = parent_style.__dict__.get('of_text')
    if style is None:
        style = parent_style.of_text = css.AnonymousStyle(parent_style)
    return cls(parent.element_tag, style, parent.element, *arguments, **named)


def shares(element, cascaded, parent_style, pseudo_type):
    """Whether all that decides the style are the rules that matched and the parent. That of a table is divided later."""
    display = cascaded.get('display', ((),))[0]
    return (cascaded and parent_style is not None and not isinstance(element, css.PageType) and pseudo_type != 'marker'
            and OF_THE_ELEMENT.isdisjoint(cascaded) and 'table' not in display)


def share_styles():
    calculate = css.computed_from_cascaded
    known = {}

    def calculate_once(element, cascaded, parent_style, pseudo_type=None, *rest, **named):
        if parent_style is not None:
            parent_style = model(parent_style)
        if not shares(element, cascaded, parent_style, pseudo_type):
            return calculate(element, cascaded, parent_style, pseudo_type, *rest, **named)
        key = id(parent_style), pseudo_type, tuple((name, id(value[0])) for name, value in cascaded.items())
        if key not in known:
            # The values are kept, so that no other takes their identity.
            style = calculate(element, cascaded, parent_style, pseudo_type, *rest, **named)
            known[key] = style, parent_style, [value[0] for value in cascaded.values()]
        style = known[key][0]
        if style['display'][0].startswith('table-'):
            # Borders of cells that collapse are set in the style of each.
            own = style.copy()
            own.model = style
            return own
        return style

    css.computed_from_cascaded = calculate_once
    for kind in boxes.TextBox, boxes.LineBox:
        kind.anonymous_from = classmethod(text_style)


if weasyprint.__version__.startswith(MEASURED):
    share_styles()
fonts = FontConfiguration()
weasyprint.HTML(file_obj=sys.stdin.buffer, base_url='.').write_pdf(
    sys.stdout.buffer, attachments=sys.argv[1:], font_config=fonts)
sys.stdout.buffer.flush()
# The folder of its fonts goes; millions of objects do not have to.
fonts.__del__()
os._exit(0)
