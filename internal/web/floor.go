package web

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"combline/internal/answer"
	"combline/internal/house"
	"combline/internal/office"
	"combline/internal/quantity"
	"combline/internal/record"
)

// floorRoutes are the pages of yard and floor: intake, extraction, sites, laboratory,
// care of the house, paper sheets.
func (s *Server) floorRoutes(get, both func(string, func(*visit) error)) {
	both("/intake", (*visit).intake)
	both("/wet", (*visit).wetOut)
	get("/extract", (*visit).extract)
	get("/daybalance", (*visit).dayBalance)
	get("/sites", (*visit).sites)
	get("/site", (*visit).site)
	get("/lab", (*visit).lab)
	get("/care", (*visit).care)
	get("/blank", (*visit).blank)
	both("/clean", (*visit).clean)
	get("/pulls", (*visit).pulls)
	get("/boxes", (*visit).boxes)
	get("/yields", (*visit).yields)
	get("/last-year", (*visit).lastYear)
	get("/stores", (*visit).stores)
	both("/start", (*visit).start)
	get("/problems", (*visit).problems)
	get("/safety", (*visit).safety)
	get("/release", (*visit).releasable)
	both("/fill/check", (*visit).fillCheck)
	both("/enter/{task}", (*visit).enter)
}

// A floorTask is one thing written down on the floor or in the yard, with the tab
// under which its form stands.
type floorTask struct {
	tab   string
	build func(*visit, record.Code) (*task, error)
}

// floorTasks are the forms of /enter/NAME?of=CODE.
var floorTasks = map[string]floorTask{
	"load":         {"intake", (*visit).loadTask},
	"hot-in":       {"intake", (*visit).hotInTask},
	"hot-out":      {"intake", (*visit).hotOutTask},
	"spin":         {"extract", (*visit).spinTask},
	"lot-change":   {"extract", (*visit).lotChangeTask},
	"cappings":     {"extract", (*visit).cappingsTask},
	"wax":          {"extract", (*visit).waxTask},
	"melter":       {"extract", (*visit).melterTask},
	"run-in":       {"extract", (*visit).runInTask},
	"close-lot":    {"extract", (*visit).closeLotTask},
	"sieve":        {"extract", (*visit).sieveTask},
	"combs-back":   {"extract", (*visit).combsBackTask},
	"combs-stored": {"extract", (*visit).combsStoredTask},
	"site":         {"", (*visit).siteTask},
	"supers-on":    {"", (*visit).supersOnTask},
	"treated":      {"", (*visit).treatedTask},
	"ended":        {"", (*visit).endedTask},
	"not-treated":  {"", (*visit).notTreatedTask},
	"fed":          {"", (*visit).fedTask},
	"not-fed":      {"", (*visit).notFedTask},
	"hives":        {"", (*visit).hivesTask},
	"ripeness":     {"", (*visit).ripenessTask},
	"enquiry":      {"", (*visit).enquiryTask},
	"ruling":       {"", (*visit).rulingTask},
	"sample":       {"", (*visit).sampleTask},
	"to-lab":       {"", (*visit).toLabTask},
	"sheet":        {"", (*visit).sheetTask},
	"start":        {"", (*visit).startTask},
	"check":        {"", (*visit).checkTask},
	"room":         {"", (*visit).roomTask},
	"problem":      {"", (*visit).problemTask},
	"dealt":        {"", (*visit).dealtTask},
	"describe":     {"", (*visit).describeTask},
	"safety-point": {"", (*visit).safetyPointTask},
	"safety-take":  {"", (*visit).safetyTakeTask},
	"safety-sign":  {"", (*visit).safetySignTask},
}

// enter shows and takes one of the floor's forms.
func (v *visit) enter() error {
	name := v.r.PathValue("task")
	f, ok := floorTasks[name]
	if !ok {
		f, ok = fillTasks[name]
	}
	if !ok {
		return errNotFound
	}
	t, err := f.build(v, v.of())
	if err != nil {
		return err
	}
	t.Name = name
	if t.Title == "" {
		t.Title = v.say("page.enter."+name, "of", string(t.Of))
	}
	if t.Back == "" {
		t.Back = local(v.arg("back"))
	}
	e, done, err := v.takeWithUnits(t)
	if err != nil || done {
		return err
	}
	p := doPage{frame: v.frame(f.tab, t.Title), Entry: e}
	if t.Of != "" {
		p.about(t.Of)
	}
	return v.render("do", p)
}

// takeWithUnits is take for tasks that give the unit of a figure which may have any:
// a bare number that was typed is in that unit. The form shows it bare again.
func (v *visit) takeWithUnits(t *task) (e *entry, done bool, err error) {
	units := map[string]string{}
	for i, p := range t.Parts {
		fields := schema(p.Kind)
		for _, c := range p.Cells {
			if f := fields[bare(c.Name)]; c.Unit != "" && f.Type == record.TypeFigure && f.Unit == quantity.NoUnit {
				units[fieldAt(i, c.Name)] = c.Unit
			}
		}
	}
	for name, unit := range units {
		if typed := strings.TrimSpace(v.r.PostForm.Get(name)); typed != "" && strings.Trim(typed, "0123456789.,+- \u202f\u00a0") == "" {
			v.r.PostForm.Set(name, typed+" "+unit)
		}
	}
	if e, done, err = v.take(t); err != nil || done {
		return e, done, err
	}
	for i := range e.Groups {
		for j := range e.Groups[i].Fields {
			f := &e.Groups[i].Fields[j]
			f.Value = strings.TrimSuffix(f.Value, " "+units[f.Name])
			if f.Kind == "truth" && f.Need { // an answer that must be given can't be "not known"
				f.Options = slices.DeleteFunc(f.Options, func(o option) bool { return o.Value == "" })
			}
		}
	}
	return e, false, nil
}

// fieldAt is the name that a form gives to a cell of a part.
func fieldAt(part int, cell string) string { return string(rune('0'+part)) + "." + cell }

// cellOf finds a field of a form's first fact.
func (e *entry) cellOf(name string) *field {
	for i := range e.Groups[0].Fields {
		if f := &e.Groups[0].Fields[i]; f.cell == name {
			return f
		}
	}
	return nil
}

// askFirst puts a question of the pages' own before something is recorded.
func askFirst(d *house.Draft, key string, args answer.Args) error {
	id := key
	for _, name := range slices.Sorted(maps.Keys(args)) {
		id += fmt.Sprintf("/%s=%v", name, args[name])
	}
	if slices.Contains(d.Confirmed, id) {
		return nil
	}
	return house.Asks{{ID: id, Key: key, Args: args}}
}

// lotOptions are lots as buttons, with their site and how far they are.
func (v *visit) lotOptions(all []office.LoadSheet, note func(office.LoadSheet) string) (out []option) {
	for _, s := range all {
		if len(out) == mostLikely {
			break
		}
		out = append(out, option{Value: string(s.Lot), Text: string(s.Lot) + " " + string(s.Site), Note: note(s)})
	}
	return out
}

// day is the house's calendar day.
func (v *visit) day() record.Day { return record.DayOf(v.now) }
