package office

import (
	"context"
	"slices"
	"time"

	"combline/internal/answer"
	"combline/internal/goods"
	"combline/internal/house"
	"combline/internal/plan"
	"combline/internal/quantity"
	"combline/internal/record"
)

// A DayPlan is the packing of the days to come, as it was worked out from what was known
// at a time: with which honey, warmed from when, on which line and when.
type DayPlan struct {
	At                  time.Time
	Facts               uint64
	Ifs                 []If
	Orders              []*PlanOrder // lines of open orders that are still to be packed, the first due first
	Beyond              int          // lines of orders due later than those that the plan looks at
	Refused             []RefusedMix
	Stuff               Materials
	Clock               planClock
	Problem             plan.Problem
	Plan                plan.Plan
	Solved              bool    // blends were looked for
	Proven              bool    // the search for a better plan has said how far this one may be from the best
	GapWhole, GapChoice float64 // of all that it costs, and of what a plan can change
	Moved               int     // against the plan that was agreed to
	Agreed              record.When
	names               []resource
	stocks              []record.Code // of each stock of the problem
	v                   *View
}

// A resource is what a number in the problem stands for.
type resource struct {
	code record.Code
	kind plan.Kind
}

// A PlanOrder is one line of an open order with how it is to be packed.
type PlanOrder struct {
	Cover    Cover
	Product  goods.Product
	Units    int64      // to pack
	Pack     record.Day // the day for it, where nothing is in its way
	Line     record.Code
	PerHour  float64
	Soon     bool // as soon as it can be, however late
	Soft     bool
	Uses     []BlendUse
	Seed     house.Content
	SeedG    quantity.Gram
	Mass     quantity.Gram // of the honey, with the seed
	Fill     int64         // units that the honey makes
	TargetG  float64       // to set the filler to; 0: not known
	Tanks    []record.Code // that hold it already
	Run      record.Code   // that packs it already
	Bulk     bool          // drums as they are
	Room     record.Code
	SetC     quantity.Celsius
	WarmH    float64       // until it can be tipped, from when it goes in or from now
	SlowH    float64       // the same for slow honey
	InRoom   []record.Code // stand in the warm already
	Why      []answer.Line // why it can't be packed as wanted
	Notes    []answer.Line
	Job      int  // in the problem; −1: none
	Later    bool // beyond what the plan looks at
	Steps    []PlanStep
	Late     int64      // days
	Earliest record.Day // where it is late or not in the plan: the first day on which it could be ready
}

// A PlanStep is one step of an order's packing in the plan.
type PlanStep struct {
	Kind     string // warm, tip, cool, seed, hold, rewarm, run, clean
	From, To time.Time
	On       []record.Code
}

// A RefusedMix is a mix that stands ready, or that lies at hand, and may not be.
type RefusedMix struct {
	Order, Product record.Code
	Contents       []record.Code
	Grams          quantity.Gram
	Why            []answer.Line
	Where          string // tank or room
	Tanks          []record.Code
}

// PlanDays works out the packing of the days to come from what a view knows. Blends are
// looked for with the office's solver; without one, only what stands ready is planned.
func (o *Office) PlanDays(ctx context.Context, v *View, at time.Time, ifs []If) (*DayPlan, error) {
	v, ifs, err := v.supposing(ifs, at)
	if err != nil {
		return nil, err
	}
	v = v.remembering()
	d := &DayPlan{At: at, Facts: v.Facts(), Ifs: ifs, v: v, Clock: planClock{at.Truncate(halfHour)}}
	if d.Clock.from.Before(at) {
		d.Clock.from = d.Clock.from.Add(halfHour)
	}
	v.toPack(d)
	if err := o.planHoney(ctx, d); err != nil {
		return nil, err
	}
	for _, x := range d.Orders {
		v.warmFor(d, x)
	}
	d.build()
	if d.Plan, err = plan.Quick(&d.Problem, plan.QuickSteps/8); err != nil {
		return nil, err
	}
	d.read()
	d.Stuff = v.Materials(MaterialsAsk{Today: record.DayOf(at), Runs: d.runs()})
	return d, nil
}

// remembering is the view as one that keeps what was worked out from it: nothing is
// folded into it any more.
func (v *View) remembering() *View {
	if v.memo != nil {
		return v
	}
	return &View{State: v.State, line: v.line, log: v.log, memo: &memo{}}
}

// runs are the days on which orders are packed by the plan.
func (d *DayPlan) runs() (all []PlannedRun) {
	for _, x := range d.Orders {
		s, ok := x.Step("run")
		if !ok || slices.ContainsFunc(all, func(r PlannedRun) bool { return r.Order == x.Cover.Order.Code }) {
			continue
		}
		all = append(all, PlannedRun{Order: x.Cover.Order.Code, Day: record.DayOf(s.From)})
	}
	return all
}
