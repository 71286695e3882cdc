package web

import (
	"strconv"

	"combline/internal/answer"
)

// rowsAPage is how many rows of a long table one page shows: what a tablet lays out at
// once. A recall list is read on paper, so that more of it stands together.
const (
	rowsAPage   = 400
	recallAPage = 1000
)

// from is the place of the first row that a page asks for, of n rows so many a page;
// where it asks for none that there is, the nearest.
func (v *visit) from(n, most int) int {
	at, err := strconv.Atoi(v.arg("from"))
	if err != nil || at < 1 {
		return 0
	}
	return min(at-1, max(0, n-1)) / most * most
}

// part is the sheet of one part of a long table, with links to the others.
func (v *visit) part(most int, t answer.Table, path string, pairs ...string) *sheet {
	n := len(t.Rows)
	at := v.from(n, most)
	t.Rows = t.Rows[at:min(n, at+most)]
	s := v.sheet(t)
	s.Count, s.Parts = n, v.parts(n, at, most, path, pairs...)
	return s
}

// parts are links to the parts of n rows, the one that begins at open: the first and the
// last, and some on both sides.
func (v *visit) parts(n, open, most int, path string, pairs ...string) (all []option) {
	if n <= most {
		return nil
	}
	const near = 4
	for at := 0; at < n; at += most {
		away := (at - open) / most
		if at > 0 && at+most < n && (away < -near || away > near) {
			continue
		}
		text := v.c.Count(int64(at+1)) + "–" + v.c.Count(int64(min(n, at+most)))
		all = append(all, option{Text: text, Value: v.c.Count(int64(n)), Href: link(path, append(pairs[:len(pairs):len(pairs)], "from", strconv.Itoa(at+1))...), On: at == open})
	}
	return all
}
