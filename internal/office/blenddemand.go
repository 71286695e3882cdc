package office

import (
	"math"
	"strconv"

	"combline/internal/answer"
	"combline/internal/blend"
	"combline/internal/quantity"
	"combline/internal/record"
)

// DemandLine says one thing that is asked of the batch: "water at most 17.8 %".
func (k *BlendCase) DemandLine(d blend.Demand) answer.Line {
	b := &k.Problem.Batches[0]
	say := func(key string, args answer.Args) answer.Line {
		return answer.Line{Key: "blend.demand." + key, Args: args}
	}
	switch d.Kind {
	case blend.AskLimit:
		return k.limitLine(b.Limits[d.Index])
	case blend.AskShare:
		return shareLine(b.Shares[d.Index])
	case blend.AskLabel:
		c := b.Label[d.Index]
		return say("label", answer.Args{"name": c.Country, "figure": percentFigure(float64(c.Percent))})
	case blend.AskTank:
		return say("tank", answer.Args{"mass": b.Tank, "tank": k.Ask.Tank})
	case blend.AskContents:
		return say("contents", answer.Args{"n": int64(b.Most)})
	case blend.AskParcel:
		return say("parcel", answer.Args{"mass": b.Parcel})
	case blend.AskUse:
		return say("use", answer.Args{"of": record.Code(b.Use[d.Index].Content), "mass": b.Use[d.Index].Grams})
	case blend.AskTime:
		return say("time", answer.Args{"day": k.Today + record.Day(b.Within)})
	case blend.AskWhole:
		return say("whole", nil)
	case blend.AskApart:
		return say("apart", nil)
	case blend.AskMark:
		return say("mark", answer.Args{"mark": b.Marks[d.Index]})
	}
	return say("grams", answer.Args{"mass": b.Grams})
}

// limitLine says a limit: one of several ways is the ferment rule or the law's on
// enzyme.
func (k *BlendCase) limitLine(l blend.Limit) answer.Line {
	if len(l.Ways) > 1 {
		return answer.Line{Key: "blend.demand." + l.Key, Args: answer.Args{"soft": k.Ask.Soft}}
	}
	t := l.Ways[0][0]
	key := "blend.demand.most"
	if t.Least {
		key = "blend.demand.least"
	}
	return answer.Line{Key: key, Args: answer.Args{"what": answer.Key(MeasureKey(t.Measure)), "figure": bound(t.Measure, t.Bound)}}
}

func shareLine(s blend.Share) answer.Line {
	args := answer.Args{"name": s.Name, "least": percentFigure(float64(s.Least)), "most": percentFigure(float64(s.Most))}
	switch {
	case s.Least > 0 && s.Most < 100:
		return answer.Line{Key: "blend.demand.share", Args: args}
	case s.Least == 100:
		return answer.Line{Key: "blend.demand.only", Args: args}
	case s.Most < 100:
		return answer.Line{Key: "blend.demand.share-most", Args: args}
	}
	return answer.Line{Key: "blend.demand.share-least", Args: args}
}

func percentFigure(x float64) quantity.Figure {
	for d := uint8(0); d < 4; d++ {
		if p := math.Pow10(int(d)); math.Abs(math.Round(x*p)-x*p) < 1e-6 {
			return quantity.Figure{Mantissa: int64(math.Round(x * p)), Decimals: d, Unit: quantity.Pct}
		}
	}
	return quantity.Figure{Mantissa: int64(math.Round(x * 100)), Decimals: 2, Unit: quantity.Pct}
}

// ReachLine says how near a demand comes with all others met.
func (k *BlendCase) ReachLine(r blend.Reach) answer.Line {
	switch r.Demand.Kind {
	case blend.AskLimit:
		key := "blend.reach.most"
		if r.Term.Least {
			key = "blend.reach.least"
		}
		return answer.Line{Key: key, Args: answer.Args{"what": answer.Key(MeasureKey(r.Term.Measure)), "figure": orUnknown(measured(r.Term.Measure, r.Value)), "alone": orUnknown(measured(r.Term.Measure, r.Alone))}}
	case blend.AskShare:
		return answer.Line{Key: "blend.reach.share", Args: answer.Args{"name": k.Problem.Batches[0].Shares[r.Demand.Index].Name, "figure": percentFigure(math.Round(r.Value*10) / 10)}}
	case blend.AskLabel:
		return answer.Line{Key: "blend.reach.share", Args: answer.Args{"name": k.Problem.Batches[0].Label[r.Demand.Index].Country, "figure": percentFigure(math.Round(r.Value*10) / 10)}}
	case blend.AskContents:
		return answer.Line{Key: "blend.reach.contents", Args: answer.Args{"n": int64(math.Round(r.Value))}}
	}
	return answer.Line{Key: "blend.reach.mass", Args: answer.Args{"mass": quantity.Gram(math.Round(r.Value * 1000))}}
}

func orUnknown(x any) any {
	if x == nil {
		return answer.Key("unknown")
	}
	return x
}

// ChangeLine says one thing done otherwise, with which there is a blend.
func (k *BlendCase) ChangeLine(x blend.Change) answer.Line {
	say := func(key string, args answer.Args) answer.Line {
		return answer.Line{Key: "blend.change." + key, Args: args}
	}
	mass := func(kg float64) quantity.Gram { return quantity.Gram(math.Round(kg * 1000)) }
	if x.Honey != nil {
		if x.Honey.Like >= 0 {
			return say("honey-like", answer.Args{"mass": x.Honey.Grams, "of": k.There[x.Honey.Like].Content.Code})
		}
		name := nameOfHoney(x.Honey.Content)
		if name == "" {
			return say("honey-any", answer.Args{"mass": x.Honey.Grams})
		}
		return say("honey", answer.Args{"mass": x.Honey.Grams, "name": name})
	}
	b := &k.Problem.Batches[0]
	i := x.Demand.Index
	switch x.Demand.Kind {
	case blend.AskLimit:
		t := b.Limits[i].Ways[x.Way][x.Place]
		return say("limit", answer.Args{"what": answer.Key(MeasureKey(t.Measure)), "from": bound(t.Measure, x.From), "to": bound(t.Measure, x.To), "by": bound(t.Measure, math.Abs(x.To-x.From))})
	case blend.AskShare:
		key := "share-least"
		if x.To > x.From {
			key = "share-most"
		}
		return say(key, answer.Args{"name": b.Shares[i].Name, "from": percentFigure(x.From), "to": percentFigure(x.To)})
	case blend.AskContents:
		return say("contents", answer.Args{"from": int64(x.From), "to": int64(x.To)})
	case blend.AskTime:
		return say("time", answer.Args{"from": k.Today + record.Day(x.From), "to": k.Today + record.Day(math.Ceil(x.To))})
	case blend.AskWhole, blend.AskApart:
		return say(x.Demand.Kind.String()[:5], nil)
	case blend.AskMark:
		return say("mark", answer.Args{"mark": b.Marks[i]})
	case blend.AskUse:
		return say("use", answer.Args{"of": record.Code(b.Use[i].Content), "from": mass(x.From), "to": mass(x.To)})
	}
	return say(x.Demand.Kind.String(), answer.Args{"from": mass(x.From), "to": mass(x.To)})
}

func nameOfHoney(c blend.Content) string {
	for _, by := range []blend.Dimension{blend.ByKind, blend.ByCountry, blend.BySite} {
		if parts := c.Parts[by].Parts; len(parts) == 1 {
			return parts[0].Name
		}
	}
	return ""
}

// Tried is the ask with a change made, to look at what it gives; false where it is
// honey that is not here.
func (k *BlendCase) Tried(x blend.Change) (BlendAsk, bool) {
	a := k.Ask
	if x.Honey != nil {
		return a, false
	}
	b := &k.Problem.Batches[0]
	i := x.Demand.Index
	grams := quantity.Gram(math.Round(x.To * 1000))
	switch x.Demand.Kind {
	case blend.AskLimit:
		t := b.Limits[i].Ways[x.Way][x.Place]
		f := bound(t.Measure, x.To)
		d := k.demandOf(t.Measure)
		if t.Least {
			d.Least = &f
		} else {
			d.Most = &f
		}
		a = a.With(d)
	case blend.AskShare:
		s := b.Shares[i]
		least, most := percentFigure(float64(s.Least)), percentFigure(float64(s.Most))
		d := Demand{Share: true, By: s.By, Name: s.Name}
		if x.To < x.From {
			least = percentFigure(x.To)
		} else {
			most = percentFigure(x.To)
		}
		if d.Least = &least; most.Float() < 100 {
			d.Most = &most
		}
		a = a.With(d)
	case blend.AskGrams:
		a.Wanted = grams
	case blend.AskContents:
		a.Most = int(x.To)
	case blend.AskParcel:
		a.Parcel = grams
	case blend.AskTime:
		a.Due = k.Today + record.Day(math.Ceil(x.To))
	case blend.AskWhole:
		a.Parts = true
	default:
		return a, false
	}
	return a, true
}

// demandOf is what is asked of a measure now, as one demand: both its ends.
func (k *BlendCase) demandOf(m blend.Measure) Demand {
	d := Demand{Measure: m}
	for i, l := range k.Problem.Batches[0].Limits {
		if k.Origin[i] == "law" || len(l.Ways) != 1 || l.Ways[0][0].Measure != m {
			continue
		}
		f := bound(m, l.Ways[0][0].Bound)
		if l.Ways[0][0].Least {
			d.Least = &f
		} else {
			d.Most = &f
		}
	}
	return d
}

// FlagOf is how a change is typed on the command line.
func (k *BlendCase) FlagOf(x blend.Change) string {
	a, ok := k.Tried(x)
	if !ok {
		return ""
	}
	switch x.Demand.Kind {
	case blend.AskLimit, blend.AskShare:
		return "--limit " + strconv.Quote(a.Demands[len(a.Demands)-1].Text())
	case blend.AskGrams:
		return "--mass " + strconv.FormatFloat(float64(a.Wanted)/1000, 'f', -1, 64)
	case blend.AskContents:
		return "--most " + strconv.Itoa(a.Most)
	case blend.AskParcel:
		return "--parcel " + strconv.FormatFloat(float64(a.Parcel)/1000, 'f', -1, 64)
	case blend.AskTime:
		return "--due " + a.Due.String()
	}
	return "--parts"
}
