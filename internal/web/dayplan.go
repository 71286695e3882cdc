package web

import (
	"errors"
	"strconv"
	"strings"
	"time"

	"combline/internal/answer"
	"combline/internal/house"
	"combline/internal/office"
	"combline/internal/record"
)

// A dayJob is one job of the day's sheet as a page shows it.
type dayJob struct {
	Number            int
	When, Text, Under string
	Class, Icon       string
	Href              string // the form that does it
	Tick, Not, Key    string // the addresses that tick it off, and the form's key
	State             *chip  // when it is over
}

// firstWait is how long a page waits for a sheet that is being drawn up.
const firstWait = 30 * time.Millisecond

// sheetNow is the sheet of today; nil while the first is being drawn up.
func (v *visit) sheetNow() (s *office.DaySheet, fresh bool) { return v.s.office.TodaySheet(firstWait) }

// dayJobs are the jobs of a sheet, those still to be done first.
func (v *visit) dayJobs(s *office.DaySheet) (all []dayJob) {
	if s == nil {
		return nil
	}
	for _, j := range s.InOrder() {
		x := dayJob{Number: j.Number, Text: v.sentence(j.What), Class: markClass(j.Mark), Icon: "clock", Href: jobForm(j), Key: newKey()}
		if !j.At.IsZero() {
			x.When = v.c.Clock(j.At)
		}
		var under []string
		for _, l := range j.Under {
			under = append(under, v.sentence(l))
		}
		x.Under = strings.Join(under, " ")
		if icon := chipIcons[x.Class]; x.Class != "" && icon != "" {
			x.Icon = icon
		}
		x.Tick = link("/do/tick", "job", j.Key, "n", strconv.Itoa(j.Number), "done", "yes", "back", "/")
		x.Not = link("/do/tick", "job", j.Key, "n", strconv.Itoa(j.Number), "done", "no", "back", "/")
		if !j.Open() {
			c := newChip("ok", v.say(j.Status()))
			if j.Tick == nil || j.Tick.Done != record.Yes {
				c = newChip("", v.say(j.Status()))
			}
			x.State = &c
		}
		all = append(all, x)
	}
	return all
}

// jobForm is the page on which a job is done.
func jobForm(j office.Job) string {
	first := func(codes []record.Code) string {
		if len(codes) == 0 {
			return ""
		}
		return string(codes[0])
	}
	switch j.Kind {
	case "warm":
		return link("/do/warm-in", "what", joinCodes(j.Of), "place", first(j.On), "job", j.Key, "n", strconv.Itoa(j.Number), "back", "/")
	case "out":
		return link("/do/warm-in", "what", joinCodes(j.Of), "job", j.Key, "n", strconv.Itoa(j.Number), "back", "/")
	case "tip", "seed", "empty":
		if t := first(j.On); t != "" {
			return link("/vessel", "of", t)
		}
		return link("/vessel", "of", first(j.Of))
	case "draw":
		return link("/vessel", "of", first(j.Of))
	case "cool", "hold", "rewarm":
		return link("/write", "kind", "heat-set")
	case "ready":
		if len(j.Of) > 0 {
			return link("/vessel", "of", first(j.On))
		}
		return "/fill"
	case "run":
		return "/fill"
	case "clean":
		return "/care"
	case "stuff":
		return link("/do/material-order", "of", first(j.Of), "back", "/")
	case "send":
		return link("/send/pick", "of", string(j.Order))
	case "spin":
		return "/extract"
	case "check":
		return "/start"
	}
	return "/day"
}

func joinCodes(codes []record.Code) string {
	var all []string
	for _, c := range codes {
		all = append(all, string(c))
	}
	return strings.Join(all, "; ")
}

// tickTask ticks a job of the day off, or says why it was not done.
func (v *visit) tickTask(record.Code) (*task, error) {
	f, text, err := v.ticking()
	if err != nil {
		return nil, err
	}
	t := &task{Title: v.say("page.task.tick"), About: text, Back: local(v.arg("back")), Go: v.say("page.job.done")}
	fixed := map[string]string{"day": f.Day.Time().Format(time.DateOnly), "job": f.Job, "number": strconv.FormatInt(f.Number, 10), "done": "yes", "about": joinCodes(f.About)}
	cells := []cell{{Name: "note", Small: true}}
	if f.Done == record.No {
		t.Title, t.Go = v.say("page.task.tick-not"), v.say("page.job.not-done")
		fixed["done"] = "no"
		cells = []cell{{Name: "reason", Need: true, Small: true}}
	}
	t.Parts = []part{{Kind: record.KindJobTicked, Fixed: fixed, Cells: cells}}
	return t, nil
}

// ticking is the tick that an address asks for, and what its job says.
func (v *visit) ticking() (f *record.JobTicked, text string, err error) {
	n, _ := strconv.Atoi(v.arg("n"))
	j := office.Job{Key: strings.TrimSpace(v.arg("job")), Number: n}
	if j.Key == "" || n < 0 {
		return nil, "", errNotFound
	}
	f = &record.JobTicked{Day: record.DayOf(v.now), Job: j.Key, Number: int64(n), Done: record.Yes}
	if v.arg("done") == "no" {
		f.Done = record.No
	}
	text = j.Key
	if s, _ := v.s.office.TodaySheet(0); s != nil {
		for _, k := range s.Jobs {
			if k.Key == j.Key {
				f.About, text = s.Ticked(k, true, "").About, v.sentence(k.What)
			}
		}
	}
	return f, text, nil
}

// warmInTask writes down that drums were brought into the warming room, or out of it, and
// ticks the day's job off with it.
func (v *visit) warmInTask(record.Code) (*task, error) {
	what, place := v.arg("what"), record.Code(v.arg("place"))
	if what == "" {
		return nil, errNotFound
	}
	t := &task{Title: v.say("page.task.warm-in"), Back: local(v.arg("back")), Keys: false}
	v.s.office.Read(func(h *office.View) {
		t.Parts = []part{{Kind: record.KindPlaced, Cells: []cell{{Name: "what", Start: what, Need: true}, {Name: "place", Likely: named(h, record.Place, nil), Start: string(place), Need: true}}}}
	})
	if v.arg("job") != "" {
		f, text, err := v.ticking()
		if err != nil {
			return nil, err
		}
		t.About = text
		t.Make = func(d *house.Draft) error {
			d.Facts = append(d.Facts, f)
			return nil
		}
	}
	return t, nil
}

// The day's sheet in full, with what may be supposed.
type daySheetPage struct {
	*frame
	When    string // it knows of
	Working bool
	Lines   []answerLine
	Jobs    []dayJob
	Beware  []answerLine
	Sheets  []*sheet
	Rests   []string
	Ifs     string
	Hint    string
	Refused string
	IfLines []answerLine
	If      []*sheet
	Agree   string
	AgreeIn string
}

func (v *visit) daySheet() error {
	p := daySheetPage{frame: v.frame("today", v.say("page.daysheet")), Ifs: v.arg("if"), Hint: v.say("page.day.if-hint"), Agree: "/do/agree?back=/day"}
	s, fresh := v.sheetNow()
	p.Working = !fresh
	if s == nil {
		return v.render("day", p)
	}
	a := s.Answer()
	if sent, err := v.onPaper(p.frame, v.say("page.daysheet"), a); sent || err != nil {
		return err
	}
	p.When = v.c.Moment(s.At, 0)
	for _, l := range a.Lines {
		p.Lines = append(p.Lines, v.line(l))
	}
	p.Jobs = v.dayJobs(s)
	for _, key := range s.Cautions() {
		p.Beware = append(p.Beware, v.line(answer.Line{Key: key, Mark: answer.Care}))
	}
	for _, t := range a.Tables {
		if t.Key != "jobs" && len(t.Rows) > 0 && dayTables[t.Key] {
			p.Sheets = append(p.Sheets, v.sheet(t))
		}
	}
	for _, l := range append(a.Rests, a.Sources...) {
		p.Rests = append(p.Rests, v.sentence(l))
	}
	if p.Ifs != "" {
		if err := v.suppose(&p, s); err != nil {
			return err
		}
	}
	return v.render("day", p)
}

// dayTables are those of the sheet that the page of the plan shows; the others stand on
// Today and on the watch list.
var dayTables = map[string]bool{"unmet": true, "refused": true, "coming": true, "order-by": true, "plan-orders": true, "weeks": true}

// suppose answers what the page's field supposes, one thing a line.
func (v *visit) suppose(p *daySheetPage, was *office.DaySheet) error {
	var ifs []office.If
	for text := range strings.FieldsFuncSeq(p.Ifs, func(r rune) bool { return r == '\n' || r == '\r' }) {
		if text = strings.TrimSpace(text); text == "" {
			continue
		}
		i, err := office.ParseIf(text, v.now)
		if err != nil {
			p.Refused = v.sentence(answer.Line{Key: "plan.if-wrong", Args: answer.Args{"typed": text}})
			return nil
		}
		ifs = append(ifs, i)
	}
	h, err := v.s.office.AsOf(v.r.Context(), v.now.Add(time.Minute))
	if err != nil {
		return err
	}
	then, err := v.s.office.DaySheet(v.r.Context(), h, v.now, ifs)
	if err != nil {
		if text, ok := v.c.Refusal(err); ok {
			p.Refused = text
			return nil
		}
		var wrong *office.BlendWrong
		if errors.As(err, &wrong) {
			p.Refused = v.sentence(answer.Line{Key: wrong.Key, Args: wrong.Args})
			return nil
		}
		return err
	}
	a := office.IfAnswer(was, then)
	for _, l := range a.Lines {
		p.IfLines = append(p.IfLines, v.line(l))
	}
	for _, t := range a.Tables {
		if t.Key == "plan-if" {
			p.If = append(p.If, v.sheet(t))
		}
	}
	return nil
}

// agreeTask writes down that the plan is agreed to.
func (v *visit) agreeTask(record.Code) (*task, error) {
	s, _ := v.s.office.TodaySheet(firstWait)
	if s == nil {
		return nil, errNotFound
	}
	f := s.Plan.Agree()
	t := &task{Title: v.say("page.task.agree"), About: v.sentence(answer.Line{Key: "page.day.agree-how", Args: answer.Args{"n": int64(len(f.Steps))}}), Back: local(v.arg("back")), Go: v.say("page.day.agree")}
	t.Make = func(d *house.Draft) error {
		d.Facts = append(d.Facts, f)
		return nil
	}
	return t, nil
}
