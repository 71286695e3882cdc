package web

import (
	"errors"
	"fmt"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"combline/internal/answer"
	"combline/internal/house"
	"combline/internal/office"
	"combline/internal/quantity"
	"combline/internal/record"
)

// An entry is a task's form as it stands: what was typed, what is asked, what is wrong.
type entry struct {
	*task
	v           *visit
	Action      string
	Key         string
	Groups      []group
	Who         []option // when nobody has said who they are
	Sender      string   // who it is written down as
	When        string
	Precision   string
	Confirmed   []string // questions answered before
	AskIDs      string   // questions that are open, for the button that says yes
	Asks        []string
	Refused     string
	Next        string
	Showing     []string // contents that were shown
	WhenProblem string   // what is wrong with the typed time
	Max         string   // the latest time that can be typed
	WhenSay     string   // instead of "now"
	Over        *override
	PIN         *pinAsk  // the PIN of who writes is wanted
	Mind        []string // what to mind at the job
}

// An override is who decided that honey on hold is poured all the same, and why. It
// is asked for when the house refuses a pour, and stands in the record before it.
type override struct {
	Holds  []heldAt
	Role   string
	Reason string
}

// A heldAt is one hold on one content.
type heldAt struct{ Hold, What string }

// A group is the fields of one fact.
type group struct {
	Head   string
	Fields []field
}

// A field is one cell as it is shown.
type field struct {
	cell      string
	of        []record.Entity
	unit      quantity.Unit
	in        quantity.Unit // of a bare figure
	ID, Name  string
	Kind      string // figure, count, text, day, choice, truth, code, codes
	Label     string
	Hint      string
	Unit      string
	Value     string
	Typed     string // of a code, beside the buttons
	Problem   string
	Options   []option
	Need      bool
	Small     bool
	Guess     bool
	Estimated bool
	GuessText string
	OtherText string // before the box for a number that no button has
}

// entry is a task's form before anything is typed.
func (v *visit) entry(t *task) *entry {
	e := &entry{task: t, v: v, Action: v.r.URL.RequestURI(), Key: newKey(), Sender: string(v.person),
		Max: v.now.Format("2006-01-02T15:04")}
	if e.Back == "" {
		e.Back = v.arg("back")
	}
	e.Mind = v.cautionsFor(t.Name)
	for i, p := range t.Parts {
		e.Groups = append(e.Groups, v.group(i, p))
	}
	if v.person == "" {
		for _, p := range v.people {
			e.Who = append(e.Who, option{Value: string(p.Person), Text: initials(p.Person, p.PersonNamed.Name), Note: nameOf(p.Person, p.PersonNamed.Name)})
		}
	}
	if len(t.Shown) > 0 {
		v.s.office.Read(func(h *office.View) { e.Showing = shownOf(h, t.Shown) })
	}
	return e
}

func (v *visit) group(at int, p part) group {
	g := group{Head: p.Head}
	fields := schema(p.Kind)
	for _, c := range p.Cells {
		if f, ok := fields[bare(c.Name)]; ok {
			g.Fields = append(g.Fields, v.field(at, c, f))
		}
	}
	return g
}

func (v *visit) field(at int, c cell, s record.Field) field {
	name := fmt.Sprintf("%d.%s", at, c.Name)
	f := field{cell: c.Name, of: s.Of, unit: s.Unit, ID: "f-" + strings.ReplaceAll(name, ".", "-"), Name: name, Label: c.Label, Hint: c.Hint, Unit: c.Unit, Value: c.Start,
		Need: s.Need && !c.Free || c.Need, Small: c.Small, Guess: c.Guess, Options: slices.Clone(c.Likely), GuessText: v.say("page.form.estimated"), OtherText: v.say("page.form.other")}
	if f.Label == "" {
		f.Label = v.fieldName(c.Name)
	}
	switch s.Type {
	case record.TypeWeight, record.TypeFigure:
		f.Kind = "figure"
		if f.in = v.readIn(s.Unit); f.in == quantity.NoUnit {
			f.in = c.In
		}
		if f.Unit == "" {
			f.Unit = v.c.Unit(f.in)
		}
	case record.TypeCount:
		f.Kind = "count"
	case record.TypeDay:
		f.Kind = "day"
	case record.TypeChoice, record.TypeTruth:
		f.Kind = map[record.FieldType]string{record.TypeChoice: "choice", record.TypeTruth: "truth"}[s.Type]
		f.Options = v.choices(s, c)
	case record.TypeRef:
		f.Kind = "code"
		if len(s.Codes) == 0 {
			f.Kind = "codes"
		}
		if c.Start != "" && !offered(f.Options, c.Start) {
			f.Typed, f.Value = c.Start, ""
		}
		f.Options = chosen(f.Options, c.Start)
		if len(f.Options) == 0 {
			f.OtherText = ""
		}
	default:
		f.Kind = "text"
		if len(c.Pick) > 0 {
			f.Kind, f.Options = "choice", slices.Clone(c.Pick)
		}
	}
	return f
}

// readIn is the unit in which the person types a figure of unit u.
func (v *visit) readIn(u quantity.Unit) quantity.Unit {
	switch {
	case u == quantity.KgUnit:
		return v.c.Style().Mass
	case u == quantity.DegC:
		return v.c.Style().Temp
	}
	return u
}

// choices are the words for a field's choices. What need not be given can be "not known".
func (v *visit) choices(s record.Field, c cell) (all []option) {
	for _, name := range s.Choices {
		if len(c.Choices) == 0 || slices.Contains(c.Choices, name) {
			all = append(all, option{Value: name, Text: v.say(record.ChoiceKey(name))})
		}
	}
	if s.Type == record.TypeTruth {
		unset := c.Unset
		if unset == "" {
			unset = v.say("page.form.not-known")
		}
		all = append(all, option{Value: "", Text: unset})
	}
	return all
}

func offered(all []option, value string) bool {
	return slices.ContainsFunc(all, func(o option) bool { return o.Value == value })
}

func (v *visit) fieldName(name string) string { return v.say(record.FieldKey(name)) }

// sent takes what was typed into the form.
func (e *entry) sent(form url.Values) {
	e.Key = form.Get("key")
	e.When, e.Precision = form.Get("when"), form.Get("precision")
	e.Confirmed = form["confirmed"]
	for id := range strings.SplitSeq(form.Get("confirm"), "\n") {
		if id = strings.TrimSpace(id); id != "" && !slices.Contains(e.Confirmed, id) {
			e.Confirmed = append(e.Confirmed, id)
		}
	}
	if shown, ok := form["shown"]; ok {
		e.Showing = shown
	}
	for _, p := range e.v.people {
		if p.Person.Fold() == record.Code(form.Get("person")).Fold() {
			e.Sender = string(p.Person)
		}
	}
	for i := range e.Who {
		e.Who[i].On = e.Who[i].Value == e.Sender
	}
	for i := range e.Groups {
		for j := range e.Groups[i].Fields {
			e.Groups[i].Fields[j].sent(form)
		}
	}
	for _, h := range form["over"] {
		if e.Over == nil {
			e.Over = &override{Role: strings.TrimSpace(form.Get("over.role")), Reason: strings.TrimSpace(form.Get("over.reason"))}
		}
		hold, what, _ := strings.Cut(h, "\t")
		e.Over.Holds = append(e.Over.Holds, heldAt{hold, what})
	}
}

// facts are the overrides as facts, once role and reason are given.
func (o *override) facts() (all []record.Fact) {
	if o == nil || o.Role == "" || o.Reason == "" {
		return nil
	}
	for _, h := range o.Holds {
		all = append(all, &record.HoldOverridden{Hold: record.Code(h.Hold), Contents: []record.Code{record.Code(h.What)}, Role: o.Role, Reason: o.Reason})
	}
	return all
}

func (f *field) sent(form url.Values) {
	values := form[f.Name]
	f.Value = strings.TrimSpace(strings.Join(values, "; "))
	f.Typed = strings.TrimSpace(form.Get(f.Name + ".typed"))
	f.Estimated = form.Get(f.Name+"_known") == "estimated"
	for i := range f.Options {
		f.Options[i].On = slices.Contains(values, f.Options[i].Value)
	}
}

// draft makes the draft of what was typed. When a field can't be read, it says so
// there and gives none.
func (e *entry) draft() (house.Draft, bool) {
	d := house.Draft{Person: record.Code(e.Sender), Device: e.v.device, Confirmed: e.Confirmed}
	ok := true
	if e.Sender == "" && len(e.v.people) > 0 {
		e.Refused, ok = e.v.say("page.form.who"), false
	}
	key, read := keyOf(e.Key)
	if d.Key = key; !read {
		e.Key, e.Refused, ok = newKey(), e.v.say("page.form.stale"), false
	}
	for _, s := range e.Showing {
		code, content, _ := strings.Cut(s, "\t")
		d.Shown = append(d.Shown, house.Shown{Code: record.Code(code), Content: record.Code(content)})
	}
	when, readable := e.when(e.v.r.PostForm)
	d.When, ok = when, ok && readable
	for i, p := range e.Parts {
		f, read := e.fact(i, p)
		ok = ok && read
		if f != nil {
			d.Facts = append(d.Facts, f)
		}
	}
	if !ok && e.Refused == "" {
		e.Refused = e.v.say("page.form.look")
	}
	return d, ok
}

// fact makes the fact of one part; nil when it is one that may be left out and was.
func (e *entry) fact(at int, p part) (record.Fact, bool) {
	cells := map[string]string{}
	g := &e.Groups[at]
	filled, ok := false, true
	for i := range g.Fields {
		f := &g.Fields[i]
		value := e.value(f)
		filled = filled || value != ""
		ok = ok && f.Problem == ""
		cells[f.cell] = value
		if f.Guess && f.Estimated && value != "" {
			cells[f.cell+"_known"] = "estimated"
		}
		if f.Need && value == "" && !p.Maybe && f.Problem == "" {
			f.Problem, ok = e.v.say("page.form.missing"), false
		}
	}
	if p.Maybe && !filled {
		return nil, ok
	}
	for name, value := range p.Fixed {
		cells[name] = value
	}
	if !ok {
		return nil, false
	}
	fact, errs := record.FromCells(p.Kind, cells, e.v.c.Style().Decimal)
	for _, err := range errs {
		e.cellWrong(g, err)
	}
	return fact, len(errs) == 0
}

// value is what a field holds, in the record's own form: a code that was typed in
// part is found, a bare weight is in the person's unit.
func (e *entry) value(f *field) string {
	switch f.Kind {
	case "code", "codes":
		return e.code(f)
	case "figure":
		if u := f.in; u != f.unit && f.Value != "" && strings.Trim(f.Value, "0123456789.,+- \u202f\u00a0") == "" {
			return f.Value + " " + u.String()
		}
	}
	return f.Value
}

// code finds what somebody meant by the last digits of a number.
func (e *entry) code(f *field) string {
	if f.Typed == "" {
		return f.Value
	}
	if f.Kind == "codes" {
		return strings.TrimLeft(f.Value+"; "+f.Typed, "; ")
	}
	var near []record.Code
	exact := false
	e.v.s.office.Read(func(h *office.View) {
		t, ok := h.State.Find(record.Code(f.Typed))
		exact = ok && slices.Contains(f.of, h.State.KindOf(t))
		near = h.State.Near(record.Code(f.Typed), f.of)
	})
	switch {
	case exact:
		return f.Typed
	case len(near) == 1:
		return string(near[0])
	case len(near) > 1:
		f.Problem, f.Typed, f.Options = e.v.say("page.form.which"), "", nil
		for _, c := range near {
			f.Options = append(f.Options, option{Value: string(c), Text: string(c)})
		}
		return ""
	}
	return f.Typed
}

// cellWrong shows at a field what is wrong with what was typed in it.
func (e *entry) cellWrong(g *group, err error) {
	var c *record.CellError
	if !errors.As(err, &c) {
		e.Refused = err.Error()
		return
	}
	label := e.v.fieldName(c.Column)
	var text string
	if words, ok := e.v.c.Refusal(c.Err); ok {
		text = words
	} else if c.Key == "cell.missing" {
		text = e.v.say("page.form.missing")
	} else {
		text = e.v.sentence(answer.Line{Key: c.Key, Args: answer.Args{"column": label, "typed": c.Typed, "want": c.Want}})
	}
	for i := range g.Fields {
		if bare(g.Fields[i].cell) == bare(c.Column) {
			g.Fields[i].Problem = text
			return
		}
	}
	e.Refused = label + ": " + text
}

// firstLast are the numbers of a receipt in an address.
func firstLast(s string) (first, last uint64, ok bool) {
	a, b, _ := strings.Cut(s, "-")
	first, err1 := strconv.ParseUint(a, 10, 64)
	last, err2 := strconv.ParseUint(b, 10, 64)
	return first, last, err1 == nil && err2 == nil && first > 0 && first <= last && last-first < 1000
}
