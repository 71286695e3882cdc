package web

import (
	"fmt"
	"strconv"
	"strings"

	"combline/internal/answer"
	"combline/internal/house"
	"combline/internal/office"
	"combline/internal/quantity"
	"combline/internal/record"
)

// Five jars of each nozzle, by the big keypad: a grid of nozzle by jar.
type fillCheckPage struct {
	*frame
	Entry   *entry
	Of      string
	Line    string
	Nozzles []gridRow
	Jars    []string
	Scale   *field
	Action  *field
}

// A gridRow is one nozzle's jars.
type gridRow struct {
	Name   string
	Usual  string
	Fields []*field
}

const (
	jarsEach     = 5 // weighed of each nozzle (common practice)
	usualNozzles = 4
)

func (v *visit) fillCheck() error {
	run, err := v.must(v.of(), record.Run)
	if err != nil {
		return err
	}
	s, _, why := v.s.office.FillState(v.r.Context(), run)
	p := fillCheckPage{Of: string(run)}
	nozzles := usualNozzles
	if why == nil && s.Spec.Nozzles > 0 {
		nozzles = s.Spec.Nozzles
	}
	if n, err := strconv.Atoi(v.arg("nozzles")); err == nil && n >= 1 && n <= office.MaxNozzles {
		nozzles = n
	}
	back := link("/fill", "of", string(run))
	t := &task{Name: "fill-check", Title: v.with("page.fill.check-title", answer.Args{"run": run}), Of: run, Back: back, Keys: true, Make: func(d *house.Draft) error {
		v.sameCheck(d)
		return unweighed(d, s.Spec.Label)
	}}
	v.closeUp(nozzles)
	v.s.office.Read(func(h *office.View) { t.Parts = []part{v.checkPart(h, &s, run, nozzles)} })
	var saved bool
	if p.Entry, saved, err = v.take(t); err != nil || saved {
		return err
	}
	p.frame = v.frame("fill", t.Title)
	p.about(run)
	p.Line = v.say("page.fill.check-line", "n", int64(jarsEach))
	for k := 1; k <= jarsEach; k++ {
		p.Jars = append(p.Jars, v.c.Count(int64(k)))
	}
	for n := 1; n <= nozzles; n++ {
		row := gridRow{Name: v.c.Count(int64(n)), Usual: v.usual(&s, n)}
		for k := 1; k <= jarsEach; k++ {
			f := p.Entry.cellOf(weightCell(n, k))
			f.Label = v.say("page.fill.cell", "nozzle", int64(n), "jar", int64(k))
			row.Fields = append(row.Fields, f)
		}
		p.Nozzles = append(p.Nozzles, row)
	}
	p.Scale, p.Action = p.Entry.cellOf("scale"), p.Entry.cellOf("action")
	return v.render("fillcheck", p)
}

func weightCell(nozzle, jar int) string { return fmt.Sprintf("nozzles.%d.weights.%d.net", nozzle, jar) }

// usual is what a nozzle gave at its last check.
func (v *visit) usual(s *office.FillState, nozzle int) string {
	for i := range s.Nozzles {
		if n := &s.Nozzles[i]; n.Nozzle == nozzle && n.Jars > 0 {
			return v.grams(s, n.Last.MeanG)
		}
	}
	return ""
}

// checkPart is the form's fact.
func (v *visit) checkPart(h *office.View, s *office.FillState, run record.Code, nozzles int) part {
	scale := string(s.Spec.Scale)
	if scale == "" {
		scale = h.State.SettingText("fill.scale")
	}
	p := part{Kind: record.KindNozzlesChecked, Fixed: map[string]string{"run": string(run), "check": strconv.FormatInt(s.Checks+1, 10)}}
	for n := 1; n <= nozzles; n++ {
		p.Fixed[fmt.Sprintf("nozzles.%d.nozzle", n)] = strconv.Itoa(n)
		for k := 1; k <= jarsEach; k++ {
			p.Cells = append(p.Cells, cell{Name: weightCell(n, k), Free: true})
		}
	}
	p.Cells = append(p.Cells, cell{Name: "scale", Likely: chosen(named(h, record.Instrument, weighsJars(s.Spec.Label)), scale)}, cell{Name: "action", Label: v.say("page.fill.done")})
	return p
}

// weighsJars tells scales that bear a jar of a label, with steps fine enough for any jar.
func weighsJars(label quantity.Milligram) func(record.Fact) bool {
	return func(f record.Fact) bool {
		i, ok := f.(*record.InstrumentNamed)
		if !ok {
			return false
		}
		g, err := i.Division.In(quantity.G)
		if mass := err == nil && i.Division.Given(); !mass && !isScale(f) { // whatever it is called, it shows grams
			return false
		}
		most, unknown := i.Capacity.Milligrams()
		return (err != nil || !i.Division.Given() || g <= 5) && (unknown != nil || !i.Capacity.Given() || most >= label)
	}
}

// unweighed leaves out nozzles of which no jar was weighed, and asks for some.
func unweighed(d *house.Draft, label quantity.Milligram) error {
	f, ok := d.Facts[0].(*record.NozzlesChecked)
	if !ok {
		return nil
	}
	kept := f.Nozzles[:0]
	for _, n := range f.Nozzles {
		if len(n.Weights) > 0 {
			kept = append(kept, n)
		}
	}
	if f.Nozzles = kept; len(kept) == 0 {
		return &house.Refusal{Key: "page.refused.no-jar", Next: "next.fill.check"}
	}
	return oddJars(d, f, label)
}

// sameCheck gives a check that is sent again the number that it got the first time.
func (v *visit) sameCheck(d *house.Draft) {
	f, ok := d.Facts[0].(*record.NozzlesChecked)
	if !ok {
		return
	}
	v.s.office.Read(func(h *office.View) {
		if was, ok := h.Batch(d.Key); ok {
			if first, ok := was.Fact.(*record.NozzlesChecked); ok {
				f.Check = first.Check
			}
		}
	})
}

// closeUp moves what was typed of a nozzle together, where a jar between was left out.
func (v *visit) closeUp(nozzles int) {
	if v.r.Method != "POST" {
		return
	}
	for n := 1; n <= nozzles; n++ {
		to := 1
		for k := 1; k <= jarsEach; k++ {
			at := fieldAt(0, weightCell(n, k))
			typed := strings.TrimSpace(v.r.PostForm.Get(at))
			v.r.PostForm.Set(at, "")
			if typed != "" {
				v.r.PostForm.Set(fieldAt(0, weightCell(n, to)), typed)
				to++
			}
		}
	}
}
