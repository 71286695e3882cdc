package web

import (
	"slices"
	"strings"

	"combline/internal/house"
	"combline/internal/office"
	"combline/internal/quantity"
	"combline/internal/record"
	"combline/internal/standard"
	"combline/internal/words"
)

// The forms of setting up a house. Each shows some rows, of which those that are
// filled in are recorded.

const rowsAtOnce = 3

// rows are so many parts of one kind that may be left out.
func rows(n int, kind record.Kind, fixed map[string]string, cells ...cell) (parts []part) {
	for range n {
		own := map[string]string{}
		for name, value := range fixed {
			own[name] = value
		}
		parts = append(parts, part{Kind: kind, Fixed: own, Cells: cells, Maybe: true})
	}
	return parts
}

func (v *visit) houseForm(*setupPage) *task {
	h := v.house
	if h.Language == "" {
		h.Language = string(v.c.Lang())
	}
	if h.Units == "" {
		h.Units = "metric"
	}
	return &task{Parts: []part{{Kind: record.KindHouseNamed, Cells: []cell{
		{Name: "name", Start: h.Name, Need: true},
		{Name: "language", Start: h.Language, Pick: v.languages()},
		{Name: "units", Label: v.say("page.units"), Start: h.Units, Pick: v.unitChoices()},
		{Name: "rules", Start: h.Rules, Pick: v.ruleSets(), Need: true, Hint: v.say("page.setup.house.rules-hint")},
		{Name: "country", Start: h.Country, Hint: v.say("page.setup.house.country-hint")},
		{Name: "currency", Start: h.Currency, Hint: v.say("page.setup.house.currency-hint")},
	}}}}
}

func (v *visit) languages() (all []option) {
	for _, l := range words.Languages() {
		all = append(all, option{Value: string(l), Text: v.s.tongue[l].Say("page.language")})
	}
	return all
}

func (v *visit) unitChoices() []option {
	return []option{{Value: "metric", Text: v.say("page.units.metric")}, {Value: "us", Text: v.say("page.units.us")}}
}

// ruleSets are the sets of rules that the program knows, and none.
func (v *visit) ruleSets() (all []option) {
	for _, r := range []standard.Rules{standard.EU, standard.UK, standard.DE, standard.US, standard.Codex, standard.NoRules} {
		all = append(all, option{Value: r.String(), Text: v.say("page.rules." + r.String())})
	}
	return all
}

// peopleForm names who works here. The first who is named is taken to be the one who
// sits at the page.
func (v *visit) peopleForm(*setupPage) *task {
	cells := []cell{{Name: "person", Label: v.say("page.setup.people.initials")}, {Name: "name"},
		{Name: "roles", Hint: v.say("page.setup.people.roles-hint")}, {Name: "language", Pick: v.languages()}}
	return &task{Parts: rows(rowsAtOnce, record.KindPersonNamed, nil, cells...), Make: func(d *house.Draft) error {
		if err := v.refuseEmpty(d); err != nil {
			return err
		}
		if first, ok := d.Facts[0].(*record.PersonNamed); ok && v.person == "" && len(v.people) == 0 {
			v.remember(personCookie, string(first.Person))
			d.Person = first.Person // so that the same tap again is the same entry
		}
		return nil
	}}
}

// usualPlaces are what nearly every house has, offered until there is one of the kind.
var usualPlaces = []record.PlaceKind{record.Store, record.HotRoom, record.WarmingRoom, record.PackRoom, record.ColdStore, record.Dock, record.HoldBay}

func (v *visit) placesForm(p *setupPage) *task {
	there := map[record.PlaceKind]bool{}
	v.s.office.Read(func(h *office.View) {
		for _, t := range h.State.OfKind(record.Place) {
			if f, ok := h.State.Named(t).(*record.PlaceNamed); ok {
				there[f.For] = true
			}
		}
	})
	p.UsualTitle = v.say("page.setup.places.usual")
	for _, k := range usualPlaces {
		if !there[k] {
			p.Usual = append(p.Usual, option{Value: k.String(), Text: v.say(k.Key()), On: slices.Contains(v.r.PostForm["usual"], k.String())})
		}
	}
	return &task{Parts: rows(2, record.KindPlaceNamed, nil, cell{Name: "place"}, cell{Name: "for"}), Make: func(d *house.Draft) error {
		for _, k := range usualPlaces {
			if slices.Contains(v.r.PostForm["usual"], k.String()) {
				d.Facts = append(d.Facts, &record.PlaceNamed{Place: record.Code(upperFirst(v.say(k.Key()))), For: k})
			}
		}
		return v.refuseEmpty(d)
	}}
}

func upperFirst(s string) string {
	r := []rune(s)
	if len(r) == 0 {
		return s
	}
	return strings.ToUpper(string(r[:1])) + string(r[1:])
}

func (v *visit) sitesForm(*setupPage) *task {
	cells := []cell{{Name: "site", Hint: v.say("page.setup.sites.site-hint")}, {Name: "hives", Small: true}, {Name: "place", Label: v.say("page.setup.sites.where")}}
	fixed := map[string]string{}
	if v.house.Country != "" {
		fixed["country"] = v.house.Country
	} else {
		cells = append(cells, cell{Name: "country"})
	}
	return &task{Parts: rows(rowsAtOnce, record.KindSiteOpened, fixed, cells...), Make: v.refuseEmpty}
}

// instrumentsForm begins with the one that a house can't do without.
func (v *visit) instrumentsForm(*setupPage) *task {
	kinds := []option{}
	for _, k := range []string{"scale", "refractometer", "thermometer"} {
		text := v.say("page.setup.instruments." + k)
		kinds = append(kinds, option{Value: text, Text: text})
	}
	none := false
	v.s.office.Read(func(h *office.View) { none = len(h.State.OfKind(record.Instrument)) == 0 })
	cells := func(code, what string) []cell {
		return []cell{{Name: "instrument", Start: code}, {Name: "what", Start: what, Pick: kinds},
			{Name: "division", Hint: v.say("page.setup.instruments.division-hint"), Small: true}, {Name: "corrects_itself", Hint: v.say("page.setup.instruments.corrects-hint")}}
	}
	t := &task{Parts: rows(2, record.KindInstrumentNamed, nil, cells("", "")...), Make: v.refuseEmpty}
	if none {
		t.Parts[0].Cells = cells("scale 1", kinds[0].Value)
	}
	return t
}

// mostEmpty is how many empty vessels one form asks about.
const mostEmpty = 24

// stockForm asks what is in each empty vessel. One that stays empty is left out. The
// form carries which vessels it asked about: meanwhile one of them may have been filled.
func (v *visit) stockForm(p *setupPage) *task {
	t := &task{Make: v.refuseEmpty}
	p.Table = true
	p.Rows = v.r.PostForm["row"]
	more := 0
	if v.r.Method != "POST" {
		p.Rows, more = v.emptyVessels(p.Query)
	}
	cells := []cell{{Name: "mass", Label: v.say("page.setup.stock.net"), Small: true, Guess: true}, {Name: "honey"}}
	if v.house.Country == "" {
		cells = append(cells, cell{Name: "country"})
	}
	for _, row := range p.Rows {
		vessel, filling, _ := strings.Cut(row, "\t")
		fixed := map[string]string{"filling": filling, "vessel": vessel}
		if v.house.Country != "" {
			fixed["country"] = v.house.Country
		}
		t.Parts = append(t.Parts, part{Kind: record.KindStockOpened, Fixed: fixed, Cells: cells, Maybe: true, Head: vessel})
	}
	switch {
	case len(t.Parts) == 0 && p.Query == "":
		p.Note = v.say("page.setup.stock.none")
	case more > 0:
		p.Note = v.say("page.setup.stock.more", "n", int64(more))
	}
	return t
}

// emptyVessels are the house's empty vessels, each with the number that its first
// content will bear, and how many more there are.
func (v *visit) emptyVessels(query string) (rows []string, more int) {
	v.s.office.Read(func(h *office.View) {
		for _, st := range h.Floor() {
			switch {
			case !st.Empty || st.Owner != "" || !strings.Contains(strings.ToLower(string(st.Code)), strings.ToLower(query)):
			case len(rows) == mostEmpty:
				more++
			default:
				rows = append(rows, string(st.Code)+"\t"+string(fillingOf(h, st.Code)))
			}
		}
	})
	return rows, more
}

// fillingOf is the number that the first content of a vessel bears.
func fillingOf(h *office.View, vessel record.Code) record.Code {
	for n := 1; ; n++ {
		code := vessel + "/" + record.Code(quantity.Figure{Mantissa: int64(n)}.Digits())
		if _, used := h.State.Find(code); !used && len(h.State.RootsOf(code)) == 0 { // the house numbers fillings itself too
			return code
		}
	}
}
