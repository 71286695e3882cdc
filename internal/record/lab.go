package record

import q "combline/internal/quantity"

// Facts of readings, results and holds.

// A Property is what was read.
type Property uint8

const (
	Water Property = iota + 1
	HMF
	Diastase
	Invertase
	Conductivity
	Colour
	Fructose
	Glucose
	Sucrose
	FreeAcid
	Insolubles
	Yeast
	Residue
	Acidity // pH
	Crystals
	WaterActivity
	Pollen
	Taste
)

var propertyNames = []string{"", "water", "hmf", "diastase", "invertase", "conductivity", "colour", "fructose", "glucose",
	"sucrose", "free acid", "insolubles", "yeast", "residue", "ph", "crystals", "water activity", "pollen", "taste"}

func (p Property) String() string { return propertyNames[p] }

// PropertyUnits are the units in which each property is typed when none is given.
var PropertyUnits = [...]q.Unit{Water: q.Pct, HMF: q.MgPerKg, Diastase: q.Schade, Invertase: q.Schade, Conductivity: q.MSPerCM,
	Colour: q.MM, Fructose: q.Pct, Glucose: q.Pct, Sucrose: q.Pct, FreeAcid: q.MeqPerKg, Insolubles: q.Pct, Yeast: q.PerGram,
	Residue: q.MgPerKg, Acidity: q.Each, Crystals: q.Pct, WaterActivity: q.Each, Pollen: q.Pct, Taste: q.Each}

// A Bound says whether a figure is the value, or the value is below or above it.
type Bound uint8

const (
	Below Bound = 1
	Above Bound = 2
)

var boundNames = []string{"", "below", "above"}

// A Verdict is a result in words, where there is no figure.
type Verdict uint8

const (
	Clear Verdict = 1 // nothing found, in order
	Found Verdict = 2 // found, not in order
)

var verdictNames = []string{"", "clear", "found"}

// A Result is one property of one content.
type Result struct {
	Property  Property
	Value     q.Figure
	PlusMinus q.Figure // two standard uncertainties unless the method says otherwise
	Bound     Bound
	Verdict   Verdict
	What      string // which residue, which pollen
}

func (x *Result) fields(f *form) {
	choice(f, 1, "property", &x.Property, need, propertyNames)
	unit := q.NoUnit
	if f.mode == filling && int(x.Property) < len(PropertyUnits) {
		unit = PropertyUnits[x.Property]
	}
	f.fig(2, "value", &x.Value, may, unit)
	f.fig(3, "plus_minus", &x.PlusMinus, may, unit)
	choice(f, 4, "bound", &x.Bound, may, boundNames)
	choice(f, 5, "verdict", &x.Verdict, may, verdictNames)
	f.note(6, "what", &x.What, may)
}

// ResultRead: properties of a content were read in the house or reported by a laboratory.
type ResultRead struct {
	Of         Code
	Results    []Result
	Lab        string // empty: read in the house
	Sheet      string // number of the laboratory's sheet
	Method     string
	Instrument Code
	HoneyTemp  q.Figure // of the honey as it was read
	SelfRights Truth    // does the instrument correct itself for temperature
	Drawn      Day      // when the sample was drawn
	Sample     Code
}

func (x *ResultRead) fields(f *form) {
	f.ref(1, "of", &x.Of, need, anyHoney)
	each(f, 2, "results", &x.Results, func(f *form, r *Result) { r.fields(f) })
	f.note(3, "lab", &x.Lab, may)
	f.note(4, "sheet", &x.Sheet, may)
	f.note(5, "method", &x.Method, may)
	f.ref(6, "instrument", &x.Instrument, may, only[Instrument])
	f.fig(7, "honey_temp", &x.HoneyTemp, may, q.DegC)
	f.truth(8, "corrects_itself", &x.SelfRights, may)
	f.day(9, "drawn", &x.Drawn, may)
	f.ref(10, "sample", &x.Sample, may, only[Sample])
}

// A Cause is the class of why something is held. It decides what a cleaning ends.
type Cause uint8

const (
	CauseDisease Cause = iota + 1 // spores: no cleaning ends their reach
	CauseTreatment
	CauseResidue
	CauseForeignBody
	CauseFerment
	CauseWater
	CauseHeat
	CauseWeight
	CauseLabel
	CauseAllergen
	CauseOrigin
	CauseOther
)

var causeNames = []string{"", "disease", "treatment", "residue", "foreign body", "ferment", "water", "heat", "weight", "label",
	"allergen", "origin", "other"}

func (c Cause) String() string { return causeNames[c] }

// Bit is the cause as one bit of a set.
func (c Cause) Bit() uint16 { return 1 << c }

// HoldSet: honey, goods or anything that they come from may not be used until it is released.
type HoldSet struct {
	Hold   Code
	Cause  Cause
	Roots  []Code
	Reason string
}

func (x *HoldSet) fields(f *form) {
	f.names(1, "hold", &x.Hold, need, Hold)
	choice(f, 2, "cause", &x.Cause, need, causeNames)
	f.refs(3, "roots", &x.Roots, need, holdRoot)
	f.note(4, "reason", &x.Reason, need)
}

// Released: a hold no longer blocks these contents.
type Released struct {
	Hold     Code
	Contents []Code
	Reason   string
	Role     string
	Evidence string
}

func (x *Released) fields(f *form) {
	f.ref(1, "hold", &x.Hold, need, only[Hold])
	f.refs(2, "contents", &x.Contents, need, touchable)
	f.note(3, "reason", &x.Reason, need)
	f.note(4, "role", &x.Role, need)
	f.note(5, "evidence", &x.Evidence, may)
}

// HoldLifted: a hold is over as a whole.
type HoldLifted struct {
	Hold     Code
	Reason   string
	Role     string
	Evidence string
}

func (x *HoldLifted) fields(f *form) {
	f.ref(1, "hold", &x.Hold, need, only[Hold])
	f.note(2, "reason", &x.Reason, need)
	f.note(3, "role", &x.Role, need)
	f.note(4, "evidence", &x.Evidence, may)
}

// A TouchedRuling is what a named role decided of something possibly touched.
type TouchedRuling uint8

const (
	TouchedCleared TouchedRuling = 1
	TouchedHeld    TouchedRuling = 2
)

var touchedRulingNames = []string{"", "cleared", "held"}

// TouchedRuled: a named role cleared or held what a hold possibly touched.
type TouchedRuled struct {
	Hold     Code
	Contents []Code
	Ruling   TouchedRuling
	Reason   string
	Role     string
}

func (x *TouchedRuled) fields(f *form) {
	f.ref(1, "hold", &x.Hold, need, only[Hold])
	f.refs(2, "contents", &x.Contents, need, touchable)
	choice(f, 3, "ruling", &x.Ruling, need, touchedRulingNames)
	f.note(4, "reason", &x.Reason, need)
	f.note(5, "role", &x.Role, need)
}

// HoldOverridden: held honey was poured or sent all the same; it stands in the
// same batch as the pour, before it.
type HoldOverridden struct {
	Hold     Code
	Contents []Code
	Reason   string
	Role     string
}

func (x *HoldOverridden) fields(f *form) {
	f.ref(1, "hold", &x.Hold, need, only[Hold])
	f.refs(2, "contents", &x.Contents, need, touchable)
	f.note(3, "reason", &x.Reason, need)
	f.note(4, "role", &x.Role, need)
}
