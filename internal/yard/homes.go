package yard

import (
	"slices"
	"strings"

	"combline/internal/record"
)

// A Home says how many boxes of one home site are somewhere: at least and at most,
// because an unmarked box taken from a mixed stack may be anyone's. Home is empty
// for boxes whose home is not known.
type Home struct {
	Home        record.Code
	Least, Most int64
}

// A mix is boxes of several homes.
type mix struct {
	total int64
	homes []Home
}

func (m *mix) clone() mix { return mix{m.total, slices.Clone(m.homes)} }

// sorted lists the homes that may have boxes in it, the unknown last.
func (m *mix) sorted() []Home {
	all := slices.DeleteFunc(slices.Clone(m.homes), func(h Home) bool { return h.Most == 0 })
	slices.SortFunc(all, func(a, b Home) int {
		if (a.Home == "") != (b.Home == "") {
			return strings.Compare(string(b.Home), string(a.Home))
		}
		return strings.Compare(a.Home.Fold(), b.Home.Fold())
	})
	return all
}

func (m *mix) of(home record.Code) *Home {
	for i := range m.homes {
		if m.homes[i].Home == home || m.homes[i].Home.Fold() == home.Fold() {
			return &m.homes[i]
		}
	}
	m.homes = append(m.homes, Home{Home: home})
	return &m.homes[len(m.homes)-1]
}

func (m *mix) add(total int64, homes []Home) {
	m.total += total
	for _, h := range homes {
		to := m.of(h.Home)
		to.Least += h.Least
		to.Most += h.Most
	}
}

// take takes n boxes out, of which some bear marks of known homes, and returns
// what may have gone. Boxes that nobody wrote down as there are of unknown home.
func (m *mix) take(n int64, marked []Home) []Home {
	var out mix
	for _, k := range marked {
		m.takeOf(k.Home, k.Most)
		out.add(k.Most, []Home{k})
		n -= k.Most
	}
	if n > m.total {
		out.add(n-m.total, []Home{{"", n - m.total, n - m.total}})
		n = m.total
	}
	if n <= 0 {
		return out.homes
	}
	rest := m.total - n
	for i := range m.homes {
		h := &m.homes[i]
		out.add(0, []Home{{h.Home, max(0, n-(m.total-h.Least)), min(n, h.Most)}})
		h.Least, h.Most = max(0, h.Least-n), min(h.Most, rest)
	}
	m.total = rest
	return out.homes
}

// takeOf takes k boxes that bear marks of one home. Each stood among those that
// were known to be of that home, or among those of unknown home.
func (m *mix) takeOf(home record.Code, k int64) {
	m.of("")
	h, u := m.of(home), m.of("") // both are there now: no list grows under h
	known, unknown := h.Most, u.Most
	h.Least, h.Most = max(0, h.Least-min(k, known)), h.Most-min(h.Most, max(0, k-unknown))
	u.Least, u.Most = max(0, u.Least-min(k, unknown)), u.Most-min(u.Most, max(0, k-known))
	m.total = max(0, m.total-k)
	m.settle()
}

// settle keeps the homes in line with the total where the record contradicts itself.
func (m *mix) settle() {
	var least, most int64
	for i := range m.homes {
		h := &m.homes[i]
		h.Most = min(h.Most, m.total)
		h.Least = min(h.Least, h.Most)
		least, most = least+h.Least, most+h.Most
	}
	for i := range m.homes {
		if least > m.total {
			m.homes[i].Least = 0
		}
	}
	if most < m.total {
		m.of("").Most += m.total - most
	}
}
