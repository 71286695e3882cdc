package cli

import (
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"strings"
	"time"

	"combline/internal/answer"
	"combline/internal/fill"
	"combline/internal/instrument"
	"combline/internal/office"
	"combline/internal/quantity"
	"combline/internal/record"
)

func (c *fillCommand) Run(ctx context.Context, a *app) error {
	switch {
	case !c.streams():
		return c.shown(ctx, a)
	case c.Code == "" && !c.Pages && c.Scale == "" && c.From != "house":
		return c.alone(ctx, a)
	}
	return c.inRun(ctx, a)
}

// shown says how a run stands by what is recorded.
func (c *fillCommand) shown(ctx context.Context, a *app) error {
	h, err := a.reading(ctx)
	if err != nil {
		return err
	}
	defer h.Close()
	run := c.latest(h)
	if run == "" {
		return usage("no-run")
	}
	if err := a.show(h.FillAnswer(ctx, run)); err != nil || a.json {
		return err
	}
	s, _, why := h.FillState(ctx, run)
	if why != nil {
		return nil
	}
	_, err = io.WriteString(a.Out, charts(a, s))
	return err
}

// A taking takes the weights of a source in: into the record, or into a book of its own.
type taking struct {
	a       *app
	h       *opened
	book    *office.FillBook // alone
	filling *office.Filling  // in a run
	run     record.Code
	stream  *instrument.Stream
	screen  bool
	shown   time.Time
	alarms  int
	skip    int64 // lines of a file that are in the record already
	now     func() time.Time
}

// take follows a source to its end and says what came of it.
func (c *fillCommand) take(ctx context.Context, t *taking, spec office.FillSpec) error {
	source := instrument.Source{Kind: instrument.File}
	var err error
	if !c.Simulate {
		if source, err = c.source(t.h); err != nil {
			return err
		}
	}
	t.now = time.Now
	if t.h != nil {
		t.now = t.h.Now
	}
	cfg, err := c.config(t.h, spec, source.Live())
	if err != nil {
		return err
	}
	cfg.Zone = t.now().Location()
	t.stream = instrument.NewStream(cfg)
	t.screen = isTerminal(t.a.Out) && !t.a.json
	if t.filling != nil {
		t.goOn(cfg, source)
	}
	if c.Simulate {
		err = c.simulate(ctx, t, spec)
	} else {
		f := &instrument.Follower{Source: source, In: t.a.In, Now: c.clock(t), Heard: func(address string) { t.tell("cli.fill.listening", answer.Args{"address": address}) }}
		err = f.Follow(ctx, t)
	}
	return t.end(err)
}

// clock is the house's, or, for a file without times, the time at which its first jar is
// said to have been weighed.
func (c *fillCommand) clock(t *taking) func() time.Time {
	if c.Start == "" {
		return t.now
	}
	w, err := record.ParseWhen(c.Start, t.now())
	if err != nil {
		return t.now
	}
	at := w.Time()
	return func() time.Time { return at }
}

// goOn takes the stream up where the run was broken off.
func (t *taking) goOn(cfg instrument.Config, s instrument.Source) {
	recent := t.filling.Recent()
	t.stream.Resume(recent)
	if s.Kind == instrument.File && len(recent) > 0 && recent[len(recent)-1].Seq == 0 {
		saved, pending := t.filling.Saved()
		t.skip = saved + pending // the same file from its start: its lines bear no number
	}
}

// simulate fills jars that are not there.
func (c *fillCommand) simulate(ctx context.Context, t *taking, spec office.FillSpec) error {
	f, err := c.filler(spec)
	if err != nil {
		return err
	}
	if f.StartMS = spec.StartMS; f.StartMS == 0 {
		f.StartMS = t.now().UnixMilli()
	}
	last := int64(0)
	if t.filling != nil {
		for _, j := range t.filling.Recent() {
			last = max(last, j.Seq)
		}
	}
	began, first := time.Now(), int64(0)
	for n := int64(0); c.Jars == 0 || n < c.Jars; n++ {
		line, at := f.Next()
		if n < last { // before the restart
			continue
		}
		if first == 0 {
			first = at
		}
		if c.Speed > 0 {
			wait := time.Duration(float64(at-first)/c.Speed)*time.Millisecond - time.Since(began)
			select {
			case <-ctx.Done():
			case <-time.After(wait):
			}
		}
		if ctx.Err() != nil {
			return ctx.Err()
		}
		if err := t.Line([]byte(line), time.UnixMilli(at)); err != nil {
			return err
		}
		if c.Speed > 0 || n%64 == 63 || n == c.Jars-1 {
			if err := t.Settle(); err != nil {
				return err
			}
		}
	}
	return t.Settle()
}

// filler is the simulated one.
func (c *fillCommand) filler(spec office.FillSpec) (*instrument.Filler, error) {
	f := &instrument.Filler{Seed: c.Seed, Label: spec.Label, Nozzles: 4, TargetG: spec.SetG, PerHour: 1100,
		DriftOf: c.Drift, DriftAt: c.DriftAt, StuckOf: c.Stuck, StuckAt: c.StuckAt, Spikes: c.Spikes}
	if spec.Nozzles > 0 {
		f.Nozzles = spec.Nozzles
	}
	if c.Nozzles > 0 {
		f.Nozzles = c.Nozzles
	}
	if c.PerHour > 0 {
		f.PerHour = c.PerHour
	}
	if f.TargetG == 0 {
		f.TargetG = fill.Grams(spec.Label) * 1.004
	}
	for _, x := range []struct {
		name, text string
		at         *float64
	}{{"spread", c.Spread, &f.SpreadG}, {"drift-by", c.DriftBy, &f.DriftG}, {"stuck-by", c.StuckBy, &f.StuckG}, {"target", c.Target, &f.TargetG}} {
		if x.text == "" {
			continue
		}
		m, err := massOf(x.name, x.text)
		if err != nil {
			return nil, err
		}
		*x.at = fill.Grams(m)
	}
	f.BetweenG = f.SpreadG / 8
	if c.Drift < 0 || c.Drift > f.Nozzles || c.Stuck < 0 || c.Stuck > f.Nozzles || !(c.Spikes >= 0 && c.Spikes <= 1) || c.Nozzles < 0 || c.Nozzles > office.MaxNozzles || c.PerHour > 1_000_000 {
		return nil, usage("simulation", "nozzles", int64(f.Nozzles))
	}
	return f, nil
}

// Line is one of [instrument.Taker].
func (t *taking) Line(line []byte, at time.Time) error {
	j, ok := t.stream.Take(line, at.UnixMilli())
	if g, ended := t.stream.Ended(); ended {
		if err := t.jar(office.Jar{AtMS: g.FromMS, Flag: office.Cut}); err != nil {
			return err
		}
	}
	if !ok {
		return nil
	}
	if t.skip > 0 {
		t.skip--
		return nil
	}
	return t.jar(j)
}

func (t *taking) jar(j office.Jar) error {
	if t.filling != nil {
		return t.filling.Add(j)
	}
	return t.book.Jar(j)
}

// Broken tells of bytes that made no line.
func (t *taking) Broken(f instrument.Fault, at time.Time) { t.stream.Broken(f, at.UnixMilli()) }

// Link tells that the line is there, or is cut.
func (t *taking) Link(up bool, at time.Time) {
	t.stream.Link(up, at.UnixMilli())
	if t.filling != nil {
		t.filling.Link(up, at.UnixMilli())
	}
	key := "cli.fill.link-up"
	if !up {
		key = "cli.fill.link-down"
	}
	t.tell(key, answer.Args{"at": t.clockText(at)})
}

func (t *taking) clockText(at time.Time) string { return at.In(t.now().Location()).Format("15:04:05") }

// Settle makes safe what was taken, and shows it, at most once a second.
func (t *taking) Settle() error {
	if t.filling != nil {
		if err := t.filling.Settle(context.Background()); err != nil {
			return err
		}
	}
	if time.Since(t.shown) < time.Second {
		return nil
	}
	t.shown = time.Now()
	t.show()
	return nil
}

func (t *taking) state() office.FillState {
	if t.filling != nil {
		s, _, why := t.h.FillState(context.Background(), t.run)
		if why == nil {
			return s
		}
		return t.filling.State()
	}
	return t.book.State()
}

// show draws the screen anew, or, where there is none, tells a new alarm.
func (t *taking) show() {
	s := t.state()
	if t.filling != nil {
		t.filling.Tell()
	}
	if t.screen {
		x := t.answer(s)
		fmt.Fprint(t.a.Out, "\x1b[H\x1b[2J"+charts(t.a, s)+text(t.a.say(), x))
		return
	}
	if n := len(s.Risks); n > t.alarms {
		x := answer.Answer{}
		office.FillLines(&x, s)
		for _, l := range x.Lines {
			if l.Mark == answer.Bad && strings.HasPrefix(l.Key, "fill.alarm") {
				fmt.Fprintln(t.a.Err, sign(l.Mark)+plain(answer.Sentence(t.a.say(), l)))
			}
		}
	}
	t.alarms = len(s.Risks)
}

// tell says something beside the answer.
func (t *taking) tell(key string, args answer.Args) {
	fmt.Fprintln(t.a.Err, plain(answer.Sentence(t.a.say(), answer.Line{Key: key, Args: args})))
}

// end puts what is left into the record and says what came of it. An interruption is how
// a live source ends.
func (t *taking) end(err error) error {
	if t.filling != nil {
		err = errors.Join(err, t.filling.Close(context.Background()))
	}
	if err != nil && !errors.Is(err, context.Canceled) && len(t.stream.Events) == 0 && t.stream.Jars == 0 {
		return err // nothing came: there is nothing to say but why
	}
	s := t.endState()
	x := t.answer(s)
	t.faults(&x)
	if t.screen {
		fmt.Fprint(t.a.Out, "\x1b[H\x1b[2J")
	}
	if e := t.a.print(x); e != nil && err == nil {
		err = e
	}
	if !t.a.json {
		if _, e := io.WriteString(t.a.Out, charts(t.a, s)); e != nil && err == nil {
			err = e
		}
	}
	switch {
	case err != nil && !errors.Is(err, context.Canceled):
		return err
	case len(s.Risks) > 0 || bad(s.Whole) || bad(s.WorstHour):
		return &told{&filled{"a nozzle wanders, or jars break the rules"}}
	}
	return nil
}

func bad(v *office.FillVerdict) bool { return v != nil && !v.Pass() }

// endState is how it stands at the end: the record's own, where there is one.
func (t *taking) endState() office.FillState {
	if t.filling == nil {
		return t.book.State()
	}
	return t.state()
}

func (t *taking) answer(s office.FillState) answer.Answer {
	x := answer.Answer{Question: "fill", Of: s.Spec.Run}
	office.FillLines(&x, s)
	office.FillTables(&x, s)
	return x
}

// faults lists what came in, what was odd, and when the line was cut.
func (t *taking) faults(x *answer.Answer) {
	f := t.stream
	table := x.Table("stream", "what", "pieces")
	table.Row(answer.Plain, answer.Key("fill.came"), f.Jars)
	if t.filling != nil {
		saved, pending := t.filling.Saved()
		table.Row(answer.Plain, answer.Key("fill.kept"), saved+pending)
	}
	for _, k := range instrument.Faults() {
		if n := f.Faults[k]; n > 0 {
			table.Row(answer.Care, answer.Key(k.Key()), n)
		}
	}
	if f.Lost > 0 {
		table.Row(answer.Bad, answer.Key("fill.still-lost"), f.Lost)
	}
	for k, n := range f.Flags {
		if n > 0 {
			table.Row(answer.Care, answer.Key(office.Flag(k).Key()), n)
		}
	}
	at := func(ms int64) record.When { return record.At(time.UnixMilli(ms).In(t.now().Location())) }
	var odd []instrument.Event
	for _, e := range f.Events {
		if e.Text != "" {
			odd = append(odd, e)
		}
	}
	if len(odd) > 0 {
		const most = 12
		lines := x.Table("odd-lines", "when", "what", "line")
		for _, e := range odd[max(0, len(odd)-most):] {
			key := e.Fault.Key()
			if e.Fault == instrument.NoFault {
				key = e.Flag.Key()
			}
			lines.Row(answer.Care, at(e.AtMS), answer.Key(key), e.Text)
		}
	}
}

// charts draws each nozzle's means in letters: the line is what it usually gives.
func charts(a *app, s office.FillState) string {
	if s.Whole == nil {
		return ""
	}
	c := a.say()
	var b strings.Builder
	fmt.Fprintf(&b, "\n%s\n", c.Say("cli.fill.charts"))
	for _, n := range s.Nozzles {
		if len(n.Points) == 0 {
			continue
		}
		last := n.Points[len(n.Points)-1]
		says := ""
		if n.Alarm.Check > 0 {
			says = "!! " + c.Say("fill.signal."+n.Alarm.Signals.Names()[0])
		} else if names := (last.Signals &^ fill.Learning).Names(); len(names) > 0 {
			says = c.Say("fill.signal." + names[0])
		}
		fmt.Fprintf(&b, "  %2d  %s  %s  %s\n", n.Nozzle, bars(n.Points), c.With(last.MeanG, int(s.Spec.Decimals()), quantity.G), says)
	}
	return strings.TrimRight(b.String(), " ")
}

const wideChart = 56

// bars draws points about their centre: half a bar is the centre, the ends are five
// standard deviations of a check's mean.
func bars(points []office.FillPoint) string {
	steps := []rune("▁▂▃▄▅▆▇█")
	points = points[max(0, len(points)-wideChart):]
	var b strings.Builder
	for _, p := range points {
		if math.IsNaN(p.Z) || p.Signals.Has(fill.Learning) {
			b.WriteRune('·')
			continue
		}
		at := int(math.Round(3.5 + p.Z*0.7))
		b.WriteRune(steps[min(max(at, 0), len(steps)-1)])
	}
	return b.String() + strings.Repeat(" ", max(0, min(wideChart, 18)-len(points)))
}
