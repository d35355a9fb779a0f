"""Written papers as PDF: words, tables and pictures of the wall, tagged for screen readers."""

from __future__ import annotations

import base64
import json
from typing import Any

from giornata.core.documents import Section, Sheet, TextTable, WallPicture, WrittenPaper
from giornata.files.pdf.sheet_svg import sheet_svg
from giornata.files.pdf.typesetting import typeset
from giornata.files.pictures import picture_png

__all__ = ["written_pdf"]

# What the paper says comes from data.json; here stands only how it is set.
_MARKUP = """
#let paper = json("data.json")
#let ink = rgb("#141414")
#let dark = rgb("#4a4a4a")
#let line = rgb("#8c8c8c")
#let pale = rgb("#eeeeee")
#set page(
  width: paper.width * 1mm, height: paper.height * 1mm,
  margin: (x: paper.margin * 1mm, top: 14mm, bottom: 18mm),
  footer: context {
    set text(size: 9pt, fill: dark)
    std.line(length: 100%, stroke: 0.3pt + line)
    v(-2.5mm)
    grid(
      columns: (1fr, auto), row-gutter: 1mm,
      paper.foot_left,
      [Page #counter(page).display() of #counter(page).final().first()],
    )
  },
)
#set text(size: 10pt, fill: ink, features: ("zero", "tnum"))
#set par(leading: 0.55em, spacing: 0.9em)
#show heading.where(level: 1): it => text(size: 22pt, weight: "bold", it.body)
#show heading.where(level: 2): it => block(
  above: 6mm, below: 2.6mm, sticky: true,
  text(size: 13pt, weight: "bold", it.body),
)
#let words(text) = text.split("\\n").join(linebreak())

#let ruled(t) = {
  let columns = range(t.heads.len()).map(k => {
    let shares = t.wide.filter(w => w == k).len()
    if shares > 0 { shares * 1fr } else { auto }
  })
  let tall = t.rows.len()
  set text(size: 9pt)
  set par(leading: 0.45em)
  table(
    columns: columns,
    align: (x, y) => {
      (if x in t.right { right } else { left }) + (if y == 0 { bottom } else { top })
    },
    inset: (x: 1.4mm, y: 0.95mm),
    stroke: (x, y) => (bottom: if y == 0 { 0.7pt + ink } else { 0.3pt + line }),
    fill: (x, y) => if y > 0 and (y - 1) in t.strong { pale },
    table.header(..t.heads.map(h => strong(words(h)))),
    ..t.rows.enumerate().map(((y, row)) => row.enumerate().map(((x, cell)) => {
      let body = if y in t.strong { strong(cell) } else { cell }
      let colour = t.swatches.at(str(y) + " " + str(x), default: none)
      if colour != none {
        let wide = if cell == "" { 100% } else { 5mm }
        let patch = rect(width: wide, height: 2.8mm, fill: rgb(colour), stroke: 0.3pt + line)
        body = if cell == "" { patch } else { box(patch, baseline: 0.5mm) + h(1.6mm) + body }
      }
      table.cell(breakable: cell.len() > 1200, body)
    })).flatten(),
  )
}

#let picture(p) = block(breakable: false, above: p.above * 1mm, below: 0mm, {
  if p.caption != "" {
    let weight = if p.strong { "bold" } else { "regular" }
    block(below: 0.8mm, text(size: 9pt, weight: weight, p.caption))
  }
  image(p.name + ".svg", width: p.width * 1mm, height: p.height * 1mm, alt: p.alt)
})

#let tick(body) = grid(
  columns: (5.5mm, 1fr), align: horizon,
  box(width: 3.6mm, height: 3.6mm, stroke: 0.6pt + ink), body,
)
#let blank(body) = {
  v(9mm)
  std.line(length: 100%, stroke: 0.5pt + ink)
  v(-2.4mm)
  text(size: 9pt, fill: dark, body)
}
#let signing(s) = stack(
  spacing: 2.6mm,
  ..(if s.lines.len() > 0 { s.ticks.map(t => strong(t)) } else { s.ticks.map(tick) }),
  ..s.lines.map(blank),
)

#if paper.warning != "" {
  block(width: 100%, inset: 3mm, stroke: 1.2pt + ink, strong(text(size: 12pt, paper.warning)))
}
#text(size: 11pt, fill: dark, paper.name)
#v(-2mm)
#heading(level: 1, paper.job)
#v(1mm)
#grid(
  columns: (auto, 1fr, auto, 1fr), column-gutter: 4mm, row-gutter: 2mm,
  ..paper.facts.map(f => (text(fill: dark, f.at(0)), strong(f.at(1)))).flatten(),
)
#for s in paper.sections {
  if s.new_page { pagebreak(weak: true) }
  if s.title != "" { heading(level: 2, s.title) }
  for w in s.words { par(w) }
  if s.points.len() > 0 { list(marker: [–], spacing: 0.75em, ..s.points) }
  for p in s.pictures { picture(p) }
  if s.bar != none {
    block(above: 5mm, below: 5mm,
      image(s.bar.file, width: s.bar.width * 1mm, height: s.bar.height * 1mm, alt: s.bar.alt))
  }
  for t in s.tables { ruled(t) }
  if s.signing.len() > 0 {
    block(breakable: false, grid(
      columns: s.signing.map(_ => 1fr), column-gutter: 8mm, ..s.signing.map(signing),
    ))
  }
}
"""


def written_pdf(paper: WrittenPaper) -> bytes:
    """A written paper as PDF, the same bytes every time.

    Raises
    ------
    RenderError
        If the typesetter refuses it.
    """
    files = {"data.json": json.dumps(_data(paper), ensure_ascii=False).encode()}
    for picture in paper.pictures:
        files[f"{picture.name}.svg"] = _picture_svg(picture)
    files |= {_bar_name(bar): sheet_svg(bar) for bar in paper.bars}
    return typeset(_MARKUP, files, title=paper.title, date=paper.date, tagged=True)


def _picture_svg(picture: WallPicture) -> bytes:
    """The wall's pixels with the lines over them; the typesetter takes no file but text."""
    view = picture.view
    pixels = base64.b64encode(picture_png(picture)).decode()
    wall = (
        f'<image x="{view.left:.4f}" y="{view.upper:.4f}" width="{view.right - view.left:.4f}" '
        f'height="{view.lower - view.upper:.4f}" preserveAspectRatio="none" '
        f'href="data:image/png;base64,{pixels}"/>'
    )
    head, lines = sheet_svg(picture.lines).split(b"\n", 1)
    return b"\n".join([head, wall.encode(), lines])


def _data(paper: WrittenPaper) -> dict[str, Any]:
    head = paper.head
    foot = (head.job, head.place, paper.name.lower(), head.date.isoformat(), f"job {head.digest}")
    return {
        "name": paper.name,
        "job": head.job,
        "warning": paper.warning,
        "facts": [[name, text or "–"] for name, text in paper.facts],
        "width": paper.paper.short,
        "height": paper.paper.long,
        "margin": paper.margin,
        "foot_left": ", ".join(one for one in foot if one),
        "sections": [_section(section) for section in paper.sections],
    }


def _section(section: Section) -> dict[str, Any]:
    return {
        "title": section.title,
        "words": list(section.words),
        "points": list(section.points),
        "tables": [_table(table) for table in section.tables],
        "pictures": [_picture(picture, section.title) for picture in section.pictures],
        "bar": None if section.bar is None else _bar(section.bar),
        "signing": [{"ticks": one.ticks, "lines": one.lines} for one in section.signing],
        "new_page": section.new_page,
    }


def _bar(bar: Sheet) -> dict[str, Any]:
    return {"file": _bar_name(bar), "width": bar.width, "height": bar.height, "alt": bar.name}


def _bar_name(bar: Sheet) -> str:
    return f"{bar.name}.svg"


def _table(table: TextTable) -> dict[str, Any]:
    return {
        "heads": table.heads,
        "rows": table.rows,
        "right": table.right,
        "strong": table.strong,
        "wide": table.wide or (0,),
        "swatches": {f"{row} {column}": colour for row, column, colour in table.swatches},
    }


def _picture(picture: WallPicture, title: str) -> dict[str, Any]:
    view = picture.view
    return {
        "name": picture.name,
        "caption": picture.caption,
        "strong": picture.strong,
        "alt": picture.caption or f"{title}: {view.start:.2f} to {view.end:.2f} m",
        "width": picture.lines.width,
        "height": picture.lines.height,
        "above": picture.above,
    }
