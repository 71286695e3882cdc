package cli

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"combline/internal/answer"
	"combline/internal/fill"
	"combline/internal/instrument"
	"combline/internal/office"
	"combline/internal/quantity"
	"combline/internal/record"
	"combline/internal/standard"
)

type fillCommand struct {
	Code string `arg:"" optional:"" name:"run" help:"The packing run; the latest one that is not over, when none is named. With --simulate or --from and no run, weights are judged and nothing is recorded."`
	From string `placeholder:"SOURCE" help:"Where weights come from: - for standard input, a file's name, tcp://HOST:PORT, listen://[HOST]:PORT, serial://PORT?baud=9600&data=8&parity=none&stop=1, broker://USER@[HOST]:PORT/TOPIC (a broker of our own), mqtt://USER@HOST:PORT/TOPIC (an outside one), or house: as the house's setting fill.source says. Without it: how the run stands by what is recorded."`
	fillReading
	fillSimulation
	fillJars
	Person string `placeholder:"CODE" help:"Who is at the filler."`
	Device string `placeholder:"CODE" help:"On which device."`
	Pages  bool   `help:"Serve the house's pages meanwhile."`
	serving
}

// fillReading is how lines are understood.
type fillReading struct {
	Pattern      string `placeholder:"PATTERN" help:"What stands in a line: {weight} {unit} {tare} {nozzle} {seq} {time} {stable:ST} {text}, [..] for what may be missing. Without it: the house's setting fill.pattern, else \"{weight}[ {unit}]\"."`
	Scale        string `placeholder:"CODE" help:"The instrument that weighs. Without it: the house's setting fill.scale."`
	Nozzles      int    `placeholder:"N" help:"How many nozzles the filler has. Without it: as recorded before."`
	InTurn       bool   `help:"The nozzles fill in turn: the running number tells the nozzle."`
	Tare         string `placeholder:"MASS" help:"What an empty jar weighs, as 210.5g, where the scale shows the full one."`
	TareJars     string `placeholder:"FILE" help:"Weights of a sample of empty jars, one a line: their mean is the tare."`
	PasswordFile string `placeholder:"FILE" help:"The MQTT password, in a file that only you can read. Without it: COMBLINE_MQTT_PASSWORD."`
	Start        string `placeholder:"TIME" help:"When the first jar of a file was weighed, where its lines bear no time."`
	PerHour      int    `placeholder:"N" help:"Jars an hour, where the lines of a file bear no time."`
}

// fillSimulation is a filler that is not there, for training.
type fillSimulation struct {
	Simulate bool    `help:"A simulated filler, for training: the same --seed gives the same jars."`
	Seed     uint64  `default:"1" help:"Of the simulation."`
	Jars     int64   `default:"4400" help:"Jars that it fills; 0: until interrupted."`
	Spread   string  `default:"1.7g" help:"Its spread, jar to jar."`
	Drift    int     `placeholder:"NOZZLE" help:"A nozzle that gives less and less."`
	DriftBy  string  `default:"2.5g" help:"What that nozzle loses each half-hour."`
	DriftAt  int64   `default:"1500" help:"From which jar on."`
	Stuck    int     `placeholder:"NOZZLE" help:"A nozzle that sticks."`
	StuckBy  string  `default:"12g" help:"What that nozzle gives less."`
	StuckAt  int64   `default:"1500" help:"From which jar on."`
	Spikes   float64 `default:"0" help:"Share of weights that are nonsense."`
	Speed    float64 `default:"0" help:"So many times as fast as life; 0: as fast as it goes."`
}

// fillJars is what jars are judged by when there is no run.
type fillJars struct {
	Label    string `default:"340g" help:"Net weight on the label, without a run."`
	Rules    string `default:"eu" help:"eu, uk, de, us or oiml, without a run."`
	Target   string `placeholder:"MASS" help:"What the filler is set to, without a run or in a simulation."`
	Division string `placeholder:"MASS" help:"What the scale shows in steps of, without a run."`
}

// streams reports whether weights come in.
func (c *fillCommand) streams() bool { return c.Simulate || c.From != "" }

// filled is an exit code of its own: a nozzle wanders, or jars break the rules.
type filled struct{ why string }

func (e *filled) Error() string { return e.why }

// alone judges weights without a house.
func (c *fillCommand) alone(ctx context.Context, a *app) error {
	spec, err := c.spec()
	if err != nil {
		return err
	}
	book, err := office.NewFillBook(spec, office.EveryJar)
	if err != nil {
		return usage("fill", "what", err.Error())
	}
	t := &taking{a: a, book: book}
	return c.take(ctx, t, spec)
}

// spec is what jars are judged by when there is no run.
func (c *fillCommand) spec() (s office.FillSpec, err error) {
	mass := func(name, text string) (m quantity.Milligram) {
		if text == "" || err != nil {
			return 0
		}
		m, err = massOf(name, text)
		return m
	}
	s = office.FillSpec{Run: "-", Label: mass("label", c.Label), Nozzles: c.Nozzles}
	target, division := mass("target", c.Target), mass("division", c.Division)
	if err != nil {
		return s, err
	}
	if s.Rules, err = standard.ParseRules(strings.ToLower(c.Rules)); err != nil {
		return s, usage("fill", "what", err.Error())
	}
	if s.Tolerance, err = standard.ToleranceOf(s.Rules, s.Label); err != nil {
		return s, usage("fill", "what", err.Error())
	}
	s.SetG, s.HasSet = fill.Grams(target), target > 0
	s.AssumedG = fill.Grams(s.Label) * 0.005
	if division > 0 {
		if s.Weighing, err = fill.CheckDivision(s.Rules, s.Label, standard.Microgram(division)*1000); err != nil {
			return s, usage("fill", "what", err.Error())
		}
		s.HasDivision, s.Scale = true, "-"
	}
	return s, nil
}

// massOf reads a mass of an argument.
func massOf(name, text string) (quantity.Milligram, error) {
	f, err := quantity.ParseFigure(text, quantity.Want{Unit: quantity.G})
	if err == nil {
		var m quantity.Milligram
		if m, err = f.Milligrams(); err == nil && m > 0 {
			return m, nil
		}
	}
	return 0, usage("mass", "name", name, "typed", text)
}

// inRun records the weights of a run.
func (c *fillCommand) inRun(ctx context.Context, a *app) error {
	h, err := a.writing(ctx)
	if err != nil {
		return err
	}
	defer h.Close()
	run := c.latest(h)
	scale := c.scaleOf(h)
	j, kept, err := instrument.OpenJournal(filepath.Join(h.dir, "readings", fileOf(string(run))+"."+fileOf(string(scale))+".journal"))
	if err != nil {
		return err
	}
	defer j.Close()
	f, err := h.StartFilling(ctx, office.FillingOptions{Run: run, Instrument: scale, Person: record.Code(c.Person), Device: record.Code(c.Device),
		Nozzles: c.Nozzles, Journal: j, Kept: kept})
	var no *office.FillingRefusal
	if errors.As(err, &no) {
		return a.show(answer.Answer{Question: "fill", Of: run, Cannot: &no.Line})
	}
	if err != nil {
		return inFolder(h.dir, err)
	}
	t := &taking{a: a, h: h, filling: f, run: run}
	if !c.Pages {
		return c.take(ctx, t, f.State().Spec)
	}
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	served := make(chan error, 1)
	go func() { served <- a.serve(ctx, h, c.serving) }()
	err = c.take(ctx, t, f.State().Spec)
	if err == nil || !is[*filled](err) && !errors.Is(err, context.Canceled) {
		stop() // the source is at its end, or does not work
	}
	stop()
	return errors.Join(err, <-served)
}

// fileOf is a code as the name of a file: every other sign is written by its number.
func fileOf(code string) string {
	var b strings.Builder
	for _, r := range record.Code(code).Fold() {
		if r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' || r == '-' {
			b.WriteRune(r)
		} else {
			fmt.Fprintf(&b, "_%x_", r)
		}
	}
	return b.String()
}

// latest is the run that is meant: the one named, or the latest that is not over.
func (c *fillCommand) latest(h *opened) (run record.Code) {
	if c.Code != "" {
		return record.Code(c.Code)
	}
	h.Read(func(v *office.View) { run = v.LatestRun() })
	return run
}

// scaleOf is the instrument that weighs: as named, as the house's setting says, or the
// only one with which jars were checked.
func (c *fillCommand) scaleOf(h *opened) (scale record.Code) {
	if c.Scale != "" {
		return record.Code(c.Scale)
	}
	h.Read(func(v *office.View) { scale = record.Code(v.State.SettingText("fill.scale")) })
	return scale
}

// setting is one of the house's settings for a source, where the command says nothing.
func setting(h *opened, typed, name string) (text string) {
	if typed != "" || h == nil {
		return typed
	}
	h.Read(func(v *office.View) { text = v.State.SettingText(name) })
	return text
}

// config is how the lines of a source are understood.
func (c *fillCommand) config(h *opened, spec office.FillSpec, live bool) (cfg instrument.Config, err error) {
	text := setting(h, c.Pattern, "fill.pattern")
	switch {
	case c.Simulate && c.Pattern == "":
		text = instrument.SimulatedPattern
	case text == "":
		text = instrument.Plain
	}
	p, err := instrument.ParsePattern(text)
	var wrong *instrument.PatternError
	if errors.As(err, &wrong) {
		return cfg, &usageError{"fill.pattern." + wrong.Key, map[string]any{"at": wrong.At, "what": wrong.What}}
	}
	cfg = instrument.Config{Pattern: p, Label: spec.Label, Nozzles: spec.Nozzles, InTurn: c.InTurn, Live: live}
	if c.Nozzles > 0 {
		cfg.Nozzles = c.Nozzles
	}
	if c.InTurn && cfg.Nozzles == 0 {
		return cfg, usage("in-turn")
	}
	if c.Tare != "" {
		if cfg.Tare, err = massOf("tare", c.Tare); err != nil {
			return cfg, err
		}
	}
	if c.TareJars != "" {
		if cfg.Tare, err = c.emptyJars(p); err != nil {
			return cfg, err
		}
	}
	if c.PerHour > 0 && !live {
		cfg.EveryMS = 3_600_000 / int64(c.PerHour)
	}
	return cfg, nil
}

// emptyJars is the mean of a sample of empty jars.
func (c *fillCommand) emptyJars(p *instrument.Pattern) (quantity.Milligram, error) {
	b, err := os.ReadFile(c.TareJars)
	if err != nil {
		return 0, err
	}
	var sum, n quantity.Milligram
	for line := range strings.Lines(string(b)) {
		line = strings.TrimSpace(line)
		if line == "" {
			continue
		}
		f, fault := p.Read([]byte(line))
		if fault != instrument.NoFault || f.Weight <= 0 {
			return 0, usage("tare-jar", "typed", line)
		}
		sum, n = sum+f.Weight, n+1
	}
	if n == 0 {
		return 0, usage("tare-jar", "typed", "")
	}
	return (sum + n/2) / n, nil
}

// source is where the weights come from.
func (c *fillCommand) source(h *opened) (s instrument.Source, err error) {
	text := c.From
	if text == "house" {
		if text = setting(h, "", "fill.source"); text == "" {
			return s, usage("no-source")
		}
	}
	if s, err = instrument.ParseSource(text); err != nil {
		return s, usage("source", "typed", text)
	}
	if s.Kind == instrument.Broker || s.Kind == instrument.Client {
		s.Password = os.Getenv("COMBLINE_MQTT_PASSWORD")
		if c.PasswordFile != "" {
			b, err := os.ReadFile(c.PasswordFile)
			if err != nil {
				return s, err
			}
			s.Password = strings.TrimRight(string(b), "\r\n")
		}
	}
	return s, nil
}
