package web

import (
	"fmt"
	"html/template"
	"math"
	"slices"
	"strings"

	"combline/internal/answer"
	"combline/internal/blend"
	"combline/internal/office"
	"combline/internal/quantity"
	"combline/internal/record"
)

// A useRow is honey of one lot in a blend, or kept out of it.
type useRow struct {
	Fill                       string
	Name, Under                string
	Here                       string
	Water, Colour, HMF, Enzyme string
	Use                        string
	Bar                        template.HTML
	Why                        []string
	Href                       string
}

// A limitView is what the mix comes to by one measure, against its limits.
type limitView struct {
	Name  string
	Num   figure
	Rule  template.HTML
	Room  string
	Class string
	From  string
}

// A batchOf is the contents of one lot that are alike.
type batchOf struct {
	lot   record.Code
	codes []record.Code
	here  quantity.Gram
	use   quantity.Gram
	first office.Candidate
}

// ofLots puts contents together that are of one lot and read the same.
func ofLots(all []office.Candidate, use func(i int) quantity.Gram) (groups []batchOf) {
	at := map[string]int{}
	for i, x := range all {
		key := fmt.Sprint(x.Lot, x.Content.Code)
		if x.Lot != "" {
			key = fmt.Sprint(x.Lot, x.Known[record.Water].Value.Value, x.Known[record.HMF].Value.Value, x.Known[record.Colour].Value.Value)
		}
		j, ok := at[key]
		if !ok {
			j = len(groups)
			at[key] = j
			groups = append(groups, batchOf{lot: x.Lot, first: x})
		}
		g := &groups[j]
		g.codes, g.here, g.use = append(g.codes, x.Content.Code), g.here+x.Content.Grams, g.use+use(i)
	}
	return groups
}

// shortCodes writes runs of numbers as "D028–D034".
func shortCodes(codes []record.Code) string {
	var all []string
	for i := 0; i < len(codes); {
		j := i
		for j+1 < len(codes) && follows(codes[j], codes[j+1]) {
			j++
		}
		switch {
		case j-i >= 2:
			all = append(all, string(codes[i])+"–"+string(codes[j]))
		case j == i+1:
			all = append(all, string(codes[i]), string(codes[j]))
		default:
			all = append(all, string(codes[i]))
		}
		i = j + 1
	}
	return strings.Join(all, ", ")
}

// follows reports whether b is the number after a.
func follows(a, b record.Code) bool {
	split := func(c record.Code) (head string, n int, digits int) {
		s := string(c)
		i := len(s)
		for i > 0 && s[i-1] >= '0' && s[i-1] <= '9' {
			i--
		}
		for _, d := range s[i:] {
			n = min(10*n+int(d-'0'), math.MaxInt32)
		}
		return s[:i], n, len(s) - i
	}
	ha, na, da := split(a)
	hb, nb, db := split(b)
	return ha == hb && da > 0 && da == db && nb == na+1
}

// mix shows what goes in, what becomes of it, and what each limit has left.
func (v *visit) mix(p *blendForPage, k *office.BlendCase, draws []blend.Draw, b blend.Blend, faults []blend.Fault) {
	uses := k.Uses(draws)
	all := make([]office.Candidate, len(uses))
	for i, u := range uses {
		all[i] = u.Candidate
	}
	groups := ofLots(all, func(i int) quantity.Gram { return uses[i].Draw.Grams })
	for _, g := range groups {
		r := v.useRow(g)
		r.Use = v.kg(g.use, 0).Value
		r.Bar = shareBar(float64(g.use) / math.Max(1, float64(g.here)))
		p.Uses = append(p.Uses, r)
	}
	p.Sum = useRow{Use: v.kg(b.Grams, 0).Value, Water: v.mixed(k, draws, record.Water), Colour: v.mixed(k, draws, record.Colour), HMF: v.mixed(k, draws, record.HMF), Enzyme: v.mixed(k, draws, record.Diastase)}
	p.Mix, p.MixKg = v.strata(groups, b.Grams), v.c.MassTo(b.Grams, 0)
	p.Limits = v.limitViews(p, k, draws, b, faults)
	var a answer.Answer
	k.ShareTable(&a, b)
	for _, t := range a.Tables {
		if len(t.Rows) > 0 {
			p.Shares = v.sheet(t)
		}
	}
}

func (v *visit) useRow(g batchOf) useRow {
	x := g.first
	r := useRow{Name: shortCodes(g.codes), Here: v.kg(g.here, 0).Value, Water: v.known(x, record.Water, 1), Colour: v.known(x, record.Colour, 0),
		HMF: v.known(x, record.HMF, 1), Enzyme: v.known(x, record.Diastase, 1), Href: thingLink(g.codes[0])}
	if x.Lot != "" {
		r.Under = string(x.Lot)
	}
	if len(g.codes) > 1 {
		r.Under = strings.TrimPrefix(r.Under+" · "+v.say("page.blend.contents", "n", int64(len(g.codes))), " · ")
	}
	if c := x.Known[record.Colour]; c.Value.Known() {
		r.Fill = honeyFill(office.Colour{Pfund: quantity.PfundMM(c.Value.Value)}, true)
	}
	return r
}

// known is a property of a content, "=" before what was worked out.
func (v *visit) known(x office.Candidate, p record.Property, decimals int) string {
	d := x.Known[p]
	if !d.Value.Known() {
		return v.say("page.blend.unread")
	}
	text := v.c.Number(d.Value.Value, decimals)
	if d.Mixed {
		text = "= " + text
	}
	return text
}

func (v *visit) mixed(k *office.BlendCase, draws []blend.Draw, p record.Property) string {
	d := k.Mixed(draws, p)
	if !d.Value.Known() {
		return "–"
	}
	return v.c.Number(d.Value.Value, map[record.Property]int{record.Water: 2, record.Colour: 0}[p]+map[bool]int{true: 1}[p == record.HMF || p == record.Diastase])
}

// outs lists what is not proposed, and why.
func (v *visit) outs(p *blendForPage, k *office.BlendCase, outs []blend.Out) {
	var grams quantity.Gram
	n := 0
	for _, g := range k.OutGroups(outs) {
		all := make([]office.Candidate, len(g))
		for i, o := range g {
			all[i] = o.Candidate
			grams += o.Content.Grams
			n++
		}
		for _, lot := range ofLots(all, func(int) quantity.Gram { return 0 }) {
			r := v.useRow(lot)
			for _, rule := range g[0].Rules {
				r.Why = append(r.Why, v.sentence(rule))
			}
			p.Outs = append(p.Outs, r)
		}
	}
	if n > 0 {
		p.OutHead = v.say("page.blend.out-sum", "n", int64(n), "mass", v.c.MassTo(grams, 0))
	}
}

// shareBar draws how much of what is here is used.
func shareBar(share float64) template.HTML {
	var d drawing
	d.add(`<svg class="usebar" viewBox="0 0 100 10" preserveAspectRatio="none" aria-hidden="true"><path class="steel" d="M0 0H100V10H0Z"/><path class="inked" d="M0 0H%sV10H0Z"/></svg>`, num(100*min(1, max(0, share))))
	return d.html()
}

// strata draws the mix in a tank, each lot a layer as high as its share.
func (v *visit) strata(groups []batchOf, whole quantity.Gram) template.HTML {
	const left, right, top, bottom = 8.0, 120.0, 18.0, 284.0
	var d drawing
	d.add(`<svg class="chart strata-draw" viewBox="0 0 312 292" role="img" aria-label="%s">`, template.HTMLEscapeString(v.say("page.blend.mix-drawn")))
	groups = slices.Clone(groups)
	slices.SortStableFunc(groups, func(a, b batchOf) int { return int(min(1, max(-1, b.use-a.use))) })
	shares, err := v.c.Shares(usesOf(groups), 0)
	y := bottom
	at := make([]float64, len(groups))
	for i, g := range groups {
		h := (bottom - top) * float64(g.use) / math.Max(1, float64(whole))
		fill := ""
		if c := g.first.Known[record.Colour]; c.Value.Known() {
			fill = honeyFill(office.Colour{Pfund: quantity.PfundMM(c.Value.Value)}, true)
		}
		if fill == "" {
			hatch(&d, left, y-h, right-left, h)
		} else {
			d.add(`<path fill="%s" d="M%s %sH%sV%sH%sZ"/>`, fill, num(left), num(y), num(right), num(y-h), num(left))
		}
		d.add(`<path class="dip" d="M%s %sH%s"/>`, num(left), num(y-h), num(right))
		at[i] = y - h/2 + 6
		y -= h
	}
	apartBy(at, 21, 18, bottom)
	for i, g := range groups {
		name := string(g.lot)
		if name == "" {
			name = shortCodes(g.codes)
		}
		d.text("tb", 134, at[i], clip(name, 8))
		d.text("te", 262, at[i], v.kg(g.use, 0).Value)
		if err == nil {
			d.text("t2 te", 310, at[i], shares[i])
		}
	}
	d.add(`<path class="skin" d="M%s 8V%sH%sV8M4 8H124"/></svg>`, num(left), num(bottom), num(right))
	return d.html()
}

// apartBy moves heights that fall from the first to the last so that they stand a step
// apart, within top and bottom as far as there is room.
func apartBy(at []float64, step, top, bottom float64) {
	for i := range at {
		if i > 0 {
			at[i] = min(at[i], at[i-1]-step)
		}
	}
	for i := len(at) - 1; i >= 0; i-- {
		least := top
		if i < len(at)-1 {
			least = at[i+1] + step
		}
		at[i] = min(max(at[i], least), max(bottom, least))
	}
}

func usesOf(groups []batchOf) (all []quantity.Gram) {
	for _, g := range groups {
		all = append(all, g.use)
	}
	return all
}

func clip(s string, most int) string {
	r := []rune(s)
	if len(r) <= most {
		return s
	}
	return string(r[:most-1]) + "…"
}

// limitViews puts the limits of one measure on one rule.
func (v *visit) limitViews(p *blendForPage, k *office.BlendCase, draws []blend.Draw, b blend.Blend, faults []blend.Fault) (all []limitView) {
	at := map[blend.Measure]int{}
	rules := []dipRule{}
	var found []office.BlendLimit
	for _, x := range k.Limits(b, faults) {
		m := x.Term.Measure
		i, ok := at[m]
		if !ok {
			i = len(all)
			at[m] = i
			low, high := x.Found.Value.Band9in10()
			all = append(all, limitView{Name: v.say(x.Name.Key)})
			rules = append(rules, dipRule{value: x.Found.Value.Value, low: max(0, low), high: high, least: math.NaN(), most: math.NaN(), allowed: true})
			found = append(found, x)
		}
		r := &rules[i]
		if x.Term.Least && !(r.least >= x.Term.Bound) {
			r.least = x.Term.Bound
		} else if !x.Term.Least && !(r.most <= x.Term.Bound) {
			r.most = x.Term.Bound
		}
		if x.Room < found[i].Room || x.Broken {
			broken := x.Broken || found[i].Broken
			found[i], found[i].Broken = x, broken
		}
	}
	for i := range all {
		v.limitView(p, k, draws, &all[i], &rules[i], found[i])
	}
	return all
}

func (v *visit) limitView(p *blendForPage, k *office.BlendCase, draws []blend.Draw, view *limitView, rule *dipRule, x office.BlendLimit) {
	m := x.Term.Measure
	d := int(office.DecimalsOf(m))
	if !x.Found.Value.Known() {
		view.Num = figure{Value: v.say("unknown")}
		view.Class, view.Room = "stop", v.say("page.blend.cannot-say")
		return
	}
	unit := v.c.Unit(m.Unit())
	view.Num = figure{Value: v.c.Number(rule.value, d), Spread: v.c.Number((rule.high-rule.low)/2, d), Unit: unit, Href: p.how(v.mixHow(k, draws, m, x))}
	view.Num.Label = v.say("page.how.open", "figure", view.Name+" "+view.Num.Value)
	view.From = v.say("page.blend.chance", "chance", v.c.Percent(quantity.Percent(100*x.Found.Chance), 1))
	if property, ok := office.PropertyOf(m); ok {
		ends := usual[property]
		rule.from, rule.to = ends[0], ends[1]
	} else {
		rule.from, rule.to = rule.value*0.5, rule.value*1.5
	}
	if m == blend.Measure(blend.Yeast) {
		rule.from, rule.to = 0, max(1000, 1.2*rule.value)
	}
	rule.label = view.Name + ": " + view.Num.Value + " " + unit
	view.Rule = rule.draw(v.c.Number)
	hair := math.Pow10(-d) / 2
	switch {
	case x.Broken:
		view.Class, view.Room = "stop", v.say("page.blend.over-limit", "by", v.c.With(math.Abs(x.Room), d, m.Unit()))
	case x.Room < hair:
		view.Class, view.Room = "watch", v.say("page.blend.at-limit")
	default:
		view.Class, view.Room = "ok", v.c.With(x.Room, d, m.Unit())
	}
}

// mixHow says how a figure of the mix was made.
func (v *visit) mixHow(k *office.BlendCase, draws []blend.Draw, m blend.Measure, x office.BlendLimit) how {
	d := int(office.DecimalsOf(m))
	low, high := x.Found.Value.Band9in10()
	h := how{ID: "how-" + strings.ReplaceAll(m.String(), "_", "-"), Title: v.say(x.Name.Key), Answer: v.c.With(x.Found.Value.Value, d, m.Unit()) + " (" + v.c.Band(low, high, d) + ")",
		Formula: []string{v.say("page.blend.formula")}, Source: v.say("blend.follows.mix")}
	if m == blend.Measure(blend.Colour) {
		h.Formula = []string{v.say("page.blend.formula-colour")}
	}
	if x.Found.Value.StdDev() > 0 {
		h.Formula = append(h.Formula, v.say("page.vessel.band"))
	}
	uses := k.Uses(draws)
	all := make([]office.Candidate, len(uses))
	for i, u := range uses {
		all[i] = u.Candidate
	}
	property, known := office.PropertyOf(m)
	for _, g := range ofLots(all, func(i int) quantity.Gram { return uses[i].Draw.Grams }) {
		in := input{Name: shortCodes(g.codes), Value: v.c.MassTo(g.use, 1), Href: thingLink(g.codes[0])}
		if read := g.first.Known[property]; known && read.Value.Known() {
			in.Value += " × " + v.c.With(read.Value.Value, max(1, d-1), m.Unit())
			for _, r := range read.Reads {
				in.Note = v.say("page.blend.read-of", "of", string(r.Of), "when", v.text(r.When))
			}
		}
		h.Inputs = append(h.Inputs, in)
	}
	h.Inputs = append(h.Inputs, input{Name: v.say("page.vessel.limit"), Value: v.sentence(office.AskedLine(x.Term)), Note: v.say("blend.from." + x.From)},
		input{Name: v.say("page.vessel.chance"), Value: v.c.Percent(quantity.Percent(100*x.Found.Chance), 1)})
	return h
}

// reachRule draws what is asked of a measure and how near it comes.
func (v *visit) reachRule(k *office.BlendCase, r blend.Reach) template.HTML {
	if r.Demand.Kind != blend.AskLimit || math.IsNaN(r.Value) {
		return ""
	}
	m := r.Term.Measure
	rule := dipRule{value: r.Value, low: min(r.Value, r.Alone), high: max(r.Value, r.Alone), least: math.NaN(), most: math.NaN(), allowed: true}
	if r.Term.Least {
		rule.least = r.Term.Bound
	} else {
		rule.most = r.Term.Bound
	}
	span := math.Abs(r.Value-r.Term.Bound) + math.Abs(r.Value-r.Alone)
	rule.from, rule.to = min(r.Value, r.Term.Bound)-2*span, max(r.Value, r.Term.Bound)+2*span
	rule.from = max(0, rule.from)
	rule.label = v.sentence(k.ReachLine(r)) + " / " + v.sentence(office.AskedLine(r.Term)) + " " + v.c.Unit(m.Unit())
	return rule.draw(v.c.Number)
}
