package office

import (
	"fmt"
	"math"
	"slices"
	"time"

	"combline/internal/answer"
	"combline/internal/heat"
	"combline/internal/quantity"
	"combline/internal/record"
	"combline/internal/trace"
)

// warmFor works out how long an order's drums stand in the warm until they can be tipped:
// from when they go in, or from now where they stand there already. It is the house's
// usual time, plan.warm, yet never less than likely honey takes and never more than slow
// honey does; where slow honey takes longer, that is said.
func (v *View) warmFor(d *DayPlan, x *PlanOrder) {
	if len(x.Uses) == 0 || len(x.Tanks) > 0 || x.Run != "" || x.Bulk {
		return
	}
	var cold, warm []record.Code
	liquid := true
	for _, u := range x.Uses {
		liquid = liquid && u.Set == record.No
		if u.Warm {
			warm = append(warm, u.Content.Code)
		} else if u.Whole() {
			cold = append(cold, u.Content.Code)
		}
	}
	x.InRoom = warm
	x.SetC = celsius(v.State.Setting("warm.set", warmSet))
	for _, of := range [][]record.Code{cold, warm} {
		if len(of) == 0 {
			continue
		}
		w, why := v.warmHours(d, of, x.SetC, liquid, "")
		if why != nil {
			x.Why = append(x.Why, *why)
			return
		}
		x.Room = w.room
		usual := float64(v.span("plan.warm", planWarm)) / 2
		if len(warm) > 0 && slices.Equal(of, warm) {
			usual -= v.stood(d, warm)
		}
		x.WarmH = max(x.WarmH, min(w.slow, max(w.likely, usual)))
		x.SlowH = max(x.SlowH, w.slow)
	}
}

// stood is for how long all of some drums have stood where they are, in hours.
func (v *View) stood(d *DayPlan, of []record.Code) float64 {
	h := math.Inf(1)
	for _, code := range of {
		if c, ok := v.bulkOf(code); ok {
			h = min(h, d.At.Sub(c.Since.Time()).Hours())
		}
	}
	return h
}

// A warmTime is how long contents take in a room at a set point.
type warmTime struct {
	room         record.Code
	slow, likely float64
}

// warmHours is how long contents take at a set point from now, with a power cut that
// somebody supposes; the longest of them.
func (v *View) warmHours(d *DayPlan, of []record.Code, set quantity.Celsius, liquid bool, in record.Code) (warmTime, *answer.Line) {
	const within = 30 * 24 * time.Hour
	ask := WarmAsk{Of: of, At: d.At, By: d.At.Add(within), Clear: liquid, Room: in}
	v.warmDefaults(&ask)
	ask.Most = max(set, ask.Fill+1)
	for _, i := range d.Ifs {
		if i.Kind == IfPowerOff && i.From.Before(d.At) {
			ask.Off = Held{From: i.From, To: i.To, C: BarnAir(d.At)}
		}
	}
	w := Warming{Ask: ask, From: nextHalfHour(d.At), SimpleC: set}
	err := ask.check()
	if err == nil {
		err = v.room(&w)
	}
	if err == nil {
		a := v.assayer()
		var nodes []trace.Node
		if nodes, err = v.warmDrums(&w, a); err == nil {
			err = v.warmPlan(&w, a, nodes)
		}
	}
	if err != nil {
		if ready, ok := refusalOf(err); ok && ready.Key == "warm.colder" { // warmer than the room already
			return warmTime{room: w.Room}, nil
		}
		return warmTime{}, lineOf(err)
	}
	key := fmt.Sprint(degrees(w.Drums[0].Start), w.Plan.Case.Body, w.Plan.Case.Honey, w.Plan.Case.Faces.Side.Film, w.Again, set, liquid, ask.Off, d.At.Truncate(time.Hour).Unix()*int64(boolInt(w.Again)))
	t := keptWhile(v, "plan warm "+fmt.Sprint(of, in), key, func() warmTime {
		p := w.Plan
		slow, err := heat.Earliest(p)
		if err != nil || math.IsNaN(slow) {
			slow = within.Hours()
		}
		p.Doubt = heat.Doubt{}
		likely, err := heat.Earliest(p)
		if err != nil {
			likely = math.NaN()
		}
		return warmTime{w.Room, slow, likely}
	})
	if math.IsNaN(t.likely) {
		return t, &answer.Line{Key: "plan.never-warm", Args: answer.Args{"of": of, "temp": degrees(set)}, Mark: answer.Bad}
	}
	for _, i := range d.Ifs { // a cut to come cools what stands in the warm: as long again, and half of it to catch up (assumption)
		if i.Kind == IfPowerOff && !i.From.Before(d.At) {
			t.slow += 1.5 * i.To.Sub(i.From).Hours()
			t.likely += 1.5 * i.To.Sub(i.From).Hours()
		}
	}
	return t, nil
}

func boolInt(b bool) int {
	if b {
		return 1
	}
	return 0
}

// warmCodes are the drums of an order that still go into the warm.
func (x *PlanOrder) warmCodes() (all []record.Code) {
	for _, u := range x.Uses {
		if u.Whole() && !slices.Contains(x.InRoom, u.Content.Code) {
			all = append(all, u.Content.Code)
		}
	}
	return all
}
