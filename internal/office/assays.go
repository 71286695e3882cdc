package office

import (
	"cmp"
	"slices"
	"strings"

	"combline/internal/assay"
	"combline/internal/honey"
	"combline/internal/house"
	"combline/internal/quantity"
	"combline/internal/record"
	"combline/internal/trace"
)

// An assayer reckons what heat made of contents: from their readings, along the
// temperatures written down, through what they were blended of. One goroutine at a
// time.
type assayer struct {
	v     *View
	house *assay.House
	book  *warmthBook
	done  map[stateAt]*assayed

	instead map[trace.Node][]Held // temperatures in the place of those written down
}

type stateAt struct {
	node   trace.Node
	minute int64
}

// An assayed is a content as it was at a minute, with what that rests on.
type assayed struct {
	content *assay.Content
	stays   []stay        // since the last reading, or since the content was made
	read    []Rested      // the last readings, one a marker
	heat    []stay        // all of its own stays
	odd     []record.Code // contents whose reading does not fit their temperatures
}

// assayer is one with what the house has learned, see [View.Rates].
func (v *View) assayer() *assayer {
	return &assayer{v: v, house: assay.New(v.learned()...), book: newWarmthBook(v), done: map[stateAt]*assayed{}}
}

// mostSteps is how far back a blend is followed.
const mostSteps = 40

// at is a content at a minute.
func (a *assayer) at(n trace.Node, minute int64) (*assayed, error) { return a.reach(n, minute, 0) }

func (a *assayer) reach(n trace.Node, minute int64, depth int) (*assayed, error) {
	key := stateAt{n, minute}
	if source(a.v.State.NodeKind(n)) {
		key.minute = 0 // what was read of a lot or delivery holds as it was drawn
	}
	if x := a.done[key]; x != nil {
		return x, nil
	}
	x, err := a.made(n, depth)
	if err == nil {
		err = a.live(x, n, key.minute)
	}
	if err != nil {
		return nil, err
	}
	a.done[key] = x
	return x, nil
}

// source reports whether honey came into the house at such a node.
func source(k house.NodeKind) bool { return k == house.LotNode || k == house.DeliveryNode }

// made is a content as it was made, of what it was made of.
func (a *assayer) made(n trace.Node, depth int) (*assayed, error) {
	s := a.v.State
	parents := a.parents(n)
	if len(parents) == 0 || depth > mostSteps {
		return &assayed{content: a.house.Unread(a.typeOf(n), string(s.NodeCode(n)))}, nil
	}
	x := &assayed{}
	var parts []assay.Part
	for _, p := range parents {
		y, err := a.reach(p.Node, s.MadeAt(n).Minute, depth+1)
		if err != nil {
			return nil, err
		}
		parts = append(parts, assay.Part{Mass: quantity.Kg(float64(p.Grams) / 1000), Content: y.content})
		x.read = append(x.read, y.read...)
		x.odd = append(x.odd, y.odd...)
		if len(parents) == 1 {
			x.stays = slices.Clone(y.stays)
		}
	}
	var err error
	x.content, err = a.house.Mix(parts)
	x.odd = unique(x.odd)
	return x, err
}

func unique(codes []record.Code) []record.Code {
	slices.Sort(codes)
	return slices.Compact(codes)
}

// parents are what a content was made of, with grams; of honey that runs in unweighed
// its lots.
func (a *assayer) parents(n trace.Node) (all []trace.Neighbour) {
	if source(a.v.State.NodeKind(n)) {
		return nil
	}
	for _, p := range a.v.State.Graph().Next(n, trace.Back) {
		if k := a.v.State.NodeKind(p.Node); p.Share && p.Grams > 0 && k != house.MaterialNode && k != house.SiteNode {
			all = append(all, p)
		}
	}
	if len(all) == 0 {
		for _, lot := range a.v.State.Graph().Feeds(n) {
			all = append(all, trace.Neighbour{Node: lot, Grams: 1000, Share: true})
		}
	}
	return all
}

// typeOf is the honey type of a source, as the house calls it.
func (a *assayer) typeOf(n trace.Node) string {
	if parts := a.v.State.Graph().Parts(n); len(parts) == 1 {
		return honeyType(a.v.State.OriginOf(parts[0].Origin).Honey)
	}
	return ""
}

func honeyType(name string) string { return strings.ToLower(strings.TrimSpace(name)) }

// live takes a content from when it was made to a minute: its stays and, each at its
// time, its readings.
func (a *assayer) live(x *assayed, n trace.Node, to int64) error {
	at := a.v.State.MadeAt(n).Minute
	var stays []stay
	if !source(a.v.State.NodeKind(n)) {
		stays = instead(a.book.stays(n, at, to), a.instead[n])
		x.heat = stays
	} else {
		to = forever
	}
	for _, r := range a.readingsOf(n) {
		if r.minute > to {
			break
		}
		if err := a.pass(x, stays, at, max(at, r.minute)); err != nil {
			return err
		}
		at = max(at, r.minute)
		if err := a.read(x, n, r); err != nil {
			return err
		}
		x.stays = nil
	}
	return a.pass(x, stays, at, to)
}

// instead puts other temperatures in the place of those of the stays.
func instead(stays []stay, held []Held) []stay {
	for _, h := range held {
		from, to := minuteOf(h.From), minuteOf(h.To)
		var all []stay
		for _, s := range stays {
			for _, part := range [3][2]int64{{s.from, min(s.to, from)}, {max(s.from, from), min(s.to, to)}, {max(s.from, to), s.to}} {
				if part[0] >= part[1] {
					continue
				}
				x := s
				x.from, x.to = part[0], part[1]
				x.course = s.course.From(hour(x.from)).To(hour(x.to))
				if x.from >= from && x.to <= to {
					x.course = assay.Course{Key: "said", SD: 1, Points: []assay.Point{{Hour: hour(x.from), C: h.C}, {Hour: hour(x.to), C: h.C}}}
					x.how, x.read = courseSaid, 0
				}
				all = append(all, x)
			}
		}
		stays = all
	}
	return stays
}

const forever = int64(1) << 40

// pass lets the content stand through the parts of its stays between two minutes.
func (a *assayer) pass(x *assayed, stays []stay, from, to int64) (err error) {
	for _, s := range stays {
		s.from, s.to = max(s.from, from), min(s.to, to)
		if s.from >= s.to {
			continue
		}
		s.course = s.course.From(hour(s.from)).To(hour(s.to))
		if x.content, err = a.house.Pass(x.content, s.course); err != nil {
			return err
		}
		x.stays = append(x.stays, s)
	}
	return nil
}

// A drawn is a reading at the time at which its sample was drawn.
type drawn struct {
	house.Reading
	minute int64
}

// readingsOf are the readings of a content by the time at which they were drawn: as the
// sheet says, else as the sample was drawn, else as it was sent, else as it was read.
func (a *assayer) readingsOf(n trace.Node) (all []drawn) {
	for _, r := range a.v.State.ReadingsOf(n) {
		all = append(all, drawn{r, a.drawnAt(r)})
	}
	slices.SortStableFunc(all, func(x, y drawn) int { return cmp.Compare(x.minute, y.minute) })
	return all
}

const noon = 12 * 60

func (a *assayer) drawnAt(r house.Reading) int64 {
	if r.Fact.Drawn != 0 {
		return min(int64(r.Fact.Drawn)*minutesADay-int64(r.When.Offset)+noon, r.When.Minute)
	}
	if t, ok := a.v.State.Find(r.Fact.Sample); ok && r.Fact.Sample != "" {
		if roots := a.v.State.RootsOf(a.v.State.Code(t)); len(roots) == 1 {
			return min(a.v.State.MadeAt(roots[0]).Minute, r.When.Minute)
		}
	}
	return r.When.Minute
}

// markerOf are the properties that heat changes.
var markerOf = map[record.Property]assay.Marker{record.HMF: assay.HMF, record.Diastase: assay.Diastase, record.Invertase: assay.Invertase}

// read takes in one sheet.
func (a *assayer) read(x *assayed, n trace.Node, d drawn) error {
	for _, r := range d.Fact.Results {
		if r.Property == record.Yeast && r.Value.Given() && r.Bound != record.Above {
			x.content = x.content.Count(quantity.YeastPerG(r.Value.Float()))
			continue
		}
		m, ok := markerOf[r.Property]
		reading, usable := readingOf(r, d.Fact)
		if !ok || !usable || reading.Check(m) != nil {
			continue
		}
		content, odd, err := a.house.Read(x.content, m, reading)
		if err != nil {
			return err
		}
		x.content = content
		code := a.v.State.NodeCode(n)
		if odd {
			x.odd = unique(append(x.odd, code))
		}
		x.read = slices.DeleteFunc(x.read, func(s Rested) bool { return s.Marker == m })
		x.read = append(x.read, Rested{m, code, r.Value, d.When, d.Seq})
	}
	return nil
}

// readingOf is a result as an assay takes it. "Above" says only that it is high: it is
// no reading.
func readingOf(r record.Result, f record.ResultRead) (assay.Reading, bool) {
	if !r.Value.Given() || r.Bound == record.Above {
		return assay.Reading{}, false
	}
	x := assay.Reading{Value: r.Value.Float(), Lab: cmp.Or(f.Lab, string(f.Instrument), "house"), Below: r.Bound == record.Below}
	switch {
	case r.PlusMinus.Given() && r.PlusMinus.Unit == quantity.Pct && r.Value.Unit != quantity.Pct:
		x.SD = x.Value * r.PlusMinus.Float() / 200
	case r.PlusMinus.Given():
		x.SD = r.PlusMinus.Float() / 2
	}
	return x, true
}

// learned are the factors that the house has learned; they stay until something is read,
// moved or corrected.
func (v *View) learned() []*assay.Factor {
	return keptWhile(v, "rates", v.State.WarmthMark(), v.learn)
}

// learn works out the rate factors of the house's honey types from its own repeated
// readings.
func (v *View) learn() (all []*assay.Factor) {
	a := &assayer{v: v, house: assay.New(), book: newWarmthBook(v), done: map[stateAt]*assayed{}}
	for _, m := range assay.Markers() {
		families := a.families(m)
		var types []string
		for _, f := range families {
			types = append(types, f.Type)
		}
		slices.Sort(types)
		for _, t := range slices.Compact(types) {
			if t != "" {
				all = append(all, assay.Learn(m, t, families))
			}
		}
	}
	return all
}

// families are the readings of one honey each: of a lot or delivery, and of what was
// drawn of it alone.
func (a *assayer) families(m assay.Marker) (all []assay.Family) {
	seen := map[trace.Node][]assay.Seen{}
	var roots []trace.Node
	for _, r := range a.v.State.Read() {
		reading, ok := readingFor(m, r.Fact)
		if !ok || reading.Check(m) != nil {
			continue
		}
		root, courses, ok := a.since(r.Node, a.drawnAt(r))
		if !ok {
			continue
		}
		if seen[root] == nil {
			roots = append(roots, root)
		}
		seen[root] = append(seen[root], assay.Seen{Reading: reading, Courses: courses})
	}
	for _, root := range roots {
		if len(seen[root]) > 1 {
			all = append(all, assay.Family{Type: a.typeOf(root), Name: string(a.v.State.NodeCode(root)), Seen: seen[root]})
		}
	}
	return all
}

func readingFor(m assay.Marker, f record.ResultRead) (assay.Reading, bool) {
	for _, r := range f.Results {
		if k, ok := markerOf[r.Property]; ok && k == m {
			return readingOf(r, f)
		}
	}
	return assay.Reading{}, false
}

// since follows a content back to the one source that all of it came from, with its
// temperatures from there up to a minute.
func (a *assayer) since(n trace.Node, minute int64) (root trace.Node, courses []assay.Course, ok bool) {
	for range mostSteps {
		if source(a.v.State.NodeKind(n)) {
			return n, courses, true
		}
		from := a.v.State.MadeAt(n).Minute
		var here []assay.Course
		for _, s := range a.book.stays(n, from, minute) {
			here = append(here, s.course)
		}
		courses = append(here, courses...)
		parents := a.parents(n)
		if len(parents) != 1 {
			return 0, nil, false
		}
		n, minute = parents[0].Node, from
	}
	return 0, nil, false
}

// A Rate is what the house has learned of a honey type's rate factor at 20 °C.
type Rate struct {
	Type     string
	Marker   assay.Marker
	Factor   honey.Band[float64]
	Readings int
	Odd      []string
}

// Rates lists the rate factors of the house's honey types, the published one where
// nothing was read again.
func (v *View) Rates() (all []Rate) {
	for _, f := range v.learned() {
		all = append(all, Rate{f.Type, f.Marker, f.At(20), f.Readings, f.Odd})
	}
	return all
}
