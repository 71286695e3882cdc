package office

import (
	"math"
	"slices"

	"combline/internal/answer"
	"combline/internal/house"
	"combline/internal/record"
	"combline/internal/standard"
	"combline/internal/trace"
)

// An evidence is what a cause of holds is ended by.
type evidence struct {
	key   string // of what it needs, in words
	needs []record.Property
}

// evidences are what frees honey of a hold of each cause: laboratory results, or the
// ruling of somebody else, which no result replaces.
var evidences = map[record.Cause]evidence{
	record.CauseTreatment: {"release.by.adviser", []record.Property{record.Residue}},
	record.CauseResidue:   {"release.by.adviser", []record.Property{record.Residue}},
	record.CauseDisease:   {"release.by.inspector", nil},
	record.CauseHeat:      {"release.by.lab", []record.Property{record.HMF, record.Diastase}},
	record.CauseWater:     {"release.by.lab", []record.Property{record.Water}},
	record.CauseFerment:   {"release.by.lab", []record.Property{record.Water, record.Yeast}},
}

// A release gathers what speaks for and against setting honey free.
type release struct {
	a       *answer.Answer
	t       *answer.Table
	breaks  []record.Property
	close   []record.Property
	unsure  []record.Property // a figure without its doubt
	missing []record.Property
}

// Releasable answers whether the results of a lot, drum or batch are back and whether they
// let it go: each against the house's rule set with its doubt. It frees nothing.
func (v *View) Releasable(code record.Code) answer.Answer {
	a := answer.Answer{Question: "release", Of: v.properCode(code)}
	nodes := v.State.RootsOf(code)
	if len(nodes) == 0 {
		return v.notTraced(a, code)
	}
	r := release{a: &a, t: a.Table("release", "property", "result", "plus_minus", "limit", "verdict", "chance_pct", "who", "when", "fact")}
	waits := v.awaitedFor(&r, a.Of, nodes)
	holds := v.holdsFor(&a, nodes)
	if _, err := standard.ParseRules(v.State.House().Rules); err != nil { // against what would it be held?
		a.Cannot = &answer.Line{Key: "release.no-rules", Args: answer.Args{"of": a.Of}}
		v.restsOnRecord(&a)
		return a
	}
	for _, p := range v.needed(holds) {
		v.resultFor(&r, nodes, p)
	}
	v.releaseSaid(&r, waits, holds)
	if rules, err := standard.ParseRules(v.State.House().Rules); err == nil {
		if l, err := standard.LimitOf(rules, standard.Moisture, standard.Honey{}); err == nil {
			a.Follows("follows.release", answer.Args{"set": l.Cite.ID(), "place": l.Cite.Place})
		}
	}
	a.Then("next.release.authority", nil)
	v.restsOnRecord(&a)
	return a
}

// needed are the properties that are looked at: what every buyer asks for, and what the
// holds need.
func (v *View) needed(holds []*house.Hold) []record.Property {
	all := slices.Clone(asked)
	for _, h := range holds {
		for _, p := range evidences[h.Cause].needs {
			if !slices.Contains(all, p) {
				all = append(all, p)
			}
		}
	}
	return all
}

// awaitedFor lists the sheets that have not come back for it, its lot or its drums.
func (v *View) awaitedFor(r *release, of record.Code, nodes []trace.Node) (n int) {
	t := r.a.Table("release-awaited", "of", "lab", "tests", "sent", "due")
	about := []record.Code{of}
	for _, n := range nodes {
		about = withCode(about, v.State.NodeCode(n))
		for _, l := range v.State.ByOrigin(n) {
			about = withCode(about, v.State.Code(v.State.OriginOf(l.Origin).Of))
		}
	}
	for _, w := range v.State.AwaitedSheets() {
		if slices.ContainsFunc(about, func(c record.Code) bool { return c.Fold() == w.Of.Fold() }) {
			t.Row(answer.Care, w.Of, w.Lab, textOrNil(w.Tests), w.Sent, dayOrNil(w.Due))
			n++
		}
	}
	return n
}

// holdsFor are the holds in force that block it.
func (v *View) holdsFor(a *answer.Answer, nodes []trace.Node) (all []*house.Hold) {
	held := v.held()
	t := a.Table("release-holds", "hold", "cause", "reason", "since", "needs")
	for _, h := range v.State.Holds() {
		on := slices.ContainsFunc(nodes, func(n trace.Node) bool {
			return slices.ContainsFunc(held[n], func(x house.On) bool { return x.Share && x.Hold == h.Thing })
		})
		if h.Lifted || !on {
			continue
		}
		all = append(all, h)
		by := evidences[h.Cause].key
		if by == "" {
			by = "release.by.role"
		}
		t.Row(answer.Bad, v.State.Code(h.Thing), answer.Key(h.Cause.Key()), h.Reason, h.When, answer.Key(by))
	}
	return all
}

// resultFor judges one property of all that the code stands for: the worst counts.
func (v *View) resultFor(r *release, nodes []trace.Node, p record.Property) {
	rules, _ := standard.ParseRules(v.State.House().Rules)
	seen := map[uint64]bool{}
	found := false
	for _, n := range nodes {
		x, ok := v.read(n, p)
		if !ok {
			continue
		}
		found = true
		if seen[x.Seq] {
			continue
		}
		seen[x.Seq] = true
		v.judge(&x, rules, v.State.Purpose(n))
		r.row(p, x)
	}
	if !found {
		r.missing = append(r.missing, p)
		r.t.Row(answer.Care, answer.Key(p.Key()), nil, nil, nil, answer.Key("release.missing"), nil, nil, nil, nil)
	}
}

func (r *release) row(p record.Property, x Read) {
	key, mark := "release.no-limit", answer.Plain
	switch {
	case x.Verdict == record.Found:
		key, mark, r.breaks = "release.found", answer.Bad, append(r.breaks, p)
	case x.Verdict == record.Clear:
		key, mark = "release.clear", answer.Good
	case !x.Limited:
	case x.Judge == standard.Breach:
		key, mark, r.breaks = "verdict.fail", answer.Bad, append(r.breaks, p)
	case x.Judge == standard.TooClose:
		key, mark, r.close = "verdict.too-close", answer.Care, append(r.close, p)
	case x.Break < 0 && nearLimit(p, x):
		key, mark, r.close = "verdict.too-close", answer.Care, append(r.close, p)
	case x.Break < 0 || x.Bound != 0:
		key, mark, r.unsure = "release.no-doubt", answer.Care, append(r.unsure, p)
	default:
		key, mark = "verdict.pass", answer.Good
	}
	var result, pm, chance any
	if x.Value.Given() {
		result = x.Value
	}
	if x.PlusMinus.Given() {
		pm = x.PlusMinus
	}
	limit := any(answer.Key("none"))
	if x.Limited && x.Limit.Bound != standard.Unbounded {
		limit = tenth(x.Limit.Value, x.Value.Unit)
	}
	if x.Break >= 0 {
		chance = hundredths(100 * x.Break)
	}
	who := x.Fact.Lab
	if who == "" {
		who = string(x.Fact.Instrument)
	}
	r.t.Row(mark, answer.Key(p.Key()), result, pm, limit, answer.Key(key), chance, textOrNil(who), x.When, int64(x.Seq))
}

// nearLimit reports whether a figure without its doubt is so near its limit that the usual
// doubt reaches over it: half a point of water, a tenth of anything else (common practice,
// no source; a refractometer in careless hands is half a point to one off).
func nearLimit(p record.Property, x Read) bool {
	usual := math.Abs(x.Limit.Value) / 10
	if p == record.Water {
		usual = 0.5
	}
	return x.Limit.Bound != standard.Unbounded && math.Abs(x.Value.Float()-x.Limit.Value) <= usual
}

// releaseSaid is the verdict in a line, the worst first.
func (v *View) releaseSaid(r *release, waits int, holds []*house.Hold) {
	a := r.a
	say := func(key string, mark answer.Mark, of []record.Property) {
		var names []any
		for _, p := range of {
			names = append(names, answer.Key(p.Key()))
		}
		args := answer.Args{"of": a.Of, "n": int64(waits)}
		if len(names) > 0 {
			args["property"], args["more"] = names[0], int64(len(names)-1)
		}
		if key == "release.free-missing" && len(names) > 1 {
			key += "-more"
		}
		a.Lines = append(a.Lines, answer.Line{Key: key, Args: args, Mark: mark})
	}
	unanswered := false
	for _, h := range holds {
		e := evidences[h.Cause]
		if len(e.needs) == 0 {
			a.Lines = append(a.Lines, answer.Line{Key: "release.ruling", Mark: answer.Bad, Args: answer.Args{"of": a.Of, "hold": v.State.Code(h.Thing), "cause": answer.Key(h.Cause.Key())}})
			unanswered = true
		}
		for _, p := range e.needs {
			unanswered = unanswered || slices.Contains(r.missing, p)
		}
	}
	switch {
	case len(r.breaks) > 0:
		say("release.no", answer.Bad, r.breaks)
		a.Then("next.release.other-use", answer.Args{"of": a.Of})
	case waits > 0:
		say("release.awaited", answer.Care, nil)
	case len(r.close) > 0:
		say("release.close", answer.Care, r.close)
		a.Then("next.release.again", answer.Args{"of": a.Of})
	case unanswered:
		say("release.not-answered", answer.Care, r.missing)
	case len(holds) > 0 && len(r.unsure) > 0:
		say("release.unsure", answer.Care, r.unsure)
	case len(holds) > 0:
		say("release.may", answer.Good, nil)
		for _, h := range holds {
			a.Then("next.release.write", answer.Args{"of": a.Of, "hold": v.State.Code(h.Thing)})
		}
	case len(r.missing) > 0:
		say("release.free-missing", answer.Care, r.missing)
	case len(r.unsure) > 0:
		say("release.free-unsure", answer.Care, r.unsure)
	default:
		say("release.free", answer.Good, nil)
	}
	if waits == 0 && len(r.missing) > 0 {
		a.Then("next.release.send", answer.Args{"of": a.Of})
	}
}
