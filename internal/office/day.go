package office

import (
	"cmp"
	"context"
	"time"

	"combline/internal/answer"
	"combline/internal/goods"
	"combline/internal/house"
	"combline/internal/quantity"
	"combline/internal/record"
	"combline/internal/yard"
)

// Day answers what is in the house, what is on hold, what is due and what is odd, as
// it was known at a moment: facts written later do not count.
func (o *Office) Day(ctx context.Context, at time.Time) (answer.Answer, error) {
	v, err := o.AsOf(ctx, at)
	if err != nil {
		return answer.Answer{}, err
	}
	var first record.Entry
	o.Read(func(now *View) { first, err = now.Fact(1) })
	if v.Facts() == 0 && err == nil {
		return answer.Answer{Question: "day", Cannot: &answer.Line{Key: "day.nothing-yet",
			Args: answer.Args{"day": record.DayOf(at), "first": record.DayOf(first.Written().In(at.Location()))}}}, nil
	}
	return v.Day(at), nil
}

// AsOf is the house as it was known at a moment.
func (o *Office) AsOf(ctx context.Context, at time.Time) (*View, error) {
	o.mu.RLock()
	bodies := o.pub.log.bodies // only ever added to
	head := o.pub.log.head
	o.mu.RUnlock()
	v := &View{line: &house.Timeline{}, log: &journal{bodies: bodies, head: head}}
	n := uint64(0)
	for seq := uint64(1); seq <= uint64(len(bodies)); seq++ {
		if seq%4096 == 0 && ctx.Err() != nil {
			return nil, ctx.Err()
		}
		e, err := v.log.read(seq)
		if err != nil {
			return nil, err
		}
		if e.Written().After(at) {
			continue
		}
		v.line.Add(&e)
		n = seq
	}
	v.log = &journal{bodies: bodies[:n:n], head: head}
	var err error
	v.State, err = refold(v.line, v.log.read)
	return v, err
}

// limits of the day sheet that a house may set for itself (common practice)
var (
	wetLine  = quantity.Figure{Mantissa: 180, Decimals: 1, Unit: quantity.Pct} // above it honey can ferment
	oldDays  = quantity.Figure{Mantissa: 365, Unit: quantity.Day}              // a drum that stands longer is old stock
	soonDays = quantity.Figure{Mantissa: 14, Unit: quantity.Day}               // orders due within are listed
	openDays = quantity.Figure{Mantissa: 10, Unit: quantity.Day}               // a lot that is open longer was not closed
)

// Day is [Office.Day] on a view of what was known.
func (v *View) Day(at time.Time) answer.Answer {
	a := answer.Answer{Question: "day"}
	a.Say("day.of", answer.Args{"house": v.State.House().Name, "day": record.DayOf(at), "facts": int64(v.Facts())})
	stock := v.Stock()
	a.Lines = append(a.Lines, stock.Lines[0])
	for _, t := range stock.Tables {
		if t.Key == "sums" {
			a.Tables = append(a.Tables, t)
		}
	}
	v.dayHolds(&a)
	v.dayStopped(&a, at)
	v.dayDue(&a, at)
	v.dayWarm(&a, at)
	v.dayLots(&a, at)
	v.dayWet(&a)
	v.dayOld(&a, at)
	v.dayUnread(&a)
	v.dayOdd(&a)
	v.dayLost(&a)
	v.restsOnRecord(&a)
	return a
}

func (v *View) dayHolds(a *answer.Answer) {
	table := a.Table("holds", "hold", "cause", "reason", "set_by", "since", "blocks_g", "touched")
	blocks, touches := map[house.Thing]quantity.Gram{}, map[house.Thing]int64{}
	for n, all := range v.held() {
		if k := v.State.NodeKind(n); k != house.ContentNode && k != house.BatchNode {
			continue
		}
		left := v.State.Graph().Left(n)
		for _, on := range all {
			switch {
			case on.Share:
				blocks[on.Hold] += left
			case left > 0:
				touches[on.Hold]++
			}
		}
	}
	for _, h := range v.State.Holds() {
		if !h.Lifted {
			table.Row(answer.Bad, v.State.Code(h.Thing), answer.Key(h.Cause.Key()), h.Reason, h.Person, h.When, blocks[h.Thing], touches[h.Thing])
		}
	}
	if len(table.Rows) > 0 {
		a.Warn("day.holds", answer.Args{"n": int64(len(table.Rows))})
	}
}

// dayStopped names the sites that stand still for a disease enquiry.
func (v *View) dayStopped(a *answer.Answer, at time.Time) {
	for _, e := range v.State.Yard.Enquiries() {
		if !e.Standing(record.DayOf(at)) {
			continue
		}
		var sites []record.Code
		for _, s := range v.State.Yard.Reach(e.Opened.Sites, 0).Sites {
			sites = append(sites, s.Site)
		}
		a.Lines = append(a.Lines, answer.Line{Key: "day.stopped", Mark: answer.Bad, Args: answer.Args{"sites": sites, "enquiry": e.Code}})
	}
}

// dayDue lists orders by due day and sheets that have not come back.
func (v *View) dayDue(a *answer.Answer, at time.Time) {
	today := record.DayOf(at)
	soon := today + record.Day(v.State.Setting("day.soon", soonDays).Float())
	table := a.Table("due", "what", "code", "who", "due", "days", "left")
	for _, o := range v.State.Goods.Open(0) {
		mark := answer.Plain
		switch {
		case o.Due < today:
			mark = answer.Bad
		case o.Due <= soon:
			mark = answer.Care
		}
		table.Row(mark, answer.Key("due.order"), o.Code, o.Customer, o.Due, int64(o.Due-today), leftOf(o))
	}
	for _, s := range v.State.AwaitedSheets() {
		var due, days any
		mark := answer.Plain
		if s.Due != 0 {
			due, days = s.Due, int64(s.Due-today)
			if s.Due < today {
				mark = answer.Care
			}
		}
		table.Row(mark, answer.Key("due.sheet"), s.Of, s.Lab, due, days, nil)
	}
	for _, e := range v.State.Yard.Enquiries() {
		if e.Ruled == nil && e.Opened != nil {
			table.Row(answer.Bad, answer.Key("due.ruling"), e.Code, e.Opened.Disease, nil, nil, nil)
		}
	}
	for _, p := range v.State.Problems() {
		if !p.Over {
			table.Row(answer.Care, answer.Key("due.problem"), p.Code, p.What, nil, nil, nil)
		}
	}
	for _, c := range v.State.Goods.Complaints() {
		if c.Answered == nil {
			table.Row(answer.Bad, answer.Key("due.complaint"), c.Complaint, orNil(c.Customer), nil, nil, nil)
		}
	}
}

// leftOf is how many units of an order are still to go.
func leftOf(o goods.Order) (n int64) {
	for _, l := range o.Lines {
		n += max(0, l.Open())
	}
	return n
}

// dayLots shows the gap of each lot that is beyond the rule, and apart the lots in
// work: what of them stands in boxes and tanks is not missing yet.
func (v *View) dayLots(a *answer.Answer, at time.Time) {
	rule := v.State.Setting("gap.lot", lotRule)
	slow := v.State.Setting("lot.open", openDays)
	table := a.Table("gaps", "lot", "removed_g", "gap_g", "gap_pct", "doubt_g", "verdict")
	work := a.Table("in-work", "lot", "site", "gross_in_g", "wet_out_g", "clean_g", "left_g", "since")
	lots, balances := v.State.OfKind(record.Lot), once(v, "lots", v.lotBalances)
	for i, t := range lots {
		b := balances[i]
		l, _ := v.State.Lot(t)
		key, mark := verdict(b, rule)
		switch {
		case b.Open && mark != answer.Bad:
			mark = answer.Plain
			if days := int64(record.DayOf(at) - record.DayOf(l.OpenedAt.Time())); float64(days) > slow.Float() {
				mark = answer.Care
				a.Then("next.close-lot", answer.Args{"of": b.Of, "days": days})
			}
			work.Row(mark, b.Of, orNil(l.Opened.Site), l.GrossIn, l.WetOut, outOf(b, "balance.clean"), b.Gap, l.OpenedAt)
		case mark == answer.Bad || mark == answer.Care:
			table.Row(mark, b.Of, b.Base, b.Gap, b.GapPercent(), doubt(b), answer.Key(key+".short"))
		}
		if mark == answer.Bad {
			a.Lines = append(a.Lines, answer.Line{Key: key, Mark: mark, Args: answer.Args{"of": b.Of, "gap": b.Gap, "percent": b.GapPercent(), "rule": rule, "doubt": doubt(b)}})
			a.Then("next.find-the-gap", answer.Args{"of": b.Of})
		}
	}
	if len(work.Rows) > 0 {
		a.Say("day.in-work", answer.Args{"n": int64(len(work.Rows))})
	}
}

func (v *View) lotBalances() (all []house.Balance) {
	for _, t := range v.State.OfKind(record.Lot) {
		b, _ := v.State.LotBalance(t)
		all = append(all, b)
	}
	return all
}

// dayWet lists honey that its moisture says can ferment.
func (v *View) dayWet(a *answer.Answer) {
	most := v.State.Setting("wet.above", wetLine)
	table := a.Table("wet", "content", "water_pct", "yeast_per_g", "mass_g", "place", "temp_c")
	for _, c := range v.State.Contents() {
		r, ok := v.reading(c.Node, record.Water)
		if !ok || !r.Value.Given() || r.Value.Float() <= most.Float() || c.Grams <= 0 {
			continue
		}
		var yeast any
		if y, ok := v.reading(c.Node, record.Yeast); ok && y.Value.Given() {
			yeast = y.Value
		}
		table.Row(answer.Care, c.Code, r.Value, yeast, c.Grams, orNil(c.Place), v.temperatureAt(c.Place))
	}
	if len(table.Rows) > 0 {
		a.Warn("day.wet", answer.Args{"n": int64(len(table.Rows)), "line": most})
	}
}

func (v *View) temperatureAt(place record.Code) any {
	if t, ok := v.State.Find(place); ok {
		if x, ok := v.State.TemperatureOf(t); ok {
			return x.Fact.Temp
		}
	}
	return nil
}

// dayOld lists honey that has stood for long.
func (v *View) dayOld(a *answer.Answer, at time.Time) {
	most := v.State.Setting("old.after", oldDays)
	table := a.Table("old", "content", "mass_g", "filled", "days", "place")
	for _, c := range v.State.Contents() {
		days := int64(record.DayOf(at)) - (c.When.Minute+int64(c.When.Offset))/1440
		if c.Grams > 0 && float64(days) > most.Float() {
			table.Row(answer.Care, c.Code, c.Grams, c.When, days, orNil(c.Place))
		}
	}
	if len(table.Rows) > 0 {
		a.Warn("day.old", answer.Args{"n": int64(len(table.Rows)), "days": most})
	}
}

// dayUnread lists honey without a moisture reading, or in a place nobody wrote down:
// unknown is not a pass.
func (v *View) dayUnread(a *answer.Answer) {
	table := a.Table("unread", "content", "missing", "mass_g", "place")
	for _, c := range v.State.Contents() {
		if c.Grams <= 0 {
			continue
		}
		if _, ok := v.reading(c.Node, record.Water); !ok {
			table.Row(answer.Care, c.Code, answer.Key("missing.water"), c.Grams, orNil(c.Place))
		}
		if c.Place == "" && c.Vessel != "" && v.movable(c.Vessel) {
			table.Row(answer.Care, c.Code, answer.Key("missing.place"), c.Grams, nil)
		}
	}
	if len(table.Rows) > 0 {
		a.Warn("day.unread", answer.Args{"n": int64(len(table.Rows))})
	}
}

// movable reports whether a vessel is one that is carried about.
func (v *View) movable(vessel record.Code) bool {
	t, ok := v.State.Find(vessel)
	if !ok {
		return false
	}
	f, ok := v.State.Named(t).(*record.VesselNamed)
	return ok && f.Shape != record.Tank && f.Shape != record.Sump
}

// dayOdd lists what was recorded and does not fit, latest first.
func (v *View) dayOdd(a *answer.Answer) {
	table := a.Table("odd", "what", "of", "also", "when", "fact")
	for _, c := range v.State.Contents() {
		if c.Grams < 0 {
			table.Row(answer.Bad, answer.Key("odd.below-zero.short"), c.Code, c.Grams, c.When, int64(c.Fact))
			a.Then("next.stock-check", answer.Args{"of": c.Code})
		}
	}
	for _, f := range v.State.Flags() {
		table.Row(answer.Care, answer.Key(f.Key+".short"), orNil(f.Of), orNil(f.Also), f.When, int64(f.Fact))
	}
	var before yard.Flag
	for _, f := range once(v, "yard flags", v.State.Yard.Flags) {
		if f.Key != before.Key || f.Fact != before.Fact || f.Lot != before.Lot || f.Site != before.Site { // one for two reasons is one
			table.Row(answer.Care, answer.Key(f.Key+".short"), orNil(f.Lot), orNil(f.Site), f.When, int64(f.Fact))
		}
		before = f
	}
	for _, f := range v.State.Goods.Flags() {
		table.Row(answer.Care, answer.Key(f.Key+".short"), orNil(cmp.Or(f.Batch, f.Of, f.Dispatch)), orNil(f.Order), f.When, int64(f.Fact))
	}
	for _, n := range v.State.SentOnHold() {
		to := v.State.SentTo(n.Node)
		table.Row(answer.Bad, answer.Key("odd.sent-on-hold.short"), to.Dispatch, n.Hold, to.When, int64(to.Fact))
	}
	for _, p := range once(v, "papers", v.papersOff) {
		table.Row(answer.Bad, answer.Key("odd.paper-differs.short"), p.Fact.Paper, p.of, p.When, int64(p.Seq))
	}
	if len(table.Rows) > 0 {
		a.Warn("day.odd", answer.Args{"n": int64(len(table.Rows))})
	}
}

// A paperOff is a paper with one of its figures that would now be another.
type paperOff struct {
	house.Paper
	of record.Code
}

func (v *View) papersOff() (all []paperOff) {
	for _, p := range v.State.Papers("") {
		for _, w := range v.State.WouldNowBe(p) {
			if w.Differs {
				all = append(all, paperOff{p, record.Code(w.Of)})
			}
		}
	}
	return all
}

// dayLost shows ranges of the record that a restore lost.
func (v *View) dayLost(a *answer.Answer) {
	for _, l := range v.State.LostRanges() {
		a.Lines = append(a.Lines, answer.Line{Key: "day.lost-range", Mark: answer.Bad, Args: answer.Args{"first": l.First, "last": l.Last}})
	}
}
