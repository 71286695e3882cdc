package office

import (
	"cmp"
	"math"
	"slices"
	"time"

	"combline/internal/assay"
	"combline/internal/house"
	"combline/internal/quantity"
	"combline/internal/record"
	"combline/internal/trace"
)

// A warmthBook puts together the temperatures that contents had: of the places where
// they stood, as they were read, logged or set, and of the honey itself.
type warmthBook struct {
	v      *View
	places map[record.Code]*placeWarmth
	ran    map[string][2][]assay.Point // what package heat made of a body in some air
}

type placeWarmth struct {
	kind  record.PlaceKind
	set   quantity.Figure
	known bool
	all   []house.Warmth
}

// A stay is a stretch of a content's time at one place, with the temperatures that its
// honey had, as far as they are known, and how they are known.
type stay struct {
	place    record.Code // empty: nobody wrote down where it stood
	from, to int64       // minutes
	course   assay.Course
	how      courseHow
	read     int // temperatures that it rests on
}

// A courseHow is how the temperatures of a stay are known, the best first.
type courseHow uint8

const (
	courseRead courseHow = iota + 1 // the honey itself, or the room all through
	courseSet                       // what a person set; nobody read it
	courseOld                       // read long before or after
	courseNone                      // assumed
	courseSaid                      // as whoever asked said
)

func (h courseHow) key() string {
	return "course." + [...]string{"", "read", "set", "old", "assumed", "said"}[h]
}

// one standard uncertainty of a stay's temperatures, K (assumptions): a thermometer and
// where it hung; a thermostat that nobody checked; a store that nobody read.
var courseSD = [...]float64{0, 1, 3, 2.5, 3.5, 1}

// What is assumed of a place that nobody read (common practice, no source): an unheated
// barn over the year, a cold store, a room that is heated for honey.
var (
	barnStore   = assay.Store{Mean: 14, Swing: 7}
	coldStore   = assay.Store{Mean: 12, Swing: 2}
	heatedRoomC = quantity.Celsius(40)
)

// contradicted is the share of what the honey's own temperature says against that of
// its room that stays in doubt: nobody saw when it began (assumption).
const contradicted = 0.2

const (
	trustedMinutes = 21 * 24 * 60 // a reading speaks for a place this long before and after
	fanFilm        = 15.0         // W/(m²·K), air moved by a fan
	stillFilm      = 8.0
	waterFilm      = 200.0
	jacketLag      = 10.0    // h, a jacket and a stirrer (common practice, no source)
	firstDay       = 24 * 60 // a drum that is put away on the day it was filled stood there all day
)

func newWarmthBook(v *View) *warmthBook {
	return &warmthBook{v: v, places: map[record.Code]*placeWarmth{}, ran: map[string][2][]assay.Point{}}
}

func (b *warmthBook) place(code record.Code) *placeWarmth {
	if p := b.places[code]; p != nil {
		return p
	}
	p := &placeWarmth{}
	if t, ok := b.v.State.Find(code); ok && code != "" {
		p.known = true
		p.all = b.v.State.WarmthOf(t)
		if f, ok := b.v.State.Named(t).(*record.PlaceNamed); ok {
			p.kind, p.set = f.For, f.SetTemp
		}
	}
	b.places[code] = p
	return p
}

func (p *placeWarmth) heated() bool {
	return p.kind == record.WarmingRoom || p.kind == record.Bath || p.kind == record.HotRoom
}

func (p *placeWarmth) film() float64 {
	switch p.kind {
	case record.Bath:
		return waterFilm
	case record.WarmingRoom, record.HotRoom:
		return fanFilm
	}
	return stillFilm
}

// stays are a content's temperatures from one minute to another, place by place.
func (b *warmthBook) stays(n trace.Node, from, to int64) (all []stay) {
	if to <= from {
		return nil
	}
	c := b.v.State.Content(n)
	code := cmp.Or(c.Vessel, c.Code)
	own := b.own(c)
	start := quantity.Celsius(math.NaN())
	for _, s := range b.standings(code, from, to) {
		s.course.Key = "place:" + string(s.place)
		start = b.warm(&s, c, own, start)
		all = append(all, s)
	}
	return all
}

// standings are where a thing stood between two minutes.
func (b *warmthBook) standings(code record.Code, from, to int64) (all []stay) {
	at := stay{from: from, to: to}
	for _, s := range b.v.State.StaysOf(code) {
		switch {
		case s.Minute <= from || at.place == "" && s.Minute-from <= firstDay:
			at.place = s.Place
		case s.Minute < to:
			at.to = s.Minute
			all = append(all, at)
			at = stay{place: s.Place, from: s.Minute, to: to}
		}
	}
	return append(all, at)
}

// own are the temperatures of the honey itself and of its own jacket.
func (b *warmthBook) own(c house.Content) (all []house.Warmth) {
	for _, code := range []record.Code{c.Vessel, c.Code} {
		if t, ok := b.v.State.Find(code); ok && code != "" {
			all = append(all, b.v.State.WarmthOf(t)...)
		}
	}
	slices.SortStableFunc(all, func(x, y house.Warmth) int { return cmp.Compare(x.Minute, y.Minute) })
	return slices.CompactFunc(all, func(x, y house.Warmth) bool { return x.Seq == y.Seq })
}

func hour(minute int64) float64 { return float64(minute) / 60 }

func celsius(f quantity.Figure) quantity.Celsius {
	c, err := f.Celsius()
	if err != nil {
		return quantity.Celsius(math.NaN())
	}
	return min(max(c, -40), 95)
}

// warm works out a stay's honey temperatures: it follows the air, and where the honey
// itself was read the air must have been such that it came to that. It returns what the
// honey had at the end.
func (b *warmthBook) warm(s *stay, c house.Content, own []house.Warmth, start quantity.Celsius) quantity.Celsius {
	place := b.place(s.place)
	var air []assay.Point
	air, s.how, s.read = place.air(s.from, s.to)
	body := b.body(c, place)
	if set := jacket(own, s.from, s.to); len(set) > 0 {
		air, s.how, s.read = over(air, set, s.to), courseSet, len(set)
		body.heated, body.lag = false, min(body.lag, jacketLag)
	}
	if math.IsNaN(float64(start)) {
		start = air[0].C
		if place.heated() { // it came from somewhere cooler
			start = min(start, barnStore.At(dayOfYear(s.from)))
		}
	}
	p := pathFrom(hour(s.from), start)
	at := s.from
	for _, w := range own {
		if w.How != house.HoneyRead && w.How != house.Logged || w.Minute < s.from || w.Minute > s.to {
			continue
		}
		s.read++
		b.reach(&p, body, between(air, at, w.Minute), celsius(w.Temp))
		at, s.how = w.Minute, courseRead
	}
	if at < s.to {
		b.follow(&p, body, between(shifted(air, p.warmer), at, s.to))
	}
	s.course.Points = p.points
	s.course.SD = math.Hypot(math.Hypot(courseSD[s.how], contradicted*math.Abs(p.warmer)), p.schools())
	return p.end()
}

// jacket are what a vessel's own heat was set to.
func jacket(own []house.Warmth, from, to int64) (set []house.Warmth) {
	for _, w := range own {
		if w.How == house.HeatWasSet && w.Minute < to {
			if w.Minute <= from {
				set = set[:0]
			}
			set = append(set, w)
		}
	}
	if len(set) > 0 && set[0].Minute < from {
		set[0].Minute = from
	}
	return set
}

// over puts what was set over the air from then on.
func over(air []assay.Point, set []house.Warmth, to int64) (all []assay.Point) {
	for _, p := range air {
		if p.Hour < hour(set[0].Minute) {
			all = append(all, p)
		}
	}
	for i, w := range set {
		until := to
		if i+1 < len(set) {
			until = set[i+1].Minute
		}
		c := celsius(w.Temp)
		all = append(all, assay.Point{Hour: hour(w.Minute), C: c}, assay.Point{Hour: hour(until), C: c})
	}
	return all
}

// between is the air from one minute to another.
func between(air []assay.Point, from, to int64) []assay.Point {
	c := assay.Course{Points: air}.From(hour(from)).To(hour(to))
	if len(c.Points) > 0 {
		return c.Points
	}
	last := air[len(air)-1].C
	return []assay.Point{{Hour: hour(from), C: last}, {Hour: hour(to), C: last}}
}

// shifted is the air, so much warmer; no room of a honey house is hotter than 95 °C or
// colder than −30.
func shifted(air []assay.Point, warmer float64) []assay.Point {
	all := slices.Clone(air)
	for i := range all {
		all[i].C = min(max(all[i].C+quantity.Celsius(warmer), -30), 95)
	}
	return all
}

// air is what a place's air did between two minutes: straight lines between readings,
// jumps where it was set, and the usual of such a place where nobody looked for weeks.
func (p *placeWarmth) air(from, to int64) (air []assay.Point, how courseHow, read int) {
	how = courseNone
	knots := p.knots(from, to)
	for _, k := range knots {
		if k.how != 0 && k.how < how {
			how = k.how
		}
		if k.how != 0 && k.minute >= from && k.minute <= to {
			read++
		}
	}
	for i, k := range knots {
		if i > 0 && k.jump && k.minute > knots[i-1].minute {
			air = append(air, assay.Point{Hour: hour(k.minute), C: knots[i-1].c})
		}
		air = append(air, assay.Point{Hour: hour(k.minute), C: k.c})
	}
	air = assay.Course{Points: air}.From(hour(from)).To(hour(to)).Points
	if how == courseRead && p.longest(from, to) > 2*trustedMinutes {
		how = courseOld
	}
	return air, how, read
}

// A knot is a temperature of a place's air at a minute; how 0 is assumed.
type knot struct {
	minute int64
	c      quantity.Celsius
	how    courseHow
	jump   bool // the air had the last knot's temperature until then
}

// knots are a place's temperatures that bear on a stretch, in order; at least one
// before or at its start and one at or after its end.
func (p *placeWarmth) knots(from, to int64) (all []knot) {
	all = append(all, p.assumed(from))
	for _, w := range p.all {
		k := knot{minute: w.Minute, c: celsius(w.Temp), how: courseRead}
		if w.How == house.HeatWasSet {
			k.how, k.jump = courseSet, true
		}
		switch {
		case w.Minute <= from && (k.how == courseSet || from-w.Minute <= trustedMinutes):
			k.minute, k.jump = from, false // it holds until something else is known
			all = []knot{k}
		case w.Minute > from && w.Minute-to <= trustedMinutes:
			all = p.bridge(all, k, to)
		}
	}
	last := all[len(all)-1]
	if last.minute < to {
		all = p.bridge(all, knot{minute: to, c: last.c, how: last.how}, to)
	}
	return all
}

// bridge adds a knot. Where nothing was known for long, the usual of such a place
// stands between; what was set stays set until something else is known.
func (p *placeWarmth) bridge(all []knot, k knot, to int64) []knot {
	last := all[len(all)-1]
	held := last.how == courseSet && p.heated()
	if k.minute-last.minute > 2*trustedMinutes && !held {
		first := last.minute
		if last.how != 0 {
			first += trustedMinutes
			all = append(all, knot{minute: first, c: last.c})
		}
		end := k.minute
		if k.how != 0 && k.minute < to {
			end -= trustedMinutes
		}
		for m := first; m < end; m += 10 * 24 * 60 {
			all = append(all, p.assumed(m))
		}
		all = append(all, p.assumed(end))
		if k.minute >= to { // nothing is known at the end
			return all
		}
	}
	return append(all, k)
}

// longest is the longest time between two readings of a stretch.
func (p *placeWarmth) longest(from, to int64) (most int64) {
	at := from
	for _, w := range p.all {
		if w.Minute > from && w.Minute < to {
			most, at = max(most, w.Minute-at), w.Minute
		}
	}
	return max(most, to-at)
}

// assumed is the usual of such a place at a minute.
func (p *placeWarmth) assumed(minute int64) knot {
	c := barnStore.At(dayOfYear(minute))
	switch {
	case p.kind == record.ColdStore:
		c = coldStore.At(dayOfYear(minute))
	case p.heated() && p.set.Given():
		c = celsius(p.set)
	case p.heated():
		c = heatedRoomC
	}
	return knot{minute: minute, c: c}
}

func dayOfYear(minute int64) float64 {
	return float64(time.Unix(minute*60, 0).UTC().YearDay())
}
