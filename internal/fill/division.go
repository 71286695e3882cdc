package fill

import (
	"fmt"

	"combline/internal/quantity"
	"combline/internal/standard"
)

// A Weighing says whether a scale's division is fine enough for jars of a label.
type Weighing struct {
	Division standard.Microgram
	Most     standard.Microgram // greatest division that is: a fifth of the tolerance (us: a sixth)
	WouldDo  standard.Microgram // greatest usual division of at most that: 1, 2 or 5 × 10^k
	Enough   bool
	Together int // jars of this label whose mean this scale could check, weighed at a time; 1 if Enough
	Cite     standard.Cite
}

// CheckDivision refuses a verdict to a scale that is too coarse: its division is at
// most a fifth of the tolerable shortage (United States: a sixth of the allowable
// variation). Exact. Sources: French arrete of 20 Oct 1978 art. 9 (a measurement may
// err by T/5), NIST Handbook 133 ch. 2.2. The whole of what a scale may err is
// [standard.CheckJarScale]'s question.
func CheckDivision(r standard.Rules, label quantity.Milligram, division standard.Microgram) (Weighing, error) {
	t, err := standard.ToleranceOf(r, label)
	if err != nil {
		return Weighing{}, err
	}
	if division < 1 || division > 1e12 {
		return Weighing{}, fmt.Errorf("scale division %g g, want above 0 g to 1 t: %w", division.Grams(), ErrOutOfRange)
	}
	parts, cite := standard.Microgram(5), standard.Cite{Set: standard.EUWeighing, Place: "art. 9", Got: standard.Read}
	if r == standard.US {
		parts, cite = 6, standard.Cite{Set: standard.USWeighing, Place: "ch. 2.2", Got: standard.Read}
	}
	allowed := standard.Microgram(t.T) * 1000
	w := Weighing{Division: division, Most: allowed / parts, Enough: parts*division <= allowed, Cite: cite}
	w.WouldDo = usualDivision(w.Most)
	w.Together = int((parts*division + allowed - 1) / allowed)
	return w, nil
}

// usualDivision is the greatest 1, 2 or 5 × 10^k of at most m.
func usualDivision(m standard.Microgram) standard.Microgram {
	var best standard.Microgram
	for ten := standard.Microgram(1); ten <= m; ten *= 10 {
		for _, k := range [...]standard.Microgram{1, 2, 5} {
			if k*ten <= m {
				best = k * ten
			}
		}
	}
	return best
}
