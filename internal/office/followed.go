package office

import (
	"fmt"
	"math"

	"combline/internal/assay"
	"combline/internal/heat"
	"combline/internal/honey"
	"combline/internal/house"
	"combline/internal/quantity"
	"combline/internal/record"
)

// A warmBody is what says how honey follows the warmth around it.
type warmBody struct {
	wide, high float64 // m, of the honey
	film       float64
	water      quantity.WaterPct
	lag        float64 // h, in a store
	heated     bool    // a room or bath for warming: cell by cell, by package heat
}

// body is a content's own, in a place.
func (b *warmthBook) body(c house.Content, place *placeWarmth) warmBody {
	mass := quantity.Kg(float64(max(c.Made, c.Grams)) / 1000)
	x := warmBody{film: place.film(), water: heat.AssumedWater, heated: place.heated() && mass >= 3}
	x.lag = assay.Drum{Mass: mass, Film: x.film}.Lag()
	if r, ok := b.v.reading(c.Node, record.Water); ok && r.Value.Given() {
		x.water = quantity.WaterPct(min(max(r.Value.Float(), 15), 21)) // where the models hold
	}
	x.wide, x.high = b.v.measures(c, float64(mass))
	return x
}

// measures are the diameter and filling height of a content's honey in its vessel, m; a
// cylinder half as high again as wide where the vessel's are not written down.
func (v *View) measures(c house.Content, kg float64) (wide, high float64) {
	const kgM3 = 1420.0
	volume := max(kg, 0.1) / kgM3
	wide = math.Cbrt(4 * volume / (1.5 * math.Pi))
	if t, ok := v.State.Find(c.Vessel); ok && c.Vessel != "" {
		if f, ok := v.State.Named(t).(*record.VesselNamed); ok && f.Diameter.Given() {
			if d := metres(f.Diameter); d > 0.05 && d < 5 {
				wide = d
			}
		}
	}
	return wide, 4 * volume / (math.Pi * wide * wide)
}

func metres(f quantity.Figure) float64 {
	switch f.Unit {
	case quantity.Centimetre:
		return f.Float() / 100
	case quantity.MM:
		return f.Float() / 1000
	case quantity.Inch:
		return f.Float() * 0.0254
	}
	return f.Float()
}

// A path is the temperatures that honey had, as they come from two ends: slow, by the
// lower conductivity and without currents, and fast, by the higher one with them. Its
// points are the middle of both: temperatures at which honey all through would have made
// as much HMF.
type path struct {
	points     []assay.Point
	now        [2]quantity.Celsius // the mean at the end, slow and fast
	heat       [2]float64          // HMF that each made, by the published law
	warmer     float64             // than its air was said to be, to come to what was read
	everHeated bool
}

func pathFrom(hour float64, start quantity.Celsius) path {
	return path{points: []assay.Point{{Hour: hour, C: start}}, now: [2]quantity.Celsius{start, start}}
}

func (p *path) end() quantity.Celsius { return (p.now[0] + p.now[1]) / 2 }

// schools is the standard uncertainty that the two ends leave, K: 9 in 10 between them.
func (p *path) schools() float64 {
	if !p.everHeated || !(p.heat[0] > 0 && p.heat[1] > 0) {
		return 0
	}
	perKelvin := honey.HMFLaw().Energy / honey.R / (318.15 * 318.15) // at 45 °C
	return math.Abs(math.Log(p.heat[1]/p.heat[0])) / 2 / honey.NineInTen / perKelvin
}

// follow goes on along some air.
func (b *warmthBook) follow(p *path, body warmBody, air []assay.Point) {
	if len(air) < 2 {
		return
	}
	if !body.heated {
		part := assay.Follow(air, p.end(), body.lag)
		p.points = append(p.points, part...)
		p.now = [2]quantity.Celsius{part[len(part)-1].C, part[len(part)-1].C}
		return
	}
	both, ok := b.both(body, air, p.now)
	if !ok { // beyond what the models hold for
		cool := body
		cool.heated = false
		b.follow(p, cool, air)
		return
	}
	p.take(both)
}

// take adds what package heat made, slow and fast.
func (p *path) take(both [2][]assay.Point) {
	p.everHeated = true
	for i, pts := range both {
		p.now[i] = pts[len(pts)-1].C
		p.heat[i] += float64(made(pts[:len(pts)-1]))
	}
	for i := range both[0][:len(both[0])-1] {
		p.points = append(p.points, assay.Point{Hour: both[0][i].Hour, C: (both[0][i].C + both[1][i].C) / 2})
	}
}

// made is the HMF that a course makes by the published law.
func made(points []assay.Point) (sum quantity.MgKg) {
	for i := 1; i < len(points); i++ {
		sum += quantity.MgKg(honey.HMFLaw().AtC((points[i-1].C+points[i].C)/2) * (points[i].Hour - points[i-1].Hour) / 24)
	}
	return sum
}

// reach goes along some air that must have been so much warmer or cooler that the honey
// came to what was read.
func (b *warmthBook) reach(p *path, body warmBody, air []assay.Point, read quantity.Celsius) {
	defer func() {
		p.points = append(p.points, assay.Point{Hour: air[len(air)-1].Hour, C: read})
		p.now = [2]quantity.Celsius{read, read}
	}()
	if len(air) < 2 || air[len(air)-1].Hour-air[0].Hour < 0.1 {
		return
	}
	hours := air[len(air)-1].Hour - air[0].Hour
	if !body.heated {
		part := assay.Follow(air, p.end(), body.lag)
		if warmer, ok := assay.AirFor(part[len(part)-1].C, read, hours, body.lag); ok {
			p.warmer = warmer
		}
		b.follow(p, body, shifted(air, p.warmer))
		return
	}
	if both, warmer, ok := b.bothTo(body, air, p.now, read); ok {
		p.warmer = warmer
		p.take(both)
		return
	}
	b.follow(p, body, air)
}

// both runs a body through some air by the slow and the fast end. Each is points at
// which the HMF is that of the mean over all cells, and last the mean temperature.
func (b *warmthBook) both(body warmBody, air []assay.Point, start [2]quantity.Celsius) (both [2][]assay.Point, ok bool) {
	key := fmt.Sprintf("%.2f %.2f %g %.1f %.0f %v", body.wide, body.high, body.film, float64(body.water), []float64{float64(start[0]), float64(start[1])}, air)
	if both, ok = b.ran[key]; ok {
		return both, both[0] != nil
	}
	for i := range both {
		pts, err := throughCells(body, air, start[i], i == 1)
		if err != nil {
			b.ran[key] = [2][]assay.Point{}
			return both, false
		}
		both[i] = pts
	}
	b.ran[key] = both
	return both, true
}

// bothTo is [warmthBook.both] in air that is so much warmer that the body ends at what
// was read, by the rule of false position on each end.
func (b *warmthBook) bothTo(body warmBody, air []assay.Point, start [2]quantity.Celsius, read quantity.Celsius) (both [2][]assay.Point, warmer float64, ok bool) {
	key := fmt.Sprintf("to %v %v %v %v", body, start, read, air)
	if both, ok = b.ran[key]; ok {
		return both, 0, both[0] != nil
	}
	for i := range both {
		off := func(w float64) float64 {
			pts, err := throughCells(body, shifted(air, w), start[i], i == 1)
			if err != nil {
				return math.NaN()
			}
			both[i] = pts
			return float64(pts[len(pts)-1].C - read)
		}
		w, low, high := 0.0, -60.0, 60.0
		x := off(w)
		for range 12 {
			if math.IsNaN(x) { // out of the models' range
				high = w
				w = (low + high) / 2
				x = off(w)
				continue
			}
			if math.Abs(x) < 0.2 {
				break
			}
			if x > 0 {
				high = w
			} else {
				low = w
			}
			next := w - x*1.1
			if !(low < next && next < high) {
				next = (low + high) / 2
			}
			w = next
			x = off(w)
		}
		if math.IsNaN(x) || math.Abs(x) > 3 {
			b.ran[key] = [2][]assay.Point{}
			return both, 0, false
		}
		warmer += w / 2
	}
	b.ran[key] = both
	return both, warmer, true
}

// throughCells runs a body through some air by one end.
func throughCells(body warmBody, air []assay.Point, start quantity.Celsius, fast bool) ([]assay.Point, error) {
	school, currents := heat.Additive, 0.0
	if fast {
		school, currents = heat.Classical, 1
	}
	properties, err := heat.House(body.water, school)
	if err != nil {
		return nil, err
	}
	from := air[0].Hour
	long := air[len(air)-1].Hour - from
	c := heat.Case{Body: heat.Drum(body.wide, body.high), Faces: heat.All(body.film, program(air)), Honey: properties, Convection: currents,
		Start: heat.Even(max(start, properties.Low)), ReportH: looks(long), Tolerance: 0.01}
	r, err := heat.Run(c)
	if err != nil {
		return nil, err
	}
	return evenPoints(from, r.Rows), nil
}

// evenAt is the temperature at which HMF forms at a rate a day; where next to nothing
// forms, the mean.
func evenAt(perDay float64, mean quantity.Celsius) quantity.Celsius {
	law := honey.HMFLaw()
	if !(perDay > 1e-6) {
		return mean
	}
	return quantity.Kelvin(1 / (1/323.15 - math.Log(perDay/law.At50)*honey.R/law.Energy)).Celsius()
}

// looks are the hours at which a run is looked at: closely while it warms.
func looks(long float64) (all []float64) {
	for h, step := 3.0, 3.0; h < long-0.05; h += step {
		all = append(all, h)
		switch {
		case h >= 240:
			step = 72
		case h >= 72:
			step = 12
		case h >= 24:
			step = 6
		}
	}
	return append(all, long)
}

// program is air as package heat takes it.
func program(air []assay.Point) (p heat.Program) {
	for i, x := range air {
		at := heat.Point{Hour: x.Hour - air[0].Hour, C: x.C}
		if n := len(p); n > 1 && p[n-1].Hour == at.Hour && p[n-2].Hour == at.Hour {
			p[n-1] = at // a second jump at one moment
			continue
		}
		if i > 0 && len(p) > 0 && p[len(p)-1] == at {
			continue
		}
		p = append(p, at)
	}
	return p
}
