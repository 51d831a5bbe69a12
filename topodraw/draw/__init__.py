"""Drawing: from facts and findings to sheets.

A view is one function, `NAME_sheets(facts, findings, theme) -> list[Sheet]`. It makes plain shapes and never
writes a tag.

The vocabulary, from the bottom:

- `characters`: `shown(text)` makes any name safe to print, `element_id(kind, *names)` makes its id
  (`gear-core`).
- `text_metrics`: `width`, `fit`, `wrap` measure text from shipped metrics. Styles: regular, bold, mono,
  mono-bold. Nothing is smaller than `primitives.TEXT_SIZE`; lines stand `primitives.LINE_PITCH` apart.
- `primitives`: `Rect`, `Path` (polylines), `Ellipse`, `Text`, `Group`, `Hatch` (a fill), `line()`, `moved()`,
  `every()`, `texts()`. A `Text` knows its `width` and `box`, and names the box it belongs in (`within=ID`).
  Group whatever is one thing: `Group(shapes, id=element_id("gear", name), kind="gear", title=name,
  desc="switch, 1 U at A/U40")`; kinds become classes: gear, port, cable, zone, finding, legend.
- `theme`: `load_theme(name)` gives colours by meaning (`theme.ink`, `theme.paper`, `theme.plate`,
  `theme.colour("no-purpose")`, `theme.severity("error")`); `purpose_looks(purposes, theme)` gives each
  purpose its colour, letter and weave.
- `faceplate`: `lay_out_ports(faces, CABLING)` places ports; `layout.at(x, y)` gives `PortSpot`s with
  `middle_x` and `outer_y`, where cables attach. `port_shapes.port_groups(...)` draws them,
  `port_shapes.inlet(...)` a power inlet.
- `finding_marks`: `numbered(findings)` numbers those that stand on a sheet; put each as `Mark(number,
  finding, x, y, where)`, at the left middle of its flag. The sheet draws the flags and lists them with their
  grid squares.
- `legend`: `LegendGroup(heading, (LegendEntry(sample, sample_width, words), ...))`, `purposes_legend(looks,
  theme)`.
- `sheet`: `compose(Drawing(...), identity(site.info), identification=..., number=..., of=..., theme=theme) ->
  Sheet` frames the drawing and adds findings, caution, legend and title block. A view draws from (`MARGIN`,
  `MARGIN`) (in `grid`) to (`width - MARGIN`, `bottom`), `width` being `NATURAL_WIDTH` unless it must be
  wider. `Sheet.svg(theme)` is the text of the file, `Sheet.file_name` its name, which other sheets may link
  to (`Group(link=...)`). `renumbered(sheets, theme)` numbers the sheets of several views as one set.
"""
