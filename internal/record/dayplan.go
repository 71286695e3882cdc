package record

// Facts of the day sheet: the plan that was agreed to, and its jobs as they were ticked
// off.

// DayPlanned: the plan for the days to come was agreed to. What was done is recorded as
// it is done.
type DayPlanned struct {
	Day     Day // from which on it is
	Steps   []DayStep
	Edition string // of what made it
}

// A DayStep is one packing of a plan: when its first job begins, and what is packed from
// what on which machine.
type DayStep struct {
	Order   Code
	Product Code
	Machine Code
	Day     Day
	Clock   string // on that day: "07:00"
	Units   int64
	From    []Code // contents
}

func (x *DayPlanned) fields(f *form) {
	f.day(1, "day", &x.Day, need)
	each(f, 2, "steps", &x.Steps, func(f *form, s *DayStep) {
		f.ref(1, "order", &s.Order, may, only[Order])
		f.ref(2, "product", &s.Product, may, only[Product])
		f.ref(3, "machine", &s.Machine, may, only[Machine])
		f.day(4, "day", &s.Day, need)
		f.note(5, "clock", &s.Clock, may)
		f.count(6, "units", &s.Units, may)
		f.refs(7, "from", &s.From, may, inVessel)
	})
	f.note(3, "edition", &x.Edition, may)
}

// JobTicked: a job of the day sheet was done, or was not and why. What it made of the
// honey is recorded where it was done.
type JobTicked struct {
	Day    Day    // of the sheet
	Job    string // names it on every sheet: "run O-01"
	Number int64  // on the sheet of that day
	Done   Truth
	About  []Code
	Reason string // where it was not done
	Note   string
}

func (x *JobTicked) fields(f *form) {
	f.day(1, "day", &x.Day, need)
	f.note(2, "job", &x.Job, need)
	f.count(3, "number", &x.Number, may)
	f.truth(4, "done", &x.Done, need)
	f.refs(5, "about", &x.About, may, anyThing)
	f.note(6, "reason", &x.Reason, may)
	f.note(7, "note", &x.Note, may)
}
