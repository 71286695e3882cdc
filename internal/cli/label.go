package cli

import (
	"context"
	"errors"
	"os"
	"time"

	"combline/internal/answer"
	"combline/internal/house"
	"combline/internal/office"
	"combline/internal/record"
)

type labelCommand struct {
	Code      string   `arg:"" help:"A lot mark or a run for the label of its jars; a case or a pallet for its label; a drum, a pail or a tank for its tag; the number of labels that were printed, to print them again."`
	Name      string   `name:"name" placeholder:"TEXT" help:"The name on the label, when it is not the product's."`
	Plant     string   `name:"plant" placeholder:"PLANT" help:"Can it be called lime, honeydew, ...: what the record shows and what is missing. Also of a drum or a lot."`
	Region    string   `name:"region" placeholder:"PLACE" help:"The place that the name says it is from: held against the record."`
	Text      []string `name:"text" sep:"none" placeholder:"TEXT" help:"Anything else that is to stand there: looked through for words that honey must never bear. May stand several times."`
	Date      bool     `name:"full-date" help:"Print day and month of the best-before date."`
	Best      string   `name:"best-before" placeholder:"DATE" help:"Print another best-before date than the run's; the forecast judges it."`
	Nutrition bool     `name:"nutrition" help:"State the nutrition declaration."`
	Cases     bool     `name:"cases" help:"The labels of its cases rather than of its jars."`
	From      int64    `name:"from" default:"1" placeholder:"N" help:"With --cases: from its N-th case on."`
	PDF       string   `name:"pdf" placeholder:"FILE" help:"Print it at true size. Until two persons have proved a label it is a marked proof; what is printed is written down with its digest."`
	Size      string   `name:"size" placeholder:"MM" help:"Width and height of one label from a roll, mm; or a4:ACROSSxDOWN for sheets. Usual: 90x60; 148x105 for tags, cases and pallets."`
	Count     int      `name:"count" default:"1" help:"How many; with --cases: of how many cases."`
	Prove     bool     `name:"prove" help:"Write down that two persons looked at the proof of just this label and found it right; needs --first and --second."`
	First     string   `name:"first" placeholder:"CODE" help:"One of the two."`
	Second    string   `name:"second" placeholder:"CODE" help:"The other."`
	writer
}

func (c *labelCommand) Run(ctx context.Context, a *app) error {
	if _, ok := stockOf(c.size("90x60")); !ok {
		return usage("label-size", "typed", c.Size)
	}
	if c.Count < 1 || c.Count > 100_000 || c.From < 1 {
		return usage("label-count", "typed", int64(c.Count))
	}
	best, err := c.best()
	if err != nil {
		return err
	}
	h, err := a.reading(ctx)
	if err != nil {
		return err
	}
	defer func() { h.Close() }()
	job := labelJob{labelCommand: c, a: a, best: best}
	if err = job.read(h); err != nil || job.write == nil {
		return errors.Join(err, job.end())
	}
	// What is written down is decided again on the house that this process alone writes in.
	if err := h.Close(); err != nil {
		return err
	}
	w, err := a.writing(ctx)
	if err != nil {
		return err
	}
	h = w
	d, err := c.draft(h, record.Key(randomKey()))
	if err != nil {
		return err
	}
	if d.Facts, err = job.write(h, &d); err != nil {
		return err
	}
	if c.PDF != "" {
		if _, err := os.Lstat(c.PDF); err == nil {
			return &os.PathError{Op: "create", Path: c.PDF, Err: os.ErrExist}
		}
	}
	r, err := submit(ctx, h.Office, d, c.Confirm)
	if err != nil {
		return inFolder(h.dir, err)
	}
	receipt(&job.x, r)
	return job.end()
}

func (c *labelCommand) size(usual string) string {
	if c.Size == "" {
		return usual
	}
	return c.Size
}

// best is the date that was typed, or 0.
func (c *labelCommand) best() (record.Day, error) {
	if c.Best == "" {
		return 0, nil
	}
	day, err := time.Parse(time.DateOnly, c.Best)
	if err != nil {
		return 0, usage("time", "typed", c.Best)
	}
	return record.DayOf(day), nil
}

// A labelJob is what the command does: an answer, a file, and what is written down.
type labelJob struct {
	*labelCommand
	a     *app
	best  record.Day
	draw  labelPaper
	x     answer.Answer
	file  []byte
	write func(*opened, *house.Draft) ([]record.Fact, error) // nil: nothing is written down
	show  bool                                               // the answer stands beside the file
	fails bool                                               // a file was wanted and there is none
}

// end shows the answer and leaves the file.
func (j *labelJob) end() error {
	if j.PDF == "" || j.file == nil || j.show {
		if err := j.a.show(j.x); err != nil {
			return err
		}
	}
	if j.PDF != "" && j.file != nil {
		return j.a.newFile(j.PDF, j.file)
	}
	if j.fails {
		return &told{&refused{"labelling.not-ready"}}
	}
	return nil
}

// read finds what the code is and answers it.
func (j *labelJob) read(h *opened) (err error) {
	h.Read(func(v *office.View) {
		code := record.Code(j.Code)
		_, printed := v.State.LabelPrint(code)
		_, pallet := v.PalletOf(code)
		_, aCase := v.State.Goods.Case(code)
		if _, named := v.State.Find(code); named {
			aCase = false // a lot mark may end in digits too
		}
		tag, vessel := v.TagOf(code)
		packed := v.Packed(code) != ""
		switch {
		case printed:
			err = j.again(v, code)
		case j.Cases, aCase:
			err = j.cases(h, v, code)
		case pallet:
			err = j.pallet(h, v, code)
		case j.Plant != "" && !packed:
			j.x = v.CallIt(code, j.Plant)
		case vessel && !packed:
			err = j.tag(h, tag)
		default:
			err = j.jar(h, v)
		}
	})
	return err
}

func (j *labelJob) again(v *office.View, code record.Code) error {
	r, err := v.Reprint(code, j.draw.file, j.draw.asked)
	if err != nil {
		return err
	}
	j.x = r.Answer()
	if r.Same {
		j.file, j.show = r.File, true
	}
	return nil
}

func (j *labelJob) look(h *opened) office.LabelLook {
	return j.draw.asked(office.LabelLook{Size: j.size("90x60"), LabelAsk: office.LabelAsk{Of: record.Code(j.Code), Now: h.Now(), Name: j.Name, Plant: j.Plant, Region: j.Region, Texts: j.Text,
		FullDate: j.Date, Nutrition: j.Nutrition, Best: j.best, Language: string(j.a.say().Lang())}})
}

func (j *labelJob) jar(h *opened, v *office.View) (err error) {
	look, draw := j.look(h), j.draw.file
	s, packed, err := v.LabelStand(look, draw)
	if err != nil {
		return err
	}
	if j.x = v.LabelAnswer(look.LabelAsk, s.Made, packed); j.x.Cannot != nil {
		return nil
	}
	s.LabelSays(&j.x)
	wanted := j.PDF != "" || j.Prove
	switch {
	case !s.Made.Ready():
		j.fails = wanted
	case j.Prove:
		if j.First == "" || j.Second == "" {
			return usage("label-persons")
		}
		j.write = func(h *opened, d *house.Draft) ([]record.Fact, error) { return j.prove(h, d) }
	case j.PDF != "" && s.Proof == nil:
		j.file, err = draw(s.Made, look, j.Count, true)
		j.x, j.show = answer.Answer{Question: "label", Of: s.Made.Mark}, true
		s.LabelSays(&j.x)
	case j.PDF != "":
		j.write = func(h *opened, _ *house.Draft) ([]record.Fact, error) { return j.print(h) }
	}
	return err
}

// prove is what two persons sign.
func (j *labelJob) prove(h *opened, d *house.Draft) (facts []record.Fact, err error) {
	if d.Person == "" {
		d.Person = record.Code(j.First)
	}
	h.Read(func(v *office.View) {
		var s office.LabelStand
		var f *record.LabelProved
		if s, _, err = v.LabelStand(j.look(h), j.draw.file); err != nil {
			return
		}
		if f, err = v.ProofFact(s, j.look(h), j.draw.file, record.Code(j.First), record.Code(j.Second)); err == nil {
			facts, j.x = []record.Fact{f}, answer.Answer{Question: "label", Of: s.Made.Mark}
		}
	})
	return facts, err
}

// print is the labels themselves.
func (j *labelJob) print(h *opened) (facts []record.Fact, err error) {
	h.Read(func(v *office.View) {
		var s office.LabelStand
		look, draw := j.look(h), j.draw.file
		if s, _, err = v.LabelStand(look, draw); err != nil {
			return
		}
		if s.Proof == nil { // it changed in the meantime
			err = &house.Refusal{Key: "refused.not-proved", Args: answer.Args{"of": s.Made.Mark}, Next: "next.prove-on-page"}
			return
		}
		if j.file, err = draw(s.Made, look, j.Count, false); err == nil {
			facts = v.PrintFacts(s, int64(j.Count), j.file)
			j.x, j.show = answer.Answer{Question: "label", Of: s.Made.Mark}, true
		}
	})
	return facts, err
}

func (j *labelJob) tag(h *opened, t office.TagMade) (err error) {
	j.x = answer.Answer{Question: "tag", Of: t.Number, Lines: append([]answer.Line(nil), t.Lines...)}
	if t.Steel != "" {
		j.x.Say("paper.steel", answer.Args{"steel": t.Steel})
	}
	if t.Hold != nil {
		j.x.Lines = append(j.x.Lines, *t.Hold)
	}
	if j.PDF != "" {
		j.file, err = j.draw.tags(string(j.a.say().Lang()), j.size("148x105"), []office.TagMade{t}, j.Count, h.Now())
	}
	return err
}

func (j *labelJob) cases(h *opened, v *office.View, code record.Code) error {
	most := int64(j.Count)
	if _, one := v.State.Goods.Case(code); one {
		most = 1
	}
	all, about := v.CasesOf(code, j.From, most)
	if len(all) == 0 {
		j.x = answer.Answer{Question: "label", Of: code, Cannot: &answer.Line{Key: "labelling.no-cases", Args: answer.Args{"of": code}, Mark: answer.Bad}}
		return nil
	}
	j.x = office.ParcelAnswer(j.a.say(), code, all)
	if j.PDF == "" {
		return nil
	}
	copies := 1
	if most == 1 && len(all) == 1 {
		copies = j.Count
	}
	return j.printed(h, v, record.CaseLabel, about, "", all, copies)
}

func (j *labelJob) pallet(h *opened, v *office.View, code record.Code) error {
	p, number, fresh, _ := v.PalletLabel(code)
	j.x = office.ParcelAnswer(j.a.say(), code, []office.ParcelMade{p})
	if j.PDF == "" {
		return nil
	}
	if !fresh {
		number = ""
	}
	return j.printed(h, v, record.PalletLabel, p.Number, number, []office.ParcelMade{p}, j.Count)
}

// printed draws parcels now and writes them down on the house that is written in.
func (j *labelJob) printed(h *opened, v *office.View, what record.PaperKind, about, number record.Code, all []office.ParcelMade, copies int) error {
	usual := "148x105"
	if what == record.PalletLabel {
		usual = "148x210"
	}
	file, err := j.draw.parcels(string(j.a.say().Lang()), j.size(usual), all, copies, h.Now())
	if err != nil {
		return err
	}
	j.write = func(h *opened, _ *house.Draft) (facts []record.Fact, err error) {
		h.Read(func(v *office.View) {
			var f *record.Printed
			if f, err = v.ParcelFact(what, about, number, file); err == nil {
				facts, j.file, j.show = []record.Fact{f}, file, true
			}
		})
		return facts, err
	}
	return nil
}
