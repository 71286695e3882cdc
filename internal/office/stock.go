package office

import (
	"slices"

	"combline/internal/answer"
	"combline/internal/goods"
	"combline/internal/house"
	"combline/internal/quantity"
	"combline/internal/record"
	"combline/internal/trace"
)

// Stock answers how much honey there is, of what, where and in what state: vessel by
// vessel, goods by lot mark, and the sums free, promised, held and touched.
func (o *Office) Stock() (a answer.Answer) {
	o.Read(func(v *View) { a = v.Stock() })
	return a
}

// A status is how honey may be used. Held wins over touched, touched over promised.
type status string

const (
	free     status = "free"
	promised status = "promised"
	touched  status = "touched"
	onHold   status = "held"
)

// Stock is [Office.Stock] on a view.
func (v *View) Stock() answer.Answer {
	a := answer.Answer{Question: "stock"}
	held := v.held()
	put := v.promised()
	sums := map[string]map[status]quantity.Gram{}
	contents := v.State.Contents()
	table := a.Table("contents", "vessel", "content", "purpose", "honey", "mass_g", "known", "water_pct", "status", "hold", "place", "since", "filled", "lots")
	for _, c := range contents {
		st := v.status(held, put, c)
		kind := v.honeyOf(c)
		if c.Grams != 0 || len(c.InLots) == 0 { // what runs in unweighed is not none
			add(sums, kind, st, c.Grams)
		}
		table.Row(statusMark(st, c.Grams), orNil(c.Vessel), c.Code, purposeKey(c.Purpose), honeyCell(kind), mass(c), knownAs(c), v.water(c.Node),
			answer.Key("status."+string(st)), v.holdsOn(held, c.Node), orNil(c.Place), whenOrNil(c.Since), c.When, lots(c.InLots))
		if c.Grams < 0 {
			a.Lines = append(a.Lines, answer.Line{Key: "odd.below-zero", Mark: answer.Bad, Args: answer.Args{"of": c.Code, "mass": c.Grams}})
			a.Then("next.stock-check", answer.Args{"of": c.Code})
		}
	}
	v.goodsTable(&a, held, put)
	v.materialTable(&a)
	sumTable(&a, sums)
	v.restsOnRecord(&a)
	return a
}

func add(sums map[string]map[status]quantity.Gram, kind string, st status, m quantity.Gram) {
	if sums[kind] == nil {
		sums[kind] = map[status]quantity.Gram{}
	}
	sums[kind][st] += m
}

func sumTable(a *answer.Answer, sums map[string]map[status]quantity.Gram) {
	table := a.Table("sums", "honey", "free_g", "promised_g", "touched_g", "held_g", "all_g")
	var kinds []string
	for k := range sums {
		kinds = append(kinds, k)
	}
	slices.Sort(kinds)
	var all [5]quantity.Gram
	for _, k := range kinds {
		s := sums[k]
		row := [5]quantity.Gram{s[free], s[promised], s[touched], s[onHold], s[free] + s[promised] + s[touched] + s[onHold]}
		for i, m := range row {
			all[i] += m
		}
		table.Row(answer.Plain, honeyCell(k), row[0], row[1], row[2], row[3], row[4])
	}
	table.Row(answer.Plain, answer.Key("stock.all"), all[0], all[1], all[2], all[3], all[4])
	a.Lines = append([]answer.Line{{Key: "stock.in-short", Args: answer.Args{"all": all[4], "free": all[0], "promised": all[1], "touched": all[2], "held": all[3]}}}, a.Lines...)
}

// promised are the contents and batches put by for orders, by folded code.
func (v *View) promised() map[string]record.Code {
	all := map[string]record.Code{}
	for _, o := range v.State.Goods.Orders() {
		for _, p := range v.State.Goods.PromisesTo(o.Code) {
			all[p.What.Fold()] = o.Code
		}
	}
	return all
}

func (v *View) status(held house.Held, put map[string]record.Code, c house.Content) status {
	switch {
	case held.Blocked(c.Node):
		return onHold
	case held.Touched(c.Node):
		return touched
	case put[c.Code.Fold()] != "" || put[c.Vessel.Fold()] != "":
		return promised
	}
	return free
}

func statusMark(st status, m quantity.Gram) answer.Mark {
	switch {
	case st == onHold || m < 0:
		return answer.Bad
	case st == touched:
		return answer.Care
	}
	return answer.Plain
}

// honeyOf is the kind of honey that a content is, when all of it is of one.
func (v *View) honeyOf(c house.Content) string {
	kinds := v.State.GroupBy(c.Node, v.State.Honey)
	kinds = slices.DeleteFunc(kinds, func(g house.Group) bool { return g.Grams == 0 && len(kinds) > 1 })
	if len(kinds) == 1 {
		return kinds[0].Name
	}
	if len(kinds) > 1 {
		return mixed
	}
	return ""
}

const mixed = "mixed" // more than one kind

// honeyCell is a kind of honey as a house calls it; nil when it is not known.
func honeyCell(kind string) any {
	if kind == mixed {
		return answer.Key("stock.mixed")
	}
	return textOrNil(kind)
}

// mass is what is in a content; not known while a lot runs in unweighed.
func mass(c house.Content) any {
	if len(c.InLots) > 0 {
		return nil
	}
	return c.Grams
}

func knownAs(c house.Content) any {
	if len(c.InLots) > 0 {
		return answer.Key("stock.in-process")
	}
	return answer.Key("stock.weighed")
}

func lots(in []record.Code) any {
	if len(in) == 0 {
		return nil
	}
	return in
}

func whenOrNil(w record.When) any {
	if w == (record.When{}) {
		return nil
	}
	return w
}

// water is the last water reading of a content itself, laboratory before house, or of
// the single lot that it is of. It is nil when there is none: unknown is not zero.
func (v *View) water(n trace.Node) any {
	if r, ok := v.reading(n, record.Water); ok {
		return r.Value
	}
	return nil
}

// reading is the result that stands for a content: its own, a laboratory's before
// one of the house, the later before the earlier; else that of the one content it
// was drawn from.
func (v *View) reading(n trace.Node, p record.Property) (record.Result, bool) {
	for depth := 0; depth < 4; depth++ {
		var best record.Result
		found, lab := false, false
		for _, r := range v.State.ReadingsOf(n) {
			for _, x := range r.Fact.Results {
				if x.Property == p && (x.Value.Given() || x.Verdict != 0) && (!lab || r.Fact.Lab != "") {
					best, found, lab = x, true, r.Fact.Lab != ""
				}
			}
		}
		if found {
			return best, true
		}
		var from []trace.Node
		for _, x := range v.State.Graph().Next(n, trace.Back) {
			if x.Share && x.Grams > 0 {
				from = append(from, x.Node)
			}
		}
		if len(from) != 1 {
			return record.Result{}, false
		}
		n = from[0]
	}
	return record.Result{}, false
}

func (v *View) goodsTable(a *answer.Answer, held house.Held, put map[string]record.Code) {
	table := a.Table("goods", "mark", "run", "product", "units", "mass_g", "status", "hold", "place")
	for _, c := range v.State.Batches() {
		st := v.status(held, put, c)
		var product any
		run, _ := v.State.RunOf(c.Code)
		if t, ok := v.State.Find(run); ok {
			if r, ok := v.State.Run(t); ok {
				product = r.Started.Product
			}
		}
		table.Row(statusMark(st, c.Grams), c.Code, orNil(run), product, c.Units, c.Grams, answer.Key("status."+string(st)), v.holdsOn(held, c.Node), orNil(c.Place))
	}
}

func (v *View) materialTable(a *answer.Answer) {
	table := a.Table("materials", "material", "pieces", "mass_g", "known")
	for _, m := range v.State.Goods.Materials() {
		l := v.State.Goods.Stock(m.Material)
		mark := answer.Plain
		if l.Pieces.N < 0 || l.Grams.N < 0 {
			mark = answer.Bad
		}
		table.Row(mark, m.Material, level(l.Pieces), grams(l.Grams), !l.Pieces.Open && !l.Grams.Open)
	}
}

func level(c goods.Count) any {
	if !c.Given {
		return nil
	}
	return c.N
}

func grams(c goods.Count) any {
	if !c.Given {
		return nil
	}
	return quantity.Gram(c.N)
}
