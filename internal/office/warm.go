package office

import (
	"errors"
	"math"
	"slices"
	"time"

	"combline/internal/answer"
	"combline/internal/assay"
	"combline/internal/heat"
	"combline/internal/honey"
	"combline/internal/house"
	"combline/internal/quantity"
	"combline/internal/record"
	"combline/internal/trace"
)

// What a house warms with, unless it says otherwise (common practice, no source): honey
// is filled at 38 °C, a warming room goes up to 50 °C, and of the heater's energy 60 %
// end in the honey.
var (
	warmFill  = quantity.Figure{Mantissa: 38, Unit: quantity.DegC}
	warmMost  = quantity.Figure{Mantissa: 50, Unit: quantity.DegC}
	warmSet   = quantity.Figure{Mantissa: 45, Unit: quantity.DegC}
	warmGain  = quantity.Figure{Mantissa: 60, Unit: quantity.Pct}
	warmPrice = quantity.Figure{Mantissa: 0, Unit: quantity.Money}
)

const (
	usualCrystals = 0.15 // share of crystals in a set honey, 0.10 to 0.20
	lowestSet     = 30.0 // °C; under it a warming room warms nothing in time
	hottestSet    = 70.0 // °C; the models of honey end there, and so does honey
	usualLossWK   = 40.0 // W/K that a room for a dozen drums loses (assumption)
)

// A WarmAsk asks how to warm contents so that they can be filled by a time. What is zero
// is as the house has it.
type WarmAsk struct {
	Of       []record.Code
	By, At   time.Time
	Rest     time.Duration // to tip, mix and rest before the honey is filled
	Fill     quantity.Celsius
	Most     quantity.Celsius // the warmest that the room may be set to
	Room     record.Code
	PowerKW  quantity.Figure   // of the heater; not given: enough
	Water    quantity.WaterPct // agreed to where none was read
	Start    quantity.Figure   // of the honey, where it is not as the record has it
	Grain    heat.Grain
	Clear    bool // no grains
	Crystals quantity.Percent
	Settings int           // set points at most
	MostHMF  quantity.MgKg // the cheapest plan that adds no more; 0: the least harm
	Off      Held          // a power cut: the room stood at Off.C meanwhile
	Keep     KeepAsk       // of the honey afterwards
}

// A Warming is the answer.
type Warming struct {
	Ask      WarmAsk
	Room     record.Code
	Film     float64
	Places   int64 // that the room has
	From     time.Time
	Plan     heat.Plan
	Schedule heat.Schedule
	TooLate  *heat.TooLateError
	TooMuch  bool      // no plan surely keeps the bound on HMF: this is the gentlest
	Risky    bool      // too late for slow honey: the highest set point from now on is the plan
	Late     heat.Band // with the highest set point from now on, where it is too late
	Drums    []WarmDrum
	Simple   time.Time // the latest start at the usual set point; zero: none is in time
	SimpleC  quantity.Celsius
	HoneyKWh float64
	AllKWh   float64
	KnownKWh bool // from the heater's power and the room's loss
	Again    bool // it stands in the warm already
	Air      quantity.Celsius
}

// A WarmDrum is one content of a warming.
type WarmDrum struct {
	Content house.Content
	Type    string
	Water   quantity.WaterPct
	Agreed  bool // nobody read the water
	Start   quantity.Celsius
	How     string // how the start is known
	Held    []record.Code
	Before  Keep
	After   Keep
	Added   honey.Band[float64] // HMF
	Kept    honey.Band[float64] // share of the diastase
	Harm    bool                // After, Added and Kept are there
}

// warmRefusal is what makes a question about warming none.
func warmRefusal(key string, args answer.Args) error {
	return &house.Refusal{Key: key, Args: args, Next: "next.type-again"}
}

// Warm works out a warming.
func (v *View) Warm(ask WarmAsk) (w Warming, err error) {
	v.warmDefaults(&ask)
	w = Warming{Ask: ask, From: nextHalfHour(ask.At), SimpleC: celsius(v.State.Setting("warm.set", warmSet))}
	if err := ask.check(); err != nil {
		return w, err
	}
	if err := v.room(&w); err != nil {
		return w, err
	}
	a := v.assayer()
	nodes, err := v.warmDrums(&w, a)
	if err != nil {
		return w, err
	}
	if err := v.warmPlan(&w, a, nodes); err != nil {
		return w, err
	}
	gain := v.State.Setting("warm.gain", warmGain).Float() / 100
	w.Plan.MostHMF = w.bound(a)
	if err := w.schedule(gain); err != nil {
		return w, err
	}
	if err := v.warmHarm(&w, a, nodes); err != nil || !w.overBound() {
		w.TooMuch = false
		return w, err
	}
	if w.Plan.MostHMF = 0; !w.TooMuch { // the gentlest, then
		if err := w.schedule(gain); err != nil {
			return w, err
		}
		err = v.warmHarm(&w, a, nodes)
	}
	w.TooMuch = w.overBound()
	return w, err
}

// bound is the highest HMF that a plan may add, for honey of the published rate: the
// contents' own may be as fast as the house has to reckon with.
func (w *Warming) bound(a *assayer) quantity.MgKg {
	if w.Ask.MostHMF == 0 || w.Plan.Case.Heater == nil {
		return 0
	}
	fastest := 0.0
	for _, d := range w.Drums {
		fastest = max(fastest, a.house.Factor(assay.HMF, honeyType(d.Type)).At(w.Ask.Most).High)
	}
	return w.Ask.MostHMF / quantity.MgKg(fastest)
}

// overBound reports whether the plan may add more HMF than was allowed.
func (w *Warming) overBound() bool {
	_, high, _ := w.added()
	return w.Ask.MostHMF > 0 && w.planned() && quantity.MgKg(high) > w.Ask.MostHMF
}

func (v *View) warmDefaults(ask *WarmAsk) {
	if ask.Fill == 0 {
		ask.Fill = celsius(v.State.Setting("warm.fill", warmFill))
	}
	if ask.Most == 0 {
		ask.Most = celsius(v.State.Setting("warm.most", warmMost))
	}
	if ask.Grain == heat.NoGrain && !ask.Clear {
		ask.Grain = heat.FineGrain
	}
	if ask.Crystals == 0 {
		ask.Crystals = 100 * usualCrystals
	}
	if ask.Settings == 0 {
		ask.Settings = 3
	}
}

// nextHalfHour is the first hour at which somebody can set a heater.
func nextHalfHour(t time.Time) time.Time {
	const step = 30 * time.Minute
	u := t.Truncate(step)
	if u.Before(t) {
		u = u.Add(step)
	}
	return u
}

func (ask *WarmAsk) check() error {
	deadline := ask.By.Add(-ask.Rest)
	switch {
	case len(ask.Of) == 0:
		return warmRefusal("warm.none", nil)
	case !deadline.After(ask.At):
		return warmRefusal("warm.past", answer.Args{"by": record.At(deadline), "now": record.At(ask.At)})
	case deadline.Sub(ask.At) > 60*24*time.Hour:
		return warmRefusal("warm.far", answer.Args{"by": record.At(deadline)})
	case !(ask.Rest >= 0 && ask.Rest <= 14*24*time.Hour):
		return warmRefusal("warm.rest", nil)
	case !(lowestSet <= ask.Most && ask.Most <= hottestSet):
		return warmRefusal("warm.most", answer.Args{"temp": degrees(ask.Most), "low": degrees(lowestSet), "high": degrees(hottestSet)})
	case !(15 <= ask.Fill && ask.Fill <= 60):
		return warmRefusal("warm.fill", answer.Args{"temp": degrees(ask.Fill), "low": degrees(15), "high": degrees(60)})
	case ask.Fill >= ask.Most:
		return warmRefusal("warm.no-warmer", answer.Args{"most": degrees(ask.Most), "fill": degrees(ask.Fill)})
	case ask.PowerKW.Given() && !(ask.PowerKW.Float() > 0 && ask.PowerKW.Float() <= 1000):
		return warmRefusal("warm.power", answer.Args{"power": ask.PowerKW})
	case ask.Water != 0 && !(15 <= ask.Water && ask.Water <= 21):
		return warmRefusal("warm.water", answer.Args{"water": percent(float64(ask.Water))})
	case !(1 <= ask.Crystals && ask.Crystals <= 40):
		return warmRefusal("warm.crystals", answer.Args{"crystals": percent(float64(ask.Crystals))})
	case ask.Settings < 1 || ask.Settings > 6:
		return warmRefusal("warm.settings", nil)
	case !(ask.MostHMF >= 0 && ask.MostHMF <= 1000):
		return warmRefusal("warm.most-hmf", nil)
	case ask.MostHMF > 0 && !ask.PowerKW.Given():
		return warmRefusal("warm.cheapest-power", nil)
	}
	return nil
}

func degrees(c quantity.Celsius) quantity.Figure {
	return quantity.Figure{Mantissa: int64(math.Round(10 * float64(min(max(c, -1e6), 1e6)))), Decimals: 1, Unit: quantity.DegC}
}

func percent(x float64) quantity.Figure {
	return quantity.Figure{Mantissa: int64(math.Round(10 * min(max(x, -1e6), 1e6))), Decimals: 1, Unit: quantity.Pct}
}

// room is where it is to be warmed: as asked, else the house's first warming room.
func (v *View) room(w *Warming) error {
	w.Film = fanFilm
	for _, t := range v.State.OfKind(record.Place) {
		f, ok := v.State.Named(t).(*record.PlaceNamed)
		if !ok {
			continue
		}
		asked := w.Ask.Room != "" && f.Place.Fold() == w.Ask.Room.Fold()
		if asked || w.Ask.Room == "" && w.Room == "" && f.For == record.WarmingRoom {
			w.Room, w.Places = f.Place, f.Capacity
			w.Film = (&placeWarmth{kind: f.For}).film()
		}
	}
	if w.Ask.Room != "" && w.Room == "" {
		return warmRefusal("warm.no-room", answer.Args{"room": w.Ask.Room})
	}
	return nil
}

// warmDrums are the contents asked for as they stand.
func (v *View) warmDrums(w *Warming, a *assayer) (nodes []trace.Node, err error) {
	held := v.State.Held()
	var dry []record.Code
	for _, code := range w.Ask.Of {
		n := v.contentNamed(code)
		if n != 0 && slices.Contains(nodes, n) {
			continue // named twice
		}
		if t, known := v.State.Find(code); n == 0 && known && v.State.KindOf(t) == record.Vessel {
			return nil, warmRefusal("warm.nothing-in-it", answer.Args{"of": code})
		}
		if n == 0 {
			return nil, warmRefusal("warm.not-there", answer.Args{"of": code})
		}
		c := v.State.Content(n)
		if c.Grams <= 0 || v.State.NodeKind(n) != house.ContentNode {
			return nil, warmRefusal("warm.nothing-in-it", answer.Args{"of": code})
		}
		d := WarmDrum{Content: c, Type: v.honeyOf(c)}
		if holds, ok := v.holdsOn(held, n).([]record.Code); ok {
			d.Held = holds
		}
		if water := v.doubter().of(n, record.Water); water.Value.Known() {
			d.Water = quantity.WaterPct(water.Value.Value)
		} else if d.Water, d.Agreed = w.Ask.Water, true; w.Ask.Water == 0 {
			dry = append(dry, c.Code)
		}
		x, err := a.at(n, minuteOf(w.Ask.At))
		if err != nil {
			return nil, err
		}
		v.startOf(w, &d, x)
		nodes = append(nodes, n)
		w.Drums = append(w.Drums, d)
	}
	if len(dry) > 0 {
		return nil, &house.Refusal{Key: "warm.water-unknown", Args: answer.Args{"of": dry, "water": percent(float64(heat.AssumedWater))}, Next: "next.read-or-agree"}
	}
	return nodes, nil
}

// startOf is how warm a content is now, as the record has it or as was said.
func (v *View) startOf(w *Warming, d *WarmDrum, x *assayed) {
	d.How = courseNone.key()
	d.Start = barnStore.At(dayOfYear(minuteOf(w.Ask.At)))
	if n := len(x.heat); n > 0 {
		last := x.heat[n-1]
		d.Start, d.How = last.course.Points[len(last.course.Points)-1].C, last.how.key()
	}
	if w.Ask.Start.Given() {
		d.Start, d.How = celsius(w.Ask.Start), courseSaid.key()
	}
}

// warmPlan is the case of the drum that is ready last: the heaviest, from the coldest.
func (v *View) warmPlan(w *Warming, a *assayer, nodes []trace.Node) error {
	worst := 0
	for i, d := range w.Drums {
		x := &w.Drums[worst]
		if d.Start < x.Start-0.5 || d.Start <= x.Start+0.5 && d.Content.Grams > x.Content.Grams {
			worst = i
		}
	}
	d := &w.Drums[worst]
	if d.Start >= w.Ask.Most {
		return warmRefusal("warm.colder", answer.Args{"most": degrees(w.Ask.Most), "of": d.Content.Code, "temp": degrees(d.Start)})
	}
	water := quantity.WaterPct(min(max(d.Water, 15), 21))
	properties, err := heat.House(water, heat.Classical)
	if err != nil {
		return err
	}
	doubt, err := heat.HouseDoubt(water)
	if err != nil {
		return err
	}
	doubt.Rate = 0 // the assay has the honey's own
	mid := (properties.Conductivity.At0 + doubt.SlowK.At0) / 2
	properties.Conductivity = heat.Line{At0: mid, PerC: properties.Conductivity.PerC / 2}
	wide, high := v.measures(d.Content, float64(d.Content.Grams)/1000)
	w.Air = v.roomAir(w)
	air := heat.Steady(min(max(w.Air, -20), 60))
	side := heat.Face{Film: w.Film, Ambient: air, Heated: true}
	c := heat.Case{Body: heat.Drum(wide, high), Faces: heat.Faces{Side: side, Bottom: side, Top: side}, Honey: properties, Convection: 0.5,
		Start: heat.Even(min(max(d.Start, properties.Low), properties.High)), Melt: w.Ask.melt(), Tolerance: 0.005}
	if w.Ask.PowerKW.Given() {
		c.Heater = &heat.Heater{PowerW: 1000 * w.Ask.PowerKW.Float(), LossWK: usualLossWK, Outside: air, Bodies: len(w.Drums)}
	}
	target := heat.Target{Mean: w.Ask.Fill}
	if c.Melt != nil {
		target = heat.Fillable(w.Ask.Fill)
	}
	w.Plan = heat.Plan{Case: c, Target: target, DeadlineH: w.Ask.By.Add(-w.Ask.Rest).Sub(w.From).Hours(), Low: lowestSet, High: w.Ask.Most, StepH: 0.5,
		Changes: w.Ask.Settings, Doubt: doubt}
	return v.goesOn(w, a, nodes[worst])
}

func (ask *WarmAsk) melt() *heat.Melt {
	if ask.Clear {
		return nil
	}
	return heat.MeltOf(ask.Grain, float64(ask.Crystals)/100)
}

// roomAir is the room's air with its heater off.
func (v *View) roomAir(w *Warming) quantity.Celsius {
	return barnStore.At(dayOfYear(minuteOf(w.Ask.At)))
}

// goesOn takes up honey that stands in the warm already where its room's own record
// leaves it, cell by cell, power cuts and all.
func (v *View) goesOn(w *Warming, a *assayer, n trace.Node) error {
	if w.Ask.Start.Given() {
		return nil
	}
	x, err := a.at(n, minuteOf(w.Ask.At))
	if err != nil || len(x.heat) == 0 {
		return err
	}
	last := x.heat[len(x.heat)-1]
	place := a.book.place(last.place)
	long := hour(minuteOf(w.From)) - hour(last.from)
	if !place.heated() || long < 0.5 || long > 500 || last.how == courseRead && place.jumpy(last) {
		return nil
	}
	air, _, _ := place.air(last.from, minuteOf(w.From))
	if off := w.Ask.Off; off.To.After(off.From) {
		air = cutOut(air, hour(minuteOf(off.From)), hour(minuteOf(off.To)), off.C)
	}
	c := w.Plan.Case
	start := last.course.Points[0].C
	c.Start = heat.Even(min(max(start, c.Honey.Low), c.Honey.High))
	c.Faces = heat.All(place.film(), program(air))
	c.Heater, c.ReportH = nil, []float64{long}
	r, err := heat.Run(c)
	if err != nil {
		return nil // the record is out of the model's range: from the mean, then
	}
	w.Plan.Case.Start = heat.Start{Field: r.End}
	w.Again = true
	for i := range w.Drums {
		w.Drums[i].Start = r.Rows[0].Mean
	}
	return nil
}

// jumpy reports whether the honey itself was read in a stay: then its mean is better
// known than the room's air.
func (p *placeWarmth) jumpy(s stay) bool { return s.read > 0 && len(p.all) == 0 }

// cutOut puts a power cut into a room's air.
func cutOut(air []assay.Point, from, to float64, c quantity.Celsius) (all []assay.Point) {
	before := assay.Course{Points: air}.To(from).Points
	after := assay.Course{Points: air}.From(to).Points
	all = append(all, before...)
	all = append(all, assay.Point{Hour: from, C: c}, assay.Point{Hour: to, C: c})
	return append(all, after...)
}

// schedule finds the set points, or how late it gets.
func (w *Warming) schedule(gain float64) error {
	s, err := heat.Best(w.Plan)
	if much := (*heat.TooMuchError)(nil); errors.As(err, &much) {
		w.TooMuch, s, err = true, much.Gentle, nil
	}
	if errors.As(err, &w.TooLate) {
		return w.late(gain)
	}
	if err != nil {
		return warmRefusal("warm.cannot", answer.Args{"detail": err.Error()})
	}
	w.Schedule, w.Simple = s, time.Time{}
	for _, c := range []quantity.Celsius{min(w.SimpleC, w.Ask.Most), w.Ask.Most} {
		if h, err := heat.LatestStart(w.Plan, c); err == nil && w.Simple.IsZero() {
			w.Simple, w.SimpleC = w.at(h), c
		}
	}
	w.energy(gain)
	return nil
}

// late is what comes of the highest set point from now on. Where likely honey is ready
// by the deadline all the same, that is the plan, and the answer says what may go wrong.
func (w *Warming) late(gain float64) error {
	c := w.Plan.Case
	for _, f := range []*heat.Face{&c.Faces.Side, &c.Faces.Bottom, &c.Faces.Top} {
		f.Ambient = heat.Steady(w.Ask.Most)
	}
	deadline := max(w.Plan.DeadlineH, 0.5)
	c.ReportH, c.Watch = append(hoursTo(deadline), deadline+lookOn), []heat.Target{w.Plan.Target}
	var err error
	if w.Late, err = heat.Forecast(c, w.Plan.Doubt); err != nil {
		return warmRefusal("warm.cannot", answer.Args{"detail": err.Error()})
	}
	if likely := w.Ready(w.Late.Likely); likely.IsZero() || likely.After(w.Deadline()) {
		return nil
	}
	w.Schedule = heat.Schedule{Set: []heat.Setpoint{{C: w.Ask.Most}}, Slow: cutRows(w.Late.Slow), Likely: cutRows(w.Late.Likely), Fast: cutRows(w.Late.Fast)}
	w.Risky = true
	w.energy(gain)
	return nil
}

const lookOn = 240.0 // hours after the deadline

// hoursTo are hours to report at, some fifty, and the deadline.
func hoursTo(deadline float64) (all []float64) {
	every := math.Ceil(deadline / 50)
	for h := every; h < deadline-0.01; h += every {
		all = append(all, h)
	}
	return append(all, deadline)
}

// cutRows leaves out the look beyond the deadline.
func cutRows(r heat.Result) heat.Result {
	r.Rows = r.Rows[:len(r.Rows)-1]
	return r
}

func (w *Warming) at(hours float64) time.Time {
	return w.From.Add(time.Duration(hours * float64(time.Hour)))
}

// planned reports whether there is anything to set.
func (w *Warming) planned() bool { return w.TooLate == nil || w.Risky }

// Ready is when the honey is fillable at one point of the doubt; zero: not by the
// deadline.
func (w *Warming) Ready(r heat.Result) time.Time {
	if len(r.MetH) == 0 || math.IsNaN(r.MetH[0]) {
		return time.Time{}
	}
	return w.at(r.MetH[0])
}

// energy is what the honey takes up, and what that takes from the socket.
func (w *Warming) energy(gain float64) {
	rows := w.Schedule.Likely.Rows
	last := rows[len(rows)-1]
	w.HoneyKWh = 0
	heaviest := w.Plan.Case.Body.VolumeM3(1) // m³
	for _, d := range w.Drums {
		share := float64(d.Content.Grams) / 1000 / w.Plan.Case.Honey.DensityKgM3 / heaviest
		w.HoneyKWh += float64(last.StoredKJ) / 3600 * share
	}
	if w.Plan.Case.Heater != nil {
		w.AllKWh, w.KnownKWh = last.HeaterKWh, true
		return
	}
	w.AllKWh = w.HoneyKWh / min(max(gain, 0.05), 1)
}

// warmHarm is what the plan does to each content, and how it keeps afterwards.
func (v *View) warmHarm(w *Warming, a *assayer, nodes []trace.Node) error {
	if !w.planned() {
		return nil
	}
	course := w.course()
	for i, n := range nodes {
		d := &w.Drums[i]
		keep := w.Ask.Keep
		keep.At = w.Ask.At
		x, err := a.at(n, minuteOf(w.Ask.At))
		if err != nil {
			return err
		}
		after, err := a.house.Pass(x.content, course)
		if err != nil {
			return err
		}
		fresh, err := a.house.Pass(a.house.Unread(honeyType(d.Type), ""), course)
		if err != nil {
			return err
		}
		d.Added, d.Kept, d.Harm = fresh.Added(assay.HMF), fresh.Added(assay.Diastase), true
		if d.Before, err = a.keepFrom(n, x, x.content, keep); err != nil {
			return err
		}
		if d.After, err = a.keepFrom(n, x, after, keep); err != nil {
			return err
		}
	}
	return nil
}

// course is the plan as the assay takes it: temperatures at which honey all through
// would make as much HMF, midway between the slow and the fast end.
func (w *Warming) course() assay.Course {
	from := hour(minuteOf(w.From))
	p := path{everHeated: true}
	both := [2][]assay.Point{evenPoints(from, w.Schedule.Slow.Rows), evenPoints(from, w.Schedule.Fast.Rows)}
	p.take(both)
	return assay.Course{Key: "plan", SD: math.Hypot(courseSD[courseRead], p.schools()), Points: p.points}
}

// evenPoints are a run's rows as points at which the HMF is that of the mean over all
// cells, and last the mean temperature.
func evenPoints(from float64, rows []heat.Row) []assay.Point {
	points := make([]assay.Point, 0, 2*len(rows))
	at, had := 0.0, quantity.MgKg(0)
	for _, row := range rows {
		if row.Hour > at {
			t := evenAt(float64(row.HMFMean-had)/((row.Hour-at)/24), row.Mean)
			points = append(points, assay.Point{Hour: from + at, C: t}, assay.Point{Hour: from + row.Hour, C: t})
		}
		at, had = row.Hour, row.HMFMean
	}
	return append(points, assay.Point{Hour: from + at, C: rows[len(rows)-1].Mean})
}
