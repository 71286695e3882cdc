package office

import (
	"cmp"
	"slices"

	"combline/internal/house"
	"combline/internal/quantity"
	"combline/internal/record"
	"combline/internal/standard"
	"combline/internal/trace"
)

// A Filled is one content as its page shows it: how it stands, where it is from, what
// was read of it, what was done with it.
type Filled struct {
	Stand    Stand
	Now      bool // it is what its vessel holds now, or a loose filling
	Content  house.Content
	From     []Heap
	Readings []Read
	In, Out  []Passage
	Others   []record.Code // earlier and later fillings of the same vessel
}

// A Passage is honey that came from another content, or went to one.
type Passage struct {
	Code  record.Code // nothing: it came into the house here
	Kind  house.NodeKind
	Grams quantity.Gram
}

// A Read is what stands for one property of a content, against its limit.
type Read struct {
	record.Result
	Fact    record.ResultRead
	Seq     uint64
	When    record.When
	Of      record.Code // the content it was read of, when it is not this one itself
	Limit   standard.Limit
	Limited bool // the rule set has a limit, or says that there is none
	Judge   standard.Verdict
	Break   float64 // chance of a breach; -1 when the reading's doubt was not written down
}

// Filled answers what a vessel, drum or filling holds.
func (v *View) Filled(code record.Code) (f Filled, ok bool) {
	f.Stand, f.Now = v.StandOf(code)
	if f.Now && f.Stand.Empty {
		v.fillings(&f, f.Stand.Code)
		return f, true
	}
	n := trace.Node(0)
	if f.Now {
		n = f.Stand.Content.Node
	} else if roots := v.State.RootsOf(code); len(roots) == 1 && v.State.NodeKind(roots[0]) == house.ContentNode {
		n = roots[0]
	}
	if n == 0 {
		return f, false
	}
	f.Content = v.State.Content(n)
	if !f.Now { // an earlier filling, gone by now
		f.Stand = Stand{Code: f.Content.Code, Shape: record.Drum, Content: f.Content, Empty: f.Content.Grams == 0, Honey: honeyCell(v.honeyOf(f.Content))}
		f.Stand.Colour, f.Stand.Read = v.Colour(n)
	}
	for _, p := range v.State.Graph().Parts(n) {
		h := v.originHeap(p)
		h.Grams = p.Left
		f.From = append(f.From, h)
	}
	slices.SortStableFunc(f.From, func(a, b Heap) int { return cmp.Compare(b.Grams, a.Grams) })
	f.Readings = v.Readings(n)
	f.In, f.Out = v.passages(n, trace.Back), v.passages(n, trace.Forward)
	v.fillings(&f, f.Content.Vessel)
	return f, true
}

func (v *View) fillings(f *Filled, vessel record.Code) {
	t, ok := v.State.Find(vessel)
	if !ok {
		return
	}
	x, _ := v.State.Vessel(t)
	for _, n := range x.Contents {
		if c := v.State.NodeCode(n); c != f.Content.Code {
			f.Others = append(f.Others, c)
		}
	}
	slices.Reverse(f.Others)
}

// passages are the pours into or out of a content that moved grams, those with one
// other content together.
func (v *View) passages(n trace.Node, way trace.Direction) (all []Passage) {
	at := map[trace.Node]int{}
	for _, x := range v.State.Graph().Next(n, way) {
		if !x.Share || x.Grams == 0 {
			continue
		}
		i, ok := at[x.Node]
		if !ok {
			i = len(all)
			at[x.Node] = i
			all = append(all, Passage{Code: v.State.NodeCode(x.Node), Kind: v.State.NodeKind(x.Node)})
		}
		all[i].Grams += x.Grams
	}
	return all
}

// Readings lists what stands for each property of a content: its own reading, a
// laboratory's before one of the house, the later before the earlier; else that of
// the one content it was drawn from.
func (v *View) Readings(n trace.Node) (all []Read) {
	rules, _ := standard.ParseRules(v.State.House().Rules)
	for p := record.Water; p <= record.Taste; p++ {
		if r, ok := v.read(n, p); ok {
			v.judge(&r, rules, v.State.Purpose(n))
			all = append(all, r)
		}
	}
	return all
}

func (v *View) read(n trace.Node, p record.Property) (best Read, found bool) {
	own := n
	for depth := 0; depth < deepest; depth++ {
		if best, found = v.ownRead(n, p); found {
			if n != own {
				best.Of = v.State.NodeCode(n)
			}
			return best, true
		}
		var from []trace.Node
		for _, x := range v.State.Graph().Next(n, trace.Back) {
			if x.Share && x.Grams > 0 {
				from = append(from, x.Node)
			}
		}
		if len(from) != 1 {
			return best, false
		}
		n = from[0]
	}
	return best, false
}

// ownRead is the reading of a content itself that stands for a property.
func (v *View) ownRead(n trace.Node, p record.Property) (best Read, found bool) {
	lab := false
	for _, r := range v.State.ReadingsOf(n) {
		for _, x := range r.Fact.Results {
			if x.Property == p && (x.Value.Given() || x.Verdict != 0) && (!lab || r.Fact.Lab != "") {
				best = Read{Result: x, Fact: r.Fact, Seq: r.Seq, When: r.When, Break: -1}
				found, lab = true, r.Fact.Lab != ""
			}
		}
	}
	return best, found
}

// limited are the properties that rule sets put limits on.
var limited = map[record.Property]standard.Property{record.Water: standard.Moisture, record.Sucrose: standard.Sucrose, record.Insolubles: standard.Insolubles,
	record.Conductivity: standard.Conductivity, record.FreeAcid: standard.FreeAcid, record.Diastase: standard.Diastase, record.HMF: standard.HMF}

// judge holds a reading against the house's rule set. A reading without its doubt is
// only compared; one that is "below" or "above" a figure says no more than that.
func (v *View) judge(r *Read, rules standard.Rules, purpose record.Purpose) {
	p, ok := limited[r.Property]
	if !ok || !r.Value.Given() {
		return
	}
	limit, err := standard.LimitOf(rules, p, standard.Honey{Cooking: purpose == record.CookingGrade})
	if err != nil {
		return
	}
	r.Limit, r.Limited = limit, true
	if r.PlusMinus.Given() {
		if judged, chance, err := limit.Judge(standard.ReadingOf(r.Value.Float(), r.PlusMinus.Float()/2)); err == nil {
			r.Judge, r.Break = judged, chance
			return
		}
	}
	if judged, err := limit.Compare(r.Value.Float()); err == nil {
		r.Judge = judged
	}
}
