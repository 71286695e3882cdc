package office

import (
	"cmp"
	"slices"

	"combline/internal/answer"
	"combline/internal/house"
	"combline/internal/quantity"
	"combline/internal/record"
	"combline/internal/trace"
)

// A ToLab is honey of which something is not known that a buyer or a rule asks for.
type ToLab struct {
	Of      record.Code
	Grams   quantity.Gram
	Honey   answer.Cell
	Missing []record.Property
	Sample  bool // a sample of it is kept
}

// Lab is what goes to the laboratory, what is there, and what came back lately.
type Lab struct {
	Send    []ToLab
	Awaited []house.Awaited
	Back    []house.Reading // sheets of laboratories, the latest first
	House   []house.Reading // readings in the house, the latest first
}

// asked are the properties that nearly every buyer asks for (common practice, no source).
var asked = []record.Property{record.Water, record.HMF, record.Diastase, record.Conductivity, record.Colour}

// Lab answers which honey goes to the laboratory, which sheets are awaited, and what
// was read last. Lots speak for the drums that were filled of them.
func (v *View) Lab() (l Lab) {
	l.Awaited = v.State.AwaitedSheets()
	waits := func(c record.Code) bool {
		return slices.ContainsFunc(l.Awaited, func(a house.Awaited) bool { return a.Of.Fold() == c.Fold() })
	}
	at := map[string]int{}
	for _, c := range v.State.Contents() {
		if c.Grams <= 0 || c.Purpose == record.CookingGrade || len(c.InLots) > 0 {
			continue
		}
		var missing []record.Property
		for _, p := range asked {
			if _, ok := v.reading(c.Node, p); !ok {
				missing = append(missing, p)
			}
		}
		of := cmp.Or(v.LotOf(c), c.Code)
		if len(missing) == 0 || waits(c.Code) || waits(of) {
			continue
		}
		i, ok := at[of.Fold()]
		if !ok {
			i = len(l.Send)
			at[of.Fold()] = i
			l.Send = append(l.Send, ToLab{Of: of, Honey: honeyCell(v.honeyOf(c))})
		}
		x := &l.Send[i]
		x.Grams += c.Grams
		for _, p := range missing {
			if !slices.Contains(x.Missing, p) {
				x.Missing = append(x.Missing, p)
			}
		}
	}
	slices.SortStableFunc(l.Send, func(a, b ToLab) int { return cmp.Compare(natural(a.Of), natural(b.Of)) })
	v.lastRead(&l)
	return l
}

// lastRead adds what was read of honey that is here, and of the lots that it is from.
func (v *View) lastRead(l *Lab) {
	seen := map[uint64]bool{}
	look := func(n trace.Node) {
		for _, r := range v.State.ReadingsOf(n) {
			if seen[r.Seq] {
				continue
			}
			seen[r.Seq] = true
			if r.Fact.Lab != "" {
				l.Back = append(l.Back, r)
			} else {
				l.House = append(l.House, r)
			}
		}
	}
	lots := map[string]bool{}
	for _, c := range v.State.Contents() {
		look(c.Node)
		if lot := v.LotOf(c); lot != "" && !lots[lot.Fold()] {
			lots[lot.Fold()] = true
			for _, n := range v.State.RootsOf(lot) {
				look(n)
			}
		}
	}
	for _, all := range [][]house.Reading{l.Back, l.House} {
		slices.SortStableFunc(all, func(a, b house.Reading) int {
			return cmp.Or(cmp.Compare(b.When.Minute, a.When.Minute), cmp.Compare(b.Seq, a.Seq))
		})
	}
}
