package record

import q "combline/internal/quantity"

// Facts of the care of the house: cleaning, instruments, problems.

// A CleanKind is how thoroughly something was cleaned.
type CleanKind uint8

const (
	Rinse CleanKind = iota + 1
	WashDown
	CleanDown
	Drained
)

var cleanNames = []string{"", "rinse", "wash-down", "clean-down", "drained"}

// Cleaned: machines or vessels were cleaned. Ends says for which causes the
// cleaning ends what the next honey could carry over; a word like spores is
// never among them.
type Cleaned struct {
	What     []Code
	Clean    CleanKind
	Ends     []EndsCause
	Chemical string
	Dose     string
	Dry      Truth
	Signed   string
}

// EndsCause is one cause of holds that a cleaning ends.
type EndsCause struct{ Cause Cause }

func (x *Cleaned) fields(f *form) {
	f.refs(1, "what", &x.What, need, cleanable)
	choice(f, 2, "how", &x.Clean, need, cleanNames)
	each(f, 3, "ends", &x.Ends, func(f *form, e *EndsCause) { choice(f, 1, "cause", &e.Cause, need, causeNames) })
	f.note(4, "chemical", &x.Chemical, may)
	f.note(5, "dose", &x.Dose, may)
	f.truth(6, "dry", &x.Dry, may)
	f.note(7, "signed", &x.Signed, may)
}

// InstrumentNamed: a scale, refractometer, thermometer or logger has a name.
type InstrumentNamed struct {
	Instrument Code
	What       string
	Division   q.Figure
	Capacity   q.Figure
	SelfRights Truth // does it correct itself for temperature
	Number     string
}

func (x *InstrumentNamed) fields(f *form) {
	f.names(1, "instrument", &x.Instrument, need, Instrument)
	f.note(2, "what", &x.What, need)
	f.fig(3, "division", &x.Division, may, q.NoUnit)
	f.fig(4, "capacity", &x.Capacity, may, q.NoUnit)
	f.truth(5, "corrects_itself", &x.SelfRights, may)
	f.note(6, "number", &x.Number, may)
}

// InstrumentChecked: an instrument was checked against something known.
type InstrumentChecked struct {
	Instrument Code
	Against    q.Figure
	Read       q.Figure
	InOrder    Truth
	Action     string
}

func (x *InstrumentChecked) fields(f *form) {
	f.ref(1, "instrument", &x.Instrument, need, only[Instrument])
	f.fig(2, "against", &x.Against, need, q.NoUnit)
	f.fig(3, "read", &x.Read, need, q.NoUnit)
	f.truth(4, "in_order", &x.InOrder, may)
	f.note(5, "action", &x.Action, may)
}

// ProblemFound: something is not as it should be.
type ProblemFound struct {
	Problem Code
	About   []Code
	What    string
}

func (x *ProblemFound) fields(f *form) {
	f.names(1, "problem", &x.Problem, need, Problem)
	f.refs(2, "about", &x.About, may, anyThing)
	f.note(3, "what", &x.What, need)
}

// ProblemDealtWith: what was done about a problem.
type ProblemDealtWith struct {
	Problem Code
	Action  string
	Over    Truth
}

func (x *ProblemDealtWith) fields(f *form) {
	f.ref(1, "problem", &x.Problem, need, only[Problem])
	f.note(2, "action", &x.Action, need)
	f.truth(3, "over", &x.Over, may)
}

// StartChecked: the checks before a start were made.
type StartChecked struct {
	Of    []Code
	Lines []StartLine
}

// StartLine is one line of a start check.
type StartLine struct {
	What    string
	InOrder Truth
}

func (x *StartChecked) fields(f *form) {
	f.refs(1, "of", &x.Of, may, checkable)
	each(f, 2, "lines", &x.Lines, func(f *form, l *StartLine) {
		f.note(1, "what", &l.What, need)
		f.truth(2, "in_order", &l.InOrder, need)
	})
}

// Noted: a line in the diary.
type Noted struct {
	About []Code
	Note  string
}

func (x *Noted) fields(f *form) {
	f.refs(1, "about", &x.About, may, anyThing)
	f.note(2, "note", &x.Note, need)
}
