package cli

import (
	"context"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"combline/internal/answer"
	"combline/internal/house"
	"combline/internal/office"
	"combline/internal/quantity"
	"combline/internal/record"
)

type correctCommand struct {
	Fact   string   `arg:"" help:"The number of the entry; combline facts CODE shows it."`
	Fields []string `arg:"" optional:"" name:"field=value" help:"What it should have said, as gross=305.2kg; field= takes a field out."`
	Reason string   `required:"" help:"Why."`
	Strike bool     `help:"It did not happen at all."`
	When   string   `placeholder:"TIME" help:"When it really happened."`
	Person string   `placeholder:"CODE" help:"Who corrects it."`
	Device string   `placeholder:"CODE" help:"On which device."`
	Yes    bool     `help:"Record the correction. Without it: only show what it would move."`
}

func (c *correctCommand) Run(ctx context.Context, a *app) error {
	if c.Strike == (len(c.Fields) > 0 || c.When != "") {
		return usage("correct")
	}
	open := a.reading
	if c.Yes {
		open = a.writing
	}
	h, err := open(ctx)
	if err != nil {
		return err
	}
	defer h.Close()
	correction, wrong, err := c.correction(h)
	if err != nil {
		return err
	} else if len(wrong) > 0 {
		return a.badCells(wrong)
	}
	d, err := h.CorrectionDraft(correction)
	if err != nil {
		return err
	}
	d.Key, d.Person, d.Device = record.Key(randomKey()), record.Code(c.Person), record.Code(c.Device)
	x, err := h.Preview(ctx, d)
	if err != nil {
		return err
	}
	if c.Yes {
		return a.submitSeen(ctx, h, d, x)
	}
	x.Say("cli.preview", nil)
	return a.show(x)
}

// number is the number of an entry as people type it: digits that a page parts by
// spaces may be typed so.
func (c *correctCommand) number() (uint64, error) {
	digits := strings.Map(func(r rune) rune {
		if unicode.IsSpace(r) {
			return -1
		}
		return r
	}, c.Fact)
	n, err := strconv.ParseUint(digits, 10, 63)
	if err != nil {
		return 0, usage("entry", "typed", c.Fact)
	}
	return n, nil
}

// correction puts the fields that were typed in the place of those that the fact has now.
func (c *correctCommand) correction(h *opened) (x office.Correction, wrong []error, err error) {
	x.Reason = c.Reason
	if x.Fact, err = c.number(); err != nil || c.Strike {
		return x, nil, err
	}
	now, err := h.asItStands(x.Fact)
	if err != nil {
		return x, nil, err
	}
	x.With, x.When = now.fact, now.moved
	if _, err := h.CorrectionDraft(x); err != nil { // it can't be corrected at all, whatever was typed
		return x, nil, err
	}
	fields, err := typed(c.Fields)
	if err != nil {
		return x, nil, err
	}
	if x.With, wrong = replaced(now.fact, fields); len(wrong) > 0 {
		return x, wrong, nil
	}
	if c.When != "" {
		x.When, err = h.when(c.When)
	}
	return x, nil, err
}

// replaced is a fact with some of its fields typed again.
func replaced(fact record.Fact, fields map[string]string) (record.Fact, []error) {
	_, wrong := record.FromCells(fact.Kind(), fields, quantity.EitherSign) // in the person's style
	wrong = withoutMissing(wrong)
	if len(wrong) > 0 {
		return nil, wrong
	}
	cells := record.Cells(fact)
	for name, value := range fields {
		cells[name] = value
		if strings.TrimSpace(value) == "" {
			delete(cells, name)
			delete(cells, name+"_known")
		}
	}
	return record.FromCells(fact.Kind(), cells, quantity.DecimalPoint) // as a fact is listed
}

// withoutMissing leaves out fields that were not typed: the fact has them.
func withoutMissing(wrong []error) (some []error) {
	for _, err := range wrong {
		if c, ok := err.(*record.CellError); !ok || c.Key != "cell.missing" {
			some = append(some, err)
		}
	}
	return some
}

// standing is what a fact says by its last correction.
type standing struct {
	fact  record.Fact
	moved record.When // zero: never moved in time
}

func (h *opened) asItStands(seq uint64) (s standing, err error) {
	h.Read(func(v *office.View) {
		var e record.Entry
		if e, err = v.Fact(seq); err != nil {
			err = &house.Refusal{Key: "refused.no-such-fact", Args: answer.Args{"fact": int64(seq), "last": int64(v.Facts())}, Next: "next.type-again"}
			return
		}
		s.fact = e.Fact
		last := uint64(0) // the last amendment stands
		for _, c := range v.State.Corrections() {
			if c.Of == seq && !c.Struck {
				last = max(last, c.By)
			}
		}
		if last > 0 {
			s, err = amended(v, last)
		}
	})
	return s, err
}

func amended(v *office.View, by uint64) (s standing, err error) {
	e, err := v.Fact(by)
	if err != nil {
		return s, err
	}
	f, ok := e.Fact.(*record.Amended)
	if !ok {
		return s, fmt.Errorf("fact %d is no amendment", by)
	}
	s.fact, err = record.Unmarshal(string(f.With))
	s.moved = f.When
	return s, err
}

// submitSeen records a correction whose preview is shown: what it moves is no
// question any more.
func (a *app) submitSeen(ctx context.Context, h *opened, d house.Draft, x answer.Answer) error {
	r, err := h.Submit(ctx, d)
	if asks, ok := err.(house.Asks); ok && !slices.ContainsFunc(asks, func(q house.Ask) bool { return q.Key != "ask.late" }) {
		for _, q := range asks {
			d.Confirmed = append(d.Confirmed, q.ID)
		}
		r, err = h.Submit(ctx, d)
	}
	if err != nil {
		return inFolder(h.dir, err)
	}
	receipt(&x, r)
	return a.show(x)
}
