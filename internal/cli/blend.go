package cli

import (
	"context"
	"errors"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"time"

	"combline/internal/answer"
	"combline/internal/house"
	"combline/internal/office"
	"combline/internal/quantity"
	"combline/internal/record"
)

type blendCommand struct {
	Order   string   `arg:"" optional:"" help:"The order to blend for. Without an order and a mass: every open order that needs honey."`
	Product string   `placeholder:"CODE" help:"The product: its promises, label and kind of honey are kept."`
	Mass    string   `placeholder:"MASS" help:"How much is wanted, as 3.5t. Without it: what the order still needs."`
	Limit   []string `sep:"none" placeholder:"LIMIT" help:"A limit or share, as \"water<=17.8\", \"45<=colour<=55\", \"VM>=60\", \"VM=60\" (as a label states it), \"site Brackenlow<=50\", \"kind summer>=90\"; may stand several times."`
	Most    int      `placeholder:"N" help:"At most so many contents."`
	Parcel  string   `placeholder:"MASS" help:"At least so much of each content."`
	Tank    string   `placeholder:"CODE" help:"The tank that must take it."`
	Due     string   `placeholder:"DAY" help:"All must be ready to tip by then. Without it: the order's day."`
	Soft    bool     `help:"It will be soft-set: the ferment rule then holds for the liquid between the grains."`
	Cooking bool     `help:"For cooking only: overheated honey may go in, the rules for table honey are off."`
	Parts   bool     `help:"Drums may be tipped in part."`
	Only    string   `placeholder:"CODES" help:"Just check this mix: \"D001, D008=100kg, D028-D034\"."`
	With    string   `placeholder:"CODES" help:"These must go in."`
	Without string   `placeholder:"CODES" help:"These must stay out."`
	Sold    string   `placeholder:"CODES" help:"What if these were sold? Nothing is recorded."`
	By      string   `placeholder:"AIMS" help:"What counts, the first most: cost, age, parts, contents, honey. Without it: cost, age, parts."`
	Risk    string   `placeholder:"PERCENT" help:"The chance of a breach that is allowed for each limit. Without it: the house's rule, else 5 %."`
	Seconds float64  `placeholder:"N" help:"How long to search. Without it: 30."`
	On      string   `placeholder:"TIME" help:"As it was known then; nothing is recorded."`
	Wet     string   `placeholder:"CODES" help:"Another question: can this wet honey be taken to --to by mixing with --dry?"`
	Dry     string   `placeholder:"CODES" help:"The dry honey, in the order of tipping. Without it: what is here of the same kind, the driest first."`
	To      string   `placeholder:"PERCENT" help:"The water to come to. Without it: 18.0 %."`
	Lots    string   `placeholder:"FILE" help:"With --orders: lots from a table instead of the house; columns as combline reckon blend --help tells."`
	Orders  string   `placeholder:"FILE" help:"With --lots: orders from a table."`
	Accept  string   `placeholder:"CODE" help:"Record the blend as a plan with this number; \"next\" takes the next one. What is tipped is recorded as it is tipped."`
	Person  string   `placeholder:"CODE" help:"Who accepts it."`
	Device  string   `placeholder:"CODE" help:"On which device."`
	Confirm []string `sep:"none" placeholder:"ID" help:"Answer a question of the house with yes; may stand several times."`
}

func (c *blendCommand) Run(ctx context.Context, a *app) error {
	if c.Lots != "" || c.Orders != "" {
		return c.tables(ctx, a)
	}
	open := a.reading
	if c.Accept != "" {
		open = a.writing
	}
	h, err := open(ctx)
	if err != nil {
		return err
	}
	defer h.Close()
	if c.Wet != "" {
		x, err := c.thin(ctx, a, h)
		if err != nil {
			return err
		}
		return a.show(x)
	}
	ask, err := c.ask(a)
	if err != nil {
		return err
	}
	if ask.Order == "" && ask.Product == "" && ask.Wanted == 0 && len(ask.Only) == 0 {
		return c.everyOrder(ctx, a, h)
	}
	w, err := c.search(ctx, a, h, ask)
	if err != nil {
		return err
	}
	x := w.Answer()
	if c.Accept != "" && x.Cannot == nil {
		return c.accept(ctx, a, h, w)
	}
	return a.show(x)
}

// tables blends from two tables, with no house: see reckon.
func (c *blendCommand) tables(ctx context.Context, a *app) error {
	if c.Lots == "" || c.Orders == "" {
		return usage("both-tables")
	}
	args := []string{"blend", "--lots", c.Lots, "--orders", c.Orders}
	for flag, value := range map[string]string{"--aims": c.By, "--chance-pct": c.Risk} {
		if value != "" {
			args = append(args, flag, value)
		}
	}
	if c.Seconds > 0 {
		args = append(args, "--seconds", strconv.FormatFloat(c.Seconds, 'g', -1, 64))
	}
	return (&reckonCommand{Args: args}).Run(ctx, a)
}

// ask reads the flags as the pages read their addresses.
func (c *blendCommand) ask(a *app) (office.BlendAsk, error) {
	q := url.Values{"limit": c.Limit}
	for name, value := range map[string]string{"order": c.Order, "product": c.Product, "mass": c.Mass, "parcel": c.Parcel, "tank": c.Tank, "due": c.Due,
		"only": c.Only, "with": c.With, "without": c.Without, "sold": c.Sold, "by": c.By, "risk": c.Risk} {
		if strings.TrimSpace(value) != "" {
			q.Set(name, value)
		}
	}
	for name, on := range map[string]bool{"soft": c.Soft, "cooking": c.Cooking, "parts": c.Parts} {
		if on {
			q.Set(name, "yes")
		}
	}
	if c.Most != 0 {
		q.Set("most", strconv.Itoa(c.Most))
	}
	if c.Seconds != 0 {
		q.Set("seconds", strconv.FormatFloat(c.Seconds, 'g', -1, 64))
	}
	ask, wrong := office.ReadBlendAsk(q, quantity.EitherSign)
	for _, name := range sortedNames(wrong) {
		return ask, a.badAsk(name, wrong[name])
	}
	return ask, nil
}

func sortedNames(wrong map[string]error) (names []string) {
	for name := range wrong {
		names = append(names, name)
	}
	slices.Sort(names)
	return names
}

// badAsk says what is wrong with a flag.
func (a *app) badAsk(flag string, err error) error {
	text := err.Error()
	var typed *office.DemandError
	switch {
	case errors.As(err, &typed):
		text = a.say().Say(typed.Key, argsOf(typed.Args)...)
	default:
		if told, ok := a.say().Refusal(err); ok {
			text = told
		}
	}
	return usage("flag", "flag", flag, "why", text)
}

func argsOf(args map[string]any) (all []any) {
	for name, v := range args {
		all = append(all, name, v)
	}
	return all
}

// search waits for a search, with a bar where that takes long. Ctrl-C ends it with the
// best blend so far.
func (c *blendCommand) search(ctx context.Context, a *app, h *opened, ask office.BlendAsk) (*office.BlendWork, error) {
	w, err := c.begin(ctx, h, ask)
	if err != nil {
		return nil, a.wrongAsk(err)
	}
	total := int(w.Limit / time.Second)
	bar := a.slow("cli.progress.blending", total)
	defer bar.end()
	tick := time.NewTicker(time.Second)
	defer tick.Stop()
	stopped := ctx.Done()
	for {
		select {
		case <-w.Done():
			return w, nil
		case <-stopped:
			w.Stop()
			stopped = nil
		case <-tick.C:
			bar.at(min(total, int(w.State().Took/time.Second)))
		}
	}
}

// begin starts the search, on what is known now or was known then.
func (c *blendCommand) begin(ctx context.Context, h *opened, ask office.BlendAsk) (*office.BlendWork, error) {
	if c.On == "" {
		return h.Blend(ask)
	}
	v, today, err := c.then(ctx, h)
	if err != nil {
		return nil, err
	}
	k, err := v.BlendCaseIf(ask, today)
	if err != nil {
		return nil, err
	}
	return h.Search(k, v.Facts())
}

// then is the house as it was known at a time.
func (c *blendCommand) then(ctx context.Context, h *opened) (*office.View, record.Day, error) {
	when, err := h.when(c.On)
	if err != nil {
		return nil, 0, err
	}
	at := when.Time()
	if when.Precision == record.ToDay {
		at = at.Add(24*time.Hour - time.Second)
	}
	v, err := h.AsOf(ctx, at)
	return v, record.DayOf(at), err
}

// wrongAsk words what can't be asked.
func (a *app) wrongAsk(err error) error {
	var wrong *office.BlendWrong
	var typed *office.DemandError
	switch {
	case errors.As(err, &wrong):
		x := answer.Answer{Question: "blend", Cannot: &answer.Line{Key: wrong.Key, Args: wrong.Args}}
		if wrong.Next != "" {
			x.Then(wrong.Next, wrong.Args)
		}
		return a.show(x)
	case errors.As(err, &typed):
		return a.badAsk("limit", err)
	case errors.Is(err, office.ErrNoSolver):
		return a.show(answer.Answer{Question: "blend", Cannot: &answer.Line{Key: "blend.fail.no-solver"}})
	}
	var no *house.Refusal
	if errors.As(err, &no) {
		return err
	}
	return a.show(answer.Answer{Question: "blend", Cannot: &answer.Line{Key: "blend.fail.other", Args: answer.Args{"why": err.Error(), "seconds": int64(0)}}})
}

// thin answers the two-drum question.
func (c *blendCommand) thin(ctx context.Context, a *app, h *opened) (answer.Answer, error) {
	var ask office.ThinAsk
	var err error
	if ask.Wet, err = office.ParseParts(c.Wet, quantity.EitherSign); err != nil {
		return answer.Answer{}, a.badAsk("wet", err)
	}
	if ask.Dry, err = office.ParseParts(c.Dry, quantity.EitherSign); err != nil {
		return answer.Answer{}, a.badAsk("dry", err)
	}
	for typed, to := range map[*string]*quantity.Figure{&c.To: &ask.To, &c.Risk: &ask.Risk} {
		if strings.TrimSpace(*typed) == "" {
			continue
		}
		if *to, err = quantity.ParseFigure(*typed, quantity.Want{Unit: quantity.Pct}); err != nil {
			return answer.Answer{}, a.badAsk("to", err)
		}
	}
	ask.Soft = c.Soft
	var t *office.Thin
	if c.On == "" {
		h.Read(func(v *office.View) { t, err = v.Thin(ask, record.DayOf(h.Now())) })
	} else {
		var v *office.View
		var today record.Day
		if v, today, err = c.then(ctx, h); err == nil {
			t, err = v.Thin(ask, today)
		}
	}
	if err != nil {
		return answer.Answer{}, a.wrongAsk(err)
	}
	return t.Answer(), nil
}
