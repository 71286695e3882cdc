package web

import (
	"combline/internal/answer"
	"combline/internal/house"
	"combline/internal/office"
	"combline/internal/record"
)

// judgeScale holds a check of a scale against what a scale of its class may err. When it
// is out, what was weighed since the last good check is held in the same entry, once
// somebody has said yes to that.
func (v *visit) judgeScale(d *house.Draft) error {
	f, ok := d.Facts[0].(*record.InstrumentChecked)
	if !ok {
		return nil
	}
	var s office.ScaleVerdict
	var codes []record.Code
	var hold record.Code
	v.s.office.Read(func(h *office.View) {
		s = h.JudgeScale(f.Instrument, f.Against, f.Read)
		codes, _, _ = h.WeighedSince(f.Instrument)
		codes = h.Holdable(codes)
		hold = h.NextCode(record.Hold, "H-01")
	})
	args := answer.Args{"read": f.Read, "against": f.Against, "off": office.GramsOf(s.OffG, 3), "limit": office.GramsOf(s.LimitG, 3)}
	if s.Known && !s.InOrder() && f.InOrder == record.Yes {
		return askFirst(d, "page.ask.scale-in-order", args)
	}
	if f.InOrder != record.No || len(codes) == 0 {
		return nil
	}
	args["codes"] = codes
	if err := askFirst(d, "page.ask.scale-hold", args); err != nil {
		return err
	}
	d.Facts = append(d.Facts, &record.HoldSet{Hold: hold, Cause: record.CauseWeight, Roots: codes, Reason: v.with("page.enter.scale.reason", answer.Args{"of": f.Instrument, "read": f.Read, "against": f.Against})})
	return nil
}
