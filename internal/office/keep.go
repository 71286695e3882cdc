package office

import (
	"fmt"
	"math"
	"slices"
	"time"

	"combline/internal/assay"
	"combline/internal/honey"
	"combline/internal/house"
	"combline/internal/quantity"
	"combline/internal/record"
	"combline/internal/standard"
	"combline/internal/trace"
)

// What a house reckons its best-before dates with, unless it says otherwise (common
// practice, no source): jars stand two years in a shop and a kitchen at 20 °C, 3 K
// warmer in summer, and nobody knows to better than 2 K; a date should hold 9 times in 10.
var (
	keepMonths = quantity.Figure{Mantissa: 24, Unit: quantity.Each}
	keepTemp   = quantity.Figure{Mantissa: 20, Unit: quantity.DegC}
	keepSwing  = quantity.Figure{Mantissa: 3, Unit: quantity.KelvinUnit}
	keepSure   = quantity.Figure{Mantissa: 90, Unit: quantity.Pct}
)

const keepSD = 2.0 // K

// A Held is honey that stood, or would stand, at a temperature.
type Held struct {
	From, To time.Time
	C        quantity.Celsius
}

// A KeepAsk asks how long a content keeps. What is zero is as the house has it.
type KeepAsk struct {
	Of     record.Code
	At     time.Time // now
	Until  time.Time // the best-before date
	Store  *assay.Store
	Sure   float64 // chance with which the date shall hold
	Held   []Held  // instead of what is written down, or before it goes to the store
	Curve  int     // points of a curve to the date; 0: none
	Months []int   // also looked at after so many months
}

// A Keep is what a content's heat has made of it and will make of it.
type Keep struct {
	Content  house.Content
	Type     string
	At       time.Time // now, or when it had been drawn to the last
	Gone     bool      // it had
	Until    time.Time
	Store    assay.Store
	Sure     float64
	Markers  []MarkerKeep
	Limits   []assay.Limit
	Breach   float64             // chance that it breaks a limit at the date
	Ahead    bool                // it is to be warmed before it goes to the store
	Warmed   float64             // chance that it breaks a limit then
	Longest  quantity.Days       // that it keeps all limits with the chance asked for; NaN: not known
	Last     bool                // Longest is where we stop looking
	Room     honey.Band[float64] // share of the allowance for HMF used at the date; 0 without a limit
	Heat     []HeatHad
	Rests    []Rested
	Odd      []record.Code
	Yeast    assay.Yeast
	Steps    []KeepStep // after so many months
	Curve    []KeepStep
	Rule     *standard.Cite
	Inferred bool // some temperature is assumed or only set
}

// A MarkerKeep is one marker now and at the date.
type MarkerKeep struct {
	Marker    assay.Marker
	Known     bool
	Lacks     []string
	Now, Then honey.Band[float64]
	Limit     *assay.Limit
	Over      float64 // chance that it breaks its limit at the date
	OverNow   float64
	Rate      Rate
}

// A KeepStep is the honey after some time.
type KeepStep struct {
	At     time.Time
	HMF    honey.Band[float64]
	DN     honey.Band[float64]
	Breach float64
}

// A HeatHad is a stretch of a content's time with what its warmth did.
type HeatHad struct {
	Place    record.Code
	From, To time.Time
	Low, Top quantity.Celsius // the coldest and warmest that its honey had
	How      string           // key: course.read, ...
	Read     int
	HMF      honey.Band[float64] // added
	DN       honey.Band[float64] // share kept
}

// A Rested is a reading that an answer rests on.
type Rested struct {
	Marker assay.Marker
	Of     record.Code
	Value  quantity.Figure
	When   record.When
	Seq    uint64
}

// Keep works out how long a content keeps. ok is false where there is no such content.
func (v *View) Keep(ask KeepAsk) (k Keep, ok bool, err error) {
	n := v.contentNamed(ask.Of)
	if n == 0 {
		return k, false, nil
	}
	k, err = v.assayer().keep(n, ask)
	return k, true, err
}

// KeepOnce is [View.Keep], kept until the next fact. ok is false, too, where it can't be
// reckoned.
func (v *View) KeepOnce(ask KeepAsk) (Keep, bool) {
	x := once(v, fmt.Sprintf("keep %v", ask), func() (x keptOnce) {
		var err error
		x.Keep, x.ok, err = v.Keep(ask)
		x.ok = x.ok && err == nil
		return x
	})
	return x.Keep, x.ok
}

type keptOnce struct {
	Keep
	ok bool
}

// contentNamed is the honey that a code stands for: of a vessel the present filling.
func (v *View) contentNamed(code record.Code) trace.Node {
	var is trace.Node
	for _, n := range v.State.RootsOf(code) {
		switch v.State.NodeKind(n) {
		case house.ContentNode, house.LotNode, house.DeliveryNode, house.BatchNode:
			if is != 0 {
				return 0
			}
			is = n
		}
	}
	return is
}

// emptied is when a content had all been drawn; false while something is left.
func (v *View) emptied(n trace.Node) (minute int64, gone bool) {
	if v.State.Graph().Left(n) > 0 || len(v.State.Graph().Feeds(n)) > 0 || source(v.State.NodeKind(n)) {
		return 0, false
	}
	for _, x := range v.State.Graph().Next(n, trace.Forward) {
		if x.Share && x.Grams > 0 {
			minute = max(minute, v.State.MadeAt(x.Node).Minute)
		}
	}
	return minute, minute > 0
}

func (a *assayer) keep(n trace.Node, ask KeepAsk) (k Keep, err error) {
	if end, gone := a.v.emptied(n); gone && end < minuteOf(ask.At) {
		ask.At = a.v.clock(end, ask.At)
		k.Gone = true
	}
	x, err := a.held(n, minuteOf(ask.At), ask.Held)
	if err != nil {
		return k, err
	}
	c, err := a.ahead(x.content, ask)
	if err != nil {
		return k, err
	}
	gone := k.Gone
	k, err = a.keepFrom(n, x, c, ask)
	k.Gone = gone
	return k, err
}

// keepFrom is how a content keeps that goes to the store as c.
func (a *assayer) keepFrom(n trace.Node, x *assayed, c *assay.Content, ask KeepAsk) (k Keep, err error) {
	k = Keep{Content: a.v.State.Content(n), At: ask.At, Until: ask.Until, Sure: ask.Sure, Type: a.v.honeyOf(a.v.State.Content(n))}
	a.v.keepDefaults(&k, ask)
	k.Limits, k.Rule = a.v.heatLimits(a.v.State.Purpose(n))
	from := dayOfYear(minuteOf(ask.At))
	then, err := a.house.Kept(c, k.Store, from, days(k.Until.Sub(k.At)))
	if err != nil {
		return k, err
	}
	for _, m := range assay.Markers() {
		k.Markers = append(k.Markers, a.marker(m, x.content, then, k.Limits, k.Type))
	}
	k.Breach = then.Breach(k.Limits...)
	k.Ahead, k.Warmed = c != x.content, c.Breach(k.Limits...)
	k.Longest = quantity.Days(math.NaN())
	if len(k.Limits) > 0 {
		if k.Longest, err = a.house.Longest(c, k.Store, from, k.Limits, k.Sure); err != nil {
			return k, err
		}
		k.Last = k.Longest >= assay.MostDays
	}
	k.Yeast, k.Odd = x.content.Yeast, x.odd
	k.Rests = x.read
	a.room(&k)
	if err := a.heat(&k, x); err != nil {
		return k, err
	}
	return k, a.steps(&k, c, ask, from)
}

func (v *View) keepDefaults(k *Keep, ask KeepAsk) {
	if k.Until.IsZero() {
		k.Until = k.At.AddDate(0, int(v.State.Setting("keep.months", keepMonths).Float()), 0)
	}
	if k.Sure == 0 {
		k.Sure = v.State.Setting("keep.sure", keepSure).Float() / 100
	}
	k.Sure = min(max(k.Sure, 0.5), 0.999)
	if ask.Store != nil {
		k.Store = *ask.Store
		return
	}
	k.Store = v.HouseStore()
}

// HouseStore is how warm the house takes its jars to stand.
func (v *View) HouseStore() assay.Store {
	return assay.Store{Key: "shelf", Mean: celsius(v.State.Setting("keep.temp", keepTemp)), Swing: v.State.Setting("keep.swing", keepSwing).Float(), SD: keepSD}
}

// heatLimits are the limits that the house's rules set on what heat changes.
func (v *View) heatLimits(purpose record.Purpose) (all []assay.Limit, cite *standard.Cite) {
	rules, _ := standard.ParseRules(v.State.House().Rules)
	for _, l := range [2]struct {
		m assay.Marker
		p standard.Property
	}{{assay.HMF, standard.HMF}, {assay.Diastase, standard.Diastase}} {
		limit, err := standard.LimitOf(rules, l.p, standard.Honey{Cooking: purpose == record.CookingGrade || purpose == record.SkimHoney})
		if err != nil || limit.Bound == standard.Unbounded {
			continue
		}
		all = append(all, assay.Limit{Marker: l.m, Value: limit.Value, Least: limit.Bound == standard.Min})
		cite = &limit.Cite
	}
	return all, cite
}

func (a *assayer) marker(m assay.Marker, now, then *assay.Content, limits []assay.Limit, honey string) MarkerKeep {
	x := MarkerKeep{Marker: m, Over: math.NaN(), OverNow: math.NaN()}
	x.Known, x.Lacks = now.Known(m)
	if x.Known {
		f, g := now.Forecast(m), then.Forecast(m)
		x.Now, x.Then = f.Band(), g.Band()
	}
	if i := slices.IndexFunc(limits, func(l assay.Limit) bool { return l.Marker == m }); i >= 0 {
		x.Limit = &limits[i]
		x.Over, x.OverNow = then.Breach(limits[i]), now.Breach(limits[i])
	}
	f := a.house.Factor(m, honeyType(honey))
	x.Rate = Rate{honey, m, f.At(20), f.Readings, f.Odd}
	return x
}

// held is the content at a minute, with stretches of its past at other temperatures than
// are written down.
func (a *assayer) held(n trace.Node, minute int64, held []Held) (*assayed, error) {
	var past []Held
	for _, h := range held {
		if minuteOf(h.From) < minute {
			past = append(past, h)
		}
	}
	if len(past) == 0 {
		return a.at(n, minute)
	}
	other := &assayer{v: a.v, house: a.house, book: a.book, done: map[stateAt]*assayed{}, instead: map[trace.Node][]Held{n: past}}
	return other.at(n, minute)
}

// ahead is the content after what is to come before it goes to the store.
func (a *assayer) ahead(c *assay.Content, ask KeepAsk) (*assay.Content, error) {
	for _, h := range ask.Held {
		from := max(minuteOf(h.From), minuteOf(ask.At))
		if to := minuteOf(h.To); to > from {
			course := assay.Course{Key: "plan", SD: 1, Points: []assay.Point{{Hour: hour(from), C: h.C}, {Hour: hour(to), C: h.C}}}
			var err error
			if c, err = a.house.Pass(c, course); err != nil {
				return nil, err
			}
		}
	}
	return c, nil
}

// room is how much of what the limit on HMF allows is used at the date.
func (a *assayer) room(k *Keep) {
	for _, m := range k.Markers {
		if m.Marker == assay.HMF && m.Known && m.Limit != nil && !m.Limit.Least {
			k.Room = honey.Band[float64]{Low: m.Then.Low / m.Limit.Value, Likely: m.Then.Likely / m.Limit.Value, High: m.Then.High / m.Limit.Value}
		}
	}
}

// heat lists a content's own stays with what each cost.
func (a *assayer) heat(k *Keep, x *assayed) error {
	for _, s := range x.heat {
		fresh, err := a.house.Pass(a.house.Unread(honeyType(k.Type), ""), s.course)
		if err != nil {
			return err
		}
		h := HeatHad{Place: s.place, From: a.v.clock(s.from, k.At), To: a.v.clock(s.to, k.At), Low: 200, Top: -200, How: s.how.key(), Read: s.read,
			HMF: fresh.Added(assay.HMF), DN: fresh.Added(assay.Diastase)}
		for _, p := range s.course.Points {
			h.Low, h.Top = min(h.Low, p.C), max(h.Top, p.C)
		}
		k.Inferred = k.Inferred || s.how != courseRead
		k.Heat = append(k.Heat, h)
	}
	return nil
}

// clock is a minute on the house's clock.
func (v *View) clock(minute int64, like time.Time) time.Time {
	return time.Unix(minute*60, 0).In(like.Location())
}

func (a *assayer) steps(k *Keep, c *assay.Content, ask KeepAsk, from float64) error {
	at := func(d quantity.Days, when time.Time) (KeepStep, error) {
		x, err := a.house.Kept(c, k.Store, from, d)
		if err != nil {
			return KeepStep{}, err
		}
		f, g := x.Forecast(assay.HMF), x.Forecast(assay.Diastase)
		return KeepStep{At: when, HMF: f.Band(), DN: g.Band(), Breach: x.Breach(k.Limits...)}, nil
	}
	for _, m := range ask.Months {
		when := k.At.AddDate(0, m, 0)
		s, err := at(days(when.Sub(k.At)), when)
		if err != nil {
			return err
		}
		k.Steps = append(k.Steps, s)
	}
	long := k.Until.Sub(k.At)
	for i := range ask.Curve {
		d := time.Duration(float64(long) * float64(i) / float64(ask.Curve-1))
		s, err := at(days(d), k.At.Add(d))
		if err != nil {
			return err
		}
		k.Curve = append(k.Curve, s)
	}
	return nil
}

func minuteOf(t time.Time) int64 { return t.Unix() / 60 }

func days(d time.Duration) quantity.Days { return quantity.Days(max(0, d.Hours()/24)) }
