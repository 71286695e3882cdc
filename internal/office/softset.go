package office

import (
	"math"

	"combline/internal/answer"
	"combline/internal/flow"
	"combline/internal/heat"
	"combline/internal/honey"
	"combline/internal/house"
	"combline/internal/quantity"
	"combline/internal/record"
)

// What cools a tank, where the house set nothing: the jacket's temperature, an assumption
// of the program without a source. What passes the wall of a tank whose stiff honey is
// stirred slowly is 30 to 80 W/(m²·K) (from memory; C), and the seed is stirred in at 24 °C.
var coolJacket = quantity.Figure{Mantissa: 8, Unit: quantity.DegC}

const (
	coolFilmLow, coolFilm, coolFilmHigh = 30.0, 50.0, 80.0
	tankDepthPerWidth                   = 1.0 // of a tank nobody measured
)

// SeedAsk asks for a soft-set tank.
type SeedAsk struct {
	Tank  record.Code
	Seed  record.Code // none: the house's only seed
	At    record.When
	Honey quantity.Gram   // 0: what is in the tank
	Water quantity.Figure // none: as read
	Start quantity.Figure // temperature now; none: as read, else 24 °C
}

// A SoftTank is a tank of soft-set honey, planned or in work.
type SoftTank struct {
	Stand
	Honey    quantity.Gram
	Water    float64
	WaterHow string
	Yeast    float64
	Counted  bool
	Seed     house.Content
	Seeds    []house.Content
	SeedNot  *answer.Line // what is wrong with the seed that was named
	SeedW    float64
	SeedRead bool
	Advised  honey.Band[float64]
	Use      float64 // kg of the seed to take
	Judge    flow.SoftSet
	Judged   bool
	Cool     honey.Band[float64] // hours to 14 °C; 0: not reckoned
	CoolNo   bool                // the jacket is too warm for it
	StartC   float64
	JacketC  float64
	Seeded   *record.Seeded // what was stirred in
	SeededAt record.When
	Cooled   record.When
	SetFrom  record.When // jarring window
	SetTo    record.When
	LastC    float64 // last reading since it was cooled
}

// SoftTank looks at one tank.
func (v *View) SoftTank(ask SeedAsk) (s SoftTank, ok bool) {
	if s.Stand, ok = v.StandOf(ask.Tank); !ok {
		return s, false
	}
	if s.Honey = ask.Honey; s.Honey == 0 && !s.Empty {
		s.Honey = s.Content.Grams
	}
	v.softCourse(&s)
	v.softWater(&s, ask)
	v.softSeed(&s, ask)
	if s.Honey > 0 {
		s.Advised, _ = flow.SeedFor(float64(s.Honey) / 1000)
		s.Use = s.Advised.Likely
		if s.Seed.Node != 0 {
			s.Use = min(float64(s.Seed.Grams)/1000, s.Advised.High)
		}
		v.softJudge(&s)
		v.softCool(&s, ask)
	}
	return s, true
}

// softCourse finds what was done to the tank's present honey.
func (v *View) softCourse(s *SoftTank) {
	s.LastC = math.NaN()
	if s.Empty {
		return
	}
	cooled := int64(math.MaxInt64)
	for _, e := range v.Mentions(s.Code) {
		switch f := e.Fact.(type) {
		case *record.Seeded:
			if f.Vessel.Fold() == s.Code.Fold() && e.When.Minute >= s.Content.When.Minute-24*60 {
				s.Seeded, s.SeededAt = f, e.When
			}
		case *record.Cooled:
			if s.Seeded != nil {
				s.Cooled, cooled = e.When, e.When.Minute
			}
		case *record.TemperatureRead:
			if c, err := f.Temp.Celsius(); err == nil && f.Of.Fold() == s.Code.Fold() && e.When.Minute >= cooled {
				s.LastC = float64(c)
			}
		}
	}
	if s.Cooled != (record.When{}) {
		s.SetFrom, s.SetTo = s.Cooled, s.Cooled
		s.SetFrom.Minute += int64(flow.SetDaysLow * 24 * 60)
		s.SetTo.Minute += int64(flow.SetDaysHigh * 24 * 60)
	}
}

func (v *View) softWater(s *SoftTank, ask SeedAsk) {
	s.Water = math.NaN()
	if x, err := ask.Water.In(quantity.Pct); err == nil && ask.Water.Given() {
		s.Water, s.WaterHow = x, "draw.how.typed"
	} else if !s.Empty {
		if d := v.doubter().of(s.Content.Node, record.Water); d.Value.Known() {
			s.Water, s.WaterHow = d.Value.Value, "draw.how.read"
		}
	}
	if !s.Empty {
		if y := v.doubter().of(s.Content.Node, record.Yeast); y.Value.Known() {
			s.Yeast, s.Counted = y.Value.Value, true
		}
	}
}

// softSeed finds the seed: as asked, or the only one that is free.
func (v *View) softSeed(s *SoftTank, ask SeedAsk) {
	held := v.held()
	for _, c := range v.State.Contents() {
		if c.Purpose == record.SeedHoney && c.Grams > 0 && !held.Blocked(c.Node) {
			s.Seeds = append(s.Seeds, c)
		}
	}
	switch {
	case ask.Seed != "":
		v.seedNamed(s, ask.Seed, held)
	case len(s.Seeds) == 1:
		s.Seed = s.Seeds[0]
	}
	if s.Seed.Node != 0 {
		if d := v.doubter().of(s.Seed.Node, record.Water); d.Value.Known() {
			s.SeedW, s.SeedRead = d.Value.Value, true
		}
	}
}

// seedNamed takes the seed that was named: nothing that is not there, or on hold.
func (v *View) seedNamed(s *SoftTank, seed record.Code, held house.Held) {
	args := answer.Args{"seed": v.properCode(seed)}
	st, ok := v.StandOf(seed)
	switch {
	case !ok || st.Empty:
		s.SeedNot = &answer.Line{Key: "seed.not-there", Args: args, Mark: answer.Care}
	case held.Blocked(st.Content.Node):
		s.SeedNot = &answer.Line{Key: "seed.held", Args: args, Mark: answer.Bad}
	case st.Content.Node == s.Content.Node:
		s.SeedNot = &answer.Line{Key: "seed.itself", Args: args, Mark: answer.Care}
	default:
		s.Seed = st.Content
		if st.Content.Purpose != record.SeedHoney {
			s.SeedNot = &answer.Line{Key: "seed.not-seed", Args: args, Mark: answer.Care}
		}
	}
}

func (v *View) softJudge(s *SoftTank) {
	if math.IsNaN(s.Water) {
		return
	}
	seed, seedW := s.Use, s.SeedW
	switch {
	case s.Seeded != nil: // it is in already
		seed, seedW = 0, 0
	case !s.SeedRead:
		seedW = s.Water
	}
	j, err := flow.JudgeSoftSet(float64(s.Honey)/1000, quantity.WaterPct(s.Water), seed, quantity.WaterPct(seedW), quantity.YeastPerG(s.Yeast), s.Counted)
	s.Judge, s.Judged = j, err == nil
}

// softCool is how long the jacket takes to 14 °C: a stirred tank, with the heat that
// setting itself gives off spread over the way.
func (v *View) softCool(s *SoftTank, ask SeedAsk) {
	s.StartC = flow.SeedAtC
	if c, err := ask.Start.Celsius(); err == nil && ask.Start.Given() {
		s.StartC = float64(c)
	} else if c, err := s.Temp.Value.Celsius(); err == nil && s.Temp.Value.Given() && s.Temp.Place == "" {
		s.StartC = float64(c)
	}
	jacket, err := v.State.Setting("cool.jacket", coolJacket).Celsius()
	if err != nil || !(s.StartC > flow.SetHighC) {
		return
	}
	s.JacketC = float64(jacket)
	cp, err := honey.HeatCapacity(20, quantity.WaterPct(min(25, max(13, fallback(s.Water, 17.5)))))
	if err != nil {
		return
	}
	kg := float64(s.Honey) / 1000
	var hours [3]float64
	for i, film := range [3]float64{coolFilmHigh, coolFilm, coolFilmLow} {
		t := heat.StirredTank{MassKg: kg, CpJKgK: 1000 * float64(cp.Likely), JacketWK: film * s.wetWall(kg), JacketC: s.JacketC, StartC: s.StartC}
		if hours[i], err = t.Until(flow.SetHighC); err != nil {
			s.CoolNo = true
			return
		}
	}
	s.Cool = honey.Band[float64]{Low: hours[0], Likely: hours[1], High: hours[2]}
}

func fallback(x, otherwise float64) float64 {
	if math.IsNaN(x) {
		return otherwise
	}
	return x
}

// wetWall is the area, m², of wall and bottom that the honey touches.
func (s *SoftTank) wetWall(kg float64) float64 {
	volume := kg / 1420
	wide, err := s.Wide.In(quantity.Metre)
	if err != nil || !s.Wide.Given() || !(wide > 0) {
		wide = math.Cbrt(4 * volume / (math.Pi * tankDepthPerWidth))
	}
	depth := volume / (math.Pi * wide * wide / 4)
	return math.Pi*wide*depth + math.Pi*wide*wide/4
}

// Seed answers what seed and how much for a soft-set tank, whether the honey is dry
// enough, how long it cools, and when it may be jarred.
func (v *View) Seed(ask SeedAsk) answer.Answer {
	a := answer.Answer{Question: "seed", Of: ask.Tank}
	s, ok := v.SoftTank(ask)
	if !ok {
		return v.notTraced(a, ask.Tank)
	}
	a.Of = s.Code
	if a.Cannot = ask.odd(); a.Cannot != nil {
		return a
	}
	if s.Honey <= 0 {
		a.Cannot = &answer.Line{Key: "seed.empty", Args: answer.Args{"tank": s.Code}}
		return a
	}
	v.seedDry(&a, s)
	if s.Seeded != nil {
		v.seedIn(&a, s, ask.At)
	} else {
		v.seedToAdd(&a, s)
	}
	v.seedCool(&a, s)
	v.seedTable(&a, s)
	if s.WaterHow != "" {
		a.RestsOn("draw.rests.water", answer.Args{"water": tenth(s.Water, quantity.Pct), "how": answer.Key(s.WaterHow)})
	}
	a.Follows("follows.soft-set", nil)
	v.restsOnRecord(&a)
	return a
}

// seedDry says whether the honey is dry enough when it has set.
func (v *View) seedDry(a *answer.Answer, s SoftTank) {
	if !s.Judged {
		a.Warn("seed.no-water", answer.Args{"tank": s.Code})
		a.Then("next.seed.read", answer.Args{"tank": s.Code})
		return
	}
	args := answer.Args{"water": tenth(float64(s.Judge.Water), quantity.Pct), "liquid": tenth(float64(s.Judge.Liquid), quantity.Pct), "crystals": quantity.Percent(flow.SetCrystals),
		"most": quantity.Percent(flow.SoftSetMost), "limit": int64(s.Judge.Ferment.Limit)}
	line := answer.Line{Key: "seed.uncounted", Args: args, Mark: answer.Care}
	switch {
	case s.Judge.Ferment.Keeping == honey.KeepsNot:
		line.Key, line.Mark = "seed.ferments", answer.Bad
	case !s.Judge.DryEnough:
		line.Key, line.Mark = "seed.too-wet", answer.Bad
	case s.Judge.Ferment.Keeping == honey.Keeps:
		line.Key, line.Mark = "seed.keeps", answer.Good
	}
	if s.Counted {
		line.Args["yeast"] = int64(math.Round(s.Yeast))
	} else {
		line.Args["yeast"] = nil
	}
	a.Lines = append(a.Lines, line)
	switch line.Mark {
	case answer.Bad:
		a.Then("next.seed.other", answer.Args{"tank": s.Code})
	case answer.Care:
		a.Then("next.seed.count", answer.Args{"tank": s.Code, "limit": int64(s.Judge.Ferment.Limit)})
	}
	if s.Status == string(onHold) {
		a.Lines = append(a.Lines, answer.Line{Key: "draw.held", Args: answer.Args{"tank": s.Code, "holds": s.Holding}, Mark: answer.Bad})
	}
}

func (v *View) seedToAdd(a *answer.Answer, s SoftTank) {
	a.Say("seed.add", answer.Args{"honey": s.Honey, "low": tenth(s.Advised.Low, quantity.KgUnit), "high": tenth(s.Advised.High, quantity.KgUnit), "likely": tenth(s.Advised.Likely, quantity.KgUnit)})
	if s.SeedNot != nil {
		a.Lines = append(a.Lines, *s.SeedNot)
	}
	switch {
	case s.Seed.Node != 0:
		have := float64(s.Seed.Grams) / 1000
		args := answer.Args{"seed": s.Seed.Code, "have": s.Seed.Grams, "share": quantity.Percent(100 * s.Use / (float64(s.Honey) / 1000)), "use": tenth(s.Use, quantity.KgUnit)}
		if have >= s.Advised.Low {
			a.Lines = append(a.Lines, answer.Line{Key: "seed.enough", Args: args, Mark: answer.Good})
		} else {
			args["takes"] = tenth(have/flow.SeedShareLow*100, quantity.KgUnit)
			a.Warn("seed.short", args)
		}
		if !s.Judged || s.Judge.DryEnough && s.Judge.Ferment.Keeping != honey.KeepsNot {
			a.Then("next.seed.stir", answer.Args{"seed": s.Seed.Code, "tank": s.Code})
		}
	case s.SeedNot != nil: // said above
	case len(s.Seeds) == 0:
		a.Warn("seed.none", nil)
		a.Then("next.seed.get", nil)
	default:
		a.Warn("seed.which", nil)
	}
}

// seedIn says how far a tank is that has its seed.
func (v *View) seedIn(a *answer.Answer, s SoftTank, now record.When) {
	a.Say("seed.in", answer.Args{"seed": s.Seeded.Seed, "when": s.SeededAt})
	if s.Cooled == (record.When{}) {
		a.Then("next.seed.cool", answer.Args{"tank": s.Code})
		return
	}
	args := answer.Args{"cooled": s.Cooled, "from": s.SetFrom, "to": s.SetTo, "days": tenth(float64(now.Minute-s.Cooled.Minute)/1440, quantity.Day)}
	switch {
	case now.Minute < s.SetFrom.Minute:
		a.Warn("seed.sets", args)
	case s.Judged && s.Judge.Ferment.Keeping == honey.KeepsNot:
		a.Lines = append(a.Lines, answer.Line{Key: "seed.set-bad", Args: args, Mark: answer.Bad})
	default:
		a.Lines = append(a.Lines, answer.Line{Key: "seed.jar", Args: args, Mark: answer.Good})
		a.Then("next.seed.jar", answer.Args{"tank": s.Code})
	}
	if c := s.LastC; !math.IsNaN(c) && (c < flow.SetLowC-1 || c > flow.SetHighC+1) && now.Minute < s.SetFrom.Minute {
		a.Warn("seed.off-temp", answer.Args{"temp": tenth(c, quantity.DegC)})
	}
}

func (v *View) seedCool(a *answer.Answer, s SoftTank) {
	if s.Seeded != nil && s.Cooled != (record.When{}) {
		return
	}
	switch {
	case s.CoolNo:
		a.Warn("seed.jacket-warm", answer.Args{"jacket": tenth(s.JacketC, quantity.DegC)})
	case s.Cool.Likely > 0:
		a.Say("seed.cool", answer.Args{"start": tenth(s.StartC, quantity.DegC), "low": tenth(s.Cool.Low, quantity.Hour), "likely": tenth(s.Cool.Likely, quantity.Hour), "high": tenth(s.Cool.High, quantity.Hour),
			"jacket": tenth(s.JacketC, quantity.DegC)})
	}
}

func (v *View) seedTable(a *answer.Answer, s SoftTank) {
	if len(s.Seeds) == 0 || s.Seeded != nil {
		return
	}
	t := a.Table("seeds", "content", "mass_g", "water", "lot", "place")
	for _, c := range s.Seeds {
		var water any
		if d := v.doubter().of(c.Node, record.Water); d.Value.Known() {
			water = tenth(d.Value.Value, quantity.Pct)
		}
		t.Row(answer.Plain, c.Code, c.Grams, water, orNil(v.LotOf(c)), orNil(c.Place))
	}
}
