package yard

import (
	"strings"

	"combline/internal/record"
)

// marked is a run of box marks that name a home.
type marked struct {
	prefix string
	span   span
	home   record.Code
}

// A span is a run of numbers, both ends in it.
type span struct{ first, last int64 }

const maxMark = 1 << 40 // what no paint pot has reached; keeps sums from running over

func spanOf(m record.Marks) (span, bool) {
	return span{m.First, m.Last}, m.First >= 0 && m.Last >= m.First && m.Last < maxMark
}

func prefix(m record.Marks) string { return strings.ToUpper(strings.TrimSpace(m.Prefix)) }

// cut takes by out of the spans and returns how many numbers that were, and the rest.
func cut(from []span, by span) (int64, []span) {
	var n int64
	var rest []span
	for _, s := range from {
		first, last := max(s.first, by.first), min(s.last, by.last)
		if first > last {
			rest = append(rest, s)
			continue
		}
		n += last - first + 1
		if s.first < first {
			rest = append(rest, span{s.first, first - 1})
		}
		if last < s.last {
			rest = append(rest, span{last + 1, s.last})
		}
	}
	return n, rest
}

func (y *Yard) marked(f *record.SupersMarked) {
	y.site(f.Site)
	for _, m := range f.Marks {
		if s, ok := spanOf(m); ok {
			y.marks = append(y.marks, marked{prefix(m), s, f.Site})
		}
	}
}

// homesOf reads the homes of at most n boxes from their marks; a box that was
// marked twice is of the later mark.
func (y *Yard) homesOf(n int64, marks []record.Marks) []Home {
	var found mix
	for _, m := range marks {
		s, ok := spanOf(m)
		if !ok {
			continue
		}
		left, p := []span{s}, prefix(m)
		for i := len(y.marks) - 1; i >= 0 && len(left) > 0; i-- {
			if y.marks[i].prefix != p {
				continue
			}
			var k int64
			if k, left = cut(left, y.marks[i].span); k > 0 {
				k = min(k, n-found.total)
				found.add(k, []Home{{y.marks[i].home, k, k}})
			}
		}
	}
	return found.homes
}

// shared is how many marks of a are among those of b.
func shared(a, b []record.Marks) int64 {
	var n int64
	for _, m := range a {
		s, ok := spanOf(m)
		if !ok {
			continue
		}
		left := []span{s}
		for _, o := range b {
			if t, ok := spanOf(o); ok && prefix(o) == prefix(m) {
				var k int64
				k, left = cut(left, t)
				n += k
			}
		}
	}
	return n
}
