package web

import (
	"errors"
	"strconv"
	"time"

	"combline/internal/answer"
	"combline/internal/house"
	"combline/internal/office"
	"combline/internal/record"
)

// sign is the form by which two persons prove a label. When it is recorded the browser
// has been sent on and done is true.
func (v *visit) sign(p *labelsPage, look office.LabelLook) (done bool, err error) {
	var others []option
	for _, x := range v.people {
		if sameCode(x.Person, v.person) {
			continue
		}
		others = append(others, option{Value: string(x.Person), Text: initials(x.Person, x.PersonNamed.Name), Note: nameOf(x.Person, x.PersonNamed.Name)})
	}
	t := &task{Name: "prove", Of: look.Of, Back: link("/labels", labelPairs(look)...), Go: v.say("page.labels.sign"),
		Parts: []part{{Kind: record.KindLabelProved, Fixed: map[string]string{"about": string(look.Of), "label_size": look.Size, "label_language": look.Language, "proof_number": "LP-0", "first_person": "0"},
			Cells: []cell{{Name: "second_person", Likely: others, Need: true}}}},
		Make: func(d *house.Draft) error { return v.proofOf(d, look) }}
	if v.r.Method == "POST" && v.recordedBefore(v.arg("key")) { // a second tap: the number would be another
		return true, v.see(t.Back)
	}
	p.Sign, done, err = v.take(t)
	return done, err
}

// recordedBefore reports whether a form with this key was recorded.
func (v *visit) recordedBefore(key string) (is bool) {
	if k, ok := keyOf(key); ok {
		v.s.office.Read(func(h *office.View) { _, is = h.Batch(k) })
	}
	return is
}

// proofOf puts what two persons sign in the place of what the form could say: the first
// is whoever writes it down.
func (v *visit) proofOf(d *house.Draft, look office.LabelLook) error {
	typed, ok := d.Facts[0].(*record.LabelProved)
	if !ok {
		return nil
	}
	var err error
	v.s.office.Read(func(h *office.View) {
		var s office.LabelStand
		if s, ok, err = h.LabelStand(look, v.s.opts.Labels.Labels); err != nil || !ok {
			return
		}
		if !s.Made.Ready() {
			err = &house.Refusal{Key: "labelling.not-ready", Args: answer.Args{"of": s.Made.Mark}, Next: "next.type-again"}
			return
		}
		var f *record.LabelProved
		if f, err = h.ProofFact(s, look, v.s.opts.Labels.Labels, d.Person, typed.Second); err == nil {
			d.Facts[0] = f
		}
	})
	return err
}

// secondPIN asks the other of two persons who prove a label for their own PIN, where they
// have one: a name alone could be tapped by anybody.
func (v *visit) secondPIN(d *house.Draft) error {
	for _, f := range d.Facts {
		proved, ok := f.(*record.LabelProved)
		if !ok {
			continue
		}
		other := proved.Second
		if sameCode(other, d.Person) {
			other = proved.First
		}
		a := v.s.access
		if !a.hasPIN(other) {
			return nil
		}
		ask := &pinAsk{Name: v.nameOf(other), Field: "pin.second"}
		typed := v.r.PostForm.Get(ask.Field)
		if typed == "" {
			return ask
		}
		limits := v.pinLimits(other)
		if wait := a.try(limits...); wait > 0 {
			ask.Problem = v.say("page.pin.wait", "wait", v.minutes(wait))
			return ask
		}
		if !a.isPIN(other, typed) {
			ask.Problem = v.say("page.pin.wrong")
			return ask
		}
		a.right(limits...)
	}
	return nil
}

// printLabels writes down that labels are printed, and leads to their file.
func (v *visit) printLabels() error {
	look := v.labelAsked()
	back := link("/labels", labelPairs(look)...)
	key, ok := keyOf(v.arg("key"))
	n, wrong := strconv.Atoi(v.arg("count"))
	if !ok || wrong != nil || n < 1 || n > mostCopies {
		return &house.Refusal{Key: "page.labels.count-wrong", Args: answer.Args{"typed": v.arg("count")}, Next: "next.type-again"}
	}
	if v.recordedBefore(v.arg("key")) {
		return v.see(back)
	}
	d := house.Draft{Key: key, Person: v.person, Device: v.device}
	var err error
	v.s.office.Read(func(h *office.View) {
		var s office.LabelStand
		if s, ok, err = h.LabelStand(look, v.s.opts.Labels.Labels); err != nil || !ok {
			return
		}
		if s.Proof == nil {
			err = &house.Refusal{Key: "refused.not-proved", Args: answer.Args{"of": s.Made.Mark}, Next: "next.prove-on-page"}
			return
		}
		var file []byte
		if file, err = v.s.opts.Labels.Labels(s.Made, look, n, false); err == nil {
			d.Facts = h.PrintFacts(s, int64(n), file)
		}
	})
	if err != nil {
		return err
	}
	if !ok {
		return &notThere{look.Of, nil}
	}
	r, err := v.record(d)
	if err != nil {
		return err
	}
	return v.see(withReceipt(link("/labels", append(labelPairs(look), "paper", string(d.Facts[0].(*record.Printed).Paper))...), r))
}

// mostCopies is how many labels go in one print.
const mostCopies = 100_000

// labelFile sends a marked proof, a tag, or labels that were printed as they were.
func (v *visit) labelFile() error {
	l := v.s.opts.Labels
	if l.Labels == nil {
		return errNotFound
	}
	if paper := record.Code(v.arg("paper")); paper != "" {
		r, err := v.reprint(paper)
		if err != nil {
			return err
		}
		if !r.Same {
			return v.see(link("/labels/again", "paper", string(paper)))
		}
		return v.file(string(r.Paper.Paper.Fact.Paper), "pdf", r.File)
	}
	look := v.labelAsked()
	if v.arg("what") == "tag" {
		return v.tagFile(look)
	}
	var file []byte
	var m office.LabelMade
	var ok bool
	var err error
	v.s.office.Read(func(h *office.View) {
		if m, ok, err = h.LabelOf(look.LabelAsk); err == nil && ok && m.Ready() {
			file, err = l.Labels(m, look, 1, true)
		}
	})
	if err != nil {
		return err
	}
	if file == nil { // it is not ready: its page says why
		return v.see(link("/labels", labelPairs(look)...))
	}
	return v.file(v.say("page.labels.proof-of", "of", string(m.Mark)), "pdf", file)
}

func (v *visit) tagFile(look office.LabelLook) error {
	var tag office.TagMade
	var ok bool
	v.s.office.Read(func(h *office.View) { tag, ok = h.TagOf(look.Of) })
	if !ok {
		return &notThere{look.Of, nil}
	}
	size := v.arg("size")
	if size == "" {
		size = usualTag
	}
	file, err := v.s.opts.Labels.Tags(look.Language, size, []office.TagMade{tag}, 1, v.now)
	if err != nil {
		return err
	}
	return v.file(v.say("page.labels.tag", "of", string(tag.Number)), "pdf", file)
}

// Usual sizes of what is larger than a jar's label, mm.
const (
	usualTag    = "148x105"
	usualCase   = "148x105"
	usualPallet = "148x210"
)

func (v *visit) reprint(paper record.Code) (r office.Reprint, err error) {
	l := v.s.opts.Labels
	if l.Labels == nil {
		return r, errNotFound
	}
	v.s.office.Read(func(h *office.View) { r, err = h.Reprint(paper, l.Labels, l.Asked) })
	if errors.Is(err, office.ErrNoSuchLabel) {
		err = &notThere{paper, nil}
	}
	return r, err
}

// labelsAgain says whether labels can be made again as they were printed, and what they
// would now say.
func (v *visit) labelsAgain() error {
	r, err := v.reprint(record.Code(v.arg("paper")))
	if err != nil {
		return err
	}
	a := r.Answer()
	p := goodsPage{frame: v.frame("", v.say("page.labels.again", "paper", string(a.Of)))}
	about := string(r.Paper.Paper.Fact.About)
	p.Acts = append(p.Acts, option{Text: v.say("page.labels.now"), Value: "eye", Href: link("/labels", labelPairs(r.Look)...)})
	if r.Same {
		p.Acts = append(p.Acts, option{Text: v.say("page.labels.open"), Value: "print", Href: link("/labels/file", "paper", string(a.Of))})
	}
	p.about(record.Code(about))
	v.answered(&p, a)
	return v.render("goods", p)
}

// parcelLabels are the labels of cases or of a pallet: what they bear, and their print.
func (v *visit) parcelLabels() error {
	look := v.labelAsked()
	p := labelsPage{frame: v.frame("", v.say("page.labels.of", "of", string(look.Of))), Of: string(look.Of)}
	p.about(look.Of)
	from, count := v.countArg("from", 1), v.countArg("count", 10)
	var j parcelJob
	v.s.office.Read(func(h *office.View) { j = parcelsOf(h, look.Of, from, count) })
	if len(j.all) == 0 {
		p.Cannot = v.say("labelling.no-cases", "of", string(look.Of))
		return v.render("labels", p)
	}
	if v.r.Method == "POST" {
		return v.printParcels(look, j)
	}
	a := office.ParcelAnswer(v.c, look.Of, j.all)
	v.labelAnswer(&p, a)
	p.Print = &labelPrintForm{Key: newKey(), Hidden: hiddenOf([]string{"of", string(look.Of), "lang", look.Language, "cases", v.arg("cases")}), Go: v.say("page.labels.print"), OpensPaper: true}
	if j.what == record.CaseLabel && !j.one {
		p.Print.From, p.Print.FromText, p.Print.Count, p.Print.CountText = strconv.FormatInt(from, 10), v.say("page.labels.from"), strconv.FormatInt(count, 10), v.say("page.labels.cases-n")
	}
	return v.render("labels", p)
}

// countArg is a count of the address or form; what can't be one is the usual.
func (v *visit) countArg(name string, usual int64) int64 {
	n, err := strconv.ParseInt(v.arg(name), 10, 64)
	if err != nil || n < 1 || n > mostCopies {
		return usual
	}
	return n
}

// A parcelJob is parcels with what their print is about.
type parcelJob struct {
	what   record.PaperKind
	about  record.Code
	number record.Code // given now, or ""
	all    []office.ParcelMade
	one    bool // a pallet, or one case by its number
	size   string
}

func parcelsOf(h *office.View, code record.Code, from, count int64) parcelJob {
	if p, number, fresh, ok := h.PalletLabel(code); ok {
		j := parcelJob{what: record.PalletLabel, about: p.Number, all: []office.ParcelMade{p}, one: true, size: usualPallet}
		if fresh {
			j.number = number
		}
		return j
	}
	j := parcelJob{what: record.CaseLabel, size: usualCase}
	j.all, j.about = h.CasesOf(code, from, count)
	_, j.one = h.State.Goods.Case(code)
	return j
}

// printParcels writes down that they are printed and sends the file.
func (v *visit) printParcels(look office.LabelLook, j parcelJob) error {
	key, ok := keyOf(v.arg("key"))
	if !ok {
		return v.see(link("/labels", "of", string(look.Of), "cases", v.arg("cases")))
	}
	made := record.At(v.now)
	v.s.office.Read(func(h *office.View) {
		if was, is := h.Batch(key); is { // sent twice: the same file again
			made, ok = was.When, false
		}
	})
	file, err := v.s.opts.Labels.Parcels(look.Language, j.size, j.all, 1, made.Time().In(time.UTC))
	if err != nil {
		return err
	}
	if ok {
		d := house.Draft{Key: key, Person: v.person, Device: v.device, When: made}
		v.s.office.Read(func(h *office.View) {
			var f *record.Printed
			if f, err = h.ParcelFact(j.what, j.about, j.number, file); err == nil {
				d.Facts = []record.Fact{f}
			}
		})
		if err != nil {
			return err
		}
		if _, err := v.record(d); err != nil {
			return err
		}
	}
	return v.file(string(look.Of), "pdf", file)
}
