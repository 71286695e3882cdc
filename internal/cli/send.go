package cli

import (
	"context"

	"combline/internal/answer"
	"combline/internal/office"
	"combline/internal/record"
)

type sendCommand struct {
	Order string `arg:"" help:"An order, for what to take; or a delivery note that was written, for its paper."`
	Only  string `placeholder:"CODES" help:"Take just these lot marks, runs or drums. One on hold is refused by its hold."`
	Note  bool   `help:"Show the delivery note rather than the pick."`
	List  bool   `help:"On paper and in files: the pick list rather than the delivery note."`
	onPaper
}

func (c *sendCommand) Run(ctx context.Context, a *app) error {
	h, err := a.reading(ctx)
	if err != nil {
		return err
	}
	defer h.Close()
	var x answer.Answer
	title := "paper.title.pick"
	h.Read(func(v *office.View) {
		_, left := v.State.Goods.Dispatch(record.Code(c.Order))
		if left || c.Note || c.asked() && !c.List {
			title = "paper.title.delivery-note"
			x, err = v.DeliveryNote(record.Code(c.Order), record.At(h.Now()))
			return
		}
		var p office.Pick
		if p, err = v.Pick(office.PickAsk{Order: record.Code(c.Order), Only: office.ParseCodes(c.Only)}); err == nil {
			x = p.Answer(v)
		}
	})
	if err != nil {
		return inFolder(h.dir, err)
	}
	if c.asked() {
		return c.write(a, h, title, x)
	}
	return a.show(x)
}
