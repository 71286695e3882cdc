package office

import (
	"cmp"
	"errors"
	"math"
	"slices"

	"combline/internal/answer"
	"combline/internal/blend"
	"combline/internal/quantity"
	"combline/internal/record"
)

// Answer is what a search came to: the blend with its proof, what it keeps and by how
// much, what was left out; or why there is none and what would do.
func (w *BlendWork) Answer() answer.Answer {
	s := w.State()
	k := w.Case
	a := answer.Answer{Question: "blend", Of: k.Ask.Order}
	switch {
	case s.Checked != nil:
		k.checkedAnswer(&a, s.Checked)
	case s.Found != nil && s.Found.Plan != nil:
		k.foundAnswer(&a, s)
	case s.Found != nil && s.Found.Clash != nil:
		k.noneAnswer(&a, s.Found)
	case s.Err != nil:
		a.Cannot = &answer.Line{Key: failKey(s.Err), Args: answer.Args{"why": s.Err.Error(), "seconds": int64(w.Limit.Seconds())}}
	default:
		a.Cannot = &answer.Line{Key: "blend.under-way"}
	}
	a.Lines = append(a.Lines, k.Notes...)
	k.rests(&a, w.Facts)
	return a
}

func failKey(err error) string {
	switch {
	case errors.Is(err, ErrBlendStopped):
		return "blend.fail.stopped"
	case errors.Is(err, ErrBlendTime):
		return "blend.fail.time"
	case errors.Is(err, blend.ErrNotSettled):
		return "blend.fail.grams"
	}
	return "blend.fail.other"
}

func (k *BlendCase) foundAnswer(a *answer.Answer, s BlendState) {
	plan := s.Found.Plan
	b := plan.Blends[0]
	a.Say("blend.is", answer.Args{"mass": b.Grams, "n": int64(len(plan.Draws)), "for": k.name()})
	if b.Over > 0 {
		a.Say("blend.over", answer.Args{"over": b.Over, "wanted": k.Problem.Batches[0].Grams})
	}
	a.Lines = append(a.Lines, ProofLine(s))
	if !k.Costed {
		a.Say("blend.no-cost", nil)
	}
	k.chance(a, b)
	k.useTable(a, plan.Draws)
	k.limitTable(a, b, nil)
	k.ShareTable(a, b)
	k.outTable(a, s.Found.Outs)
	k.then(a, plan.Draws)
}

// ProofLine says how sure it is that there is no better blend.
func ProofLine(s BlendState) answer.Line {
	plan := s.Found.Plan
	gap := quantity.Percent(100 * gapOf(s.Found))
	if plan.Proven || len(plan.Scores) > 0 && gapOf(s.Found) <= lastGap {
		return answer.Line{Key: "blend.proven", Args: answer.Args{"gap": percentFigure(100 * lastGap)}}
	}
	key := "blend.not-proven"
	if s.Stopped {
		key = "blend.stopped"
	}
	return answer.Line{Key: key, Mark: answer.Care, Args: answer.Args{"gap": gap}}
}

// chance says what chance of a breach was allowed, and the largest there is.
func (k *BlendCase) chance(a *answer.Answer, b blend.Blend) {
	worst := -1.0
	var at blend.Measure
	for _, f := range b.Figures {
		if f.Chance > worst {
			worst, at = f.Chance, f.Term.Measure
		}
	}
	if worst < 0 {
		return
	}
	a.Say("blend.chance", answer.Args{"risk": quantity.Percent(100 * k.Problem.Risk), "breach": quantity.Percent(100 * worst), "what": answer.Key(MeasureKey(at))})
}

func (k *BlendCase) checkedAnswer(a *answer.Answer, x *Checked) {
	barred := len(k.Out) > 0 || slices.ContainsFunc(x.Faults, func(f blend.Fault) bool { return f.Content >= 0 })
	if barred || len(x.Faults) > 0 {
		a.Cannot = &answer.Line{Key: "blend.check-bad", Args: answer.Args{"mass": k.Ask.Wanted, "for": k.name()}}
	} else {
		a.Say("blend.check-good", answer.Args{"mass": x.Blend.Grams, "n": int64(len(x.Draws)), "for": k.name()})
	}
	for _, l := range k.FaultLines(x) {
		l.Mark = answer.Bad
		a.Lines = append(a.Lines, l)
	}
	if len(x.Draws) == 0 {
		k.outTable(a, nil)
		return
	}
	k.chance(a, x.Blend)
	k.useTable(a, x.Draws)
	k.limitTable(a, x.Blend, x.Faults)
	k.ShareTable(a, x.Blend)
	k.outTable(a, nil)
	if a.Cannot == nil {
		k.then(a, x.Draws)
	}
}

// FaultLines says each thing that is wrong with a mix that somebody has in mind.
func (k *BlendCase) FaultLines(x *Checked) (all []answer.Line) {
	for _, c := range k.Out {
		for _, e := range c.Out {
			all = append(all, answer.Line{Key: "blend.fault.content", Args: answer.Args{"of": c.Content.Code, "why": answer.Line{Key: e.Key, Args: e.Args}}})
		}
	}
	for _, f := range x.Faults {
		switch {
		case f.Content >= 0 && f.Rule != 0:
			all = append(all, answer.Line{Key: "blend.fault.content", Args: answer.Args{"of": k.There[f.Content].Content.Code, "why": answer.Line{Key: stopLine(blend.Out{Rule: f.Rule}).Key + ".plain"}}})
		case f.Content >= 0:
			all = append(all, answer.Line{Key: "blend.fault.amount", Args: answer.Args{"of": k.There[f.Content].Content.Code}})
		case f.Demand.Kind == blend.AskLimit:
			if l, known := k.limitFault(x, f.Demand); known {
				all = append(all, l)
			}
		case f.Demand.Kind == blend.AskLabel:
			all = append(all, k.labelFault(x, f.Demand))
		default:
			all = append(all, answer.Line{Key: "blend.fault.demand", Args: answer.Args{"demand": k.DemandLine(f.Demand)}})
		}
	}
	return all
}

// labelFault says a country's share that the label does not allow.
func (k *BlendCase) labelFault(x *Checked, d blend.Demand) answer.Line {
	claim := k.Problem.Batches[0].Label[d.Index]
	for _, c := range x.Blend.Label {
		if c.Country == claim.Country {
			return answer.Line{Key: "blend.fault.label", Args: answer.Args{"demand": k.DemandLine(d), "actual": quantity.Percent(c.Actual)}}
		}
	}
	return answer.Line{Key: "blend.fault.demand", Args: answer.Args{"demand": k.DemandLine(d)}}
}

// limitFault says a broken limit with the blend's own figure and the chance; a figure
// that is not known is said with the content that lacks it.
func (k *BlendCase) limitFault(x *Checked, d blend.Demand) (line answer.Line, known bool) {
	l := k.Problem.Batches[0].Limits[d.Index]
	args := answer.Args{"demand": k.limitLine(l)}
	if l.Key == "ferment" {
		water, yeast := k.Mixed(x.Draws, record.Water), k.Mixed(x.Draws, record.Yeast)
		args["water"], args["yeast"] = orUnknown(measured(blend.Measure(blend.Water), water.Value.Value)), orUnknown(measured(blend.Measure(blend.Yeast), yeast.Value.Value))
		if k.Ask.Soft {
			args["liquid"] = orUnknown(measured(blend.Measure(blend.Water), liquidWater(water.Value.Value)))
			if !yeast.Value.Known() {
				return answer.Line{Key: "blend.fault.soft-uncounted", Args: args}, water.Value.Known()
			}
			return answer.Line{Key: "blend.fault.ferment-soft", Args: args}, water.Value.Known()
		}
		if !yeast.Value.Known() {
			return answer.Line{Key: "blend.fault.uncounted", Args: args}, water.Value.Known()
		}
		return answer.Line{Key: "blend.fault.ferment", Args: args}, water.Value.Known()
	}
	for _, f := range x.Blend.Figures {
		if f.Limit == d.Index {
			args["figure"] = orUnknown(measured(f.Term.Measure, f.Value.Value))
			args["chance"] = quantity.Percent(100 * f.Chance)
			return answer.Line{Key: "blend.fault.limit", Args: args}, f.Value.Known()
		}
	}
	return answer.Line{Key: "blend.fault.demand", Args: args}, true
}

// liquidWater is the water of the liquid between the grains of soft-set honey.
func liquidWater(water float64) float64 {
	return 100 * (water - softCrystals/11.0) / (100 - softCrystals)
}

func (k *BlendCase) noneAnswer(a *answer.Answer, r *blend.Result) {
	a.Cannot = &answer.Line{Key: "blend.none", Args: answer.Args{"for": k.name(), "mass": k.Problem.Batches[0].Grams}}
	a.Lines = append(a.Lines, k.ClashLine(r.Clash))
	if len(r.Clash.Set) > 0 {
		table := a.Table("blend-clash", "demand", "from", "reach")
		for _, d := range r.Clash.Set {
			var reach any
			for _, x := range r.Clash.Reaches {
				if x.Demand == d && reach == nil {
					reach = k.ReachLine(x)
				}
			}
			table.Row(answer.Bad, k.DemandLine(d), answer.Key("blend.from."+k.from(d)), reach)
		}
	}
	if len(r.Clash.Changes) > 0 {
		table := a.Table("blend-changes", "change", "result_g", "type")
		for _, x := range r.Clash.Changes {
			var mass any
			if x.Plan != nil {
				mass = x.Plan.Blends[min(x.Demand.Batch, len(x.Plan.Blends)-1)].Grams
			}
			var flag any
			if f := k.FlagOf(x); f != "" {
				flag = f
			}
			table.Row(answer.Plain, k.ChangeLine(x), mass, flag)
		}
	}
	if r.Clash.More {
		a.Warn("blend.more-clash", nil)
	}
	if r.Clash.Unsure {
		a.Warn("blend.clash-unsure", nil)
	}
	k.outTable(a, r.Outs)
	var unread []blend.Figure
	for _, o := range r.Outs {
		if o.Rule == blend.NoReading {
			unread = appendNew(unread, o.Figure)
		}
	}
	for _, f := range unread {
		a.Then("blend.next.read", answer.Args{"what": answer.Key(MeasureKey(blend.Measure(f)))})
	}
}

// ClashLine says in short what does not go together.
func (k *BlendCase) ClashLine(c *blend.Clash) answer.Line {
	switch len(c.Set) {
	case 0:
		return answer.Line{Key: "blend.clash-nothing", Mark: answer.Bad}
	case 1:
		return answer.Line{Key: "blend.clash-one", Mark: answer.Bad, Args: answer.Args{"a": k.DemandLine(c.Set[0])}}
	case 2:
		return answer.Line{Key: "blend.clash-two", Mark: answer.Bad, Args: answer.Args{"a": k.DemandLine(c.Set[0]), "b": k.DemandLine(c.Set[1])}}
	}
	return answer.Line{Key: "blend.clash-many", Mark: answer.Bad, Args: answer.Args{"n": int64(len(c.Set))}}
}

// from says who asks a demand.
func (k *BlendCase) from(d blend.Demand) string {
	switch {
	case d.Kind == blend.AskLimit && d.Index < len(k.Origin):
		return k.Origin[d.Index]
	case d.Kind == blend.AskShare && d.Index < len(k.ShareFrom):
		return k.ShareFrom[d.Index]
	case d.Kind == blend.AskLabel:
		return "label"
	case (d.Kind == blend.AskGrams || d.Kind == blend.AskTime) && k.Ask.Order != "":
		return "order"
	case d.Kind == blend.AskWhole:
		return "house"
	}
	return "asked"
}

func (k *BlendCase) useTable(a *answer.Answer, draws []blend.Draw) {
	table := a.Table("blend-use", "content", "mass_g", "share_pct", "left_g", "water_pct", "colour", "hmf", "diastase", "days", "place", "ready")
	var left quantity.Gram
	for _, u := range k.Uses(draws) {
		left += u.Left
		var days, ready any
		if u.Since > 0 {
			days = int64(max(0, k.Today-u.Since))
		}
		if u.Ready > k.Today {
			ready = u.Ready
		}
		table.Row(answer.Plain, u.Content.Code, u.Draw.Grams, u.Share, u.Left, readCell(u.Known, record.Water), readCell(u.Known, record.Colour),
			readCell(u.Known, record.HMF), readCell(u.Known, record.Diastase), days, orNil(u.Content.Place), ready)
	}
	mix := func(p record.Property) any {
		x := k.Mixed(draws, p)
		if !x.Value.Known() {
			return nil
		}
		return usualFigure(p, x.Value.Value)
	}
	var sum quantity.Gram
	for _, d := range draws {
		sum += d.Grams
	}
	table.Row(answer.Plain, answer.Key("blend.mix"), sum, quantity.Percent(100), left, mix(record.Water), mix(record.Colour), mix(record.HMF), mix(record.Diastase), nil, "", nil)
}

// readCell is a property as it was read, or as it is worked out.
func readCell(known map[record.Property]Doubted, p record.Property) any {
	d, ok := known[p]
	switch {
	case !ok || !d.Value.Known():
		return nil
	case d.Figure.Given() && !d.Mixed:
		return d.Figure
	}
	return usualFigure(p, d.Value.Value)
}

func (k *BlendCase) limitTable(a *answer.Answer, b blend.Blend, faults []blend.Fault) {
	table := a.Table("blend-limits", "limit", "asked", "from", "value", "plus_minus", "room", "chance_pct")
	for _, x := range k.Limits(b, faults) {
		mark := answer.Plain
		if x.Broken {
			mark = answer.Bad
		}
		low, high := x.Found.Value.Band9in10()
		table.Row(mark, answer.Key(x.Name.Key), AskedLine(x.Term), answer.Key("blend.from."+x.From), measured(x.Term.Measure, x.Found.Value.Value), measured(x.Term.Measure, (high-low)/2),
			measured(x.Term.Measure, x.Room), quantity.Percent(100*x.Found.Chance))
	}
}

// AskedLine says a bound: "at most 18.0 %". One that was worked out, as those of the
// ferment rule for soft-set honey, is rounded.
func AskedLine(t blend.Term) answer.Line {
	key := "blend.at-most"
	if t.Least {
		key = "blend.at-least"
	}
	f := bound(t.Measure, t.Bound)
	if most := max(2, DecimalsOf(t.Measure)); f.Decimals > most {
		p := math.Pow10(int(most))
		f = quantity.Figure{Mantissa: int64(math.Round(t.Bound * p)), Decimals: most, Unit: f.Unit}
	}
	return answer.Line{Key: key, Args: answer.Args{"figure": f}}
}

// ShareTable adds what the blend has of each share that is asked or stated.
func (k *BlendCase) ShareTable(a *answer.Answer, b blend.Blend) {
	if len(b.Shares)+len(b.Label) == 0 {
		return
	}
	table := a.Table("blend-shares", "of", "asked", "share_pct", "spare_pct", "verdict")
	for _, s := range b.Shares {
		if s.Least == 100 && s.Percent == 100 {
			continue
		}
		mark, verdict := answer.Plain, "verdict.pass"
		if s.Percent < s.Least || s.Percent > s.Most {
			mark, verdict = answer.Bad, "verdict.fail"
		}
		table.Row(mark, s.Name, shareLine(blend.Share{Name: s.Name, Least: s.Least, Most: s.Most}), s.Percent, spare(s), answer.Key(verdict))
	}
	for _, c := range b.Label {
		mark, verdict := answer.Plain, "verdict.pass"
		if !c.Pass() {
			mark, verdict = answer.Bad, "verdict.fail"
		}
		table.Row(mark, c.Country, answer.Line{Key: "blend.demand.label", Args: answer.Args{"name": c.Country, "figure": percentFigure(float64(c.Declared))}}, c.Actual, min(c.PointsSpare, c.RelativeSpare), answer.Key(verdict))
	}
}

// spare is how far a share is from the bound that is nearer, in points; under 0 it is
// missed by that.
func spare(s blend.ShareFound) quantity.Percent {
	switch {
	case s.Least <= 0:
		return s.Most - s.Percent
	case s.Most >= 100:
		return s.Percent - s.Least
	}
	return min(s.Percent-s.Least, s.Most-s.Percent)
}

func (k *BlendCase) outTable(a *answer.Answer, outs []blend.Out) {
	table := a.Table("blend-out", "contents", "mass_g", "rule")
	for _, g := range k.OutGroups(outs) {
		var codes []record.Code
		var grams quantity.Gram
		for _, o := range g {
			codes, grams = append(codes, o.Content.Code), grams+o.Content.Grams
		}
		for i, rule := range g[0].Rules {
			if i == 0 {
				table.Row(answer.Plain, codes, grams, rule)
			} else {
				table.Row(answer.Plain, "", "", rule)
			}
		}
	}
}

// then says what to do to make it so: what must be warmed from when, and what a role
// decides first.
func (k *BlendCase) then(a *answer.Answer, draws []blend.Draw) {
	var warm []record.Code
	for _, d := range draws {
		x := &k.There[d.Content]
		if x.Ready > k.Today && !x.Warm {
			warm = append(warm, x.Content.Code)
		}
		a.Lines = append(a.Lines, x.Cautions...)
	}
	if len(warm) > 0 {
		slices.SortFunc(warm, func(a, b record.Code) int { return cmp.Compare(natural(a), natural(b)) })
		by := k.Today
		if k.Ask.Due > 0 {
			by = max(by, k.Ask.Due-k.warmDays(draws))
		}
		a.Then("blend.next.warm", answer.Args{"what": warm, "by": by})
	}
	a.Then("blend.next.measure", nil)
}

func (k *BlendCase) warmDays(draws []blend.Draw) (most record.Day) {
	for _, d := range draws {
		most = max(most, k.There[d.Content].Ready-k.Today)
	}
	return most
}

// rests says what the answer rests on, and how old that is.
func (k *BlendCase) rests(a *answer.Answer, facts uint64) {
	var reads []DoubtedRead
	assumed, under := false, false
	for _, x := range k.There {
		for p, d := range x.Known {
			reads = appendNew(reads, d.Reads...)
			assumed = assumed || d.Assumed
			under = under || p == record.Yeast && d.Bound == record.Below
		}
	}
	slices.SortFunc(reads, func(a, b DoubtedRead) int { return cmp.Compare(a.When.Minute, b.When.Minute) })
	if len(reads) > 0 {
		a.RestsOn("blend.rests.reads", answer.Args{"n": int64(countFacts(reads)), "first": reads[0].When, "last": reads[len(reads)-1].When})
	}
	a.RestsOn("blend.rests.record", answer.Args{"facts": int64(facts)})
	if assumed {
		a.RestsOn("blend.rests.assumed", nil)
	}
	if under {
		a.RestsOn("blend.rests.yeast", nil)
	}
	a.Follows("blend.follows.mix", nil)
	if slices.Contains(k.Origin, "house") {
		a.Follows("blend.follows.ferment", nil)
	}
	if len(k.Problem.Batches[0].Label) > 0 {
		a.Follows("blend.follows.label", nil)
	}
	if slices.Contains(k.Origin, "law") {
		a.Follows("blend.follows.law", nil)
	}
	a.Follows("blend.follows.search", nil)
}

func countFacts(reads []DoubtedRead) int {
	var seqs []uint64
	for _, r := range reads {
		seqs = appendNew(seqs, r.Seq)
	}
	return len(seqs)
}
