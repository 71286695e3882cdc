package cli

import (
	"context"
	"crypto/sha256"
	"errors"
	"time"

	"combline/internal/answer"
	"combline/internal/demo"
	"combline/internal/house"
	"combline/internal/ledger"
	"combline/internal/office"
	"combline/internal/record"
)

type demoCommand struct {
	Dir     string `arg:"" optional:"" default:"demo-house" help:"The folder to make it in; demo-house in the current folder if none is named."`
	NoPages bool   `help:"Make the house and end."`
	serving
}

func (c *demoCommand) Run(ctx context.Context, a *app) error {
	err := a.makeDemo(ctx, c.Dir)
	if c.NoPages {
		return err
	}
	if err != nil && !errors.Is(err, ledger.ErrHouse) { // a house that is there already is opened as it is
		return err
	}
	h, err := a.take(ctx, c.Dir, ledger.Options{})
	if err != nil {
		return err
	}
	defer h.Close()
	remember(c.Dir)
	return a.serve(ctx, h, c.serving)
}

// makeDemo writes the season of the demo house into a new folder, step by step. One
// that was broken off goes on where it stopped.
func (a *app) makeDemo(ctx context.Context, dir string) (err error) {
	l, err := ledger.Open(ctx, dir, ledger.Options{Create: true})
	if err != nil {
		return inFolder(dir, err)
	}
	defer func() { err = errors.Join(err, l.Close()) }()
	clock := &demo.Clock{}
	o, err := office.Open(ctx, l, clock.Now, nil)
	if err != nil {
		return inFolder(dir, err)
	}
	defer o.Close()
	if done, theirs := madeBefore(o); theirs || done {
		return inFolder(dir, ledger.ErrHouse)
	}
	if err := a.writeSeason(ctx, o, clock); err != nil {
		return inFolder(dir, err)
	}
	if err := stopClock(ctx, o); err != nil {
		return inFolder(dir, err)
	}
	remember(dir)
	x := answer.Answer{Question: "demo"}
	o.Read(func(v *office.View) {
		err = a.speakAs(v.State.House())
		x.Say("cli.demo-made", answer.Args{"house": v.State.House().Name, "dir": dir, "facts": int64(v.Facts())})
	})
	return errors.Join(err, a.print(x))
}

// madeBefore reports whether the demo house is there already, or another one is.
func madeBefore(o *office.Office) (done, theirs bool) {
	o.Read(func(v *office.View) {
		if v.Facts() == 0 {
			return
		}
		season := demo.Season()
		first, err := v.Fact(1)
		mine, is := season[0].Facts[0].(*record.HouseNamed)
		named, was := first.Fact.(*record.HouseNamed)
		theirs = err != nil || !is || !was || *mine != *named
		done = int(v.Facts()) > factsOf(season)
	})
	return done, theirs
}

func factsOf(season []demo.Step) (n int) {
	for _, s := range season {
		n += len(s.Facts)
	}
	return n
}

// writeSeason writes the season and shows how far it is.
func (a *app) writeSeason(ctx context.Context, o *office.Office, clock *demo.Clock) error {
	bar := a.working("cli.progress.demo", factsOf(demo.Season()))
	defer bar.end()
	if bar != nil {
		news, stop := o.Watch()
		quit, gone := make(chan struct{}), make(chan struct{})
		go func() {
			defer close(gone)
			for {
				select {
				case seq := <-news:
					bar.at(int(seq))
				case <-quit:
					return
				}
			}
		}()
		defer func() { stop(); close(quit); <-gone }()
	}
	return demo.Write(ctx, o, clock)
}

// stopClock records the moment at which the demo house stands whenever it is opened.
func stopClock(ctx context.Context, o *office.Office) error {
	now := o.Now()
	sum := sha256.Sum256([]byte("demo clock"))
	d := house.Draft{Key: record.Key(sum[:16]), When: record.At(now), Facts: []record.Fact{
		&record.SettingChanged{Setting: simulated, Text: now.Format(time.RFC3339), Reason: "demo house"}}}
	_, err := o.Submit(ctx, d)
	return err
}
