package cli

import (
	"context"
	"crypto/rand"
	"errors"
	"fmt"
	"slices"
	"strings"

	"combline/internal/answer"
	"combline/internal/house"
	"combline/internal/office"
	"combline/internal/quantity"
	"combline/internal/record"
)

// writer says who writes, when it happened, and what is answered with yes.
type writer struct {
	When    string   `placeholder:"TIME" help:"When it happened: 2026-09-30, \"2026-09-30 14:05\" or 14:05. Without it: now."`
	Person  string   `placeholder:"CODE" help:"Who writes it down."`
	Device  string   `placeholder:"CODE" help:"On which device."`
	Confirm []string `sep:"none" placeholder:"ID" help:"Answer a question of the house with yes; may stand several times."`
}

type recordCommand struct {
	Kind   string   `arg:"" help:"What happened, as drum-filled; bring-in --list names the kinds."`
	Fields []string `arg:"" optional:"" name:"field=value" help:"What is known of it, as gross=305.2kg; bring-in --list KIND names the fields."`
	writer
	Despite []string `sep:"none" placeholder:"HOLD" help:"Honey on this hold was poured or sent all the same; needs --role and --reason. May stand several times."`
	Role    string   `help:"The role of whoever decided it."`
	Reason  string   `help:"Why it was decided."`
}

func (c *recordCommand) Run(ctx context.Context, a *app) error {
	kind, err := kindNamed(c.Kind)
	if err != nil {
		return err
	}
	cells, err := typed(c.Fields)
	if err != nil {
		return err
	}
	h, err := a.writing(ctx)
	if err != nil {
		return err
	}
	defer h.Close()
	f, wrong := record.FromCells(kind, cells, quantity.EitherSign)
	if len(wrong) > 0 {
		return a.badCells(wrong)
	}
	d, err := c.draft(h, record.Key(randomKey()))
	if err != nil {
		return err
	}
	d.Facts = []record.Fact{f}
	x := answer.Answer{Question: "record"}
	r, err := submit(ctx, h.Office, d, c.Confirm)
	for c.overrides(&d, err) {
		r, err = submit(ctx, h.Office, d, c.Confirm)
	}
	if err != nil {
		return inFolder(h.dir, err)
	}
	receipt(&x, r)
	return a.show(x)
}

// overrides puts before the facts who decided what a hold forbids, if --despite names
// that hold, and reports whether it did.
func (c *recordCommand) overrides(d *house.Draft, err error) bool {
	var no *house.Refusal
	if !errors.As(err, &no) || no.Key != "refused.on-hold" {
		return false
	}
	what, hold := no.Args["what"].(record.Code), no.Args["hold"].(record.Code)
	if !slices.ContainsFunc(c.Despite, func(typed string) bool { return record.Code(typed).Fold() == hold.Fold() }) {
		return false
	}
	d.Facts = append([]record.Fact{&record.HoldOverridden{Hold: hold, Contents: []record.Code{what}, Reason: c.Reason, Role: c.Role}}, d.Facts...)
	return true
}

// kindNamed finds a kind by its word.
func kindNamed(word string) (record.Kind, error) {
	if k, ok := record.KindOf(word); ok {
		return k, nil
	}
	var near []string
	for _, k := range record.Kinds() {
		if w := k.String(); slices.ContainsFunc(strings.Split(word, "-"), func(part string) bool { return len(part) > 2 && strings.Contains(w, part) }) {
			near = append(near, w)
		}
	}
	if len(near) == 0 {
		return 0, usage("kind", "typed", word)
	}
	return 0, usage("kind-near", "typed", word, "near", strings.Join(near, ", "))
}

// typed splits "field=value" words.
func typed(fields []string) (map[string]string, error) {
	cells := map[string]string{}
	for _, f := range fields {
		name, value, ok := strings.Cut(f, "=")
		if !ok || name == "" {
			return nil, usage("field", "typed", f)
		}
		if _, twice := cells[name]; twice {
			return nil, usage("twice", "field", name)
		}
		cells[name] = value
	}
	return cells, nil
}

// draft is an entry without its facts.
func (w writer) draft(h *opened, key record.Key) (house.Draft, error) {
	when, err := h.when(w.When)
	return house.Draft{Key: key, Person: record.Code(w.Person), Device: record.Code(w.Device), When: when}, err
}

// randomKey is a batch's own: two commands are two entries.
func randomKey() (k [16]byte) {
	_, _ = rand.Read(k[:]) // it never fails
	return k
}

// badCells prints every cell that is wrong.
func (a *app) badCells(wrong []error) error {
	x := answer.Answer{Question: "record"}
	for _, err := range wrong {
		x.Lines = append(x.Lines, answer.Line{Key: "cli.wrong", Mark: answer.Bad, Args: answer.Args{"what": a.tell(err).Text}})
	}
	return a.wrong(x)
}

// wrong prints what is not in order, to where errors go.
func (a *app) wrong(x answer.Answer) error {
	x.Cannot = &answer.Line{Key: "cli.nothing-recorded"}
	to := *a
	to.Out = a.Err
	return to.show(x)
}

// receipt says what was recorded, and what is odd about it.
func receipt(x *answer.Answer, r office.Receipt) {
	key := "cli.recorded"
	if r.Repeated {
		key = "cli.repeated"
	}
	n, numbers := int64(r.Last-r.First)+1, fmt.Sprint(r.First) // a name, so its digits are not parted
	if n > 1 {
		numbers = fmt.Sprint(r.First, "-", r.Last)
	}
	x.Say(key, answer.Args{"n": n, "first": int64(r.First), "last": int64(r.Last), "numbers": numbers})
	if r.Late {
		x.Say("cli.late", nil)
	}
	for _, l := range r.Flags {
		x.Lines = append(x.Lines, l)
		if l.Key == "odd.below-zero" {
			x.Then("next.stock-check", l.Args)
		}
	}
}
