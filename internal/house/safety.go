package house

import (
	"slices"
	"strings"

	"combline/internal/record"
)

// A SafetyPoint is a point of the food-safety plan as it was set last.
type SafetyPoint struct {
	record.SafetyPointSet
	Person record.Code
	When   record.When
	Seq    uint64
}

// A SafetySigned is one signing of the whole plan.
type SafetySigned struct {
	record.SafetyPlanSigned
	Person record.Code
	When   record.When
	Seq    uint64
}

// safetyPointSet puts a point in the place of what it said before.
func (s *State) safetyPointSet(e *record.Entry, f *record.SafetyPointSet) {
	p := SafetyPoint{*f, e.Person, e.When, e.Seq}
	s.safety = slices.DeleteFunc(slices.Clone(s.safety), func(x SafetyPoint) bool { return strings.EqualFold(x.Point, f.Point) })
	s.safety = append(s.safety, p)
}

// SafetyPoints lists the points of the food-safety plan that are in it, by their numbers;
// those that were dropped are left out.
func (s *State) SafetyPoints() []SafetyPoint {
	all := slices.DeleteFunc(slices.Clone(s.safety), func(p SafetyPoint) bool { return p.Dropped == record.Yes })
	sortBy(all, func(p SafetyPoint) string { return strings.ToLower(p.Point) })
	return all
}

// SafetyChanged are the points that were set or dropped after a fact.
func (s *State) SafetyChanged(after uint64) (all []SafetyPoint) {
	for _, p := range s.safety {
		if p.Seq > after {
			all = append(all, p)
		}
	}
	sortBy(all, func(p SafetyPoint) string { return strings.ToLower(p.Point) })
	return all
}

// SafetySigned lists the signings of the plan, the latest last.
func (s *State) SafetySigned() []SafetySigned { return s.safetySigned }
