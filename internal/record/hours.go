package record

import q "combline/internal/quantity"

// HoursWorked: people worked on a run, a batch or a lot. Hours are the clock's, each
// of the people worked them; SetUp is setting up and cleaning, beside Hours.
type HoursWorked struct {
	For    Code
	People int64
	Hours  q.Figure
	SetUp  q.Figure
	Note   string
}

func (x *HoursWorked) fields(f *form) {
	f.ref(1, "for", &x.For, need, workedOn)
	f.count(2, "people", &x.People, need)
	f.fig(3, "hours", &x.Hours, need, q.Hour)
	f.fig(4, "set_up_hours", &x.SetUp, may, q.Hour)
	f.note(5, "note", &x.Note, may)
}
