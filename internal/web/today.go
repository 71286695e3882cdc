package web

import (
	"html/template"

	"combline/internal/answer"
	"combline/internal/office"
	"combline/internal/quantity"
	"combline/internal/record"
)

// Today: the most urgent thing, the house as it stands, what is due, what to watch.
type todayPage struct {
	*frame
	Lead  lead
	Rooms []room
	Tall  bool // some bay has more than name and weight below it
	Ranks *sheet
	Jobs  []dayJob
	// Working says that the day's sheet is being drawn up.
	Working bool
	Due     []job
	Watch   []note
	Sums    *sheet
	All     int // lines of the watch list in all
}

// A lead is the one loud line of Today.
type lead struct {
	Class, Icon, Text, Under string
	Href, Go                 string
}

// A room is vessels that stand together.
type room struct {
	Title string
	Bays  []bay
}

// A bay is one vessel, or a few drums, as drawn.
type bay struct {
	Href  string
	Flag  *chip
	Draw  template.HTML
	Name  string
	Kg    figure
	Note  string
	Temp  string
	Stale string // how old the temperature is, when it is not fresh
	Under string
	Wide  bool
}

// A job is one line of what is due.
type job struct {
	When, Text, Under, Href, Class, Icon string
}

// A note is one line of the watch list.
type note struct {
	Class, Icon, Text, Under, Href string
}

func (v *visit) today() error {
	p := todayPage{frame: v.frame("today", v.say("page.tab.today"))}
	p.Reads = true
	var day answer.Answer
	var urgent office.Urgent
	var floor []office.Stand
	var ranks []office.Rank
	var any bool
	v.s.office.Read(func(h *office.View) {
		day = h.Day(v.now)
		urgent, any = h.Urgent(day, v.now)
		floor = h.Floor()
		ranks = h.Ranks(floor)
	})
	p.Lead = v.lead(urgent, any)
	p.Rooms = v.rooms(floor)
	for _, r := range p.Rooms {
		for _, b := range r.Bays {
			p.Tall = p.Tall || b.Under != "" || b.Temp != ""
		}
	}
	p.Ranks = v.ranks(ranks)
	tables := tablesOf(day)
	p.Due = append(v.warmJobs(tables["to-warm"]), v.due(tables["due"])...)
	sheet, fresh := v.sheetNow()
	p.Jobs, p.Working = v.dayJobs(sheet), !fresh
	if len(p.Jobs) > mostJobs {
		p.Jobs = p.Jobs[:mostJobs]
	}
	p.Watch = v.watch(tables)
	p.All = len(p.Watch)
	if most := 6; len(p.Watch) > most {
		p.Watch = p.Watch[:most]
	}
	p.Sums = v.sheet(tables["sums"])
	if n := len(p.Sums.Rows); n > 0 {
		p.Sums.Rows[n-1].Class = "sum"
	}
	return v.render("today", p)
}

// mostJobs are the jobs of the day that Today shows; the day sheet has them all.
const mostJobs = 12

// lead words the most urgent thing; with none, all is in order.
func (v *visit) lead(u office.Urgent, any bool) lead {
	if !any {
		return lead{Class: "ok", Icon: "tick", Text: v.say("page.lead.in-order"), Under: v.say("page.lead.in-order.under")}
	}
	key := "page.lead." + u.What
	args := answer.Args{"of": u.Of, "who": u.Who, "mass": u.Mass, "days": u.Days, "late": -u.Days}
	l := lead{Class: "stop", Icon: "stop", Text: v.sentence(answer.Line{Key: key, Args: args}),
		Under: v.sentence(answer.Line{Key: key + ".under", Args: args}), Href: thingLink(u.Of), Go: v.say("page.open")}
	if u.What == "soon" || u.What == "wet" || u.What == "sheet" || u.What == "problem" {
		l.Class, l.Icon = "watch", "watch"
	}
	switch u.What {
	case "gap":
		l.Href = link("/balance", "of", string(u.Of))
	case "hold":
		l.Href = "/holds"
	}
	return l
}

// rooms are the tanks and what stands in the warming rooms, drawn; drums elsewhere
// are counted below.
func (v *visit) rooms(floor []office.Stand) []room {
	tanks, warm := room{Title: v.say("page.today.tanks")}, map[record.Code][]office.Stand{}
	var places []record.Code
	for _, st := range floor {
		switch st.Shape {
		case record.Tank, record.Sump, record.Tote:
			tanks.Bays = append(tanks.Bays, v.bay(st))
		default:
			if st.Empty || !v.isWarm(st.Place) {
				continue
			}
			if warm[st.Place] == nil {
				places = append(places, st.Place)
			}
			warm[st.Place] = append(warm[st.Place], st)
		}
	}
	var all []room
	if len(tanks.Bays) > 0 {
		all = append(all, tanks)
	}
	for _, place := range places {
		all = append(all, room{Title: string(place), Bays: []bay{v.drumBay(place, warm[place])}})
	}
	return all
}

// isWarm reports whether honey is warmed in a place.
func (v *visit) isWarm(place record.Code) (is bool) {
	v.s.office.Read(func(h *office.View) {
		if t, ok := h.State.Find(place); ok {
			f, _ := h.State.Named(t).(*record.PlaceNamed)
			is = f != nil && (f.For == record.WarmingRoom || f.For == record.Bath || f.For == record.HotRoom)
		}
	})
	return is
}

func (v *visit) bay(st office.Stand) bay {
	b := bay{Href: link("/vessel", "of", string(st.Code)), Name: string(st.Code), Draw: elevation(st), Flag: v.flag(st)}
	b.Kg = v.kg(0, 0)
	if !st.Empty {
		b.Kg = v.kg(st.Content.Grams, 0)
		b.Under = v.text(st.Honey)
		if len(st.Content.InLots) > 0 {
			b.Kg, b.Note = figure{}, v.say("page.today.running-in")
			b.Under = v.text(st.Content.InLots)
		}
	}
	b.Temp, b.Stale = v.temperature(st.Temp)
	if st.Empty {
		b.Temp, b.Stale = "", ""
	}
	return b
}

// temperature is a reading and how old it is, when it is not of the last minutes.
func (v *visit) temperature(t office.Temperature) (text, stale string) {
	if !t.Value.Given() {
		return "", ""
	}
	text = v.text(v.degrees(t.Value))
	const fresh = 2 // minutes: what an instrument on the line would keep
	if old := v.now.Unix()/60 - t.When.Minute; old > fresh {
		stale = v.c.Duration(quantity.Minutes(old))
		if old > 3*24*60 {
			stale = v.c.Days(quantity.Days(float64(old) / 1440))
		}
	}
	return text, stale
}

// degrees is a temperature in the person's degrees, with the decimals it was read to.
func (v *visit) degrees(f quantity.Figure) any {
	switch f.Unit {
	case quantity.DegC:
		return quantity.Celsius(f.Float())
	case quantity.DegF:
		return quantity.Celsius((f.Float() - 32) / 1.8)
	}
	return f
}

// flag is the state of a vessel in a word.
func (v *visit) flag(st office.Stand) *chip {
	var c chip
	switch {
	case st.Empty && st.Clean:
		c = newChip("", v.say("page.state.clean"))
	case st.Empty:
		c = newChip("", v.say("page.state.empty"))
	case st.Content.Grams < 0:
		c = newChip("stop", v.say("page.state.below-zero"))
	case st.Status == "held":
		c = newChip("stop", v.say("page.state.held"))
	case st.Status == "touched":
		c = newChip("watch", v.say("page.state.touched"))
	case len(st.Content.InLots) > 0:
		c = chip{Icon: "clock", Text: v.say("page.state.running-in")}
	case st.Status == "promised":
		c = chip{Icon: "clock", Text: v.say("page.state.promised")}
	default:
		c = newChip("ok", v.say("page.state.free"))
	}
	return &c
}

// drumBay draws a few drums one by one and counts many.
func (v *visit) drumBay(place record.Code, drums []office.Stand) bay {
	const few = 6
	b := bay{Href: link("/stock", "q", string(place)), Name: v.say("count.drums", "n", len(drums)), Wide: true}
	b.Draw = drumRow(drums[:min(few, len(drums))])
	var sum quantity.Gram
	for _, st := range drums {
		sum += st.Content.Grams
		if st.Status == "held" {
			b.Flag = v.flag(st)
		}
	}
	b.Kg = v.kg(sum, 0)
	b.Temp, b.Stale = v.temperature(drums[0].Temp)
	return b
}

// ranks is the drums, those that are alike in one row.
func (v *visit) ranks(ranks []office.Rank) *sheet {
	s := &sheet{Title: v.say("page.today.drums"), Class: "ranks"}
	for _, h := range []string{"lot", "honey", "drums", "mass_g", "place", "status"} {
		text := v.say("field.drums")
		if h != "drums" {
			text = v.say("column."+h) + v.unitOf(h)
		}
		s.Heads = append(s.Heads, head{Text: text, Right: h == "drums" || h == "mass_g"})
	}
	var n int64
	var sum quantity.Gram
	for _, r := range ranks {
		n, sum = n+int64(len(r.Drums)), sum+r.Grams
		class := map[string]string{"held": "stop", "touched": "watch"}[r.Status]
		name := string(r.Lot)
		if name == "" {
			name = v.say("stock.mixed")
		}
		href := link("/stock", "q", string(r.Lot))
		if len(r.Drums) == 1 {
			href = thingLink(r.Drums[0].Content.Code)
		}
		fill := honeyFill(r.Drums[0].Colour, r.Drums[0].Read)
		state := sheetCell{Text: v.say("status." + r.Status), Class: class, Icon: chipIcons[class]}
		if class == "" {
			state.Icon = ""
		}
		s.Rows = append(s.Rows, sheetRow{Class: class, Cells: []sheetCell{
			{Text: name, Href: href, Head: true, Fill: fill, Note: fromTo(r.Drums), Whole: isShort(r.Lot)}, {Text: v.text(r.Honey)},
			{Text: v.c.Count(int64(len(r.Drums))), Right: true}, {Text: v.kg(r.Grams, 0).Value, Right: true},
			{Text: v.text(placeCell(r.Place))}, state}})
	}
	if len(s.Rows) > 0 {
		s.Rows = append(s.Rows, sheetRow{Class: "sum", Cells: []sheetCell{{Text: v.say("stock.all"), Head: true}, {},
			{Text: v.c.Count(n), Right: true}, {Text: v.kg(sum, 0).Value, Right: true}, {}, {}}})
	}
	return s
}

// fromTo is the first and last number of drums that are alike.
func fromTo(drums []office.Stand) string {
	first, last := string(drums[0].Content.Code), string(drums[len(drums)-1].Content.Code)
	if first == last {
		return first
	}
	return first + " – " + last
}

func placeCell(p record.Code) any {
	if p == "" {
		return nil
	}
	return p
}

// dueForms are where what is due is written down.
var dueForms = map[answer.Key]string{"due.sheet": "/enter/sheet", "due.ruling": "/enter/ruling", "due.problem": "/enter/dealt"}

func toKey(c answer.Cell) answer.Key {
	k, _ := c.(answer.Key)
	return k
}

// due is orders, sheets, rulings, problems and complaints that wait.
func (v *visit) due(t answer.Table) []job {
	var all []job
	for _, r := range t.Rows {
		code, _ := r.Cells[1].(record.Code)
		j := job{Text: v.text(r.Cells[0]) + " " + string(code), Under: v.text(r.Cells[2]), Href: thingLink(code), Class: markClass(r.Mark)}
		if to, ok := dueForms[toKey(r.Cells[0])]; ok {
			j.Href = link(to, "of", string(code), "back", "/")
		}
		j.Icon = chipIcons[j.Class]
		if j.Class == "" {
			j.Icon = "clock"
		}
		if days, ok := r.Cells[4].(int64); ok {
			j.When = v.text(r.Cells[3])
			if days < 0 {
				j.Under += " · " + v.say("page.today.late", "n", -days)
			}
		}
		if left, ok := r.Cells[5].(int64); ok {
			j.Under += " · " + v.say("page.today.to-go", "n", left)
		}
		all = append(all, j)
	}
	return all
}

// watch is holds, honey that is wet, old or unread, and what does not fit.
func (v *visit) watch(t map[string]answer.Table) []note {
	var all []note
	add := func(mark answer.Mark, text, under, href string) {
		class := markClass(mark)
		all = append(all, note{class, chipIcons[class], text, under, href})
	}
	for _, r := range t["holds"].Rows {
		code := r.Cells[0].(record.Code)
		add(r.Mark, v.say("page.today.hold", "hold", string(code), "cause", v.text(r.Cells[1]), "mass", r.Cells[5]), v.text(r.Cells[2]), link("/holds")+"#"+string(code))
	}
	for _, r := range t["gaps"].Rows {
		code := r.Cells[0].(record.Code)
		add(r.Mark, v.say("page.today.gap", "lot", string(code), "gap", r.Cells[2]), v.text(r.Cells[5]), link("/balance", "of", string(code)))
	}
	for _, r := range t["wet"].Rows {
		add(r.Mark, v.say("page.today.wet", "of", v.text(r.Cells[0]), "water", r.Cells[1]), v.text(r.Cells[3])+" · "+v.text(r.Cells[4]), thingLink(r.Cells[0].(record.Code)))
	}
	for _, r := range t["old"].Rows {
		add(r.Mark, v.say("page.today.old", "of", v.text(r.Cells[0]), "days", r.Cells[3]), v.text(r.Cells[1])+" · "+v.text(r.Cells[4]), thingLink(r.Cells[0].(record.Code)))
	}
	for _, r := range t["unread"].Rows {
		add(r.Mark, v.text(r.Cells[0])+": "+v.text(r.Cells[1]), v.text(r.Cells[2])+" · "+v.text(r.Cells[3]), thingLink(r.Cells[0].(record.Code)))
	}
	for _, r := range t["odd"].Rows {
		what := v.text(r.Cells[0])
		if r.Cells[1] != nil {
			what = v.text(r.Cells[1]) + ": " + what
		}
		fact, _ := r.Cells[4].(int64)
		add(r.Mark, what, v.text(r.Cells[3]), link("/correct", "fact", v.num(fact)))
	}
	return all
}
