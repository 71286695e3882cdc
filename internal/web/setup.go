package web

import (
	"html/template"
	"slices"
	"strings"

	"combline/internal/house"
	"combline/internal/office"
	"combline/internal/record"
)

// A house is set up step by step, in any order, and what is written down stays when
// somebody leaves. The same pages are its lists of things later.

// A step is one kind of thing that a house has.
type step struct {
	name  string // in the address; its texts are page.setup.NAME and page.setup.NAME.help
	icon  string
	kind  record.Kind // what adds one
	of    record.Entity
	later bool // not needed on the first day
	form  func(*visit, *setupPage) *task
}

var steps = []step{
	{name: "house", icon: "pencil", kind: record.KindHouseNamed, form: (*visit).houseForm},
	{name: "people", icon: "person", kind: record.KindPersonNamed, of: record.Person, form: (*visit).peopleForm},
	{name: "places", icon: "place", kind: record.KindPlaceNamed, of: record.Place, form: (*visit).placesForm},
	{name: "vessels", icon: "stock", kind: record.KindVesselNamed, of: record.Vessel, form: (*visit).vesselsForm},
	{name: "sites", icon: "box", kind: record.KindSiteOpened, of: record.Site, form: (*visit).sitesForm},
	{name: "instruments", icon: "scale", kind: record.KindInstrumentNamed, of: record.Instrument, form: (*visit).instrumentsForm},
	{name: "stock", icon: "drop", kind: record.KindStockOpened, of: record.Filling, form: (*visit).stockForm},
	{name: "machines", icon: "extract", kind: record.KindMachineNamed, of: record.Machine, later: true},
	{name: "products", icon: "fill", kind: record.KindProductNamed, of: record.Product, later: true},
	{name: "materials", icon: "list", kind: record.KindMaterialNamed, of: record.Material, later: true},
	{name: "customers", icon: "send", kind: record.KindCustomerNamed, of: record.Customer, later: true},
	{name: "suppliers", icon: "intake", kind: record.KindSupplierNamed, of: record.Supplier, later: true},
}

func stepNamed(name string) (int, bool) {
	i := slices.IndexFunc(steps, func(s step) bool { return s.name == name })
	return i, i >= 0
}

// The overview: which steps have something already, and where to go on.
type overviewPage struct {
	*frame
	First, Later []stepRow
	Next         *stepRow
}

type stepRow struct {
	Number           int
	Name, Help, Href string
	Icon             string
	Count            int
	Done             bool
	CountText        string
}

func (v *visit) setup() error {
	p := overviewPage{frame: v.frame("", v.say("page.setup"))}
	v.s.office.Read(func(h *office.View) {
		for i, s := range steps {
			row := v.stepRow(h, s)
			row.Number = i + 1
			if s.later {
				p.Later = append(p.Later, row)
				continue
			}
			p.First = append(p.First, row)
			if !row.Done && p.Next == nil {
				p.Next = &p.First[len(p.First)-1]
			}
		}
	})
	return v.render("setup", p)
}

func (v *visit) stepRow(h *office.View, s step) stepRow {
	row := stepRow{Name: v.say("page.setup." + s.name), Help: v.say("page.setup." + s.name + ".help"), Href: "/setup/" + s.name, Icon: s.icon}
	switch s.kind {
	case record.KindHouseNamed:
		row.Done = h.State.House().Rules != ""
		row.CountText = h.State.House().Name
	case record.KindStockOpened:
		for _, st := range h.Floor() {
			if !st.Empty {
				row.Count++
			}
		}
	default:
		row.Count = len(h.State.OfKind(s.of))
	}
	if row.Count > 0 {
		row.Done, row.CountText = true, v.c.Number(float64(row.Count), 0)
	}
	return row
}

// isBare reports whether a house has its name and nothing else, so that Today has
// nothing to show and its pages begin with setting it up.
func isBare(h *office.View) bool {
	if h.Facts() == 0 {
		return false
	}
	for _, kind := range []record.Entity{record.Person, record.Place, record.Vessel, record.Site, record.Lot} {
		if len(h.State.OfKind(kind)) > 0 {
			return false
		}
	}
	return true
}

// first is what the house opens with: Today, or setting up a house that has nothing.
func (v *visit) first() error {
	bare := false
	v.s.office.Read(func(h *office.View) { bare = isBare(h) })
	if bare && v.arg("later") == "" {
		return v.see("/setup")
	}
	return v.today()
}

// A step's page: what is there already, and the form that adds more.
type setupPage struct {
	*frame
	Help       string
	Step       string
	Entry      *entry
	List       *sheet
	Query      string
	NextHref   string
	NextName   string
	Done       bool   // there is something already, so that the next step may follow
	More       string // address of the form with every field
	Usual      []option
	UsualTitle string
	Shapes     []shapeRow
	From, To   string // a row of vessels
	Ranged     bool
	Table      bool // fields of a row stand side by side
	Note       string
	Rows       []string // what the form asks about, in its order
}

// A shapeRow is a usual vessel, drawn at the house's one scale.
type shapeRow struct {
	Draw       template.HTML
	Name, Href string
	On         bool
}

func (v *visit) setupStep() error {
	at, ok := stepNamed(v.r.PathValue("step"))
	if !ok {
		return errNotFound
	}
	s := steps[at]
	p := &setupPage{frame: v.frame("", v.say("page.setup."+s.name)), Step: s.name, Help: v.say("page.setup." + s.name + ".help"), Query: v.arg("q")}
	t := &task{}
	if s.form != nil {
		t = s.form(v, p)
	} else {
		t.Parts = []part{{Kind: s.kind, Cells: v.cellsOf(s.kind)}}
		if hasList(s.kind) {
			p.More = link("/write", "kind", s.kind.String())
		}
	}
	t.Name, t.Back = "setup", v.r.URL.Path
	if t.Parts != nil {
		e, done, err := v.take(t)
		if err != nil || done {
			return err
		}
		e.Back = ""
		p.Entry = e
	}
	p.List = v.register(s, p.Query)
	v.s.office.Read(func(h *office.View) { p.Done = v.stepRow(h, s).Done })
	switch {
	case s.later:
	case steps[at+1].later:
		p.NextHref, p.NextName = "/", v.say("page.setup.today")
	default:
		p.NextHref, p.NextName = "/setup/"+steps[at+1].name, v.say("page.setup."+steps[at+1].name)
	}
	return v.render("setupstep", p)
}

// cellsOf is the fields of a kind that stand alone, with the next free number.
func (v *visit) cellsOf(kind record.Kind) (cells []cell) {
	for _, f := range record.Schema(kind) {
		if !strings.Contains(f.Name, ".") {
			cells = append(cells, v.plainCell(f))
		}
	}
	return cells
}

const mostRows = 60 // of a list at once; the rest is found by typing

// register lists what is there of a step's kind.
func (v *visit) register(s step, query string) *sheet {
	if s.kind == record.KindHouseNamed || s.kind == record.KindStockOpened {
		return nil
	}
	table := &sheet{Title: v.say("page.setup.there")}
	var names []string
	for _, f := range record.Schema(s.kind) {
		if strings.Contains(f.Name, ".") {
			continue
		}
		names = append(names, f.Name)
		table.Heads = append(table.Heads, head{Text: v.fieldName(f.Name), Right: f.Type == record.TypeWeight || f.Type == record.TypeFigure || f.Type == record.TypeCount})
	}
	if s.of == record.Person {
		table.Heads = append(table.Heads, head{})
	}
	v.s.office.Read(func(h *office.View) {
		for _, t := range h.State.OfKind(s.of) {
			fact := h.State.Named(t)
			if fact == nil || !mentions(fact, query) || s.of == record.Person && v.nobody(h.State.Code(t)) {
				continue
			}
			if table.Count++; len(table.Rows) < mostRows {
				table.Rows = append(table.Rows, v.registerRow(fact, names))
			}
		}
	})
	if table.Count == 0 && query == "" {
		return nil
	}
	return table.onlyFilled()
}

func (v *visit) registerRow(fact record.Fact, names []string) (row sheetRow) {
	texts := map[string]sheetCell{}
	record.Visit(fact, func(x record.Field) {
		if !x.Given {
			return
		}
		c := sheetCell{Text: v.fieldText(x), Right: x.Type == record.TypeWeight || x.Type == record.TypeFigure || x.Type == record.TypeCount}
		if x.Type == record.TypeNew && len(x.Codes) == 1 {
			c.Href, c.Head = thingLink(*x.Codes[0]), true
		}
		texts[x.Name] = c
	})
	for _, name := range names {
		row.Cells = append(row.Cells, texts[name])
	}
	if p, ok := fact.(*record.PersonNamed); ok {
		row.Cells = append(row.Cells, sheetCell{Text: v.say("page.task.left"), Href: link("/do/left", "of", string(p.Person), "back", "/setup/people")})
	}
	return row
}

// nobody reports whether a person works here no longer.
func (v *visit) nobody(person record.Code) bool {
	return !slices.ContainsFunc(v.people, func(p office.Person) bool { return sameCode(p.Person, person) })
}

func mentions(fact record.Fact, query string) bool {
	if query == "" {
		return true
	}
	for _, text := range record.Cells(fact) {
		if strings.Contains(strings.ToLower(text), strings.ToLower(query)) {
			return true
		}
	}
	return false
}

// onlyFilled takes out the columns in which nothing stands.
func (s *sheet) onlyFilled() *sheet {
	var keep []int
	for i := range s.Heads {
		if i == 0 || slices.ContainsFunc(s.Rows, func(r sheetRow) bool { return r.Cells[i].Text != "" }) {
			keep = append(keep, i)
		}
	}
	var heads []head
	for _, i := range keep {
		heads = append(heads, s.Heads[i])
	}
	s.Heads = heads
	for r := range s.Rows {
		var cells []sheetCell
		for _, i := range keep {
			cells = append(cells, s.Rows[r].Cells[i])
		}
		s.Rows[r].Cells = cells
	}
	return s
}

// refuseEmpty refuses a form in which nothing was filled in.
func (v *visit) refuseEmpty(d *house.Draft) error {
	if len(d.Facts) == 0 {
		return &house.Refusal{Key: "refused.nothing", Next: "next.type-again"}
	}
	return nil
}
