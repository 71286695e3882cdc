package web

import (
	"fmt"
	"html/template"
	"math"
	"strings"

	"combline/internal/answer"
	"combline/internal/office"
	"combline/internal/quantity"
	"combline/internal/record"
	"combline/internal/standard"
)

// A vessel and what is in it: how full, from where, what was read, what can be done.
type vesselPage struct {
	*frame
	Head     string
	About    string
	Flag     *chip
	Draw     template.HTML
	Kg       figure
	Temp     string
	Stale    string
	Facts    []fact2
	From     []stratum
	Readings []reading
	Acts     []option
	More     []option
	Holds    []answerLine
	In, Out  *sheet
	Others   []option
	Unread   bool
	Rules    string
	Room     figure // of the allowance for HMF that is used at the best-before
	Bar      template.HTML
	Keep     *keepPanel
}

// A fact2 is a name with what it is, for short lists.
type fact2 struct {
	Name, Text, Href string
}

// A stratum is one origin of a content.
type stratum struct {
	Fill, Name, Under, Href string
	Share                   figure
	Kg                      figure
}

// A reading is one property against its limits.
type reading struct {
	Name   string
	Num    figure
	Under  string
	Class  string
	Icon   string
	State  string
	Rule   template.HTML
	Source string
}

func (v *visit) vessel() error {
	code := v.of()
	var f office.Filled
	var ok bool
	var near []record.Code
	var released []answer.Line
	v.s.office.Read(func(h *office.View) {
		if f, ok = h.Filled(code); ok {
			released = h.Released(f.Content.Code)
		} else {
			near = h.State.Near(code, []record.Entity{record.Vessel, record.Filling})
		}
	})
	if !ok {
		return &notThere{code, near}
	}
	st := f.Stand
	head := string(st.Code)
	if c := string(f.Content.Code); c != "" && !strings.HasPrefix(c, head+"/") {
		head = c
	}
	p := vesselPage{frame: v.frame("stock", head), Head: head, Flag: v.flag(st), Draw: elevation(st), Kg: v.kg(0, 1)}
	p.Flag.Big = true
	p.about(record.Code(head))
	p.Temp, p.Stale = v.temperature(st.Temp)
	if !st.Empty {
		v.fillVessel(&p, f)
		for _, l := range released {
			p.Holds = append(p.Holds, v.line(l))
		}
	}
	v.vesselFacts(&p, f)
	p.Acts, p.More = v.vesselActs(f)
	for _, c := range f.Others {
		p.Others = append(p.Others, option{Text: string(c), Href: link("/vessel", "of", string(c))})
	}
	return v.render("vessel", p)
}

func (v *visit) fillVessel(p *vesselPage, f office.Filled) {
	c := f.Content
	p.Kg = v.kg(c.Grams, 1)
	p.Kg.Href = p.how(v.massHow(f))
	p.Kg.Label = v.say("page.how.open", "figure", v.text(c.Grams))
	if len(c.InLots) > 0 {
		p.Kg = figure{Value: v.say("page.today.running-in")}
	}
	for _, l := range f.Stand.Holding {
		mark := answer.Bad
		key := "trace.on-hold"
		if f.Stand.Status == "touched" {
			mark, key = answer.Care, "trace.touched"
		}
		p.Holds = append(p.Holds, v.line(answer.Line{Key: key, Mark: mark, Args: answer.Args{"of": c.Code, "hold": l, "reason": v.reasonOf(l)}}))
	}
	parts := make([]quantity.Gram, len(f.From))
	for i, h := range f.From {
		parts[i] = max(h.Grams, 0)
	}
	shares, err := v.c.Shares(parts, 1)
	for i, h := range f.From {
		s := stratum{Fill: honeyFill(h.Color, h.Read), Name: v.text(h.Name), Kg: v.kg(h.Grams, 1), Href: thingLink(codeOf(h.Also))}
		if h.Also != nil {
			s.Under = v.text(h.Also)
		} else {
			s.Href = thingLink(record.Code(v.text(h.Name)))
		}
		if err == nil {
			s.Share = figure{Value: shares[i]}
		}
		switch {
		case len(c.InLots) > 0:
			s.Share, s.Kg = figure{Value: v.say("page.today.running-in")}, figure{}
		case h.Grams == 0:
			s.Share = figure{Value: v.say("page.vessel.possible")}
		}
		p.From = append(p.From, s)
	}
	for i, r := range f.Readings {
		p.Readings = append(p.Readings, v.reading(p, i, r))
	}
	p.Unread = true
	for _, r := range f.Readings {
		p.Unread = p.Unread && r.Property != record.Water
	}
	if f.Now && c.Grams > 0 && len(c.InLots) == 0 {
		var k *office.Keep
		p.Keep, k = v.keepPanel(p.frame, c.Code)
		v.roomUsed(p, k)
	}
	p.In, p.Out = v.passageSheet(f.In, "page.vessel.came"), v.passageSheet(f.Out, "page.vessel.went")
}

// reasonOf is why a hold was set.
func (v *visit) reasonOf(hold record.Code) (reason string) {
	v.s.office.Read(func(h *office.View) {
		if t, ok := h.State.Find(hold); ok && h.State.Hold(t) != nil {
			reason = h.State.Hold(t).Reason
		}
	})
	return reason
}

// massHow says how a content's weight comes about: what came in less what went out.
func (v *visit) massHow(f office.Filled) how {
	h := how{ID: "how-kg", Title: v.say("page.vessel.honey"), Answer: v.text(f.Content.Grams), Formula: []string{v.say("page.vessel.formula")},
		Source: v.say("page.vessel.source")}
	for _, x := range f.In {
		h.Inputs = append(h.Inputs, input{Name: v.passageName(x), Value: "+ " + v.text(x.Grams), Href: thingLink(x.Code)})
	}
	if len(f.In) == 0 {
		h.Inputs = append(h.Inputs, input{Name: v.say("page.vessel.as-written"), Value: "+ " + v.text(f.Content.Made), Note: v.text(f.Content.When)})
	}
	for _, x := range f.Out {
		h.Inputs = append(h.Inputs, input{Name: v.passageName(x), Value: "− " + v.text(x.Grams), Href: thingLink(x.Code)})
	}
	return h
}

func (v *visit) passageName(x office.Passage) string {
	kind := v.say("node." + x.Kind.String())
	if x.Code == "" {
		return kind
	}
	return string(x.Code) + ", " + kind
}

func (v *visit) passageSheet(all []office.Passage, title string) *sheet {
	if len(all) == 0 {
		return nil
	}
	s := &sheet{Title: v.say(title), Heads: []head{{Text: v.say("column.content")}, {Text: v.say("column.kind")}, {Text: v.say("column.mass_g") + v.unitOf("mass_g"), Right: true}}}
	for _, x := range all {
		s.Rows = append(s.Rows, sheetRow{Cells: []sheetCell{{Text: string(x.Code), Head: true, Href: thingLink(x.Code)}, {Text: v.say("node." + x.Kind.String())}, {Text: v.kg(x.Grams, 1).Value, Right: true}}})
	}
	return s
}

// usual are what a property of honey reads, for the ends of its rule.
var usual = map[record.Property][2]float64{record.Water: {15, 21}, record.Colour: {0, 120}, record.HMF: {0, 50}, record.Diastase: {0, 30}, record.Conductivity: {0, 1},
	record.Invertase: {0, 30}, record.FreeAcid: {0, 60}, record.Sucrose: {0, 10}, record.Insolubles: {0, 0.2}, record.Acidity: {3, 6}, record.Crystals: {0, 100}, record.WaterActivity: {0.5, 0.7}}

// reading draws one property against its limit, and says whose reading it is.
func (v *visit) reading(p *vesselPage, i int, r office.Read) reading {
	x := reading{Name: v.say(r.Property.Key()), Under: v.whoRead(r)}
	if r.What != "" {
		x.Name += ": " + r.What
	}
	if !r.Value.Given() {
		x.Num = figure{Value: v.say(record.ChoiceKey(map[record.Verdict]string{record.Clear: "clear", record.Found: "found"}[r.Result.Verdict]))}
		return x
	}
	value := r.Value.Float()
	x.Num = figure{Value: v.boundSign(r) + v.c.Number(value, int(r.Value.Decimals)), Unit: v.c.Unit(r.Value.Unit)}
	rule := dipRule{value: value, low: value, high: value, least: math.NaN(), most: math.NaN()}
	if r.PlusMinus.Given() {
		low, high := quantity.FromPlusMinus(value, r.PlusMinus.Float()).Band9in10()
		rule.low, rule.high = max(0, low), high
		x.Num.Spread = v.c.Number((high-low)/2, max(int(r.PlusMinus.Decimals), int(r.Value.Decimals)))
	}
	ends, known := usual[r.Property]
	if !known {
		ends = [2]float64{0, value * 1.5}
	}
	rule.from, rule.to = ends[0], ends[1]
	v.readingState(&x, &rule, r)
	rule.label = x.Name + ": " + v.text(r.Value) + ". " + x.State
	x.Rule = rule.draw(v.c.Number)
	x.Num.Href = p.how(v.readingHow(i, r, x))
	x.Num.Label = v.say("page.how.open", "figure", x.Name+" "+v.text(r.Value))
	return x
}

func (v *visit) boundSign(r office.Read) string {
	return map[record.Bound]string{record.Below: "< ", record.Above: "> "}[r.Bound]
}

// readingState says how a reading stands to its limit.
func (v *visit) readingState(x *reading, rule *dipRule, r office.Read) {
	if !r.Limited {
		return
	}
	switch r.Limit.Bound {
	case standard.Max:
		rule.most = r.Limit.Value
	case standard.Min:
		rule.least = r.Limit.Value
	}
	key := map[standard.Verdict]string{standard.Pass: "pass", standard.AtLimit: "pass", standard.TooClose: "too-close", standard.Breach: "fail"}[r.Judge]
	if key == "" {
		return
	}
	rule.allowed = true
	if key == "pass" && !r.PlusMinus.Given() { // what is not known is no pass
		x.State, x.Icon = v.say("page.vessel.bare"), "dash"
		return
	}
	x.State = v.say("verdict." + key)
	x.Class = map[string]string{"pass": "ok", "too-close": "watch", "fail": "stop"}[key]
	x.Icon = chipIcons[x.Class]
}

func (v *visit) whoRead(r office.Read) string {
	who := v.say("page.vessel.in-house")
	if r.Fact.Lab != "" {
		who = r.Fact.Lab
	}
	text := v.text(r.When) + " · " + who
	if r.Of != "" {
		text += " · " + v.say("page.vessel.read-of", "of", string(r.Of))
	}
	return text
}

// readingHow says how a reading was made and what its limit is.
func (v *visit) readingHow(i int, r office.Read, x reading) how {
	h := how{ID: fmt.Sprintf("how-read-%d", i), Title: x.Name, Answer: v.boundSign(r) + v.text(r.Value)}
	add := func(key string, cell answer.Cell) {
		h.Inputs = append(h.Inputs, input{Name: v.say(key), Value: v.text(cell)})
	}
	h.Inputs = append(h.Inputs, input{Name: v.say("column.fact"), Value: v.num(int64(r.Seq)), Note: v.whoRead(r), Href: link("/correct", "fact", v.num(int64(r.Seq)))})
	if r.PlusMinus.Given() {
		add("field.plus_minus", r.PlusMinus)
		h.Formula = append(h.Formula, v.say("page.vessel.band"))
	} else {
		h.Inputs = append(h.Inputs, input{Name: v.say("field.plus_minus"), Value: v.say("unknown")})
	}
	if r.Fact.Method != "" {
		add("field.method", r.Fact.Method)
	}
	if r.Fact.Instrument != "" {
		add("field.instrument", r.Fact.Instrument)
	}
	if r.Property == record.Water && r.Fact.Lab == "" {
		h.Inputs = append(h.Inputs, input{Name: v.say("field.honey_temp"), Value: v.text(figureCell(r.Fact.HoneyTemp))})
		add("field.corrects_itself", r.Fact.SelfRights)
	}
	if r.Limited {
		limit := v.say("page.vessel.no-limit")
		if r.Limit.Bound != standard.Unbounded {
			sign := map[standard.Bound]string{standard.Max: "≤ ", standard.Min: "≥ "}[r.Limit.Bound]
			limit = sign + v.c.With(r.Limit.Value, decimalsOf(r.Limit.Value), r.Limit.Property.Unit())
		}
		h.Inputs = append(h.Inputs, input{Name: v.say("page.vessel.limit"), Value: limit, Note: x.State})
		if r.Break >= 0 {
			h.Inputs = append(h.Inputs, input{Name: v.say("page.vessel.chance"), Value: v.c.Percent(quantity.Percent(100*r.Break), 0)})
		}
		set := r.Limit.Cite.Set.Set()
		h.Source = strings.TrimSpace(set.Title + ", " + r.Limit.Cite.Place)
	}
	return h
}

func figureCell(f quantity.Figure) any {
	if !f.Given() {
		return nil
	}
	return f
}

func decimalsOf(x float64) int {
	for d := range 3 {
		if p := math.Pow10(d); math.Abs(math.Round(x*p)-x*p) < 1e-9 {
			return d
		}
	}
	return 3
}

// vesselFacts are the short lines below the drawing.
func (v *visit) vesselFacts(p *vesselPage, f office.Filled) {
	st := f.Stand
	add := func(key, text, href string) { p.Facts = append(p.Facts, fact2{v.say(key), text, href}) }
	if !st.Empty {
		add("column.honey", v.text(st.Honey), "")
		if f.Content.Purpose != 0 {
			add("column.purpose", v.say(f.Content.Purpose.Key()), "")
		}
		add("column.filled", v.text(f.Content.When), "")
		if st.Read {
			colour := v.c.Number(float64(st.Colour.Pfund), 0) + " mm Pfund"
			if st.Colour.Mixed {
				colour = "= " + colour
			}
			add("page.vessel.colour", colour, "")
		}
	}
	if f.Content.Vessel != "" && string(f.Content.Vessel) != p.Head {
		add("column.vessel", string(f.Content.Vessel), link("/vessel", "of", string(f.Content.Vessel)))
	}
	if st.Place != "" {
		add("column.place", string(st.Place), link("/stock", "q", string(st.Place)))
	} else if f.Now {
		add("column.place", v.say("unknown"), "")
	}
	if st.Holds > 0 {
		add("page.vessel.holds", v.text(st.Holds), "")
	}
	p.About = v.say(st.Shape.Key())
	if len(f.Content.InLots) > 0 {
		p.About += " · " + v.say("page.today.running-in") + ": " + v.text(f.Content.InLots)
	}
}

// vesselActs are what can be done with a vessel as it stands: the usual first.
func (v *visit) vesselActs(f office.Filled) (acts, more []option) {
	of := string(f.Stand.Code)
	if !f.Stand.Empty && f.Content.Vessel == "" {
		of = string(f.Content.Code)
	}
	here := link("/vessel", "of", of)
	act := func(task, icon string, extra ...string) option {
		name := task
		if len(extra) > 0 {
			name += "-" + extra[1]
		}
		return option{Text: v.say("page.act." + name), Value: icon, Href: link("/do/"+task, append([]string{"of", of, "back", here}, extra...)...)}
	}
	if !f.Now {
		return nil, []option{{Text: v.say("page.history"), Value: "list", Href: link("/history", "of", string(f.Content.Code))}}
	}
	fast := f.Stand.Shape == record.Tank || f.Stand.Shape == record.Sump || f.Stand.Shape == record.Tote
	if !f.Stand.Empty {
		acts = append(acts, act("reading", "eye", "what", "water"))
		if fast {
			acts = append(acts, act("drum-off", "drum"))
		}
		acts = append(acts, act("move", "drop"))
		more = append(more, act("reading", "eye", "what", "colour"), act("reading", "eye", "what", "other"), act("temperature", "thermo"))
		if fast {
			more = append(more, act("skim", "skim"), act("stir", "stir"))
		}
		more = append(more, act("stock-check", "scale"))
	}
	if f.Stand.Shape == record.Tank && !f.Stand.Empty {
		more = append(more, option{Text: v.say("page.vessel.ready"), Value: "clock", Href: link("/ready", "of", of)}, option{Text: v.say("page.vessel.top"), Value: "drop", Href: link("/top", "of", of)},
			option{Text: v.say("page.seed"), Value: "drop", Href: link("/seed", "of", of)})
	}
	if f.Stand.Shape != record.Drum {
		more = append(more, act("tip-back", "undo"))
	}
	more = append(more, act("place", "place"))
	if !f.Stand.Empty {
		more = append(more, option{Text: v.say("page.act.tag"), Value: "print", Href: link("/labels", "of", of)})
	}
	more = append(more, option{Text: v.say("page.history"), Value: "list", Href: link("/history", "of", of)},
		option{Text: v.say("page.tab.trace"), Value: "trace", Href: link("/trace", "of", of)})
	return acts, more
}
