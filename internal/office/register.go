package office

import (
	"iter"
	"slices"
	"strings"

	"combline/internal/answer"
	"combline/internal/goods"
	"combline/internal/house"
	"combline/internal/quantity"
	"combline/internal/record"
	"combline/internal/trace"
)

// addressSetting is where the house is, for papers and labels.
const addressSetting = "house.address"

// chapters of the register, in order, with the facts that each has. What goes out has a
// table of its own beside them: the eight fields of Regulation (EU) 931/2011.
var chapters = []struct {
	key   string
	kinds []record.Kind
}{
	{"register-sites", []record.Kind{record.KindSiteOpened, record.KindHivesCounted, record.KindFed, record.KindNotFed, record.KindTreated, record.KindNotTreated,
		record.KindTreatmentEnded, record.KindEnquiryOpened, record.KindEnquiryRuled, record.KindRipenessRead, record.KindSiteDescribed}},
	{"register-boxes", []record.Kind{record.KindSupersMarked, record.KindSupersPlaced, record.KindSupersPulled, record.KindSupersSentBack, record.KindCombsStored}},
	{"register-intake", []record.Kind{record.KindLotOpened, record.KindSupersReceived, record.KindHotRoomEntered, record.KindHotRoomLeft, record.KindSupersSpun,
		record.KindWetSupersWeighed, record.KindLotRanInto, record.KindLotClosed, record.KindCappingsSpun, record.KindWaxCast, record.KindMelterHoneyDrawn}},
	{"register-bought", []record.Kind{record.KindHoneyBought, record.KindDrumReceived, record.KindStockOpened, record.KindSupplierNamed, record.KindMaterialReceived}},
	{"register-honey", []record.Kind{record.KindDrumFilled, record.KindSealed, record.KindPlaced, record.KindHoneyMoved, record.KindMixed, record.KindStirred,
		record.KindStrained, record.KindSkimmed, record.KindTippedBack, record.KindDestroyed, record.KindLost, record.KindStockChecked, record.KindSeeded, record.KindCooled}},
	{"register-heat", []record.Kind{record.KindTemperatureRead, record.KindHeatSet, record.KindStreamRead, record.KindWarmingWanted, record.KindWarmingDropped}},
	{"register-lab", []record.Kind{record.KindSampled, record.KindSampleSent, record.KindResultRead}},
	{"register-holds", []record.Kind{record.KindHoldSet, record.KindReleased, record.KindHoldLifted, record.KindTouchedRuled, record.KindHoldOverridden}},
	{"register-runs", []record.Kind{record.KindBlendPlanned, record.KindBlendDropped, record.KindRunStarted, record.KindStartChecked, record.KindFillerSet, record.KindNozzlesChecked,
		record.KindFillerAdjusted, record.KindJarsFilled, record.KindBatchMade, record.KindRegraded, record.KindRetained, record.KindRunReconciled, record.KindRunEnded,
		record.KindSealTested, record.KindGlassBroken, record.KindCased, record.KindPalletised, record.KindMaterialUsed}},
	{"register-orders", []record.Kind{record.KindCustomerNamed, record.KindOrderTaken, record.KindOrderDropped, record.KindPromised, record.KindPromiseTakenBack,
		record.KindSent, record.KindReturned}},
	{"register-complaints", []record.Kind{record.KindComplaintTaken, record.KindComplaintAnswered, record.KindRecallStarted, record.KindRecallEnded, record.KindRecallStep, record.KindPhotoKept}},
	{"register-cleaning", []record.Kind{record.KindCleaned}},
	{"register-checks", []record.Kind{record.KindInstrumentNamed, record.KindInstrumentChecked, record.KindProblemFound, record.KindProblemDealtWith, record.KindSafetyPointSet, record.KindSafetyPlanSigned, record.KindNoted}},
	{"register-materials", []record.Kind{record.KindMaterialNamed, record.KindMaterialCounted, record.KindMaterialOrdered}},
	{"register-house", []record.Kind{record.KindHouseNamed, record.KindPersonNamed, record.KindPersonLeft, record.KindDeviceNamed, record.KindDeviceShutOut,
		record.KindSettingChanged, record.KindHoursWorked, record.KindPlanAccepted, record.KindDayPlanned, record.KindJobTicked, record.KindPrinted, record.KindLabelProved, record.KindLabelPrinted, record.KindVesselNamed, record.KindVesselGone, record.KindPlaceNamed,
		record.KindMachineNamed, record.KindProductNamed, record.KindRecipeSet, record.KindLedgerRestored}},
}

// chapterOf gives the place of a fact's chapter.
func chapterOf(k record.Kind) (int, bool) {
	for i, c := range chapters {
		for _, x := range c.kinds {
			if x == k {
				return i, true
			}
		}
	}
	return 0, false
}

// Register lays open what happened from one day to another (both included), chapter by
// chapter, as an inspector asks for it: what happened as it is now said to have been,
// who wrote it, and which entries were corrected. It ends with what went out, by the
// eight fields of Regulation (EU) 931/2011 article 3.
func (v *View) Register(from, to record.Day) answer.Answer { return v.RegisterSaid(nil, from, to) }

// RegisterSaid is [View.Register] of some kinds of facts alone; without kinds, of all.
func (v *View) RegisterSaid(kinds []record.Kind, from, to record.Day) answer.Answer {
	a := answer.Answer{Question: "register"}
	a.Say("register.period", answer.Args{"from": from, "to": to})
	tables := make([]*answer.Table, len(chapters))
	for i, c := range chapters {
		tables[i] = a.Table(c.key, "fact", "when", "kind", "says", "person")
	}
	corrections := a.Table("register-corrections", "fact", "when", "kind", "says", "person", "corrected_by")
	corrected := map[uint64]bool{}
	for _, c := range v.State.Corrections() {
		corrected[c.Of] = true
	}
	var sent []*record.Entry
	facts := int64(0)
	for step, err := range v.during(from, to) {
		if err != nil {
			return unread(a, err)
		}
		e := step.Entry
		day := DayOf(e.When)
		if day < from || day > to || step.Struck || corrects(e.Fact) != 0 || kinds != nil && !slices.Contains(kinds, e.Fact.Kind()) {
			continue
		}
		facts++
		mark := answer.Plain
		if corrected[e.Seq] {
			mark = answer.Care
		}
		if i, ok := chapterOf(e.Fact.Kind()); ok {
			tables[i].Row(mark, int64(e.Seq), e.When, answer.Key(e.Fact.Kind().Key()), Says(e.Fact), orNil(e.Person))
		}
		if _, ok := e.Fact.(*record.Sent); ok {
			sent = append(sent, &e)
		}
	}
	if kinds == nil {
		v.corrections(corrections, from, to)
	}
	a.Say("register.facts", answer.Args{"n": facts})
	if kinds == nil || slices.Contains(kinds, record.KindSent) {
		v.sentRegister(&a, sent)
		a.Follows("register.source", nil)
	}
	v.restsOnRecord(&a)
	return a
}

// during yields the facts of some days, and perhaps of a day on either side: what day it
// was depends on the zone of each.
func (v *View) during(from, to record.Day) iter.Seq2[house.Step, error] {
	const day = 24 * 60
	return v.line.Between((int64(from)-1)*day, (int64(to)+2)*day, v.log.read)
}

func unread(a answer.Answer, err error) answer.Answer {
	a.Cannot = &answer.Line{Key: "register.unread", Args: answer.Args{"why": err.Error()}, Mark: answer.Bad}
	return a
}

// corrections lists those that were written in the period, with what they say.
func (v *View) corrections(t *answer.Table, from, to record.Day) {
	for _, c := range v.State.Corrections() {
		e, err := v.Fact(c.By)
		if err != nil {
			continue
		}
		if day := DayOf(record.When{Minute: e.WrittenMS / 60_000, Offset: e.When.Offset}); day < from || day > to {
			continue
		}
		t.Row(answer.Care, int64(c.Of), e.When, answer.Key(e.Fact.Kind().Key()), Says(e.Fact), orNil(e.Person), int64(c.By))
	}
}

// sentRegister is what went out, one row a line, with the eight fields.
func (v *View) sentRegister(a *answer.Answer, sent []*record.Entry) {
	t := a.Table("sent-register", "when", "dispatch", "what", "units", "mass_g", "of_lots", "from", "customer", "to", "carrier")
	us := strings.TrimSpace(v.State.House().Name + ", " + v.State.SettingText(addressSetting))
	us = strings.TrimSuffix(us, ",")
	for _, e := range sent {
		f := e.Fact.(*record.Sent)
		customer := string(f.Customer)
		if c, ok := v.State.Goods.Customer(f.Customer); ok {
			customer = strings.Trim(c.Name+", "+c.Contact, ", ")
		}
		row := func(what, units, mass any, lots []record.Code, to string) {
			t.Row(answer.Plain, e.When, f.Dispatch, what, units, mass, lots, us, customer, textOrNil(to), textOrNil(f.Carrier))
		}
		d, _ := v.State.Goods.Dispatch(f.Dispatch)
		for _, p := range d.Units {
			for _, l := range v.State.Goods.SentOf(p.Batch) {
				if l.Fact == e.Seq || l.Dispatch.Fold() == f.Dispatch.Fold() {
					what, mass := v.unitsOf(goods.BatchUnits{Batch: p.Batch, Units: l.Units})
					row(what, l.Units, mass, []record.Code{p.Batch}, l.ShipTo)
				}
			}
		}
		for _, l := range f.Lines {
			if g, ok := v.bulkSent(l.What); ok {
				row(l.What, nil, g, v.marksOf(l.What), l.ShipTo)
			}
		}
	}
}

// unitsOf names the product of units and gives the mass on their labels.
func (v *View) unitsOf(p goods.BatchUnits) (what, mass any) {
	b, ok := v.State.Goods.Batch(p.Batch)
	if !ok {
		return p.Batch, nil
	}
	label := b.Label
	what = b.Product
	if x, ok := v.State.Goods.Product(b.Product); ok {
		if x.Name != "" {
			what = x.Name
		}
		if !label.Given() {
			label = x.Label
		}
	}
	if mg, err := label.Figure.Milligrams(); err == nil && label.Given() {
		mass = quantity.Gram(int64(mg) * p.Units / 1000)
	}
	return what, mass
}

// bulkSent is the mass of a drum that left.
func (v *View) bulkSent(c record.Code) (quantity.Gram, bool) {
	if c == "" {
		return 0, false
	}
	if _, goods := v.State.Goods.Batch(c); goods {
		return 0, false
	}
	for _, n := range v.State.RootsOf(c) {
		for _, x := range v.State.Graph().Next(n, trace.Forward) {
			if v.State.NodeKind(x.Node) == house.SentNode {
				return x.Grams, true
			}
		}
	}
	return 0, false
}

// marksOf is a drum's own number and the lots that its honey is of.
func (v *View) marksOf(c record.Code) []record.Code {
	all := []record.Code{c}
	for _, n := range v.State.RootsOf(c) {
		if lot := v.LotOf(v.State.Content(n)); lot != "" {
			all = append(all, lot)
		}
	}
	return all
}
