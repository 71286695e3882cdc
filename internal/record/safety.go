package record

import q "combline/internal/quantity"

// Facts of the yard's map and of the house's food-safety plan.

// SiteDescribed: what is known of a site for the planning of a pull. A later one holds
// for what it gives; what it leaves out stands as it was.
type SiteDescribed struct {
	Site      Code
	Drive     q.Figure // one way, from the house
	Crop      string   // what the bees bring in now
	SetsAfter q.Figure // how soon that crop sets in the comb once it is capped
	Note      string   // road, gate, who to ring
}

func (x *SiteDescribed) fields(f *form) {
	f.ref(1, "site", &x.Site, need, only[Site])
	f.fig(2, "drive", &x.Drive, may, q.Minute)
	f.note(3, "crop", &x.Crop, may)
	f.fig(4, "sets_after", &x.SetsAfter, may, q.Day)
	f.note(5, "note", &x.Note, may)
}

// A Hazard is the kind of harm that a point of the food-safety plan is about.
type Hazard uint8

const (
	HazardBiological Hazard = iota + 1
	HazardChemical
	HazardPhysical
	HazardAllergen
	HazardFraud // label, weight and origin
)

var hazardNames = []string{"", "biological", "chemical", "physical", "allergenic", "label"}

// Key is the key of the hazard's word in package words.
func (h Hazard) Key() string { return ChoiceKey(hazardNames[h]) }

// SafetyPointSet: a point of the house's food-safety plan reads so from now on. The same
// point set again takes the place of what it said; it is left out where Dropped.
type SafetyPointSet struct {
	Point    string // its number in the plan
	Step     string // where in the house
	Hazard   Hazard
	What     string // what could go wrong
	Control  string // what keeps it off
	Limit    string // what it must keep to, and who says so
	Watched  string // how, how often, by whom
	Action   string // what is done when it is not kept
	Proof    string // which record shows it
	Critical Truth  // is it a critical control point
	Basis    string // where it is from
	Dropped  Truth
	Reason   string
}

func (x *SafetyPointSet) fields(f *form) {
	f.note(1, "point", &x.Point, need)
	f.note(2, "step", &x.Step, may)
	choice(f, 3, "hazard", &x.Hazard, may, hazardNames)
	f.note(4, "what", &x.What, need)
	f.note(5, "control", &x.Control, may)
	f.note(6, "keeps_to", &x.Limit, may)
	f.note(7, "watched", &x.Watched, may)
	f.note(8, "if_not_kept", &x.Action, may)
	f.note(9, "proof", &x.Proof, may)
	f.truth(10, "critical", &x.Critical, may)
	f.note(11, "basis", &x.Basis, may)
	f.truth(12, "dropped", &x.Dropped, may)
	f.note(13, "reason", &x.Reason, may)
}

// SafetyPlanSigned: the food-safety plan as it stands in the record before this fact was
// looked through and is signed.
type SafetyPlanSigned struct {
	By      string // the name or role that stands under it
	Role    string
	Points  int64 // how many the plan had
	Review  Day   // when it is looked through again
	Changes string
}

func (x *SafetyPlanSigned) fields(f *form) {
	f.note(1, "by", &x.By, need)
	f.note(2, "role", &x.Role, may)
	f.count(3, "points", &x.Points, need)
	f.day(4, "review", &x.Review, may)
	f.note(5, "changes", &x.Changes, may)
}
