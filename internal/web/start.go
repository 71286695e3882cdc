package web

import (
	"errors"
	"strings"

	"combline/internal/answer"
	"combline/internal/house"
	"combline/internal/office"
	"combline/internal/record"
)

// Before the start: machine by machine what must be cleaned, and what is looked at. One
// tap ticks a line; each tick is a fact.
type startPage struct {
	*frame
	Line    answerLine
	Next    string
	Parts   []option
	Part    string
	Cards   []startCard
	Warn    []string
	Rests   []string
	Refused string
	Empty   bool
}

// A startCard is one machine, tank, scale or room; or the room and its people.
type startCard struct {
	ID, Name, Under string
	State           chip
	Need            answerLine
	Clean           string // form that writes the cleaning down
	CleanText       string
	Check           string // form of its own: a scale's known mass, a room's reading
	Items           []startLine
	More            string
}

type startLine struct {
	Of, Line, Text string
	State          chip
	By             string
	Open, Bad      bool
	Key            string
}

// startParts are what the list can be cut to.
var startParts = []string{"", "extract", "fill"}

func (v *visit) start() error {
	part := v.arg("part")
	p := startPage{frame: v.frame("", v.say("page.start")), Part: part}
	if v.r.Method == "POST" {
		if done, err := v.tickStart(&p); done || err != nil {
			return err
		}
	}
	var s office.Start
	var a answer.Answer
	v.s.office.Read(func(h *office.View) {
		s = h.BeforeStart(v.day(), part, v.everyText)
		a = h.StartList(v.day(), part, v.everyText)
	})
	if sent, err := v.onPaper(p.frame, p.Title, a); sent || err != nil {
		return err
	}
	for _, x := range startParts {
		text := v.say("stock.all")
		if x != "" {
			text = v.say("page.start." + x)
		}
		p.Parts = append(p.Parts, option{Text: text, Href: link("/start", "part", x), On: x == part})
	}
	p.Line = v.line(a.Lines[0])
	for _, l := range a.Lines[1:] {
		p.Next = v.sentence(l)
	}
	for i, t := range s.Things {
		p.Cards = append(p.Cards, v.startCard(i, t))
	}
	p.Warn = v.cautionsFor("start")
	for _, l := range append(append([]answer.Line{}, a.Sources...), a.Rests...) {
		p.Rests = append(p.Rests, v.sentence(l))
	}
	return v.render("start", p)
}

// everyText is a text in every language: ticks are found in whichever it was written.
func (v *visit) everyText(key string) (all []string) {
	for _, c := range v.s.tongue {
		if c.Has(key) {
			all = append(all, c.Say(key))
		}
	}
	return all
}

func (v *visit) startCard(i int, t office.StartThing) startCard {
	back := link("/start", "part", v.arg("part"))
	c := startCard{ID: "m" + v.num(int64(i)), Name: string(t.Code), Under: t.What, Need: v.line(t.Need)}
	if c.Name == "" {
		c.Name, c.Need.Text = v.say("page.start.room"), ""
	}
	if t.Kind == record.Vessel || t.Kind == record.Place {
		c.Under = v.say(t.What)
	}
	switch t.Do {
	case "clean-down":
		c.State = newChip("stop", v.say("start.do."+t.Do))
	case "":
		c.State = newChip(markClass(t.Mark()), v.say("page.start.open", "n", t.Open()))
		if t.Open() == 0 && t.Mark() == answer.Good {
			c.State = newChip("ok", v.say("page.start.ready"))
		}
	default:
		c.State = newChip("watch", v.say("start.do."+t.Do))
	}
	c.Need.Class, c.Need.Icon = c.State.Class, c.State.Icon
	if t.Do == "" {
		c.Need.Class, c.Need.Icon = "", "dash"
	}
	switch t.Kind {
	case record.Machine, record.Vessel:
		if t.Do != "" {
			c.Clean, c.CleanText = link("/clean", "of", c.Name, "back", back), v.say("page.clean")
		}
	case record.Instrument:
		c.Check = link("/enter/check", "of", c.Name, "back", back)
	case record.Place:
		c.Check = link("/enter/room", "of", c.Name, "back", back)
	}
	for _, x := range t.Items {
		c.Items = append(c.Items, v.startLine(t, x))
	}
	if t.Checked > 0 {
		c.More = v.say("page.start.more", "n", t.Checked)
	}
	return c
}

func (v *visit) startLine(t office.StartThing, x office.StartItem) startLine {
	l := startLine{Of: string(t.Code), Line: x.Key, Text: v.say(x.Key), Key: newKey()}
	switch x.Done {
	case record.Yes:
		l.State = newChip("ok", v.say("page.care.in-order"))
	case record.No:
		l.State, l.Bad = newChip("stop", v.say("page.care.off")), true
	default:
		l.Open = true
	}
	if x.Done != record.NotKnown {
		l.By = strings.Trim(v.c.Clock(x.When.Time())+" · "+string(x.Person), " ·")
	}
	return l
}

// tickStart writes down one line as in order or not. What is not in order leads to the
// form of a problem; nobody works past it.
func (v *visit) tickStart(p *startPage) (done bool, err error) {
	if v.person == "" && len(v.people) > 0 {
		return true, v.see(link("/people", "back", link("/start", "part", p.Part)))
	}
	line, in := v.arg("line"), v.arg("in")
	key, ok := keyOf(v.arg("key"))
	if !ok || in != "yes" && in != "no" || !strings.HasPrefix(line, "start.") || !v.c.Has(line) {
		p.Refused = v.say("page.form.stale")
		return false, nil
	}
	f := &record.StartChecked{Lines: []record.StartLine{{What: v.say(line), InOrder: map[string]record.Truth{"yes": record.Yes, "no": record.No}[in]}}}
	if of := v.of(); of != "" {
		f.Of = []record.Code{of}
	}
	_, err = v.record(house.Draft{Key: key, Person: v.person, Device: v.device, Facts: []record.Fact{f}})
	var no *house.Refusal
	switch {
	case errors.As(err, &no):
		p.Refused = v.refusal(no)
		return false, nil
	case err != nil:
		return false, err
	case in == "no":
		return true, v.see(link("/enter/problem", "of", string(v.of()), "what", v.say(line), "back", link("/start", "part", p.Part)))
	}
	to := link("/start", "part", p.Part)
	if at := v.arg("at"); at != "" && strings.Trim(at, "m0123456789") == "" {
		to += "#" + at
	}
	return true, v.see(to)
}
