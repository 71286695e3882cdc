package office

import (
	"math"

	"combline/internal/answer"
	"combline/internal/flow"
	"combline/internal/honey"
	"combline/internal/house"
	"combline/internal/quantity"
	"combline/internal/record"
	"combline/internal/trace"
)

// What shall be up before a tank is drawn: bubbles of this size (common practice: nobody
// clears finer froth by waiting).
var drawBubble = quantity.Figure{Mantissa: 2, Decimals: 1, Unit: quantity.MM}

// What a settling tank's jacket holds where nobody read or set it (common practice: 30 to
// 38 °C, no source).
var drawTemp = quantity.Figure{Mantissa: 35, Unit: quantity.DegC}

// DrawAsk asks when a tank may be drawn. What is not given is taken from the record.
type DrawAsk struct {
	Tank   record.Code
	At     record.When
	Depth  quantity.Figure // of the honey, as a dip stick reads it
	Temp   quantity.Figure
	Water  quantity.Figure
	Bubble quantity.Figure
}

// whole reports whether nothing need be taken from the record.
func (a DrawAsk) whole() bool { return a.Depth.Given() && a.Temp.Given() && a.Water.Given() }

// A Settling is a tank in which honey settles.
type Settling struct {
	Stand
	Filled   record.When // the last honey ran in
	Running  bool        // a lot that is still in work runs into it
	DepthM   float64
	DepthHow string // key
	TempC    float64
	TempHow  string
	WaterPct float64
	WaterHow string
	BubbleMM float64
	Lacks    []string            // keys of what is not known
	Clear    honey.Band[float64] // hours from Filled until the last bubble is up
	Wax      honey.Band[float64] // the same for specks of wax of that size
	Cut      float64             // mm: all larger bubbles are up by now
	Warmer   float64             // hours, with 3 °C more
	Own      flow.Factor         // what the house waits, over the reckoned
	Skim     honey.Band[float64] // kg
	SkimOwn  int                 // lots that it is from
	Reckoned bool
}

// Settling works out one tank.
func (v *View) Settling(ask DrawAsk) (s Settling, ok bool) {
	if s.Stand, ok = v.StandOf(ask.Tank); !ok {
		return s, false
	}
	switch {
	case !s.Empty:
		s.Filled = v.lastPour(s.Content.Node)
		s.Running = len(s.Content.InLots) > 0
	case !ask.whole():
		return s, true
	default: // as if it were filled now
		s.Filled = ask.At
	}
	v.settlingInputs(&s, ask)
	s.skim(v)
	if len(s.Lacks) > 0 {
		return s, true
	}
	v.settles(&s, ask.At)
	return s, true
}

// lastPour is when the last honey came into a content: a lot that ran in, or a pour.
func (v *View) lastPour(n trace.Node) (last record.When) {
	c := v.State.Content(n)
	last = c.When
	for _, lot := range c.InLots { // what still runs in fills until the lot's last load
		for _, e := range v.Mentions(lot) {
			switch f := e.Fact.(type) {
			case *record.SupersSpun, *record.SupersReceived:
				if e.When.Minute > last.Minute {
					last = e.When
				}
			case *record.LotRanInto:
				// it ran on into another tank: this one was full then
				if f.Into.Fold() != c.Vessel.Fold() && e.When.Minute > c.When.Minute {
					return e.When
				}
			}
		}
	}
	return last
}

// settlingInputs finds depth, warmth and water, as typed or as the record has them.
func (v *View) settlingInputs(s *Settling, ask DrawAsk) {
	s.BubbleMM = inMM(ask.Bubble, inMM(v.State.Setting("draw.bubble", drawBubble), drawBubble.Float()))
	s.WaterPct, s.WaterHow = v.settlingWater(s, ask)
	s.TempC, s.TempHow = v.settlingTemp(s, ask)
	s.DepthM, s.DepthHow = v.settlingDepth(s, ask)
	for _, x := range [...]struct {
		value float64
		key   string
	}{{s.WaterPct, "draw.lacks.water"}, {s.TempC, "draw.lacks.temp"}, {s.DepthM, "draw.lacks.depth"}} {
		if math.IsNaN(x.value) {
			s.Lacks = append(s.Lacks, x.key)
		}
	}
}

func inMM(f quantity.Figure, otherwise float64) float64 {
	x, err := f.In(quantity.MM)
	if err != nil || !f.Given() || !(x >= 0.01 && x <= 10) {
		return otherwise
	}
	return x
}

func (v *View) settlingWater(s *Settling, ask DrawAsk) (float64, string) {
	if x, err := ask.Water.In(quantity.Pct); err == nil && ask.Water.Given() {
		return x, "draw.how.typed"
	}
	if d := v.doubter().of(s.Content.Node, record.Water); !s.Empty && d.Value.Known() {
		return d.Value.Value, "draw.how.read"
	}
	for _, lot := range s.Content.InLots { // its combs, when nothing else was read
		if x, ok := v.Stack(StackAsk{Lot: lot, At: ask.At}); ok && x.Known {
			return x.Now.Value, "draw.how.combs"
		}
	}
	return math.NaN(), ""
}

func (v *View) settlingTemp(s *Settling, ask DrawAsk) (float64, string) {
	if c, err := ask.Temp.Celsius(); err == nil && ask.Temp.Given() {
		return float64(c), "draw.how.typed"
	}
	if t := s.Stand.Temp; t.Value.Given() && t.Place == "" && t.When.Minute >= s.Content.When.Minute {
		if c, err := t.Value.Celsius(); err == nil {
			return float64(c), "draw.how.read"
		}
	}
	if t, ok := v.State.Find(s.Code); ok {
		if f, set := v.State.SetTo(t); set {
			if c, err := f.Celsius(); err == nil {
				return float64(c), "draw.how.set"
			}
		}
	}
	if s.Shape == record.Tank && (s.Running || v.State.RanIn(s.Content.Node)) {
		if c, err := v.State.Setting("draw.temp", drawTemp).Celsius(); err == nil {
			return float64(c), "draw.how.rule"
		}
	}
	return math.NaN(), ""
}

// settlingDepth is the honey's depth: dipped, from its weight and the tank's width, or the
// tank's height while nothing of it is weighed, which is the most that it can be.
func (v *View) settlingDepth(s *Settling, ask DrawAsk) (float64, string) {
	if x, err := ask.Depth.In(quantity.Metre); err == nil && ask.Depth.Given() {
		return x, "draw.how.typed"
	}
	wide, err := s.Wide.In(quantity.Metre)
	if err == nil && s.Wide.Given() && wide > 0 && s.Content.Grams > 0 && !s.Running {
		return float64(s.Content.Grams) / 1000 / 1420 / (math.Pi * wide * wide / 4), "draw.how.weight"
	}
	if high, err := s.High.In(quantity.Metre); err == nil && s.High.Given() && high > 0 {
		if s.Holds > 0 && s.Content.Grams > 0 && !s.Running {
			return high * min(1, float64(s.Content.Grams)/float64(s.Holds)), "draw.how.weight"
		}
		return high, "draw.how.full"
	}
	return math.NaN(), ""
}

// settlePrior: houses wait longer than the reckoned time and differ among themselves.
var settlePrior = flow.Prior{House: 0.5, Each: 0.25}

func (v *View) settles(s *Settling, now record.When) {
	l, err := flow.House(quantity.Celsius(s.TempC), quantity.WaterPct(s.WaterPct))
	if err != nil {
		s.Lacks = append(s.Lacks, "draw.lacks.range")
		return
	}
	d := s.BubbleMM / 1000
	bubble, err := flow.ClearHours(l, flow.Bubble, d, s.DepthM)
	wax, err2 := flow.ClearHours(l, flow.WaxSpeck, d, s.DepthM)
	if err != nil || err2 != nil {
		s.Lacks = append(s.Lacks, "draw.lacks.range")
		return
	}
	s.Reckoned = true
	s.Clear = timesBand(bubble, honey.ViscositySpread)
	s.Wax = timesBand(wax, honey.ViscositySpread)
	if stood := float64(now.Minute-s.Filled.Minute) / 60; stood > 0.02 {
		if cut, err := flow.CutSize(l, flow.Bubble, s.DepthM, stood); err == nil {
			s.Cut = 1000 * cut
		}
	}
	s.Warmer = math.NaN()
	if warm, err := flow.House(quantity.Celsius(s.TempC+3), quantity.WaterPct(s.WaterPct)); err == nil {
		s.Warmer = s.Clear.Likely * warm.ViscosityPaS / l.ViscosityPaS
	}
	s.Own = v.settledOwn(s)
}

func timesBand(x, over float64) honey.Band[float64] {
	return honey.Band[float64]{Low: x / over, Likely: x, High: x * over}
}

// settledOwn is how long the house lets honey settle in such a tank, over the reckoned:
// hours from a content's making to its first drum.
func (v *View) settledOwn(s *Settling) flow.Factor {
	var ratios []float64
	for _, h := range v.stoodBefore() {
		ratios = append(ratios, h/s.Clear.Likely)
	}
	f, err := flow.Learn(ratios, settlePrior)
	if err != nil {
		return flow.Factor{}
	}
	return f
}

// stoodBefore lists the hours that lots' honey stood in tanks before it was drawn into drums.
func (v *View) stoodBefore() []float64 {
	return once(v, "stood before", func() (all []float64) {
		for _, t := range v.State.OfKind(record.Vessel) {
			named, ok := v.State.Named(t).(*record.VesselNamed)
			if !ok || named.Shape != record.Tank {
				continue
			}
			x, _ := v.State.Vessel(t)
			for _, n := range x.Contents {
				if h, ok := v.stoodHours(n); ok {
					all = append(all, h)
				}
			}
		}
		return all
	})
}

func (v *View) stoodHours(n trace.Node) (float64, bool) {
	if !v.State.RanIn(n) {
		return 0, false
	}
	first := int64(math.MaxInt64)
	for _, x := range v.State.Graph().Next(n, trace.Forward) {
		c := v.State.Content(x.Node)
		if x.Share && c.Kind == house.ContentNode && c.Purpose != record.CookingGrade {
			first = min(first, c.When.Minute)
		}
	}
	filled := v.State.Content(n).When.Minute
	if first == math.MaxInt64 || first <= filled {
		return 0, false
	}
	h := float64(first-filled) / 60
	return h, h <= 24*30
}

// skim is what to take off the top: the house's own share where it has weighed some.
func (s *Settling) skim(v *View) {
	kg := float64(s.Content.Grams) / 1000
	if s.Running || kg <= 0 {
		kg = float64(s.Holds) / 1000
	}
	if !(kg > 0) {
		return
	}
	s.Skim, _ = flow.Skim(kg)
	if shares := v.skimmed(); len(shares) > 0 {
		ratios := make([]float64, len(shares))
		for i, x := range shares {
			ratios[i] = x / 0.01
		}
		if f, err := flow.Learn(ratios, flow.Prior{House: 0.35, Each: 0.2}); err == nil {
			s.Skim = honey.Band[float64]{Low: 0.01 * kg * f.Low, Likely: 0.01 * kg * f.Likely, High: 0.01 * kg * f.High}
			s.SkimOwn = f.Seen
		}
	}
}

// skimmed lists the skim of each closed lot over its clean honey.
func (v *View) skimmed() []float64 {
	return once(v, "skimmed", func() (all []float64) {
		for _, t := range v.State.OfKind(record.Lot) {
			b, ok := v.State.LotBalance(t)
			if !ok || b.Open {
				continue
			}
			clean, skim := outOf(b, "balance.clean"), outOf(b, "balance.skim")
			if clean > 0 && skim > 0 {
				all = append(all, float64(skim)/float64(clean))
			}
		}
		return all
	})
}

// ReadyTank answers when a tank may be drawn.
func (v *View) ReadyTank(ask DrawAsk) answer.Answer {
	a := answer.Answer{Question: "ready", Of: ask.Tank}
	s, ok := v.Settling(ask)
	if !ok {
		return v.notTraced(a, ask.Tank)
	}
	a.Of = s.Code
	if s.Empty {
		line := answer.Line{Key: "draw.empty", Args: answer.Args{"tank": s.Code}}
		if !ask.whole() {
			a.Cannot = &line
			return a
		}
		a.Lines = append(a.Lines, line)
	}
	v.drawHeld(&a, s)
	v.drawWhen(&a, s, ask.At)
	if s.Skim.Likely > 0 {
		key := "draw.skim"
		if s.SkimOwn > 0 {
			key = "draw.skim-own"
		}
		args := banded(answer.Args{"lots": int64(s.SkimOwn)}, quantity.Unknown(), quantity.KgUnit)
		args["low"], args["likely"], args["high"] = tenth(s.Skim.Low, quantity.KgUnit), tenth(s.Skim.Likely, quantity.KgUnit), tenth(s.Skim.High, quantity.KgUnit)
		a.Say(key, args)
	}
	v.drawTable(&a, s)
	v.drawRests(&a, s)
	a.Follows("follows.settle", nil)
	v.restsOnRecord(&a)
	return a
}

// drawHeld warns before anything else of honey that may not be drawn.
func (v *View) drawHeld(a *answer.Answer, s Settling) {
	switch status(s.Status) {
	case onHold:
		a.Lines = append(a.Lines, answer.Line{Key: "draw.held", Args: answer.Args{"tank": s.Code, "holds": s.Holding}, Mark: answer.Bad})
	case touched:
		a.Warn("draw.touched", answer.Args{"tank": s.Code, "holds": s.Holding})
	}
}

func (v *View) drawWhen(a *answer.Answer, s Settling, now record.When) {
	if len(s.Lacks) > 0 {
		lacks := make([]answer.Line, len(s.Lacks))
		for i, k := range s.Lacks {
			lacks[i] = answer.Line{Key: k, Args: answer.Args{"tank": s.Code}}
		}
		a.Cannot = &lacks[0]
		for _, l := range lacks[1:] {
			a.Lines = append(a.Lines, answer.Line{Key: l.Key, Args: l.Args, Mark: answer.Care})
		}
		a.Then("next.draw.read", answer.Args{"tank": s.Code})
		return
	}
	ready := later2(s.Filled, s.Clear.Likely)
	args := answer.Args{"tank": s.Code, "size": hundredthMM(s.BubbleMM), "when": ready, "low": later2(s.Filled, s.Clear.Low), "high": later2(s.Filled, s.Clear.High),
		"hours": tenth(s.Clear.Likely, quantity.Hour), "filled": s.Filled}
	stood := float64(now.Minute-s.Filled.Minute) / 60
	switch {
	case s.Running && stood < 6:
		a.Warn("draw.running", answer.Args{"tank": s.Code, "lots": s.Content.InLots})
		a.Warn("draw.from", args)
	case stood >= s.Clear.High:
		a.Lines = append(a.Lines, answer.Line{Key: "draw.ready", Args: args, Mark: answer.Good})
		a.Then("next.draw.skim", answer.Args{"tank": s.Code})
	case stood >= s.Clear.Low:
		a.Warn("draw.close", args)
		a.Then("next.draw.jar", answer.Args{"tank": s.Code})
	default:
		a.Warn("draw.wait", args)
		v.drawWarmer(a, s)
	}
	if high, err := s.High.In(quantity.Metre); err == nil && s.High.Given() && s.DepthHow == "draw.how.typed" && s.DepthM > 1.02*high {
		a.Warn("draw.deeper", answer.Args{"tank": s.Code, "depth": hundredth(s.DepthM, quantity.Metre), "high": hundredth(high, quantity.Metre)})
	}
	if s.Cut > 0 && stood > 0 {
		a.Say("draw.cut", answer.Args{"size": hundredthMM(s.Cut), "hours": tenth(stood, quantity.Hour)})
	}
	a.Say("draw.wax", answer.Args{"size": hundredthMM(s.BubbleMM), "when": later2(s.Filled, s.Wax.Likely), "days": tenth(s.Wax.Likely/24, quantity.Day)})
}

// drawWarmer says what three degrees more would save.
func (v *View) drawWarmer(a *answer.Answer, s Settling) {
	if s.TempC+3 <= 40 && !math.IsNaN(s.Warmer) {
		a.Then("next.draw.warmer", answer.Args{"tank": s.Code, "hours": tenth(s.Clear.Likely-s.Warmer, quantity.Hour)})
	}
}

func hundredthMM(mm float64) quantity.Figure {
	return quantity.Figure{Mantissa: int64(math.Round(100 * mm)), Decimals: 2, Unit: quantity.MM}
}

func (v *View) drawTable(a *answer.Answer, s Settling) {
	if !s.Reckoned {
		return
	}
	t := a.Table("settling", "what", "size", "speed_m_day", "clear_after", "low", "high")
	for _, x := range [...]struct {
		key  string
		band honey.Band[float64]
	}{{"draw.bubbles", s.Clear}, {"draw.wax-specks", s.Wax}} {
		t.Row(answer.Plain, answer.Key(x.key), hundredthMM(s.BubbleMM), quantity.Figure{Mantissa: int64(math.Round(100 * s.DepthM / x.band.Likely * 24)), Decimals: 2, Unit: quantity.Metre},
			tenth(x.band.Likely, quantity.Hour), tenth(x.band.Low, quantity.Hour), tenth(x.band.High, quantity.Hour))
	}
}

func (v *View) drawRests(a *answer.Answer, s Settling) {
	if !math.IsNaN(s.DepthM) {
		a.RestsOn("draw.rests.depth", answer.Args{"depth": quantity.Figure{Mantissa: int64(math.Round(100 * s.DepthM)), Decimals: 2, Unit: quantity.Metre}, "how": answer.Key(s.DepthHow)})
	}
	if !math.IsNaN(s.TempC) {
		a.RestsOn("draw.rests.temp", answer.Args{"temp": tenth(s.TempC, quantity.DegC), "how": answer.Key(s.TempHow)})
	}
	if !math.IsNaN(s.WaterPct) {
		a.RestsOn("draw.rests.water", answer.Args{"water": tenth(s.WaterPct, quantity.Pct), "how": answer.Key(s.WaterHow)})
	}
	if s.Reckoned && s.Own.Seen > 0 {
		a.RestsOn("draw.own", answer.Args{"tanks": int64(s.Own.Seen), "days": tenth(s.Own.OwnOnly*s.Clear.Likely/24, quantity.Day)})
	}
}
