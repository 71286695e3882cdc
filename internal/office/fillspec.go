package office

import (
	"strings"

	"combline/internal/answer"
	"combline/internal/fill"
	"combline/internal/quantity"
	"combline/internal/record"
	"combline/internal/standard"
)

// A FillSpec is what a run's filling is judged by, as the record has it.
type FillSpec struct {
	Run, Product record.Code
	Name         string // of the product
	Filler       record.Code
	Label        quantity.Milligram
	Rules        standard.Rules
	Minimum      bool // no jar under its label: the house's own rule
	Tolerance    standard.Tolerance
	Nozzles      int // 0: not known
	SetG         float64
	HasSet       bool    // SetG is the set weight now
	Checked      int     // jars of each nozzle by which it was set
	AssumedG     float64 // spread of single jars until some are weighed one by one
	Scale        record.Code
	Weighing     fill.Weighing
	HasDivision  bool // Weighing says whether the scale is fine enough
	NozzleShown  bool // the jar's mark tells its nozzle
	PricePerKg   quantity.MoneyCents
	HasPrice     bool
	Dose         fill.Dose // of a filler that doses by volume
	PerHour      float64   // jars, where nothing was counted; 0: not known
	StartMS      int64
	Offset       int16 // minutes of local time from UTC
	Ended        bool
	EndMS        int64
}

// The house's own rules for filling, and what holds where it has none (common practice,
// no source).
var (
	fillSpread = quantity.Figure{Mantissa: 5, Decimals: 1, Unit: quantity.Pct} // of the label
	fillWarmer = quantity.Figure{Mantissa: 5, Unit: quantity.DegC}             // than at the setting, for a doser by volume
	fillStep   = quantity.Figure{Mantissa: 2, Decimals: 1, Unit: quantity.G}   // finest a nozzle can be set
)

// fillSpec reads what a run is judged by. why says what is missing for any answer.
func (v *View) fillSpec(run record.Code) (s FillSpec, why *answer.Line) {
	t, ok := v.State.Find(run)
	r, is := v.State.Run(t)
	if !ok || !is {
		return s, &answer.Line{Key: "fill.no-run", Args: answer.Args{"of": run}}
	}
	s = FillSpec{Run: v.State.Code(t), Product: r.Started.Product, StartMS: r.When.Minute * 60_000, Offset: r.When.Offset}
	if s.Ended = r.Ended; r.Ended {
		s.EndMS = r.EndedAt.Minute * 60_000
	}
	p, ok := v.State.Goods.Product(r.Started.Product)
	if !ok || !p.Label.Given() {
		return s, &answer.Line{Key: "fill.no-label", Args: answer.Args{"of": s.Run, "product": s.Product}}
	}
	s.Name = p.Name
	s.Label, _ = p.Label.Figure.Milligrams()
	rules := p.Rules
	if rules == "" {
		rules = v.State.House().Rules
	}
	var err error
	if s.Rules, err = standard.ParseRules(strings.ToLower(strings.TrimSpace(rules))); err != nil {
		return s, &answer.Line{Key: "fill.no-rules", Args: answer.Args{"of": s.Run, "rules": rules}}
	}
	if s.Tolerance, err = standard.ToleranceOf(s.Rules, s.Label); err != nil {
		return s, &answer.Line{Key: "fill.no-tolerance", Args: answer.Args{"of": s.Run, "label": s.Label, "rules": s.Rules.String()}}
	}
	if r.Started.Target.Given() {
		s.setTo(r.Started.Target.Figure)
	}
	v.fillerOf(&s, r.Started.Machines)
	v.fillRules(&s)
	if s.Minimum {
		s.Tolerance.T, s.Tolerance.T1, s.Tolerance.HasT2 = 0, s.Label, false
	}
	return s, nil
}

// fillerOf finds the filler among a run's machines: the one that has nozzles, else the
// last one.
func (v *View) fillerOf(s *FillSpec, machines []record.Code) {
	for _, m := range machines {
		t, _ := v.State.Find(m)
		named, ok := v.State.Named(t).(*record.MachineNamed)
		if s.Nozzles > 0 || !ok {
			continue
		}
		s.Filler = m
		if s.Nozzles = int(min(max(named.Nozzles, 0), MaxNozzles)); s.Nozzles > 0 {
			s.PerHour = named.Rate.Float()
		}
	}
}

func (s *FillSpec) setTo(f quantity.Figure) {
	if m, err := f.Milligrams(); err == nil && m > 0 {
		s.SetG, s.HasSet = fill.Grams(m), true
	}
}

// What a doser by volume is reckoned with where nobody wrote down better: the honey's
// temperature at the setting, and its water. Both hardly matter: what counts is how much
// warmer it gets.
const (
	usualFillTemp  quantity.Celsius  = 30
	usualFillWater quantity.WaterPct = 17.5
)

// setAt takes in how warm the honey was when the filler was set; the warmest moves along.
func (s *FillSpec) setAt(t quantity.Celsius) {
	const least, most = 10, 60 // where the density is known
	warmer := s.Dose.WarmTemp - s.Dose.SetTemp
	s.Dose.SetTemp = min(max(t, least), most)
	s.Dose.WarmTemp = min(s.Dose.SetTemp+max(0, warmer), most)
}

// fillRules are the house's own rules about filling.
func (v *View) fillRules(s *FillSpec) {
	set := func(name string) (quantity.Figure, bool) {
		f := v.State.Setting(name, quantity.Figure{})
		return f, f.Given()
	}
	if f := v.State.Setting("fill.spread", fillSpread); f.Unit == quantity.Pct {
		s.AssumedG = f.Float() / 100 * fill.Grams(s.Label)
	} else if m, err := f.Milligrams(); err == nil {
		s.AssumedG = fill.Grams(m)
	}
	if f, ok := set("fill.nozzles"); ok {
		s.Nozzles = int(min(max(f.Float(), 0), MaxNozzles))
	}
	if f, ok := set("fill.rate"); ok {
		s.PerHour = max(0, f.Float())
	}
	f, ok := set("fill.price")
	if !ok { // what the house's own honey costs
		f = v.State.Setting("cost.own", costOwn)
	}
	s.PricePerKg, s.HasPrice = quantity.MoneyCents(f.Float()*100+0.5), f.Float() > 0
	if yes(v.State.SettingText("fill.by-volume")) {
		s.Dose = fill.Dose{ByVolume: true, SetWater: usualFillWater, WettestPct: usualFillWater}
		s.Dose.WarmTemp = quantity.Celsius(v.State.Setting("fill.warmer", fillWarmer).Float())
		s.setAt(usualFillTemp)
	}
	s.NozzleShown = yes(v.State.SettingText("fill.nozzle-on-jar"))
	s.Minimum = yes(v.State.SettingText("fill.minimum"))
}

func yes(text string) bool {
	switch strings.ToLower(strings.TrimSpace(text)) {
	case "yes", "sí", "si", "tak":
		return true
	}
	return false
}

// weighedBy takes in the scale that the jars were weighed with.
func (v *View) weighedBy(s *FillSpec, scale record.Code) {
	if scale == "" {
		return
	}
	s.Scale = v.properCode(scale)
	s.HasDivision = false
	t, ok := v.State.Find(scale)
	named, is := v.State.Named(t).(*record.InstrumentNamed)
	if !ok || !is {
		return
	}
	if d, ok := divisionOf(named); ok {
		if w, err := fill.CheckDivision(s.Rules, s.Label, d); err == nil {
			s.Weighing, s.HasDivision = w, true
		}
	}
}

// divisionOf is a scale's division; false for an instrument that is none.
func divisionOf(i *record.InstrumentNamed) (standard.Microgram, bool) {
	g, err := i.Division.In(quantity.G)
	if err != nil || !i.Division.Given() {
		return 0, false
	}
	d, err := standard.MicrogramsOf(g)
	return d, err == nil && d > 0
}

// WouldDo lists the house's scales that are fine enough for jars of a label.
func (v *View) WouldDo(r standard.Rules, label quantity.Milligram) (all []record.Code) {
	for _, t := range v.State.OfKind(record.Instrument) {
		named, ok := v.State.Named(t).(*record.InstrumentNamed)
		if !ok {
			continue
		}
		d, is := divisionOf(named)
		if !is {
			continue
		}
		most, err := named.Capacity.Milligrams()
		if w, bad := fill.CheckDivision(r, label, d); bad == nil && w.Enough && (err != nil || !named.Capacity.Given() || most >= label) {
			all = append(all, v.State.Code(t))
		}
	}
	return all
}
