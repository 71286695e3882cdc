package office

import (
	"cmp"
	"slices"
	"strings"

	"combline/internal/answer"
	"combline/internal/house"
	"combline/internal/quantity"
	"combline/internal/record"
)

// startWash is how long a machine that is used every day goes without a wash at most,
// where the house set nothing (common practice, no source; many wash every evening).
var startWash = quantity.Figure{Mantissa: 7, Unit: quantity.Day}

// InEveryLanguage gives the text of a key in every language of the program: machines are
// named, and ticks written down, in whichever is the house's or the worker's.
type InEveryLanguage func(key string) []string

// A StartItem is one thing to look at before the start.
type StartItem struct {
	Key    string // of its text
	Done   record.Truth
	When   record.When
	Person record.Code
}

// A StartThing is a machine, tank, instrument or the room, with what to clean and check.
type StartThing struct {
	Code    record.Code // empty: the room and the people
	What    string
	Kind    record.Entity
	Class   string      // extractor, uncapper, ... ; empty: not told by its name
	Need    answer.Line // what to clean, and why
	Do      string      // "drain", "wash", "clean-down", "ask"; empty: nothing
	Last    record.When // of the last cleaning
	Cleaned record.CleanKind
	Ran     []record.Code // lots, runs since
	Honey   []string      // that ran through since
	Used    record.When   // last
	Items   []StartItem
	Checked int64  // lines of other start checks of it today
	Off     bool   // an instrument that was found out of order
	Part    string // "extract", "fill" or "both"
}

// A Start is the list before the start of a day.
type Start struct {
	Day    record.Day
	Things []StartThing
	Next   string // the honey that is worked next
	Lot    record.Code
}

// startClasses are the kinds of machines by the words in their names, the first that fits;
// with what is looked at before they start, and the part of the house where they stand.
var startClasses = []struct {
	class, part string
	checks      []string
}{
	{"uncapper", "extract", []string{"start.guard", "start.blades"}},
	{"spinner", "extract", []string{"start.lid", "start.empty-inside"}},
	{"melter", "extract", []string{"start.jacket", "start.fire"}},
	{"extractor", "extract", []string{"start.lid", "start.empty-inside", "start.balance"}},
	{"pump", "both", []string{"start.guard", "start.no-water"}},
	{"sump", "extract", []string{"start.gate", "start.sump-warm", "start.float"}},
	{"sieve", "both", []string{"start.mesh-whole", "start.mesh-right"}},
	{"filler", "fill", []string{"start.guard", "start.nozzles", "start.no-water"}},
	{"labeller", "fill", []string{"start.guard", "start.old-labels"}},
}

// BeforeStart lists what must be cleaned and checked before the start: each machine and
// tank by its last run, and what is looked at on it. Part is "extract", "fill" or empty
// for the whole house.
func (v *View) BeforeStart(day record.Day, part string, in InEveryLanguage) Start {
	s := Start{Day: day}
	s.Lot, s.Next = v.nextLot(day)
	ticks := v.ticks(day, in)
	s.Things = append(s.Things, StartThing{Part: "both", Items: itemsOf("start.people", "start.floor", "start.alone", "start.pests")})
	for _, k := range v.Care(day).Kept {
		t := StartThing{Code: k.Code, What: k.What, Kind: k.Kind, Part: "both"}
		if k.Kind == record.Vessel {
			t.Class, t.Items = "tank", itemsOf("start.gate", "start.covered") // a gate left open is a tank on the floor
		} else {
			t.class(in)
		}
		v.startNeed(&t, s)
		if t.Class == "tank" && t.Need.Key == "start.need.unknown" {
			continue // never used: it has no part in this start
		}
		s.Things = append(s.Things, t)
	}
	v.startTools(&s)
	for i := range s.Things {
		s.Things[i].tick(ticks)
	}
	s.Things = slices.DeleteFunc(s.Things, func(t StartThing) bool { return part != "" && t.Part != "both" && t.Part != part })
	slices.SortStableFunc(s.Things, func(a, b StartThing) int { return cmp.Compare(b.urgency(), a.urgency()) })
	return s
}

func itemsOf(keys ...string) (all []StartItem) {
	for _, k := range keys {
		all = append(all, StartItem{Key: k})
	}
	return all
}

// class tells a machine by the words in its name.
func (t *StartThing) class(in InEveryLanguage) {
	text := strings.ToLower(t.What + " " + string(t.Code))
	for _, c := range startClasses {
		for _, list := range in("page.words." + c.class) {
			for w := range strings.SplitSeq(list, ",") {
				if w = strings.ToLower(strings.TrimSpace(w)); w != "" && strings.Contains(text, w) {
					t.Class, t.Part, t.Items = c.class, c.part, itemsOf(c.checks...)
					return
				}
			}
		}
	}
	t.Items = itemsOf("start.guard", "start.clean-look")
}

// urgency puts what must be cleaned first before what is only looked at.
func (t StartThing) urgency() int {
	n := map[string]int{"ask": 4, "clean-down": 3, "wash": 2, "drain": 1}[t.Do]
	if t.Open() > 0 { // what somebody has still to look at stands on top
		n += 10
	}
	return n
}

// Mark is how the thing is to be seen.
func (t StartThing) Mark() answer.Mark {
	for _, i := range t.Items {
		if i.Done == record.No {
			return answer.Bad
		}
	}
	switch {
	case t.Off || t.Do == "clean-down":
		return answer.Bad
	case t.Do != "" || t.Open() > 0:
		return answer.Care
	}
	return answer.Good
}

// Open is how many lines are not ticked yet.
func (t StartThing) Open() (n int64) {
	for _, i := range t.Items {
		if i.Done != record.Yes {
			n++
		}
	}
	return n
}

// nextLot is the lot that is spun next: the first pulled of those that are not spun.
func (v *View) nextLot(day record.Day) (lot record.Code, honey string) {
	sheets := v.LoadSheets(day)
	slices.Reverse(sheets)
	for _, l := range sheets {
		if l.Boxes > 0 && l.Spun < l.Boxes && l.Wet < l.Boxes {
			return l.Lot, l.Honey
		}
	}
	return "", ""
}

// startNeed works out what must be cleaned: by what ran through since the last cleaning.
func (v *View) startNeed(t *StartThing, s Start) {
	since, drained := v.ranSince(t)
	args := answer.Args{"of": t.Code, "when": whenOrNil(t.Last), "ran": listOrNil(t.Ran), "honey": textOrNil(namesText(t.Honey)), "next": textOrNil(s.Next), "lot": orNil(s.Lot)}
	say := func(do, key string) { t.Do, t.Need = do, answer.Line{Key: key, Args: args} }
	spores, held := v.heldThrough(t)
	switch {
	case spores != "":
		args["hold"] = spores
		say("ask", "start.need.spores")
	case held != "":
		args["hold"] = held
		say("clean-down", "start.need.held")
	case since.allergen != "":
		args["allergens"] = since.allergen
		say("clean-down", "start.need.allergen")
	case since.used && t.Last == (record.When{}):
		say("wash", "start.need.never")
	case since.used && s.Next != "" && len(t.Honey) > 0 && !slices.ContainsFunc(t.Honey, func(h string) bool { return sameText(h, s.Next) }) && t.Part != "fill":
		say("wash", "start.need.other-honey")
	case since.used && len(t.Honey) > 1:
		say("wash", "start.need.several")
	case since.used && float64(s.Day-DayOf(t.Last)) > v.State.Setting("start.wash", startWash).Float():
		args["days"] = int64(s.Day - DayOf(t.Last))
		say("wash", "start.need.long")
	case since.used && s.Lot != "" && !drained && len(t.Ran) > 0 && !slices.ContainsFunc(t.Ran, func(c record.Code) bool { return c.Fold() == s.Lot.Fold() }) && t.Part != "fill":
		say("drain", "start.need.other-lot")
	case since.used && since.days(s.Day) >= 1 && t.Class != "tank":
		say("wash", "start.need.stood")
	case since.wet:
		t.Need = answer.Line{Key: "start.need.wet", Args: args, Mark: answer.Care}
	case t.Last == (record.When{}) && !since.used:
		t.Need = answer.Line{Key: "start.need.unknown", Args: args}
	default:
		t.Need = answer.Line{Key: "start.need.none", Args: args}
	}
}

// a passing is what went through a machine since its last wash.
type passing struct {
	used     bool
	wet      bool // washed, and not written down as dry
	allergen string
	last     record.Day
}

// days is how long honey has stood in it.
func (p passing) days(day record.Day) record.Day { return day - p.last }

// ranSince goes back to the last wash or clean-down; drained says whether it was drained
// after its last use.
func (v *View) ranSince(t *StartThing) (p passing, drained bool) {
	thing, _ := v.State.Find(t.Code)
	ran := func(c record.Code, e record.Entry) {
		if !p.used {
			p.used, p.last, t.Used = true, DayOf(e.When), e.When
		}
		if c != "" {
			t.Ran = withCode(t.Ran, c)
		}
		v.honeyRan(t, &p, c)
	}
	v.back(thing, func(e record.Entry) bool {
		switch f := e.Fact.(type) {
		case *record.Cleaned:
			if f.Clean == record.Drained || f.Clean == record.Rinse {
				drained = drained || !p.used
				return false
			}
			t.Last, t.Cleaned = e.When, f.Clean
			p.wet = !p.used && f.Dry != record.Yes
			return true
		case *record.SupersSpun:
			ran(f.Lot, e)
		case *record.LotRanInto:
			ran(f.Lot, e)
		case *record.CappingsSpun:
			ran(f.Lot, e)
		case *record.WaxCast:
			ran(f.Lot, e)
		case *record.MelterHoneyDrawn:
			ran(f.Lot, e)
		case *record.RunStarted:
			ran(f.Run, e)
		case *record.JarsFilled:
			ran(f.Run, e)
		case *record.BatchMade:
			ran(f.Batch, e)
		case *record.HoneyMoved, *record.Mixed, *record.DrumFilled, *record.TippedBack, *record.Skimmed:
			ran("", e)
		}
		return false
	})
	return p, drained
}

// honeyRan adds the honey and the allergens of what ran.
func (v *View) honeyRan(t *StartThing, p *passing, c record.Code) {
	x, ok := v.State.Find(c)
	if !ok {
		return
	}
	if l, ok := v.State.Lot(x); ok && l.Opened.Honey != "" && !slices.Contains(t.Honey, l.Opened.Honey) {
		t.Honey = append(t.Honey, l.Opened.Honey)
	}
	var product record.Code
	if r, ok := v.State.Run(x); ok {
		product = r.Started.Product
	}
	if f, ok := v.State.Named(x).(*record.BatchMade); ok {
		product = f.Product
	}
	if q, ok := v.State.Goods.Product(product); ok && q.ProductNamed != nil && q.Allergens != "" {
		p.allergen = q.Allergens
	}
}

// heldThrough are holds in force on what ran through: of spores, which no cleaning ends,
// ever; and of anything else since the last wash, that a clean-down ends.
func (v *View) heldThrough(t *StartThing) (spores, other record.Code) {
	bad := once(v, "held lots", v.heldLots)
	for _, c := range t.Ran {
		h, ok := bad[c.Fold()]
		switch {
		case ok && h.Cause == record.CauseDisease:
			spores = v.State.Code(h.Thing)
		case ok:
			other = v.State.Code(h.Thing)
		}
	}
	if !slices.ContainsFunc(v.State.Holds(), func(h *house.Hold) bool { return !h.Lifted && h.Cause == record.CauseDisease }) {
		return spores, other
	}
	for _, run := range v.State.OfKind(record.Run) {
		h, ok := bad[v.State.Code(run).Fold()]
		r, _ := v.State.Run(run)
		if ok && h.Cause == record.CauseDisease && r.Started != nil && slices.ContainsFunc(r.Started.Machines, func(c record.Code) bool { return c.Fold() == t.Code.Fold() }) {
			spores = v.State.Code(h.Thing)
		}
	}
	thing, _ := v.State.Find(t.Code)
	for _, lot := range v.lotsThrough(thing) {
		if h, ok := bad[lot.Fold()]; ok && h.Cause == record.CauseDisease {
			spores = v.State.Code(h.Thing)
		}
	}
	return spores, other
}

// lotsThrough are the lots that ever ran through a machine or tank; what a fact says of
// that is read once.
func (v *View) lotsThrough(thing house.Thing) (all []record.Code) {
	ran := map[uint32]runThrough{}
	if k := v.memo; k != nil {
		k.ranMu.Lock()
		defer k.ranMu.Unlock()
		if k.ran == nil {
			k.ran = ran
		}
		ran = k.ran
	}
	for _, seq := range v.State.Mentions(thing) {
		r, known := ran[seq]
		if !known {
			r = v.runThrough(uint64(seq))
			ran[seq] = r
		}
		if n := len(all); r.lot != "" && (n == 0 || all[n-1] != r.lot) {
			all = append(all, r.lot)
		}
	}
	return all
}

// heldLots are the lots and runs of which something is on hold by share, with the hold; a
// hold for bee disease before any other.
func (v *View) heldLots() map[string]*house.Hold {
	bad, held := map[string]*house.Hold{}, v.held()
	for _, kind := range []record.Entity{record.Lot, record.Run} {
		for _, t := range v.State.OfKind(kind) {
			code := v.State.Code(t)
			for _, n := range v.State.RootsOf(code) {
				for _, on := range held[n] {
					for _, h := range v.State.Holds() {
						if on.Share && h.Thing == on.Hold && (bad[code.Fold()] == nil || h.Cause == record.CauseDisease) {
							bad[code.Fold()] = h
						}
					}
				}
			}
		}
	}
	return bad
}

// startTools adds the scales that are not checked yet, and the rooms to be read.
func (v *View) startTools(s *Start) {
	c := v.Care(s.Day)
	for _, tool := range c.Tools {
		t := StartThing{Code: tool.Instrument, What: tool.What, Kind: record.Instrument, Part: "both"}
		if !v.weighs(&tool) {
			continue
		}
		t.Items = itemsOf("start.scale")
		if tool.Check != nil && DayOf(tool.Check.When) == s.Day {
			t.Items[0].When = tool.Check.When
			if t.Items[0].Done = truth(v.goodCheck(&tool.Check.Fact)); t.Items[0].Done == record.No {
				t.Off = true
			}
		}
		t.Need = answer.Line{Key: "start.need.check", Args: answer.Args{"of": t.Code}}
		s.Things = append(s.Things, t)
	}
	for _, r := range c.Rooms {
		if r.For != record.HotRoom {
			continue
		}
		t := StartThing{Code: r.Place, What: r.For.Key(), Kind: record.Place, Part: "extract", Items: itemsOf("start.room"), Need: answer.Line{Key: "start.need.read", Args: answer.Args{"of": r.Place}}}
		if r.Known && DayOf(r.Read.When) == s.Day {
			t.Items[0].Done, t.Items[0].When = record.Yes, r.Read.When
		}
		s.Things = append(s.Things, t)
	}
}

// weighs reports whether an instrument is a scale: its division or a check of it is a mass.
func (v *View) weighs(t *Tool) bool {
	return t.Division.Given() && t.Division.Unit.Dimension() == quantity.Mass || t.Check != nil && t.Check.Fact.Against.Unit.Dimension() == quantity.Mass
}

// A tick is one line of a start check of the day.
type tick struct {
	in     record.Truth
	when   record.When
	person record.Code
}

// ticks are the start checks of a day by thing and line, whatever the language that they
// were written in.
func (v *View) ticks(day record.Day, in InEveryLanguage) map[string]tick {
	keys := map[string]string{}
	for _, k := range startKeys() {
		for _, text := range in(k) {
			keys[strings.ToLower(text)] = k
		}
	}
	all := map[string]tick{}
	for _, e := range v.Starts(day) {
		f := e.Fact.(*record.StartChecked)
		of := f.Of
		if len(of) == 0 {
			of = []record.Code{""}
		}
		for _, l := range f.Lines {
			line := strings.ToLower(l.What)
			if k, ok := keys[line]; ok {
				line = k
			}
			for _, c := range of {
				all[c.Fold()+"\x00"+line] = tick{l.InOrder, e.When, e.Person}
			}
		}
	}
	return all
}

// startKeys are the lines that can be ticked.
func startKeys() []string {
	all := []string{"start.people", "start.floor", "start.alone", "start.pests", "start.gate", "start.covered", "start.guard", "start.clean-look"}
	for _, c := range startClasses {
		all = append(all, c.checks...)
	}
	return all
}

func (t *StartThing) tick(all map[string]tick) {
	for i := range t.Items {
		if x, ok := all[t.Code.Fold()+"\x00"+t.Items[i].Key]; ok {
			t.Items[i].Done, t.Items[i].When, t.Items[i].Person = x.in, x.when, x.person
		}
	}
	for k := range all {
		if of, line, _ := strings.Cut(k, "\x00"); of == t.Code.Fold() && !slices.ContainsFunc(t.Items, func(i StartItem) bool { return i.Key == line }) {
			t.Checked++
		}
	}
}

// StartList is the list as an answer.
func (v *View) StartList(day record.Day, part string, in InEveryLanguage) answer.Answer {
	a := answer.Answer{Question: "start"}
	s := v.BeforeStart(day, part, in)
	var clean, open, off int64
	cleaning, checks := a.Table("start-clean", "of", "what", "do", "because", "last_cleaned", "ran"), a.Table("start-checks", "of", "check", "done", "when", "person")
	for _, t := range s.Things {
		if t.Code != "" && (t.Kind == record.Machine || t.Kind == record.Vessel) {
			var do any
			if t.Do != "" {
				clean++
				do = answer.Key("start.do." + t.Do)
			}
			cleaning.Row(t.needMark(), t.Code, whatOf(t), do, t.Need, whenOrNil(t.Last), listOrNil(t.Ran))
		}
		for _, i := range t.Items {
			mark, done := answer.Care, any(nil)
			switch i.Done {
			case record.Yes:
				mark, done = answer.Good, true
			case record.No:
				mark, done = answer.Bad, false
				off++
			default:
				open++
			}
			checks.Row(mark, orNil(t.Code), answer.Key(i.Key), done, whenOrNil(i.When), orNil(i.Person))
		}
	}
	args := answer.Args{"day": day, "clean": clean, "open": open, "off": off, "lot": orNil(s.Lot), "honey": textOrNil(s.Next)}
	switch {
	case off > 0:
		a.Lines = append(a.Lines, answer.Line{Key: "start.off", Args: args, Mark: answer.Bad})
	case clean+open > 0:
		a.Warn("start.open", args)
	default:
		a.Lines = append(a.Lines, answer.Line{Key: "start.ready", Args: args, Mark: answer.Good})
	}
	if s.Lot != "" {
		a.Say("start.next-lot", args)
	} else {
		a.Say("start.no-lot", nil)
	}
	for _, key := range startCautions {
		a.Then(key, nil)
	}
	a.Follows("follows.start", answer.Args{"days": v.State.Setting("start.wash", startWash)})
	v.restsOnRecord(&a)
	return a
}

// startCautions stand with every start.
var startCautions = []string{"caution.extractor", "caution.uncapper", "caution.floor", "caution.ill", "caution.stings"}

func (t StartThing) needMark() answer.Mark {
	switch t.Do {
	case "clean-down":
		return answer.Bad
	case "":
		return answer.Plain
	}
	return answer.Care
}

// whatOf is a thing's kind: a machine's in the house's words, a vessel's as a key.
func whatOf(t StartThing) any {
	if t.Kind == record.Vessel {
		return answer.Key(t.What)
	}
	return textOrNil(t.What)
}
