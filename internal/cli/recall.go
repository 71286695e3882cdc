package cli

import (
	"context"

	"combline/internal/answer"
	"combline/internal/office"
	"combline/internal/record"
)

type recallCommand struct {
	Code string `arg:"" help:"What something is wrong with: a lot mark, a run, a drum, a lot, a site, a material lot. Or a recall, for the report of how it went."`
	onPaper
}

func (c *recallCommand) Run(ctx context.Context, a *app) error {
	h, err := a.reading(ctx)
	if err != nil {
		return err
	}
	defer h.Close()
	var x answer.Answer
	title := "paper.title.recall"
	h.Read(func(v *office.View) {
		var report bool
		if x, report = v.RecallReport(record.Code(c.Code), record.At(h.Now())); report {
			title = "paper.title.recall-report"
			return
		}
		x = v.RecallList(record.Code(c.Code))
	})
	if !c.asked() || x.Cannot != nil {
		return a.show(x)
	}
	return c.write(a, h, title, x)
}
