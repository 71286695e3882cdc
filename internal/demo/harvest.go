package demo

import (
	"time"

	q "combline/internal/quantity"
	"combline/internal/record"
)

// harvest writes each lot from the pull to the drums.
func harvest(d *diary) {
	d.at(minutes(opening, 150), extracting, &record.HeatSet{Of: hotRoom, Temp: degrees(33), Note: "fan and drier on"})
	for _, l := range lots {
		pulled(d, l)
		end := spun(d, l)
		cappings(d, l, end)
		drummed(d, l)
		wetBack(d, l)
	}
}

// pulled: the truck is back and the boxes go into the hot room.
func pulled(d *diary, l lot) {
	d.at(l.pulled, foreman,
		&record.LotOpened{Lot: l.code, Site: l.site, Pulled: record.DayOf(l.pulled), Honey: l.honey},
		&record.SupersPulled{Lot: l.code, Site: l.site, Boxes: l.boxes, Capped: pct(l.capped), Vehicle: "truck",
			Clean: record.Yes, Marks: siteOf(l.site).marks(1, l.boxes)},
		feedWord(l))
	d.at(minutes(l.pulled, 60), "hand-1", &record.HotRoomEntered{Lot: l.code, Room: hotRoom, Boxes: l.boxes, Water: l.damp(damp[l.code])})
	_, m, n := l.pulled.Date()
	d.at(at(m, n, 5, 30).AddDate(0, 0, 1), extracting, &record.TemperatureRead{Of: hotRoom, Temp: degrees(33), Humidity: pct(48), Depth: "air"})
}

// damp are the points that each lot's worst comb lost in the hot room, in tenths. Nobody
// read a comb of the lot that was wet.
var damp = map[record.Code]int64{"L01": 8, "L02": 6, "L04": 7, "L05": 6, "L06": 7, "L07": 8, "L08": 7, "L09": 9, "L10": 6}

// damp is the water of the lot's worst comb so many tenths before it was dry: 0.2 points
// above what the drums' honey had then.
func (l lot) damp(before int64) q.Figure {
	if damp[l.code] == 0 {
		return q.Figure{}
	}
	return pctTenths(l.house + 2 + before)
}

// spun: stack by stack the boxes leave the hot room over the scale, are spun, and
// are weighed again wet. It returns when the last was done.
func spun(d *diary, l lot) time.Time {
	const stackMinutes, through = 10, 40 // a stack of six at 35 boxes an hour; from scale to scale
	t := l.spun
	d.at(minutes(t, -30), extracting, &record.StartChecked{Of: append(combLine[:len(combLine):len(combLine)], sump), Lines: []record.StartLine{
		{What: "guards on", InOrder: record.Yes}, {What: "drain plugs in", InOrder: record.Yes},
		{What: "strainers whole", InOrder: record.Yes}, {What: "sump warm", InOrder: record.Yes}}})
	full, wet := stacks(l.boxes, l.gross), stacks(l.boxes, l.wet)
	for i := range full {
		d.at(minutes(t, i*stackMinutes), "hand-2", &record.SupersReceived{Lot: l.code, Side: record.AfterHotRoom,
			Scale: platformScale, Stacks: full[i : i+1]})
		d.at(minutes(t, through+i*stackMinutes), "hand-3", &record.WetSupersWeighed{Lot: l.code, Scale: platformScale, Stacks: wet[i : i+1]})
	}
	end := minutes(t, through+len(full)*stackMinutes)
	for i, s := range l.tanks { // one tank after the other fills
		d.at(minutes(t, 15+i*len(full)*stackMinutes/len(l.tanks)), extracting,
			&record.LotRanInto{Lot: l.code, Into: s.tank, Via: straining})
	}
	d.at(end, extracting, &record.HotRoomLeft{Lot: l.code, Room: hotRoom, Boxes: l.boxes, Water: l.damp(0)},
		&record.SupersSpun{Lot: l.code, Boxes: l.boxes, Loads: loads(l.boxes), Machines: combLine})
	return end
}

// loads is how often an extractor of 60 frames was filled; a box has 9 frames.
func loads(boxes int64) int64 { return (boxes*9 + 59) / 60 }

// stacks parts boxes into stacks of five or six on a tray, each a little heavier or
// lighter than the next, in steps of the platform scale; their nets add up to net.
func stacks(boxes int64, net q.Gram) []record.Stack {
	const step, tray = 200, 4 * kilo
	n := (boxes + 5) / 6
	all := make([]record.Stack, n)
	weights := make([]q.Gram, n)
	for i := range all {
		all[i].Boxes = boxes/n + boolInt(int64(i) < boxes%n)
		weights[i] = q.Gram(all[i].Boxes * (97 + int64(i*5%7))) // 3 % either way
	}
	for i, steps := range part(int64(net)/step, weights) {
		all[i].Gross, all[i].Tray = weighed(q.Gram(steps)*step+tray), weighed(tray)
	}
	return all
}

func boolInt(b bool) int64 {
	if b {
		return 1
	}
	return 0
}

// cappings: honey is spun out of them cold and runs back to the lot; next day they
// are melted, and what honey comes out of the melter is cooking grade.
func cappings(d *diary, l lot, end time.Time) {
	d.at(minutes(end, 20), "hand-4", &record.CappingsSpun{Lot: l.code, Machine: spinner})
	d.at(minutes(end, 40), extracting, &record.Cleaned{Clean: record.Drained,
		What: append(append([]record.Code{spinner}, combLine...), straining...)})
	_, m, n := l.spun.Date()
	t := at(m, n, 10, 0).AddDate(0, 0, 1)
	d.at(t, "hand-4", &record.WaxCast{Wax: l.waxBlock, Lot: l.code, Mass: weighed(l.wax), Machine: melter})
	d.at(minutes(t, 20), extracting, l.cooking(&record.MelterHoneyDrawn{Lot: l.code, To: collecting, Mass: weighed(l.melted), Machine: melter})...)
}

// cooking is facts that put honey of the lot into the collecting tote. L07 was on
// hold already and went in all the same, and what came later was poured onto it:
// who said so stands before it.
func (l lot) cooking(facts ...record.Fact) []record.Fact {
	const reason = "skim and melter honey goes to cooking grade with the rest, none of it into table honey"
	_, melted := facts[0].(*record.MelterHoneyDrawn)
	switch {
	case l.code == "L07" && melted:
		return append([]record.Fact{overridden(holdTreatment, roleExtracting, reason, l.code)}, facts...)
	case l.code > "L07":
		return append([]record.Fact{overridden(holdTreatment, roleExtracting, reason, collecting)}, facts...)
	}
	return facts
}

// drummed: the tanks are skimmed, then drawn into drums, a sample jar at the gate
// as each fills. Then the lot is over and its tanks are drained.
func drummed(d *diary, l lot) {
	codes, net := l.drums()
	t, next := l.drawn(), 0
	d.at(t, extracting, l.cooking(l.skims()...)...)
	for _, s := range l.tanks {
		for range s.drums {
			t = minutes(t, 12)
			steel := "S-" + codes[next][1:]
			d.at(t, extracting, &record.DrumFilled{Filling: codes[next], Steel: steel, From: s.tank,
				Gross: weighed(net[next] + tare), Tare: weighed(tare), Purpose: record.TableHoney, Scale: platformScale},
				&record.Sampled{From: s.tank, Mass: record.Grams(drumSample), Of: codes[next], Kept: record.Yes})
			if net[next] < fullNet {
				d.confirm("ask.slip") // yes, the last drum is a part drum
			}
			next++
		}
	}
	d.at(minutes(t, 10), extracting, &record.LotClosed{Lot: l.code})
	d.at(minutes(t, 15), "hand-1", &record.Cleaned{What: l.tankCodes(), Clean: record.Drained})
	d.at(minutes(t, 40), "hand-1", placed(l.store, codes...))
}

// skims is what came off each tank, by what stood in it, in steps of the platform scale.
func (l lot) skims() []record.Fact {
	const step = 200
	share := make([]q.Gram, len(l.tanks))
	for i, s := range l.tanks {
		share[i] = q.Gram(s.drums)
	}
	var facts []record.Fact
	for i, steps := range part(int64(l.skim)/step, share) {
		facts = append(facts, &record.Skimmed{From: l.tanks[i].tank, To: collecting, Mass: weighed(q.Gram(steps) * step)})
	}
	return facts
}

// wetBack: the spun boxes go back to the site that they came from, all but one lot's.
func wetBack(d *diary, l lot) {
	s := siteOf(l.site)
	when := record.OnDay(l.wetBackAt)
	_, m, n := l.wetBackAt.Date()
	written := at(m, n, 17, 40)
	if l.code == "L02" {
		written = written.AddDate(0, 0, 2) // forgotten, and written down two days later
	}
	back := l.boxes
	if l.code == wetBackMixed.lot {
		back = wetBackMixed.home
	}
	d.late(when, written, foreman, &record.SupersSentBack{Lot: l.code, Site: l.site, Boxes: back, Marks: s.marks(1, back)})
	if back < l.boxes {
		d.late(when, written.AddDate(0, 0, 2), foreman, &record.SupersSentBack{Lot: l.code, Site: wetBackMixed.other,
			Boxes: l.boxes - back, Marks: s.marks(back+1, l.boxes), Note: "went on the wrong truck"})
	}
}

// wetBackMixed: of the lot of Low Cutter 84 wet boxes went home and 46 to Sallow
// Fen by mistake.
var wetBackMixed = struct {
	lot   record.Code
	home  int64
	other record.Code
}{"L08", 84, sallowFen}
