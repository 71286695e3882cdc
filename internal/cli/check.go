package cli

import (
	"context"

	"combline/internal/answer"
	"combline/internal/office"
	"combline/internal/record"
	"combline/internal/words"
)

// Questions of the house's care: what to clean and check before the start, problems, the
// food-safety plan, and whether results let honey go.

type startCommand struct {
	Date string `arg:"" optional:"" help:"A day; one that is past as it was known that morning. Without it: today."`
	Part string `enum:",extract,fill" default:"" help:"extract: combs to drums. fill: the filling lines. Without it: the whole house."`
	onPaper
}

func (c *startCommand) Run(ctx context.Context, a *app) error {
	return a.onDay(ctx, c.Date, c.onPaper, "paper.title.start", func(v *office.View, day record.Day) answer.Answer {
		return v.StartList(day, c.Part, inEveryLanguage())
	})
}

// inEveryLanguage gives texts in every language of the program, each read once.
func inEveryLanguage() office.InEveryLanguage {
	var all []*words.Catalogue
	for _, l := range words.Languages() {
		if c, err := words.For(l); err == nil {
			all = append(all, c)
		}
	}
	return func(key string) (texts []string) {
		for _, c := range all {
			if c.Has(key) {
				texts = append(texts, c.Say(key))
			}
		}
		return texts
	}
}

type problemsCommand struct {
	Problem string `arg:"" optional:"" help:"One problem. Without it: all, the open ones first."`
	onPaper
}

func (c *problemsCommand) Run(ctx context.Context, a *app) error {
	return a.now(ctx, c.onPaper, "paper.title.problems", func(v *office.View, _ record.Day) answer.Answer { return v.ProblemList(record.Code(c.Problem)) })
}

type safetyCommand struct{ onPaper }

func (c *safetyCommand) Run(ctx context.Context, a *app) error {
	return a.now(ctx, c.onPaper, "paper.title.safety-plan", func(v *office.View, day record.Day) answer.Answer { return v.Safety(day) })
}

type releaseCommand struct {
	Code string `arg:"" help:"A lot, drum, tank, lot mark or delivery."`
	Date string `help:"As it was known on the morning of that day. Without it: now."`
	onPaper
}

func (c *releaseCommand) Run(ctx context.Context, a *app) error {
	return a.onDay(ctx, c.Date, c.onPaper, "paper.title.release", func(v *office.View, _ record.Day) answer.Answer { return v.Releasable(record.Code(c.Code)) })
}
