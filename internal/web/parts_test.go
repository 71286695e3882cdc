package web

import (
	"fmt"
	"html"
	"net/http"
	"net/url"
	"regexp"
	"slices"
	"strings"
	"testing"

	"combline/internal/answer"
	"combline/internal/record"
)

// Every row of a long table stands on one part of it, whatever is asked for, and the
// links lead to the parts that there are.
func TestPartsOfALongTable(t *testing.T) {
	x := newHouse(t)
	a := answer.Answer{}
	table := a.Table("lots", "lot")
	for i := range 2345 {
		table.Row(answer.Plain, record.Code(fmt.Sprint("L", i)))
	}
	part := func(from string) *sheet {
		v := x.s.visit(newRecorder(), x.request("GET", "/trace?from="+url.QueryEscape(from), nil))
		return v.part(400, *table, "/trace", "of", "<b>")
	}
	var seen []string
	for from := 1; from <= 2345; from += 400 {
		s := part(fmt.Sprint(from))
		for _, r := range s.Rows {
			seen = append(seen, r.Cells[0].Text)
		}
		if on := slices.IndexFunc(s.Parts, func(p option) bool { return p.On }); on < 0 || !strings.Contains(s.Parts[on].Href, fmt.Sprint("from=", from)) {
			t.Errorf("from %d: no part is the open one: %v", from, s.Parts)
		}
	}
	if len(seen) != 2345 || seen[0] != "L0" || seen[2344] != "L2344" || len(slices.Compact(seen)) != 2345 {
		t.Errorf("%d rows on all parts, want 2345, each once", len(seen))
	}
	for from, first := range map[string]string{"": "L0", "0": "L0", "-7": "L0", "abc": "L0", "2": "L0", "401": "L400", "99999": "L2000", "9223372036854775807": "L2000", "99999999999999999999": "L0"} {
		if s := part(from); s.Rows[0].Cells[0].Text != first || s.Count != 2345 {
			t.Errorf("from %q begins with %s of %d, want %s of 2345", from, s.Rows[0].Cells[0].Text, s.Count, first)
		}
	}
	if s := part("1"); len(s.Parts) != 6 || strings.Contains(string(s.HTML()), "<b>") {
		t.Errorf("%d parts, want 6: %s", len(s.Parts), s.HTML())
	}
}

var partLinks = regexp.MustCompile(`<a class="btn flat"[^>]* href="([^"]*from=\d+[^"]*)"`)

// Tables in full are shown in parts that lead on to all of them.
func TestLongPagesAreInParts(t *testing.T) {
	x := largeHouse(t, 1, 0)
	for _, first := range []string{"/trace?of=LL100&table=possible-into", "/balance?all=lots", "/history?of=S1", "/history?of=LL100"} {
		rows, seen := 0, map[string]bool{}
		for line := []string{first}; len(line) > 0; line = line[1:] {
			w := x.do(x.request("GET", line[0], nil))
			if w.Code != http.StatusOK {
				t.Fatalf("%s: %d", line[0], w.Code)
			}
			page := w.Body.String()
			if n := strings.Count(page, "<tr>") + strings.Count(page, "<tr "); n > rowsAPage+80 {
				t.Errorf("%s has %d rows", line[0], n)
			} else if line[0] != first || !strings.Contains(page, "from=") {
				rows += n
			}
			for _, m := range partLinks.FindAllStringSubmatch(page, -1) {
				if to := html.UnescapeString(m[1]); !seen[to] {
					seen[to] = true
					line = append(line, to)
				}
			}
		}
		if rows < 3 {
			t.Errorf("%s: %d rows on %d parts", first, rows, len(seen))
		}
	}
}
