package web

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"combline/internal/answer"
	"combline/internal/office"
	"combline/internal/quantity"
	"combline/internal/record"
)

// A yardPage is an answer of the yard or of the house's care, with what it is asked by
// and what can be written down from it.
type yardPage struct {
	*frame
	Text   string
	Acts   []option
	Parts  []option // the same question for something else
	Ask    []askBox
	Action string
	Hidden []option // what the form keeps
	Lines  []answerLine
	Next   []answerLine
	Warn   []string // cautions
	Sheets []*sheet
	Rests  []string
	Empty  string
}

// An askBox is one field of what a page is asked by.
type askBox struct {
	ID, Name, Label, Value, Unit, Kind string
	Options                            []option
}

// yardAnswer puts an answer on the page: cautions apart from what to do next.
func (v *visit) yardAnswer(p *yardPage, a answer.Answer, without ...string) {
	if a.Cannot != nil {
		l := v.line(*a.Cannot)
		l.Class, l.Icon = "watch", "watch"
		p.Lines = append(p.Lines, l)
	}
	for _, l := range a.Lines {
		p.Lines = append(p.Lines, v.line(l))
	}
	for _, l := range a.Next {
		if strings.HasPrefix(l.Key, "caution.") {
			p.Warn = append(p.Warn, v.sentence(l))
			continue
		}
		x := v.line(l)
		x.Icon = "pencil"
		p.Next = append(p.Next, x)
	}
	for _, t := range a.Tables {
		if len(t.Rows) > 0 {
			s := v.sheet(t, append(nowhere(t), without...)...)
			s.Count = len(s.Rows)
			p.Sheets = append(p.Sheets, s)
		}
	}
	for _, l := range append(append([]answer.Line{}, a.Sources...), a.Rests...) {
		p.Rests = append(p.Rests, v.sentence(l))
	}
}

// nowhere are the columns of a table in which nothing is known in any row.
func nowhere(t answer.Table) (all []string) {
	for i, c := range t.Columns {
		if !slices.ContainsFunc(t.Rows, func(r answer.Row) bool { return r.Cells[i] != nil }) {
			all = append(all, c.Key)
		}
	}
	return all
}

// yardAsk asks the office, puts the answer on the page or on paper, and shows it.
func (v *visit) yardAsk(p *yardPage, ask func(*office.View) answer.Answer, without ...string) error {
	var a answer.Answer
	v.s.office.Read(func(h *office.View) { a = ask(h) })
	if sent, err := v.onPaper(p.frame, p.Title, a); sent || err != nil {
		return err
	}
	v.yardAnswer(p, a, without...)
	p.Reads = true
	return v.render("yard", *p)
}

func (v *visit) dayBox() askBox {
	return askBox{ID: "day", Name: "day", Label: v.say("page.sites.day"), Value: v.pullDay().String(), Kind: "date"}
}

// siteBox chooses a site, or all.
func (v *visit) siteBox() askBox {
	b := askBox{ID: "of", Name: "of", Label: v.say("column.site"), Value: string(v.of()), Kind: "choice", Options: []option{{Text: v.say("stock.all"), On: v.of() == ""}}}
	v.s.office.Read(func(h *office.View) {
		for _, s := range h.State.Yard.Sites() {
			b.Options = append(b.Options, option{Value: string(s.Code), Text: string(s.Code), On: s.Code.Fold() == v.of().Fold()})
		}
	})
	return b
}

// yardTabs lead from one question of the yard to the next.
func (v *visit) yardTabs(here string) (all []option) {
	of := string(v.of())
	for _, x := range []string{"/pulls", "/boxes", "/yields", "/last-year", "/stores"} {
		href := x
		if x != "/pulls" && of != "" {
			href = link(x, "of", of)
		}
		all = append(all, option{Text: v.say("page" + strings.ReplaceAll(x, "/", ".")), Href: href, On: x == here})
	}
	return all
}

func (v *visit) yardFrame(here string) *yardPage {
	p := &yardPage{frame: v.frame("", v.say("page"+strings.ReplaceAll(here, "/", "."))), Action: here}
	p.Parts = v.yardTabs(here)
	p.Acts = []option{{Text: v.say("page.sites"), Href: "/sites", Value: "place"}}
	return p
}

// pulls is the order in which sites are pulled.
func (v *visit) pulls() error {
	p := v.yardFrame("/pulls")
	p.Ask = []askBox{v.dayBox()}
	day := v.pullDay()
	p.Warn = v.cautionsFor("load")
	return v.yardAsk(p, func(h *office.View) answer.Answer { return h.Pulls(day) })
}

// boxes is what is due back where, or what to load for one site.
func (v *visit) boxes() error {
	p := v.yardFrame("/boxes")
	p.Ask = []askBox{v.siteBox()}
	p.Acts = append(p.Acts, option{Text: v.say("page.enter.combs-back.short"), Href: link("/enter/combs-back", "back", v.r.URL.RequestURI()), Value: "down"})
	p.Warn = v.cautionsFor("combs-back")
	return v.yardAsk(p, func(h *office.View) answer.Answer { return h.Boxes(v.of(), v.day()) })
}

// yields is what the sites gave in a year.
func (v *visit) yields() error {
	p := v.yardFrame("/yields")
	year, _ := strconv.Atoi(v.arg("year"))
	if year < 0 || year > 9999 {
		year = 0
	}
	b := askBox{ID: "year", Name: "year", Label: v.say("page.yields.year"), Kind: "number"}
	v.s.office.Read(func(h *office.View) {
		if year == 0 {
			year = h.LastSeason()
		}
	})
	if year != 0 {
		b.Value = strconv.Itoa(year)
	}
	p.Ask = []askBox{v.siteBox(), b}
	return v.yardAsk(p, func(h *office.View) answer.Answer { return h.Yield(year, v.of()) })
}

// lastYear is what was done around a day of earlier years.
func (v *visit) lastYear() error {
	p := v.yardFrame("/last-year")
	years, _ := strconv.ParseInt(v.arg("years"), 10, 64)
	years = min(max(1, years), 30)
	day := v.day()
	if d, err := record.ParseDay(v.arg("day")); err == nil {
		day = d
	}
	p.Ask = []askBox{{ID: "day", Name: "day", Label: v.say("page.last-year.day"), Value: day.String(), Kind: "date"}, v.siteBox(),
		{ID: "honey", Name: "honey", Label: v.say("column.honey"), Value: v.arg("honey"), Kind: "text"}, {ID: "years", Name: "years", Label: v.say("page.last-year.years"), Value: strconv.FormatInt(years, 10), Kind: "number"}}
	ask := office.LastYearAsk{Day: day, Site: v.of(), Honey: v.arg("honey"), Years: years}
	return v.yardAsk(p, func(h *office.View) answer.Answer { return h.LastYear(ask) })
}

// stores is winter stores and what may be taken.
func (v *visit) stores() error {
	p := v.yardFrame("/stores")
	ask := office.StoresAsk{Site: v.of(), Have: math.NaN(), Frames: math.NaN(), Climate: v.arg("climate"), Depth: v.arg("depth")}
	mass := v.c.Style().Mass
	p.Ask = []askBox{v.siteBox()}
	for _, x := range []struct {
		name string
		unit quantity.Unit
		to   *float64
	}{{"have", mass, &ask.Have}, {"frames", quantity.Each, &ask.Frames}, {"late", mass, &ask.LateFlow}, {"sugar", mass, &ask.Sugar}} {
		b := askBox{ID: x.name, Name: x.name, Label: v.say("page.stores." + x.name), Value: v.arg(x.name), Kind: "decimal"}
		if x.unit != quantity.Each {
			b.Unit = v.c.Unit(x.unit)
		}
		p.Ask = append(p.Ask, b)
		if b.Value == "" {
			continue
		}
		f, err := quantity.ParseFigure(b.Value, quantity.Want{Unit: x.unit, Style: v.c.Style().Decimal})
		to := quantity.KgUnit
		if x.unit == quantity.Each {
			to = quantity.Each
		}
		if err == nil {
			*x.to, err = f.In(to)
		}
		if err != nil || !(*x.to >= 0) {
			p.Lines = append(p.Lines, answerLine{Class: "stop", Icon: "stop", Text: v.say("page.stores.wrong", "field", b.Label, "typed", b.Value)})
			*x.to = math.NaN()
			if x.name == "late" || x.name == "sugar" {
				*x.to = 0
			}
		}
	}
	p.Ask = append(p.Ask, v.wordBox("climate", "stores.climate.", "", "mild", "temperate", "cold"), v.wordBox("depth", "stores.depth.", "", "deep", "medium", "shallow"))
	return v.yardAsk(p, func(h *office.View) answer.Answer { return h.Stores(ask) })
}

// wordBox chooses one of the program's own words.
func (v *visit) wordBox(name, key string, words ...string) askBox {
	b := askBox{ID: name, Name: name, Label: v.say("page.stores." + name), Value: v.arg(name), Kind: "choice"}
	for _, w := range words {
		o := option{Value: w, Text: v.say("page.stores.house"), On: w == v.arg(name)}
		if w != "" {
			o.Text = v.say(key + w)
		}
		b.Options = append(b.Options, o)
	}
	return b
}

// releasable is whether the results of a thing are back and let it go.
func (v *visit) releasable() error {
	p := &yardPage{frame: v.frame("stock", v.say("page.release")), Action: "/release", Ask: []askBox{{ID: "of", Name: "of", Label: v.say("page.release.of"), Value: string(v.of()), Kind: "text"}}}
	p.Acts = []option{{Text: v.say("page.lab"), Href: "/lab", Value: "drop"}, {Text: v.say("page.holds"), Href: "/holds", Value: "stop"}}
	if v.of() == "" {
		p.Empty = v.say("page.release.ask")
		return v.render("yard", *p)
	}
	p.about(v.of())
	if of := v.of(); of != "" {
		p.Acts = append(p.Acts, option{Text: v.say("page.enter.sheet", "of", string(of)), Href: link("/enter/sheet", "of", string(of), "back", v.r.URL.RequestURI()), Value: "pencil"})
	}
	return v.yardAsk(p, func(h *office.View) answer.Answer { return h.Releasable(v.of()) })
}

// problems is every problem with what was done about it.
func (v *visit) problems() error {
	p := &yardPage{frame: v.frame("", v.say("page.problems"))}
	p.Acts = []option{{Text: v.say("page.enter.problem"), Href: "/enter/problem?back=/problems", Value: "watch"}, {Text: v.say("page.care"), Href: "/care", Value: "tick"}}
	v.s.office.Read(func(h *office.View) {
		for _, x := range h.Problems() {
			if !x.Over {
				p.Parts = append(p.Parts, option{Text: string(x.Code) + " · " + v.say("page.care.deal"), Href: link("/enter/dealt", "of", string(x.Code), "back", "/problems")})
			}
		}
	})
	return v.yardAsk(p, func(h *office.View) answer.Answer { return h.ProblemList(v.of()) })
}

// describeTask writes down what is known of a site for planning a pull.
func (v *visit) describeTask(of record.Code) (*task, error) {
	t, err := v.siteFact(of, record.KindSiteDescribed, cell{Name: "drive", Unit: v.c.Unit(quantity.Minute)}, cell{Name: "crop", Hint: v.say("page.enter.describe.crop")},
		cell{Name: "sets_after", Hint: v.say("page.enter.describe.sets"), Unit: v.say("page.days")}, cell{Name: "note", Hint: v.say("page.enter.describe.note")})
	if err == nil {
		v.s.office.Read(func(h *office.View) {
			if s, ok := h.State.Yard.Site(t.Of); ok && t.Of != "" {
				t.About = strings.Trim(s.About.Crop+" · "+s.About.Note, " ·")
			}
		})
	}
	return t, err
}
