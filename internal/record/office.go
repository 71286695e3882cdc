package record

import q "combline/internal/quantity"

// Facts of the house itself: people, devices, settings, plans, papers, corrections.

// HouseNamed: the house, where it is, and the rules that it keeps.
type HouseNamed struct {
	Name     string
	Country  string
	Rules    string // rule set
	Currency string
	Language string
	Units    string
}

func (x *HouseNamed) fields(f *form) {
	f.note(1, "name", &x.Name, need)
	f.note(2, "country", &x.Country, may)
	f.note(3, "rules", &x.Rules, may)
	f.note(4, "currency", &x.Currency, may)
	f.note(5, "language", &x.Language, may)
	f.note(6, "units", &x.Units, may)
}

// PersonNamed: somebody works here. No name is needed; initials or a role will do.
type PersonNamed struct {
	Person   Code
	Name     string
	Roles    string
	Language string
	Units    string
}

func (x *PersonNamed) fields(f *form) {
	f.names(1, "person", &x.Person, need, Person)
	f.note(2, "name", &x.Name, may)
	f.note(3, "roles", &x.Roles, may)
	f.note(4, "language", &x.Language, may)
	f.note(5, "units", &x.Units, may)
}

// PersonLeft: somebody no longer works here.
type PersonLeft struct {
	Person Code
	Note   string
}

func (x *PersonLeft) fields(f *form) {
	f.ref(1, "person", &x.Person, need, only[Person])
	f.note(2, "note", &x.Note, may)
}

// DeviceNamed: a tablet or office PC may write in the record.
type DeviceNamed struct {
	Device Code
	What   string
}

func (x *DeviceNamed) fields(f *form) {
	f.names(1, "device", &x.Device, need, Device)
	f.note(2, "what", &x.What, may)
}

// DeviceShutOut: a device may write no longer.
type DeviceShutOut struct {
	Device Code
	Reason string
}

func (x *DeviceShutOut) fields(f *form) {
	f.ref(1, "device", &x.Device, need, only[Device])
	f.note(2, "reason", &x.Reason, may)
}

// SettingChanged: one of the house's own rules is so from now on.
type SettingChanged struct {
	Setting string
	Value   q.Figure
	Text    string
	Reason  string
}

func (x *SettingChanged) fields(f *form) {
	f.note(1, "setting", &x.Setting, need)
	unit := q.NoUnit
	if f.mode == filling {
		unit = unitOfSetting(x.Setting)
	}
	f.fig(2, "value", &x.Value, may, unit)
	f.note(3, "text", &x.Text, may)
	f.note(4, "reason", &x.Reason, may)
}

// PlanAccepted: somebody agreed to a plan. What was done is recorded as done.
type PlanAccepted struct {
	Plan    Code
	About   []Code
	Lines   []PlanLine
	Edition string // of the model that made it
}

// A PlanLine is one line of a plan.
type PlanLine struct{ Text string }

func (x *PlanAccepted) fields(f *form) {
	f.names(1, "plan", &x.Plan, need, Plan)
	f.refs(2, "about", &x.About, may, anyThing)
	each(f, 3, "lines", &x.Lines, func(f *form, l *PlanLine) { f.note(1, "text", &l.Text, need) })
	f.note(4, "edition", &x.Edition, may)
}

// A PaperKind is what left the printer.
type PaperKind uint8

const (
	LabelPaper PaperKind = iota + 1
	DrumTag
	DeliveryNote
	BalanceSheet
	RecallList
	LotSheet
	CaseLabel
	PalletLabel
)

var paperNames = []string{"", "label", "drum tag", "delivery note", "balance", "recall list", "lot sheet", "case label", "pallet label"}

func (k PaperKind) String() string { return paperNames[k] }

// A PrintedFigure is one worked-out figure that a paper bears: the share of an
// origin, country, content or site in what the paper is about.
type PrintedFigure struct {
	Of    string
	Value q.Figure
}

// Printed: a paper with worked-out figures was printed. What was printed stays;
// when a correction changes a figure, the paper is shown as "would now be".
type Printed struct {
	Paper   Code
	What    PaperKind
	About   Code
	Figures []PrintedFigure
	Edition string
	Digest  []byte
}

func (x *Printed) fields(f *form) {
	f.names(1, "paper", &x.Paper, need, Paper)
	choice(f, 2, "what", &x.What, need, paperNames)
	f.ref(3, "about", &x.About, need, printable)
	each(f, 4, "figures", &x.Figures, func(f *form, p *PrintedFigure) {
		f.note(1, "of", &p.Of, need)
		f.fig(2, "value", &p.Value, need, q.NoUnit)
	})
	f.note(5, "edition", &x.Edition, may)
	f.raw(6, "digest", &x.Digest, may)
}

// Amended: an earlier fact was wrong; With stands in its place, with the time
// that it is now said to have happened.
type Amended struct {
	Fact   int64 // the earlier fact's number
	With   []byte
	When   When // zero: as the earlier fact says
	Reason string
}

func (x *Amended) fields(f *form) {
	f.count(1, "fact", &x.Fact, need)
	f.raw(2, "with", &x.With, need)
	f.when(3, "when", &x.When)
	f.note(4, "reason", &x.Reason, need)
}

// Struck: an earlier fact did not happen.
type Struck struct {
	Fact   int64
	Reason string
}

func (x *Struck) fields(f *form) {
	f.count(1, "fact", &x.Fact, need)
	f.note(2, "reason", &x.Reason, need)
}

// LedgerRestored: the record was restored from a back-up; the facts First to Last
// that had been acknowledged are lost. Number series skip past as many.
type LedgerRestored struct {
	First, Last int64
	Note        string
}

func (x *LedgerRestored) fields(f *form) {
	f.count(1, "first", &x.First, need)
	f.count(2, "last", &x.Last, need)
	f.note(3, "note", &x.Note, may)
}
