package house

import (
	"combline/internal/quantity"
	"combline/internal/record"
)

// Fold takes one fact into the state. It never refuses: what does not fit is flagged.
func (s *State) Fold(e *record.Entry) {
	s.Folded++
	s.Latest = max(s.Latest, e.When.Minute)
	s.Seq = max(s.Seq, e.Seq)
	record.Names(e.Fact, func(c record.Code, fresh bool, of []record.Entity) { s.mention(e, c, fresh, of) })
	s.foldHoney(e)
	s.foldOther(e)
	s.Goods.Fold(e)
	if !s.yardApart {
		s.Yard.Fold(e)
	}
}

// FoldYardApart leaves the yard to whoever folds many facts at once: it shares
// nothing with the rest, so that another goroutine can fold it meanwhile with
// s.Yard.Fold, the same facts in the same order.
func (s *State) FoldYardApart(apart bool) { s.yardApart = apart }

// FoldStruck keeps the codes of a fact that did not happen: a number once given is
// never used again.
func (s *State) FoldStruck(e *record.Entry) {
	s.Folded++
	s.Seq = max(s.Seq, e.Seq)
	record.Names(e.Fact, func(c record.Code, fresh bool, of []record.Entity) {
		if _, used := s.Find(c); fresh && !used {
			s.things[s.name(c, record.NoEntity, e)].retired = true
		}
	})
}

// FoldStep folds one step of a timeline.
func (s *State) FoldStep(step Step) {
	if step.Struck {
		s.FoldStruck(&step.Entry)
		return
	}
	s.Fold(&step.Entry)
}

// mention books that a fact bears a code, and names it if it is new.
func (s *State) mention(e *record.Entry, c record.Code, fresh bool, of []record.Entity) {
	t, known := s.Find(c)
	switch {
	case fresh && !known:
		t = s.name(c, of[0], e)
	case fresh: // only after a correction: two facts now name the same
		s.flag(e, "odd.named-twice", c, "")
	case !known: // only after a correction took the naming fact away
		s.flag(e, "odd.not-named", c, "")
		return
	}
	if last := s.things[t].last; last == 0 || s.mentions[last].fact != uint32(e.Seq) {
		s.things[t].last = uint32(len(s.mentions))
		s.mentions = append(s.mentions, mention{uint32(e.Seq), last})
	}
}

func (s *State) name(c record.Code, kind record.Entity, e *record.Entry) Thing {
	t := Thing(len(s.things))
	x := thing{code: c, kind: kind, born: uint32(e.Seq)}
	if keepsNamed(e.Fact) {
		x.named = e.Fact
	}
	s.things = append(s.things, x)
	s.byCode[c.Fold()] = t
	s.byCode[string(c)] = t
	return t
}

// keepsNamed reports whether the state asks the naming fact again. What is filled,
// cast or drawn by the thousand is in the graph; its facts are read from the record.
func keepsNamed(f record.Fact) bool {
	switch f.(type) {
	case *record.DrumFilled, *record.DrumReceived, *record.HoneyMoved, *record.JarsFilled, *record.BatchMade, *record.Regraded,
		*record.Returned, *record.Sampled, *record.WaxCast:
		return false
	}
	return true
}

// foldHoney folds what moves honey, boxes and goods in the graph.
func (s *State) foldHoney(e *record.Entry) {
	switch f := e.Fact.(type) {
	case *record.SiteOpened:
		s.siteOpened(e, f)
	case *record.SupersPlaced:
		s.supersPlaced(e, f)
	case *record.CombsStored:
		s.combsStored(f)
	case *record.LotOpened:
		s.lotOpened(e, f)
	case *record.SupersPulled:
		s.supersPulled(e, f)
	case *record.SupersReceived:
		s.supersReceived(e, f)
	case *record.SupersSpun:
		s.supersSpun(e, f)
	case *record.WetSupersWeighed:
		s.wetSupersWeighed(e, f)
	case *record.SupersSentBack:
		s.supersSentBack(e, f)
	case *record.LotRanInto:
		s.lotRanInto(e, f)
	case *record.LotClosed:
		s.lotClosed(e, f)
	case *record.CappingsSpun:
		s.cappingsSpun(e, f)
	case *record.WaxCast:
		s.waxCast(e, f)
	case *record.MelterHoneyDrawn:
		s.melterHoneyDrawn(e, f)
	case *record.HoneyBought:
		s.honeyBought(e, f)
	case *record.DrumReceived:
		s.drumReceived(e, f)
	case *record.StockOpened:
		s.stockOpened(e, f)
	case *record.VesselNamed:
		s.vesselNamed(e, f)
	case *record.VesselGone:
		if v := s.vesselOf(e, f.Vessel); v != nil {
			v.Gone = true
		}
	case *record.DrumFilled:
		s.drumFilled(e, f)
	case *record.HoneyMoved:
		s.honeyMoved(e, f)
	case *record.Mixed:
		s.mixed(e, f)
	case *record.Seeded:
		s.seeded(e, f)
	case *record.Skimmed:
		s.skimmed(e, f)
	case *record.Sampled:
		s.sampled(e, f)
	case *record.Destroyed:
		s.destroyed(e, f)
	case *record.Lost:
		s.lostHoney(e, f)
	case *record.StockChecked:
		s.stockChecked(e, f)
	case *record.TippedBack:
		s.tippedBack(e, f)
	case *record.RunStarted:
		s.runStarted(e, f)
	case *record.RunEnded:
		s.runEnded(e, f)
	case *record.JarsFilled:
		s.jarsFilled(e, f)
	case *record.BatchMade:
		s.batchMade(e, f)
	case *record.Regraded:
		s.regraded(e, f)
	case *record.Retained:
		s.retained(e, f)
	case *record.Sent:
		s.sent(e, f)
	case *record.Returned:
		s.returned(e, f)
	case *record.MaterialReceived:
		if t, ok := s.Find(f.Lot); ok {
			s.things[t].node = s.note(s.graph.NewNode(), nodeInfo{kind: MaterialNode, of: t, by: e.Fact.Kind(), fact: uint32(e.Seq), when: e.When})
		}
	case *record.MaterialUsed:
		s.materialUsed(e, f)
	case *record.Cleaned:
		s.cleaned(e, f)
	}
}

// foldOther folds what is known of things without moving honey.
func (s *State) foldOther(e *record.Entry) {
	switch f := e.Fact.(type) {
	case *record.HouseNamed:
		s.house = *f
	case *record.SettingChanged:
		s.settingChanged(e, f)
	case *record.BlendPlanned:
		s.blendPlanned(e, f)
	case *record.BlendDropped:
		s.blendDropped(f)
	case *record.Placed:
		s.placed(e, f)
	case *record.ResultRead:
		s.resultRead(e, f)
	case *record.SampleSent:
		s.sampleSent(e, f)
	case *record.HoldSet:
		s.holdSet(e, f)
	case *record.Released:
		s.released(e, f)
	case *record.HoldLifted:
		s.holdLifted(e, f)
	case *record.TouchedRuled:
		s.touchedRuled(e, f)
	case *record.HoldOverridden:
		s.holdOverridden(e, f)
	case *record.Sealed:
		if n, _, ok := s.contentOf(f.What); ok {
			s.seal(n, f.Seal)
		}
	case *record.Strained:
		s.strained(e, f)
	case *record.InstrumentChecked:
		s.instrumentChecked(e, f)
	case *record.TemperatureRead:
		if t, ok := s.Find(f.Of); ok {
			s.temps[t] = Temperature{*f, e.When, e.Seq}
			s.warm(e, f.Of, f.Temp, s.howRead(f))
		}
	case *record.HeatSet:
		if t, ok := s.Find(f.Of); ok {
			s.heats[t] = *f
			s.warm(e, f.Of, f.Temp, HeatWasSet)
		}
	case *record.Cooled:
		s.warm(e, f.What, f.Temp, HeatWasSet)
	case *record.StreamRead:
		if f.Mean.Unit.Dimension() == quantity.Temperature {
			s.warm(e, f.Of, f.Mean, Logged)
		}
	case *record.WarmingWanted:
		s.warmingWanted(e, f)
	case *record.WarmingDropped:
		s.warmingDropped(f)
	case *record.DayPlanned:
		s.dayPlans = append(s.dayPlans, DayPlan{*f, e.Seq, e.When, e.Person})
	case *record.JobTicked:
		s.ticks = append(s.ticks, Tick{*f, e.Seq, e.When, e.Person})
	case *record.ProblemFound:
		s.problems = append(s.problems, Problem{Code: f.Problem, About: f.About, What: f.What, Fact: e.Seq, When: e.When})
	case *record.SafetyPointSet:
		s.safetyPointSet(e, f)
	case *record.SafetyPlanSigned:
		s.safetySigned = append(s.safetySigned, SafetySigned{*f, e.Person, e.When, e.Seq})
	case *record.ProblemDealtWith:
		for i := range s.problems {
			if p := &s.problems[i]; p.Code.Fold() == f.Problem.Fold() {
				p.Action, p.Over = f.Action, f.Over == record.Yes
			}
		}
	case *record.Printed:
		s.papers = append(s.papers, Paper{*f, e.When, e.Seq})
	case *record.LabelProved:
		s.proofs = append(s.proofs, Proof{*f, e.Person, e.When, e.Seq})
	case *record.LabelPrinted:
		s.labelPrints = append(s.labelPrints, LabelPrint{*f, e.When, e.Seq})
	case *record.Amended:
		s.amends = append(s.amends, Correction{Of: uint64(f.Fact), By: e.Seq, Reason: f.Reason, Person: e.Person, When: e.When})
	case *record.Struck:
		s.amends = append(s.amends, Correction{Of: uint64(f.Fact), By: e.Seq, Reason: f.Reason, Struck: true, Person: e.Person, When: e.When})
	case *record.LedgerRestored:
		s.lost = append(s.lost, *f)
	}
}
