package office

import (
	"fmt"
	"slices"
	"strings"
	"time"
	"unicode"

	"combline/internal/answer"
	"combline/internal/house"
	"combline/internal/label"
	"combline/internal/quantity"
	"combline/internal/record"
	"combline/internal/standard"
	"combline/internal/trace"
)

// noFigure is what stands for a rule that nobody set.
var noFigure quantity.Figure

// A LabelAsk asks what a label says. What is empty is as the record has it.
type LabelAsk struct {
	Of       record.Code // lot mark, run, or product with a vessel in mind
	Now      time.Time
	Name     string
	Plant    string
	Region   string
	Texts    []string
	FullDate bool // day and month printed uncoded
	Language string
	Country  func(code string) string // how a country is called in that language, or ""

	Nutrition bool            // with a nutrition declaration
	Best      record.Day      // another best-before date than the run's; 0: the run's
	Draws     func(rune) bool // whether the printer can draw a sign; nil: it is not asked
}

// A LabelMade is a label with what it was made from.
type LabelMade struct {
	label.Label
	Wish    label.Wish
	Tipped  label.Tipped
	Mark    record.Code // the lot mark
	Run     record.Code
	Product record.Code
	Number  string // the product's GTIN, or ""
	Filled  time.Time
	Domain  string // the packer's own web address, or ""
}

// LabelOf works out the label of a lot mark or a run, from what was tipped. ok is false
// where there is no such thing, or nothing was packed of it yet.
func (v *View) LabelOf(ask LabelAsk) (m LabelMade, ok bool, err error) {
	n := v.batchNode(ask.Of)
	if n == 0 {
		return m, false, nil
	}
	m.Mark = v.State.NodeCode(n)
	m.Run, _ = v.State.RunOf(m.Mark)
	b, _ := v.State.Goods.Batch(m.Mark)
	m.Product = b.Product
	product, known := v.State.Goods.Product(m.Product)
	if !known {
		return m, false, nil
	}
	m.Number = v.labelText(house.SettingItem + string(m.Product))
	m.Tipped = v.tipped(n)
	m.Filled, m.Domain = v.State.Content(n).When.Time(), v.Domain()
	if m.Wish, err = v.wish(ask, n, m, product.ProductNamed); err != nil {
		return m, true, err
	}
	if l := b.Label; l.Given() { // relabelled
		if m.Wish.Pack.Net, err = l.Figure.Milligrams(); err != nil {
			return m, true, err
		}
	}
	m.Label, err = label.Of(m.Wish, m.Tipped)
	return m, true, err
}

// batchNode is the packed goods that a code stands for: of a run, the largest batch.
func (v *View) batchNode(code record.Code) (is trace.Node) {
	g := v.State.Graph()
	for _, n := range v.State.RootsOf(code) {
		if v.State.NodeKind(n) == house.BatchNode && (is == 0 || g.Made(n) > g.Made(is)) {
			is = n
		}
	}
	return is
}

// tipped is what the record shows of the honey in a pack.
func (v *View) tipped(n trace.Node) (t label.Tipped) {
	for _, g := range v.State.GroupBy(n, v.State.Country) {
		t.Countries = append(t.Countries, standard.Share{Country: strings.ToUpper(g.Name), Mass: g.Grams})
	}
	for _, g := range v.State.GroupBy(n, v.State.Site) {
		t.Regions = append(t.Regions, label.Mass{Name: g.Name, Grams: g.Grams})
	}
	t.Plants, t.Measured = v.plantsOf(n), v.measuredOf(n)
	t.Cooking = v.State.Purpose(n) == record.CookingGrade
	for p, to := range map[record.Property]*label.Truth{record.Taste: &t.Taste, record.Pollen: &t.Pollen} {
		if r, ok := v.reading(n, p); ok {
			*to = truthOf(r.Verdict)
		}
	}
	return t
}

// truthOf takes a verdict on whether the honey is what it is called: found in order is
// yes. A figure alone says nothing about it.
func truthOf(r record.Verdict) label.Truth {
	switch r {
	case record.Clear:
		return label.Yes
	case record.Found:
		return label.No
	}
	return label.NotKnown
}

func (v *View) wish(ask LabelAsk, n trace.Node, m LabelMade, p *record.ProductNamed) (w label.Wish, err error) {
	w = label.Wish{Name: p.Name, Draws: ask.Draws, Plant: ask.Plant, Region: ask.Region, Texts: ask.Texts, Language: ask.Language, Lot: string(m.Mark), FullDate: ask.FullDate}
	if ask.Name != "" {
		w.Name = ask.Name
	}
	if w.Region == "" {
		w.Region = v.siteIn(w.Name)
	}
	if p.What == record.SpreadJar || p.What == record.Bake {
		w.Recipe = v.recipeOf(m.Mark)
	}
	if ask.Nutrition && w.Recipe == nil {
		v.nutrition(&w, n)
	}
	rules := p.Rules
	if rules == "" {
		rules = v.State.House().Rules
	}
	if w.Rules, err = standard.ParseRules(strings.ToLower(rules)); err != nil {
		return w, err
	}
	if w.Pack.Net, err = p.Label.Figure.Milligrams(); err != nil {
		return w, err
	}
	w.Pack.LargestCM2 = v.surfaceCM2(p.Product)
	w.Bulk = p.What == record.BulkDrum
	c := v.State.Content(n)
	filled := c.When.Time()
	w.Labelled = standard.DateOf(filled.Date())
	if day := v.bestAsked(ask, m.Run); day != 0 {
		best := day.Time()
		w.BestBefore = standard.DateOf(best.Date())
		w.KeepsMonths = best.Sub(filled).Hours() / 24 / 30.4375
		if w.Keeps = v.keepsUntil(m.Mark, ask.Now, best); w.Recipe != nil {
			w.Keeps.Known = false // the forecast is of honey, not of what was made with it
		}
	}
	for _, o := range p.Origin {
		w.Origin = append(w.Origin, standard.Claim{Country: strings.ToUpper(o.Country), Percent: quantity.Percent(o.Percent.Float())})
	}
	w.Packer = strings.Trim(v.State.House().Name+", "+v.labelText(house.SettingAddress), ", ")
	if v.labelText(house.SettingAddress) == "" {
		w.Packer = "" // a name without an address is not enough
	}
	w.Country = map[string]string{}
	for _, s := range m.Tipped.Countries {
		name := v.labelText(house.SettingCountry + s.Country)
		if name == "" && ask.Country != nil {
			name = ask.Country(s.Country)
		}
		if name != "" {
			w.Country[s.Country] = name
		}
	}
	return w, nil
}

// bestAsked is the best-before date that is to be printed: as asked, else the run's.
func (v *View) bestAsked(ask LabelAsk, run record.Code) record.Day {
	if ask.Best != 0 {
		return ask.Best
	}
	if r, ok := v.runStart(run); ok {
		return r.BestBefore
	}
	return 0
}

// siteIn finds a site of the house in a name, by its code or by how it is called.
func (v *View) siteIn(name string) string {
	typed := " " + strings.Join(strings.FieldsFunc(record.Code(name).Fold(), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) }), " ") + " "
	for _, t := range v.State.OfKind(record.Site) {
		if site := string(v.State.Code(t)); strings.Contains(typed, " "+record.Code(site).Fold()+" ") {
			return site
		}
	}
	return ""
}

// Honey in 100 g: generally established data, USDA FoodData Central, honey, SR legacy
// 19296 (memory). Carbohydrate is by difference, so with the fibre.
const (
	tableWater = 17.1
	tableCarbs = 82.2 // without fibre
	tableFibre = 0.2
	tableSugar = 82.1
	tableProt  = 0.3
	tableSalt  = 0.004 // of sodium
)

// nutrition asks for a declaration from the table's honey, carried to the moisture of
// this one: what is not water is less or more by as much.
func (v *View) nutrition(w *label.Wish, n trace.Node) {
	dry := (100 - v.waterOf(n)) / (100 - tableWater)
	w.Nutrition = &standard.Composition{Carbohydrate: tableCarbs * dry, Fibre: tableFibre * dry, Protein: tableProt * dry}
	w.Sugars, w.Sodium = tableSugar*dry, tableSalt*dry
}

// waterOf is a honey's moisture; where it is not known, the table's.
func (v *View) waterOf(n trace.Node) float64 {
	if x := v.doubter().of(n, record.Water); x.Value.Known() && x.Value.Value > 10 && x.Value.Value < 30 {
		return x.Value.Value
	}
	return tableWater
}

// surfaceCM2 is the largest surface of a product's pack; 0: not known.
func (v *View) surfaceCM2(product record.Code) float64 {
	name := house.SettingSurface + string(product)
	if cm2, ok := house.SurfaceCM2(v.labelText(name)); ok {
		return cm2
	}
	if f := v.State.Setting(name, noFigure); f.Given() { // as it could be set before it was a text
		return f.Float()
	}
	return 0
}

func (v *View) runStart(run record.Code) (*record.RunStarted, bool) {
	t, ok := v.State.Find(run)
	if !ok {
		return nil, false
	}
	r, ok := v.State.Run(t)
	return r.Started, ok
}

// keepsUntil asks the forecast for the chance that every limit holds on a day, once an
// hour and until the next fact.
func (v *View) keepsUntil(mark record.Code, now, until time.Time) label.Keeping {
	now = now.Truncate(time.Hour).Add(time.Hour)
	return once(v, fmt.Sprintf("label keeps %s %d %d", mark.Fold(), now.Unix(), until.Unix()), func() label.Keeping { return v.keepingAt(mark, now, until) })
}

func (v *View) keepingAt(mark record.Code, now, until time.Time) label.Keeping {
	k, ok, err := v.Keep(KeepAsk{Of: mark, At: now, Until: until})
	if err != nil || !ok || len(k.Limits) == 0 || slices.ContainsFunc(k.Markers, func(m MarkerKeep) bool { return m.Limit != nil && !m.Known }) {
		return label.Keeping{Asked: k.Sure}
	}
	end := func(year int, month time.Month) float64 { // the chance on the month's last day
		last := time.Date(year, month+1, 0, 0, 0, 0, 0, until.Location())
		if !last.After(until) {
			return 1 - k.Breach
		}
		if later, ok, err := v.Keep(KeepAsk{Of: mark, At: now, Until: last}); ok && err == nil {
			return 1 - later.Breach
		}
		return 0
	}
	return label.Keeping{Known: true, Chance: 1 - k.Breach, Asked: k.Sure, MonthEnd: end(until.Year(), until.Month()), YearEnd: end(until.Year(), time.December)}
}

// Labelling answers what goes on a label and what must never, with what it rests on.
func (v *View) Labelling(ask LabelAsk) (answer.Answer, error) {
	m, ok, err := v.LabelOf(ask)
	if err != nil {
		return answer.Answer{}, err
	}
	return v.LabelAnswer(ask, m, ok), nil
}

// LabelAnswer is the answer of a label that was worked out; ok is false where nothing is
// packed.
func (v *View) LabelAnswer(ask LabelAsk, m LabelMade, ok bool) answer.Answer {
	a := answer.Answer{Question: "label", Of: v.properCode(ask.Of)}
	switch {
	case !ok && len(v.State.RootsOf(ask.Of)) == 0:
		return v.notTraced(a, ask.Of)
	case !ok:
		a.Cannot = &answer.Line{Key: "labelling.not-packed", Args: answer.Args{"of": a.Of}, Mark: answer.Bad}
		return a
	}
	verdict := answer.Line{Key: "labelling.ready", Args: answer.Args{"of": m.Mark}, Mark: answer.Good}
	if !m.Ready() {
		verdict.Key, verdict.Mark = "labelling.not-ready", answer.Bad
	}
	a.Lines = append(a.Lines, verdict)
	t := a.Table("label", "part", "text", "least_mm", "rule")
	for _, i := range m.Items {
		for _, l := range i.Says {
			t.Row(answer.Plain, answer.Key(partKey(i.Part)), l, millimetres(i.LeastMM), shortCite(i.Cite))
		}
	}
	f := a.Table("label-findings", "part", "finding", "rule")
	for _, x := range m.Findings {
		f.Row(x.Mark, answer.Key(partKey(x.Part)), x.Line, shortCite(x.Cite))
	}
	n := v.batchNode(m.Mark)
	if ask.Plant != "" {
		v.plantEvidence(&a, n, ask.Plant)
	}
	a.RestsOn("labelling.rests", answer.Args{"of": m.Mark, "mass": v.State.Graph().Made(n)})
	if m.Wish.Nutrition != nil {
		a.RestsOn("labelling.nutrition", answer.Args{"water": quantity.Percent(v.waterOf(n))})
	}
	a.Follows("labelling.authority", nil)
	v.restsOnRecord(&a)
	return a
}

func partKey(p label.Part) string {
	return "label.part." + [...]string{"name", "origin", "net", "cooking", "ingredients", "allergens", "best-before", "storage", "lot", "packer", "nutrition", "infant", "text"}[p]
}

func millimetres(mm float64) any {
	return quantity.Figure{Mantissa: int64(mm*10 + 0.5), Decimals: 1, Unit: quantity.MM}
}

// Packed is the lot mark of packed goods that a code stands for, or "".
func (v *View) Packed(code record.Code) record.Code {
	if n := v.batchNode(code); n != 0 {
		return v.State.NodeCode(n)
	}
	return ""
}

// shortCite names a rule set, its edition and the place in it.
func shortCite(c standard.Cite) string { return c.ID() + ", " + c.Place }
