"""A laid-out drawing written as SVG: links with names, text as text, colours by variables with a fallback for paper."""

from __future__ import annotations

from html import escape
from itertools import groupby

from loombook.drawings.geometry import Box, Point
from loombook.drawings.metrics import clean, measured
from loombook.drawings.model import Service, State
from loombook.drawings.scene import Item, Part, Scene, Shape, Symbol, Text, Wire
from loombook.drawings.symbols import glyph, number

FONT = "Arial,'Liberation Sans',Helvetica,'DejaVu Sans',sans-serif"

COLOURS = {
    "paper": "#fff",
    "text": "#111",
    "muted": "#555",
    "line": "#111",
    "faint": "#888",
    "fill": "#eee",
    "accent": "#0b57a4",
    "live": "#b00020",
    "dead": "#666",
}
WEIGHTS = {Service.POWER: 2.0, Service.CONTROL: 1.2, Service.BOND: 1.4, Service.BAR: 5.0}
STROKE = {
    State.DEAD: f"stroke:var(--lb-dead,{COLOURS['dead']})",
    State.LIVE: f"stroke:var(--lb-live,{COLOURS['live']})",
    State.ADDED: f"stroke:var(--lb-accent,{COLOURS['accent']})",
    State.REMOVED: f"stroke:var(--lb-dead,{COLOURS['dead']})",
}
DASHED = {State.DEAD: "6 4", State.REMOVED: "2 4"}
HEAVIER = {State.LIVE: 1.8, State.ADDED: 1.8}


def colour(name: str) -> str:
    """A colour the page may set, with the value for paper.

    >>> colour("line")
    'var(--lb-line,#111)'
    """
    return f"var(--lb-{name},{COLOURS[name]})"


def written(scene: Scene) -> str:
    """The drawing as SVG text; the same scene gives the same bytes."""
    wide, high = number(scene.width), number(scene.height)
    title = _escaped(f"{scene.title}. {scene.about}" if scene.about else scene.title)
    kind = " lb-sheet" if scene.paper else ""
    head = (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="lb-svg{kind}" viewBox="0 0 {wide} {high}" width="{wide}" '
        f'height="{high}" role="group" aria-label="{_escaped(scene.title)}" data-drawing="{scene.name}"'
        + (f' data-paper="{scene.paper}"' if scene.paper else "")
        + ">"
    )
    body = [
        head,
        f"<title>{title}</title>",
        f"<desc>{_escaped(scene.about or scene.title)}</desc>",
        f'<g style="fill:none;stroke:{colour("line")};stroke-width:1.7;stroke-linecap:round;stroke-linejoin:round;'
        f'font-family:{FONT};font-size:13.5px">',
    ]
    body += [_item(item) for item in scene.items]
    return "\n".join([*body, "</g>", "</svg>", ""])


def _item(item: Item) -> str:
    """One item with its name, and its link if it has one."""
    classes = f"lb-item lb-{item.role}" + (" lb-here" if item.here else "")
    classes += f" lb-is-{item.state}" if item.state is not State.NORMAL else ""
    data = f' data-item="{_escaped(item.key)}"' if item.role not in ("frame", "note") else ""
    data += f' data-branch="{_escaped(item.branch)}"' if item.branch else ""
    data += f' data-up="{_escaped(item.joins[0])}" data-low="{_escaped(item.joins[1])}"' if any(item.joins) else ""
    data += ' data-both=""' if item.both and any(item.joins) else ""
    tag, link = ("a", f' href="{_escaped(item.href)}"') if item.href else ("g", "")
    style = STROKE.get(item.state, "")
    if item.here and not style:
        style = f"stroke:{colour('accent')}"
    style = f' style="{style}"' if style else ""
    name = f"<title>{_escaped(item.name)}</title>" if item.name else ""
    touch = _touch(item.box) if item.href else ""
    return f'<{tag} class="{classes}"{link}{data}{style}>{name}{touch}{_parts(item)}</{tag}>'


def _touch(box: Box) -> str:
    """An unseen area that makes the whole item easy to hit."""
    b = box.grown(2)
    return (
        f'<rect x="{number(b.left)}" y="{number(b.top)}" width="{number(b.width)}" height="{number(b.height)}" '
        f'style="stroke:none;pointer-events:all"/>'
    )


def _parts(item: Item) -> str:
    out = ""
    for is_text, parts in groupby(item.parts, key=lambda part: isinstance(part, Text)):
        if is_text:
            accent = colour("accent") if item.here else colour("text")
            out += f'<g style="stroke:none;fill:{accent}">' + "".join(_text(part) for part in parts) + "</g>"
        else:
            out += "".join(_drawn(part, item) for part in parts)
    return out


def _drawn(part: Part, item: Item) -> str:
    if isinstance(part, Symbol):
        return _symbol(part, item)
    if isinstance(part, Wire):
        return _wire(part)
    return _shape(part)


def _text(text: Text) -> str:
    more = f' text-anchor="{text.anchor}"' if text.anchor != "start" else ""
    style = ";".join(
        rule
        for rule in (
            "font-weight:bold" if text.bold else "",
            f"font-size:{number(text.size)}px" if text.size != 13.5 else "",
            f"fill:{colour('muted')}" if text.muted else "",
        )
        if rule
    )
    more += f' style="{style}"' if style else ""
    if not measured(text.text):  # signs we have no width for: hold them to the room they were given
        more += f' textLength="{number(text.box.width)}" lengthAdjust="spacing"'
    return f'<text x="{number(text.x)}" y="{number(text.y)}"{more}>{_escaped(text.text)}</text>'


def _symbol(symbol: Symbol, item: Item) -> str:
    shape = glyph(symbol.kind, symbol.across)
    heavy = HEAVIER.get(item.state, 2.2 if item.here else 0)
    style = f"stroke-width:{number(1.7 * heavy if item.state in HEAVIER else heavy)};" if heavy else ""
    base = f' style="{style}"' if style else ""
    dash = DASHED.get(item.state)
    out = f'<g transform="translate({number(symbol.at.x)} {number(symbol.at.y)})"{base}>'
    for how, path in shape.paths:
        rule = {
            "line": f"stroke-dasharray:{dash}" if dash else "",
            "thin": "stroke-width:1",
            "dash": "stroke-width:1;stroke-dasharray:3 2",
            "solid": f"fill:{colour('line')}",
            "hollow": f"fill:{colour('paper')}",
        }[how]
        out += f'<path d="{path}"' + (f' style="{rule}"' if rule else "") + "/>"
    for place, letter in shape.letters:
        out += (
            f'<text x="{number(place.x)}" y="{number(place.y + 5)}" text-anchor="middle" '
            f'style="stroke:none;fill:{colour("text")}">{letter}</text>'
        )
    return out + "</g>"


def _wire(wire: Wire) -> str:
    weight = WEIGHTS[wire.service] * HEAVIER.get(wire.state, 1)
    rules = [f"stroke-width:{number(weight)}"] if weight != 1.7 else []
    dash = DASHED.get(wire.state, "9 3 2 3" if wire.service is Service.BOND else "")
    dash = "18 7" if dash and wire.service is Service.BAR else dash
    rules += [f"stroke-dasharray:{dash}"] if dash else []
    rules += [STROKE[wire.state]] if wire.state in STROKE else []
    rules += ["stroke-linecap:butt"] if wire.service is Service.BAR else []
    style = f' style="{";".join(rules)}"' if rules else ""
    return f'<path d="{_path(wire.points)}"{style}/>'


def _shape(shape: Shape) -> str:
    rules = {
        "line": "",
        "paper": f"fill:{colour('paper')}",
        "fill": f"fill:{colour('fill')}",
        "solid": f"fill:{colour('line')}",
    }[shape.paint]
    rules = [rules] if rules else []
    rules += [f"stroke-width:{number(shape.weight)}"] if shape.weight != 1.7 else []
    rules += [f"stroke:{colour('faint')}"] if shape.faint else []
    rules += ["stroke-dasharray:6 4"] if shape.dashed else []
    style = f' style="{";".join(rules)}"' if rules else ""
    if shape.rounded:
        b = shape.box
        return (
            f'<rect x="{number(b.left)}" y="{number(b.top)}" width="{number(b.width)}" height="{number(b.height)}" '
            f'rx="{number(shape.rounded)}"{style}/>'
        )
    return f'<path d="{_path(shape.points)}Z"{style}/>'


def _path(points: tuple[Point, ...]) -> str:
    """Points as a path: M, then H and V where the line is level or upright."""
    out, last = f"M{number(points[0].x)} {number(points[0].y)}", points[0]
    for point in points[1:]:
        if number(point.y) == number(last.y):
            out += f"H{number(point.x)}"
        elif number(point.x) == number(last.x):
            out += f"V{number(point.y)}"
        else:
            out += f"L{number(point.x)} {number(point.y)}"
        last = point
    return out


def _escaped(text: str) -> str:
    return escape(clean(text), quote=True)
