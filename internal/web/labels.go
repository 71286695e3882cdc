package web

import (
	"errors"
	"html/template"
	"slices"
	"strings"
	"time"

	"combline/internal/answer"
	"combline/internal/house"
	"combline/internal/office"
	"combline/internal/record"
	"combline/internal/words"
)

// Labels: what a label says, what stands in its way, how it looks; its proof by two
// persons and its print. Also the tag of a vessel, and the labels of cases and pallets.
type labelsPage struct {
	*frame
	Of        string
	Recent    []labelChoice
	Cannot    string
	Lines     []answerLine
	Picture   template.HTML
	NoPicture string
	Form      *labelForm
	Findings  *sheet
	Says      *sheet
	Evidence  *sheet
	Prints    *sheet
	Again     []option // of what was printed
	Rests     []string
	ProofHref string
	Sign      *entry
	Print     *labelPrintForm
	Parcels   *sheet
	Tag       []answerLine
	Acts      []option
}

// A labelChoice is a lot mark to choose, with how its label stands.
type labelChoice struct {
	option
	State chip
}

// A labelForm is what is wished for, as it was typed.
type labelForm struct {
	Of, Name, Plant, Region, Text, Size, Usual, Best string
	FullDate, Nutrition                              bool
	Languages, Plants, Sizes                         []option
	Vessel                                           bool // only a plant is asked for
}

// A labelPrintForm is so many labels, cases or pallets to print.
type labelPrintForm struct {
	Key, Go    string
	Hidden     []option
	Count      string
	CountText  string
	Refused    string
	Next       string
	From       string // of cases: the first
	FromText   string
	OpensPaper bool // the file itself is the answer
}

// labelAsked is what the address or a form asks of a label.
func (v *visit) labelAsked() office.LabelLook {
	look := office.LabelLook{Size: v.arg("size"), LabelAsk: office.LabelAsk{Of: v.of(), Now: v.now, Name: v.arg("name"), Plant: v.arg("plant"), Region: v.arg("region"),
		FullDate: v.arg("full") == "yes", Nutrition: v.arg("nutrition") == "yes", Language: v.arg("lang")}}
	if look.Size == "" {
		look.Size = usualLabel
	}
	if look.Language == "" {
		look.Language = v.house.Language
	}
	if day, err := time.Parse(time.DateOnly, v.arg("best")); err == nil {
		look.Best = record.DayOf(day)
	}
	for t := range strings.Lines(v.arg("text")) {
		if t = strings.TrimSpace(t); t != "" {
			look.Texts = append(look.Texts, t)
		}
	}
	if asked := v.s.opts.Labels.Asked; asked != nil {
		look = asked(look)
	}
	return look
}

const usualLabel = "90x60"

// labelSizes are the usual sizes; any other may be typed.
var labelSizes = []string{"90x60", "100x62", "100x70", "70x50", "148x105", "a4:2x4", "a4:2x5", "a4:2x6"}

// labelPairs are what is wished for as pairs of names and values.
func labelPairs(look office.LabelLook) []string {
	return []string{"of", string(look.Of), "name", look.Name, "plant", look.Plant, "region", look.Region, "text", strings.Join(look.Texts, "\n"),
		"full", yesIf(look.FullDate), "nutrition", yesIf(look.Nutrition), "lang", look.Language, "size", look.Size, "best", dayArg(look.Best)}
}

func dayArg(d record.Day) string {
	if d == 0 {
		return ""
	}
	return d.Time().Format(time.DateOnly)
}

func yesIf(b bool) string {
	if b {
		return "yes"
	}
	return ""
}

func hiddenOf(pairs []string) (all []option) {
	for i := 0; i+1 < len(pairs); i += 2 {
		if pairs[i+1] != "" {
			all = append(all, option{Value: pairs[i], Text: pairs[i+1]})
		}
	}
	return all
}

func (v *visit) labels() error {
	if v.of() == "" {
		return v.labelChooser()
	}
	var pallet, packed, aCase, vessel, named bool
	v.s.office.Read(func(h *office.View) {
		_, pallet = h.PalletOf(v.of())
		var t house.Thing
		t, named = h.State.Find(v.of())
		packed = h.Packed(v.of()) != "" || named && h.State.KindOf(t) == record.Run // of which nothing may be packed yet
		_, aCase = h.State.Goods.Case(v.of())
		_, vessel = h.TagOf(v.of())
	})
	switch {
	case pallet, v.arg("cases") == "yes", aCase && !named:
		return v.parcelLabels()
	case packed:
		return v.jarLabels()
	case vessel, named:
		return v.tagLabel()
	}
	var near []record.Code
	v.s.office.Read(func(h *office.View) {
		near = h.State.Near(v.of(), []record.Entity{record.Run, record.Batch, record.Filling, record.Vessel, record.Pallet})
	})
	return &notThere{v.of(), near}
}

// labelChooser lists the latest lot marks with how their labels stand.
func (v *visit) labelChooser() error {
	p := labelsPage{frame: v.frame("", v.say("page.labels"))}
	v.s.office.Read(func(h *office.View) {
		all := h.State.OfKind(record.Run)
		for _, t := range slices.Backward(all[max(0, len(all)-mostLikely):]) {
			run := h.State.Code(t)
			mark := h.Packed(run)
			if mark == "" {
				continue
			}
			c := labelChoice{option: option{Text: string(run), Href: link("/labels", "of", string(run))}, State: newChip("watch", v.say("page.labels.unproved"))}
			if b, ok := h.State.Goods.Batch(mark); ok {
				c.Note = string(b.Product)
				if x, ok := h.State.Goods.Product(b.Product); ok && x.Name != "" {
					c.Note = x.Name
				}
			}
			if proofs := h.State.Proofs(mark); len(proofs) > 0 {
				c.State = newChip("ok", v.say("page.labels.proved", "proof", proofs[len(proofs)-1].Fact.Proof))
			}
			p.Recent = append(p.Recent, c)
		}
	})
	return v.render("labels", p)
}

// jarLabels is the label of a lot mark.
func (v *visit) jarLabels() error {
	look, draw := v.labelAsked(), v.s.opts.Labels.Labels
	if draw == nil {
		return errNotFound
	}
	p := labelsPage{frame: v.frame("", v.say("page.labels.of", "of", string(look.Of))), Of: string(look.Of)}
	p.about(look.Of)
	if done, err := v.sign(&p, look); done || err != nil {
		return err
	}
	var a answer.Answer
	var s office.LabelStand
	var unfit error
	v.s.office.Read(func(h *office.View) {
		var packed bool
		s, packed, unfit = h.LabelStand(look, draw)
		a = h.LabelAnswer(look.LabelAsk, s.Made, packed)
		s.LabelSays(&a)
	})
	if s.Made.Wish.Pack.Net == 0 && unfit != nil { // no label can be made of it
		p.Cannot = v.whyNot(unfit)
		return v.render("labels", p)
	}
	if a.Cannot != nil {
		p.Cannot = v.sentence(*a.Cannot)
		return v.render("labels", p)
	}
	v.labelAnswer(&p, a)
	p.Form = v.labelFormOf(look, s.Made.Wish.Name)
	v.labelPicture(&p, s.Made, look)
	v.labelActs(&p, s, look, unfit)
	p.Acts = append(p.Acts, option{Text: v.say("page.labels.cases"), Value: "box", Href: link("/labels", "of", string(look.Of), "cases", "yes")},
		option{Text: v.say("page.tab.trace"), Value: "trace", Href: link("/trace", "of", string(s.Made.Mark))})
	return v.render("labels", p)
}

// labelAnswer puts the answer's lines and tables on the page.
func (v *visit) labelAnswer(p *labelsPage, a answer.Answer) {
	for _, l := range a.Lines {
		p.Lines = append(p.Lines, v.line(l))
	}
	for _, t := range a.Tables {
		switch t.Key {
		case "label":
			p.Says = v.sheet(t)
		case "label-findings":
			if len(t.Rows) > 0 {
				p.Findings = v.sheet(t)
			}
		case "plant-evidence":
			p.Evidence = v.sheet(t)
		case "label-prints":
			p.Prints = v.sheet(t)
			for _, r := range t.Rows {
				if code, ok := r.Cells[0].(record.Code); ok {
					p.Again = append(p.Again, option{Text: string(code), Href: link("/labels/again", "paper", string(code))})
				}
			}
		case "parcels":
			p.Parcels = v.sheet(t)
		}
	}
	for _, l := range append(slices.Clone(a.Sources), append(a.Rests, a.Next...)...) {
		p.Rests = append(p.Rests, v.sentence(l))
	}
}

func (v *visit) labelFormOf(look office.LabelLook, usual string) *labelForm {
	f := &labelForm{Of: string(look.Of), Name: look.Name, Plant: look.Plant, Region: look.Region, Text: strings.Join(look.Texts, "\n"), Size: look.Size, Usual: usual,
		FullDate: look.FullDate, Nutrition: look.Nutrition, Best: dayArg(look.Best)}
	for _, l := range words.Languages() {
		f.Languages = append(f.Languages, option{Value: string(l), Text: v.s.tongue[l].Say("page.language"), On: string(l) == look.Language})
	}
	f.Plants = v.plantPicks()
	for _, s := range labelSizes {
		f.Sizes = append(f.Sizes, option{Value: s, Text: s})
	}
	return f
}

// labelPicture draws the label as it would be printed, or says why it can't be.
func (v *visit) labelPicture(p *labelsPage, m office.LabelMade, look office.LabelLook) {
	svg, err := v.s.opts.Labels.Picture(m, look, v.say("page.labels.of", "of", string(m.Mark)))
	if err != nil {
		p.NoPicture = v.whyNot(err)
		return
	}
	p.Picture = template.HTML(svg)
}

// whyNot words why something can't be drawn.
func (v *visit) whyNot(err error) string {
	var no *house.Refusal
	if errors.As(err, &no) {
		return v.refusal(no) + " " + v.say(no.Next)
	}
	return err.Error()
}

// labelActs are the proof, its signing and the print, as far as the label has come.
func (v *visit) labelActs(p *labelsPage, s office.LabelStand, look office.LabelLook, unfit error) {
	if !s.Made.Ready() || unfit != nil {
		p.Sign = nil
		return
	}
	if s.Proof == nil {
		p.ProofHref = link("/labels/file", append(labelPairs(look), "what", "proof")...)
		return
	}
	p.Sign = nil
	p.Print = &labelPrintForm{Key: newKey(), Hidden: hiddenOf(labelPairs(look)), Count: "100", CountText: v.say("field.copies"), Go: v.say("page.labels.print")}
}

// tagLabel is the tag of a vessel, and what a honey that is not packed may be called.
func (v *visit) tagLabel() error {
	look := v.labelAsked()
	p := labelsPage{frame: v.frame("stock", v.say("page.labels.call-of", "of", string(look.Of))), Of: string(look.Of)}
	p.about(look.Of)
	var next record.Code
	v.s.office.Read(func(h *office.View) {
		if t, ok := h.TagOf(look.Of); ok {
			p.Title = v.say("page.labels.tag", "of", string(t.Number))
			if t.Steel != "" {
				p.Tag = append(p.Tag, v.line(answer.Line{Key: "paper.steel", Args: answer.Args{"steel": t.Steel}}))
			}
			for _, l := range t.Lines {
				p.Tag = append(p.Tag, v.line(l))
			}
			if t.Hold != nil {
				p.Tag = append(p.Tag, v.line(*t.Hold))
			}
			p.ProofHref = link("/labels/file", "of", string(look.Of), "what", "tag", "lang", look.Language)
		}
		next = h.NextCode(record.Filling, "D001")
		if look.Plant != "" {
			v.labelAnswer(&p, h.CallIt(look.Of, look.Plant))
		}
	})
	p.Lines = append(p.Lines, v.line(answer.Line{Key: "page.labels.next", Args: answer.Args{"code": next}}))
	p.Form = v.labelFormOf(look, "")
	p.Form.Vessel = true
	return v.render("labels", p)
}
