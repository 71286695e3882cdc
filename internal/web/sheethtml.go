package web

import (
	"html/template"
	"strings"
)

// HTML is the table for a page. It is written here and not by a template: tables are
// most of what a page holds, and this is a tenth of the work. All text is escaped;
// addresses are those of these pages.
func (s *sheet) HTML() template.HTML {
	const cellSize = 140 // bytes, about
	var b strings.Builder
	b.Grow(400 + len(s.Rows)*len(s.Heads)*cellSize)
	b.WriteString(`<div class="scrollx rows" tabindex="0" role="region"`)
	attribute(&b, "aria-label", s.Title)
	b.WriteString(`><table`)
	attribute(&b, "class", s.Class)
	b.WriteString(`><thead><tr>`)
	for _, h := range s.Heads {
		b.WriteString(`<th scope="col"`)
		if h.Right {
			b.WriteString(` class="n"`)
		}
		b.WriteByte('>')
		escaped(&b, h.Text)
		b.WriteString(`</th>`)
	}
	b.WriteString(`</tr></thead><tbody>`)
	for _, r := range s.Rows {
		b.WriteString(`<tr`)
		attribute(&b, "class", r.Class)
		attribute(&b, "id", r.ID)
		b.WriteByte('>')
		for i := range r.Cells {
			r.Cells[i].html(&b, s.Heads[min(i, len(s.Heads)-1)].Text)
		}
		b.WriteString(`</tr>`)
	}
	b.WriteString(`</tbody></table></div>`)
	if s.More != "" {
		b.WriteString(`<p class="more"><a class="btn flat"`)
		attribute(&b, "href", local(s.MoreHref))
		b.WriteByte('>')
		escaped(&b, s.More)
		b.WriteString(`</a></p>`)
	}
	s.parts(&b)
	return template.HTML(b.String())
}

// parts writes the links to the other parts of a long table.
func (s *sheet) parts(b *strings.Builder) {
	if len(s.Parts) == 0 {
		return
	}
	for _, p := range s.Parts {
		if p.On { // on paper too: this is not all of it
			b.WriteString(`<p class="q">`)
			escaped(b, p.Text+" / "+s.Parts[len(s.Parts)-1].Value)
			b.WriteString(`</p>`)
		}
	}
	b.WriteString(`<nav class="parts more"`)
	attribute(b, "aria-label", s.Title)
	b.WriteByte('>')
	for _, p := range s.Parts {
		b.WriteString(`<a class="btn flat"`)
		if p.On {
			b.WriteString(` aria-current="page"`)
		}
		attribute(b, "href", local(p.Href))
		b.WriteByte('>')
		escaped(b, p.Text)
		b.WriteString(`</a>`)
	}
	b.WriteString(`</nav>`)
}

// html writes the cell, with its column's head where on a phone it stands beside it.
func (c *sheetCell) html(b *strings.Builder, column string) {
	open, end := "<td", "</td>"
	if c.Head {
		open, end = `<th scope="row"`, "</th>"
	}
	b.WriteString(open)
	if !c.Head {
		attribute(b, "data-h", column)
	}
	if c.Right {
		b.WriteString(` class="n"`)
	}
	b.WriteByte('>')
	if c.Fill != "" {
		b.WriteString(`<span class="lot"><svg class="sw" viewBox="0 0 30 30" aria-hidden="true"><rect width="30" height="30"`)
		attribute(b, "fill", c.Fill)
		b.WriteString(`/></svg><span>`)
	}
	if c.Icon != "" {
		b.WriteString(string(icon(c.Icon, c.Class)))
		b.WriteByte(' ')
	}
	c.text(b)
	if c.Note != "" {
		b.WriteString(`<small class="q">`)
		escaped(b, c.Note)
		b.WriteString(`</small>`)
	}
	if c.Fill != "" {
		b.WriteString(`</span></span>`)
	}
	b.WriteString(end)
}

// text writes the cell's text, as a link where it leads somewhere.
func (c *sheetCell) text(b *strings.Builder) {
	class := c.Class
	if c.Whole {
		class = strings.TrimSpace(class + " nw")
	}
	switch {
	case c.Href != "":
		b.WriteString(`<a`)
		attribute(b, "href", local(c.Href))
		attribute(b, "class", class)
		b.WriteByte('>')
		escaped(b, c.Text)
		b.WriteString(`</a>`)
	case class != "":
		b.WriteString(`<span`)
		attribute(b, "class", class)
		b.WriteByte('>')
		escaped(b, c.Text)
		b.WriteString(`</span>`)
	default:
		escaped(b, c.Text)
	}
}

// attribute writes an attribute, unless it is empty.
func attribute(b *strings.Builder, name, value string) {
	if value == "" {
		return
	}
	b.WriteByte(' ')
	b.WriteString(name)
	b.WriteString(`="`)
	escaped(b, value)
	b.WriteByte('"')
}

// escaped writes text so that it stays text.
func escaped(b *strings.Builder, s string) {
	if strings.ContainsAny(s, "&<>\"'\x00") {
		s = template.HTMLEscapeString(s)
	}
	b.WriteString(s)
}
