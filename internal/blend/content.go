// Package blend finds the cheapest sound blends for what the buyers ask from what
// stands in the house, proves how good they are, checks them in whole grams, and
// says why there is none and what small change would make one. The solver is handed
// in; nothing here waits or reads a clock.
package blend

import (
	"fmt"

	"combline/internal/quantity"
)

// A Content is what stands in one vessel, or in several equal drums.
type Content struct {
	Name  string
	Grams quantity.Gram // all that is there
	Drum  quantity.Gram // of one drum, tipped whole; 0: a tank, drawn by weight
	Split bool          // a drum may be drawn in part
	Least quantity.Gram // smallest draw from a tank or a part drum

	Cost    float64 // a kg, in the house's money
	AgeDays float64

	// Figures are the readings (or forecasts), each with its doubt. One that is not
	// there is unknown.
	Figures map[Figure]quantity.Uncertain
	// Parts say what it is made of, by country, site and kind.
	Parts [dimensionCount]Makeup
	Marks []string // what it is certified as, such as "organic"

	// TipAfter is when it can be tipped at the earliest: 0 for liquid honey, days of
	// warming for set honey.
	TipAfter quantity.Days

	// Stops are why it may never be proposed.
	Stops []Stop
}

// A Stop is a rule under which a content is never proposed.
type Stop uint8

const (
	OnHold           Stop = iota + 1 // a hold stands on it
	OverResidue                      // a residue or contaminant is over its limit: never mixed away
	Fermenting                       // it ferments
	Overheated                       // into table honey; cooking honey may have it
	InSettling                       // it stands in a settling tank that was not drawn
	Running                          // its vessel is being filled or drawn
	NotSaid                          // its state is not known
	barred                           // the last stop; what follows are reasons of one batch
	NoReading                        // a limited figure was not read
	DarkerThanScale                  // no colour can be reckoned above 114 mm
	OriginUnknown                    // a share is asked and part of it is of unknown origin
	OriginNotOnLabel                 // it holds honey of a country that the label leaves out
	NotMarked                        // a mark is asked that it does not carry
	NotInTime                        // it can't be tipped by then
	FarOff                           // so far off that no blend is looked for with it
	stopCount
)

var stopNames = [stopCount]string{OnHold: "on_hold", OverResidue: "over_residue", Fermenting: "fermenting", Overheated: "overheated",
	InSettling: "settling", Running: "running", NotSaid: "state_not_known", NoReading: "no_reading", DarkerThanScale: "darker_than_scale",
	OriginUnknown: "origin_unknown", OriginNotOnLabel: "origin_not_on_label", NotMarked: "not_marked", NotInTime: "not_in_time", FarOff: "far_off"}

// String is the rule's stable key.
func (s Stop) String() string {
	if s >= stopCount || stopNames[s] == "" {
		return "unknown"
	}
	return stopNames[s]
}

// A Dimension is what shares are counted by.
type Dimension uint8

const (
	ByCountry Dimension = iota
	BySite
	ByKind
	dimensionCount
)

var dimensionNames = [dimensionCount]string{"country", "site", "kind"}

// String is the dimension's stable key.
func (d Dimension) String() string {
	if d >= dimensionCount {
		return "unknown"
	}
	return dimensionNames[d]
}

// A Makeup is what a content is made of: parts of a whole, of which only the
// proportion counts. What the parts leave of the whole is not known.
type Makeup struct {
	Of    quantity.Gram
	Parts []Part
}

// A Part is the honey of one name in a content.
type Part struct {
	Name  string
	Grams quantity.Gram
}

// Pure is the makeup of honey of one name.
func Pure(name string) Makeup { return Makeup{1, []Part{{name, 1}}} }

// of gives the parts of a name.
func (m Makeup) of(name string) (grams quantity.Gram) {
	for _, p := range m.Parts {
		if p.Name == name {
			grams += p.Grams
		}
	}
	return grams
}

// fraction gives the share of a name, 0 to 1.
func (m Makeup) fraction(name string) float64 {
	if m.Of == 0 {
		return 0
	}
	return float64(m.of(name)) / float64(m.Of)
}

// whole reports whether all of it is of a known name.
func (m Makeup) whole() bool {
	var sum quantity.Gram
	for _, p := range m.Parts {
		if p.Name != "" {
			sum += p.Grams
		}
	}
	return m.Of > 0 && sum == m.Of
}

const mostGrams = 100_000_000_000

func (c *Content) check() error {
	switch {
	case c.Name == "":
		return fmt.Errorf("a content without a name")
	case c.Grams <= 0 || c.Grams > mostGrams:
		return fmt.Errorf("%d g, want above 0 g to %d g", c.Grams, int64(mostGrams))
	case c.Drum < 0 || c.Drum > 0 && c.Grams%c.Drum != 0:
		return fmt.Errorf("%d g in drums of %d g: no whole number of drums", c.Grams, c.Drum)
	case c.Least < 0 || c.Least > c.Grams:
		return fmt.Errorf("smallest draw %d g of %d g", c.Least, c.Grams)
	case !within(c.Cost, -1e9, 1e9):
		return fmt.Errorf("cost %g a kg", c.Cost)
	case !within(c.AgeDays, 0, 1e6):
		return fmt.Errorf("age %g days", c.AgeDays)
	case !within(float64(c.TipAfter), 0, 1e6):
		return fmt.Errorf("can be tipped after %g days", float64(c.TipAfter))
	}
	for d, m := range c.Parts {
		if err := m.check(); err != nil {
			return fmt.Errorf("by %s: %w", Dimension(d), err)
		}
	}
	return c.checkFigures()
}

func (c *Content) checkFigures() error {
	for f := Figure(0); f < figureCount; f++ {
		u, read := c.Figures[f]
		if !read {
			continue
		}
		d := figures[f]
		if !u.Known() || !within(u.Value, d.low, d.high) {
			return fmt.Errorf("%s %g, want %g to %g %s", f, u.Value, d.low, d.high, d.unit)
		}
	}
	return nil
}

func (m Makeup) check() error {
	var sum quantity.Gram
	for _, p := range m.Parts {
		if p.Grams < 0 || p.Grams > mostGrams {
			return fmt.Errorf("%d g of %q", p.Grams, p.Name)
		}
		sum += p.Grams
	}
	if m.Of < 0 || sum > m.Of {
		return fmt.Errorf("parts of %d g in a whole of %d g", sum, m.Of)
	}
	return nil
}

// within is written so that NaN is outside.
func within(x, low, high float64) bool { return low <= x && x <= high }
