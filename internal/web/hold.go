package web

import (
	"combline/internal/office"
	"combline/internal/record"
)

// holdTask sets a hold on what the page showed. It never asks for a PIN: stopping must
// be easy.
func (v *visit) holdTask(of record.Code) (*task, error) {
	var next record.Code
	var likely []option
	v.s.office.Read(func(h *office.View) {
		next = h.NextCode(record.Hold, "H-01")
		if t, ok := h.State.Find(of); ok {
			of = h.State.Code(t)
			likely = append(likely, option{Value: string(of), Text: string(of), Note: v.say(h.State.KindOf(t).Key()), On: true})
		} else if n := h.State.RootsOf(of); of != "" && len(n) > 0 {
			likely = append(likely, option{Value: string(of), Text: string(of), On: true})
		}
	})
	t := &task{Of: of, Alarm: true, Go: v.say("page.task.hold.go"), Note: v.say("page.task.hold.note"),
		Parts: []part{{Kind: record.KindHoldSet, Cells: []cell{
			{Name: "roots", Label: v.say("page.task.hold.what"), Likely: likely, Need: true},
			{Name: "cause", Label: v.say("page.task.hold.cause")},
			{Name: "reason", Label: v.say("page.task.hold.reason"), Need: true},
			{Name: "hold", Label: v.say("page.task.hold.number"), Start: string(next)},
		}}}}
	return t, nil
}
