package web

import (
	"combline/internal/house"
	"combline/internal/office"
)

// undo takes back what was just written down: one tap, and a question only when that
// moves something else. The taking back is written down too.
func (v *visit) undo() error {
	first, last, ok := firstLast(v.r.URL.Query().Get("facts"))
	if !ok {
		return errNotFound
	}
	t := &task{Name: "undo", Title: v.say("page.task.undo"), Go: v.say("page.undo"), Back: local(v.r.URL.Query().Get("back")),
		About: v.say("page.task.undo.about", "n", int64(first)),
		Make: func(d *house.Draft) error {
			facts, err := v.s.office.UndoFacts(first, last, "undo")
			d.Facts = append(d.Facts, facts...)
			return err
		}}
	t.Sure = func(a house.Ask) (sure bool) {
		v.s.office.Read(func(h *office.View) { sure = h.OnlyTheirs(a, last) })
		return sure
	}
	e, done, err := v.take(t)
	if err != nil || done {
		return err
	}
	p := doPage{frame: v.frame("", t.Title), Entry: e}
	return v.render("do", p)
}
