package office

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"combline/internal/answer"
	"combline/internal/house"
	"combline/internal/quantity"
	"combline/internal/record"
	"combline/internal/standard"
	"combline/internal/trace"
)

// A Candidate is honey that stands in the house, as a blend sees it.
type Candidate struct {
	Content  house.Content
	Shown    record.Code // names it and what has happened to it
	Lot      record.Code // that all of it comes from, if one
	Shape    record.VesselKind
	Free     quantity.Gram // not in an open plan
	Known    map[record.Property]Doubted
	Country  []house.Group
	Site     []house.Group
	Kind     []house.Group
	Since    record.Day // the day of its oldest honey
	Cost     quantity.Figure
	Set      record.Truth // with grains; not known is not liquid
	Warm     bool         // it stands in a warming room or bath
	Ready    record.Day   // the first day on which it can be tipped
	Cautions []answer.Line
	Out      []Exclusion
	Status   string
}

// An Exclusion is a rule that keeps a content out of every blend, or out of this one.
type Exclusion struct {
	Key  string // of package words
	Args answer.Args
}

// blended are the properties that a blend is judged by.
var blended = []record.Property{record.Water, record.Colour, record.HMF, record.Diastase, record.Conductivity, record.Fructose, record.Glucose, record.Sucrose, record.Yeast}

// For blends, where the house has set nothing (common practice; the first an
// assumption).
var (
	blendRisk     = quantity.Figure{Mantissa: 5, Unit: quantity.Pct}               // chance of a breach that is allowed
	blendAllow    = quantity.Figure{Mantissa: 20, Decimals: 1, Unit: quantity.Pct} // honey beyond the labels: what hoses keep, what jars get too much
	blendOver     = quantity.Figure{Mantissa: 40, Decimals: 1, Unit: quantity.Pct} // more than asked for, so that drums go whole
	blendWarm     = quantity.Figure{Mantissa: 4, Unit: quantity.Day}               // in the warming room before it can be tipped
	blendHandling = quantity.Figure{Mantissa: 10, Unit: quantity.Money}            // what opening one more content counts as
	blendDraw     = quantity.Figure{Mantissa: 20, Unit: quantity.KgUnit}           // the least that is drawn off a tank
	costOwn       = quantity.Figure{Unit: quantity.Money}                          // of a kilogram; nothing set is not known
	costBought    = quantity.Figure{Unit: quantity.Money}
	costWasSet    = func(f quantity.Figure) bool { return f.Mantissa > 0 }
)

// Candidates lists every honey in bulk that is here, by code, each with the rules that
// keep it out of any blend of table honey.
func (v *View) Candidates(today record.Day) (all []Candidate) {
	all = slices.Clone(once(v, fmt.Sprint("candidates ", int(today)), func() []Candidate { return v.candidates(today) }))
	for i := range all {
		all[i].Out = slices.Clone(all[i].Out) // blends take some out, and put some back
	}
	return all
}

func (v *View) candidates(today record.Day) (all []Candidate) {
	held, put := v.State.Held(), v.promised()
	planned, by := v.State.PlannedOf()
	d := v.doubter()
	warm := record.Day(v.State.Setting("blend.warm", blendWarm).Float())
	for _, c := range v.State.Contents() {
		x := Candidate{Content: c, Shown: v.State.ContentID(c.Node), Lot: v.LotOf(c), Shape: v.shapeOf(c), Free: c.Grams - planned[c.Node], Known: map[record.Property]Doubted{},
			Country: v.State.GroupBy(c.Node, v.State.Country), Site: v.State.GroupBy(c.Node, v.State.Site), Kind: v.State.GroupBy(c.Node, v.State.Honey)}
		for _, p := range blended {
			x.Known[p] = d.of(c.Node, p)
		}
		x.Status = string(v.status(held, put, c))
		v.ageOf(&x)
		v.costOf(&x)
		v.stateOf(&x, today, warm)
		v.outOfAll(&x, held, put, by)
		all = append(all, x)
	}
	slices.SortFunc(all, func(a, b Candidate) int { return cmp.Compare(natural(a.Content.Code), natural(b.Content.Code)) })
	return all
}

func (v *View) shapeOf(c house.Content) record.VesselKind {
	if t, ok := v.State.Find(c.Vessel); ok {
		if f, ok := v.State.Named(t).(*record.VesselNamed); ok {
			return f.Shape
		}
	}
	return record.Drum
}

// Whole reports whether it is tipped as a whole: drums, pails and totes are, what is
// in a tank is drawn off.
func (x *Candidate) Whole() bool { return x.Shape != record.Tank && x.Shape != record.Sump }

// ageOf looks for the oldest day of what is in it.
func (v *View) ageOf(x *Candidate) {
	for _, l := range v.State.ByOrigin(x.Content.Node) {
		day := v.State.OriginOf(l.Origin).Day
		if l.Grams > 0 && day != 0 && (x.Since == 0 || day < x.Since) {
			x.Since = day
		}
	}
}

// costOf is what the house says that a kilogram costs, own or bought, by weight; with
// one of the two not set it is not known.
func (v *View) costOf(x *Candidate) {
	own, bought := v.State.Setting("cost.own", costOwn), v.State.Setting("cost.bought", costBought)
	var sum, grams float64
	for _, l := range v.State.ByOrigin(x.Content.Node) {
		if l.Grams <= 0 {
			continue
		}
		f := own
		if v.State.KindOf(v.State.OriginOf(l.Origin).Of) == record.Delivery {
			f = bought
		}
		if !costWasSet(f) {
			return
		}
		sum, grams = sum+f.Float()*float64(l.Grams), grams+float64(l.Grams)
	}
	if grams > 0 {
		x.Cost = quantity.Figure{Mantissa: int64(10_000*sum/grams + 0.5), Decimals: 4, Unit: quantity.Money}
	}
}

// stateOf says whether it is set, and from when on it can be tipped: what stands in a
// tank at once, what stands in a warming room when it has stood there long enough.
func (v *View) stateOf(x *Candidate, today, warm record.Day) {
	if r, ok := v.ownRead(x.Content.Node, record.Crystals); ok && r.Value.Given() {
		x.Set = record.No
		if r.Value.Float() > 0 {
			x.Set = record.Yes
		}
	}
	x.Ready = today
	if !x.Whole() {
		return
	}
	at, _ := v.State.Find(x.Content.Place)
	if f, ok := v.State.Named(at).(*record.PlaceNamed); ok && (f.For == record.WarmingRoom || f.For == record.Bath) {
		x.Warm = true
		x.Ready = max(today, record.DayOf(x.Content.Since.Time())+warm)
		return
	}
	if x.Set != record.No {
		x.Ready = today + warm
	}
}

// outOfAll are the rules that keep honey out of every blend of table honey.
func (v *View) outOfAll(x *Candidate, held house.Held, put map[string]record.Code, by map[trace.Node]record.Code) {
	out := func(key string, args answer.Args) { x.Out = append(x.Out, Exclusion{key, args}) }
	c := x.Content
	for _, on := range held[c.Node] {
		hold := v.State.Code(on.Hold)
		if on.Share {
			out("blend.out.hold", answer.Args{"hold": hold})
		} else {
			x.Cautions = append(x.Cautions, answer.Line{Key: "blend.touched", Mark: answer.Care, Args: answer.Args{"of": c.Code, "hold": hold}})
		}
	}
	order := cmp.Or(put[c.Code.Fold()], put[c.Vessel.Fold()])
	switch {
	case len(c.InLots) > 0:
		out("blend.out.running-in", answer.Args{"lots": c.InLots})
	case x.Shape == record.Sump || x.Shape == record.Tank && v.State.RanIn(c.Node):
		out("blend.out.settling", nil)
	}
	if run, ok := v.State.Feeding(c.Node); ok {
		out("blend.out.run", answer.Args{"run": run})
	}
	if order != "" {
		out("blend.out.promised", answer.Args{"order": order})
	}
	if c.Grams <= 0 && len(c.InLots) == 0 {
		out("blend.out.below-zero", answer.Args{"mass": c.Grams})
	} else if x.Free <= 0 && len(c.InLots) == 0 {
		out("blend.out.planned", answer.Args{"plan": by[c.Node]})
	}
	switch c.Purpose {
	case record.CookingGrade, record.SkimHoney, record.SeedHoney, record.Spread:
		out("blend.out.purpose", answer.Args{"purpose": answer.Key(c.Purpose.Key())})
	}
	v.unsound(x, out)
}

// unsound are the rules about what was read: residues and faults found, and honey that
// was overheated, which is not to be hidden in good honey.
func (v *View) unsound(x *Candidate, out func(string, answer.Args)) {
	for _, p := range []record.Property{record.Residue, record.Taste} {
		if r, ok := v.read(x.Content.Node, p); ok && r.Verdict == record.Found {
			out("blend.out.found", answer.Args{"property": answer.Key(p.Key()), "what": r.What})
		}
	}
	hmf, diastase := x.Known[record.HMF], x.Known[record.Diastase]
	most, lowHMF, least := heatLimits(v.State.House().Rules)
	heated := func(p record.Property, known Doubted, limit float64) {
		out("blend.out.heated", answer.Args{"property": answer.Key(p.Key()), "figure": usualFigure(p, known.Value.Value), "limit": usualFigure(p, limit)})
	}
	if hmf.Value.Known() && hmf.Value.Value > most {
		heated(record.HMF, hmf, most)
	}
	if diastase.Value.Known() && diastase.Value.Value < least && (!hmf.Value.Known() || hmf.Value.Value > lowHMF) {
		heated(record.Diastase, diastase, least)
	}
	slices.SortFunc(x.Out, func(a, b Exclusion) int { return cmp.Compare(a.Key, b.Key) })
}

// heatLimits are what table honey is held to after heat: HMF, the HMF below which little
// enzyme may be natural, and enzyme; of the house's rules, or of the Codex where those
// have none.
func heatLimits(name string) (mostHMF, lowHMF, leastDiastase float64) {
	rules, err := standard.ParseRules(name)
	for _, r := range []standard.Rules{rules, standard.Codex} {
		if err != nil {
			err = nil
			continue
		}
		hmf, err1 := standard.LimitOf(r, standard.HMF, standard.Honey{})
		low, err2 := standard.LimitOf(r, standard.Diastase, standard.Honey{LowEnzyme: true})
		diastase, err3 := standard.LimitOf(r, standard.Diastase, standard.Honey{})
		if err1 == nil && err2 == nil && err3 == nil && hmf.Bound == standard.Max && diastase.Bound == standard.Min {
			return hmf.Value, low.HMFMax, diastase.Value
		}
	}
	return math.Inf(1), math.Inf(1), 0
}

// decimalsOfProperty are those that a figure of a property is worth.
var decimalsOfProperty = map[record.Property]uint8{record.Water: 2, record.Colour: 0, record.HMF: 1, record.Diastase: 1, record.Conductivity: 2,
	record.Fructose: 1, record.Glucose: 1, record.Sucrose: 1, record.Yeast: 0}

// usualFigure is a worked-out figure in a property's unit.
func usualFigure(p record.Property, x float64) quantity.Figure {
	d := decimalsOfProperty[p]
	return quantity.Figure{Mantissa: int64(math.Round(x * math.Pow10(int(d)))), Decimals: d, Unit: record.PropertyUnits[p]}
}
