package heat

import (
	"fmt"

	"combline/internal/quantity"
)

// A Case is a body of honey, what stands around it and when to look at it.
type Case struct {
	Body  Body
	Faces Faces
	Honey Properties
	Melt  *Melt // nil: no grains
	// Convection is a factor on the melt's own stirring, Nu − 1: 0 conduction only, 1 as
	// published. Set honey does not stir until its liquid share passes 0.7.
	Convection float64
	Start      Start
	Heater     *Heater   // nil: as much power as the set point asks for
	ReportH    []float64 // hours to report at, rising
	Nodes      int       // of each axis, odd; 0: as many as the case needs
	Tolerance  float64   // K a step; 0: 0.002
	Watch      []Target  // what to note the hour of
}

// A Start is the honey at hour 0. A body that was measured has a core, a skin and
// perhaps a mean; between them the temperature rises smoothly.
type Start struct {
	Core, Skin quantity.Celsius
	Mean       quantity.Celsius // used if HasMean
	HasMean    bool
	Molten     float64 // share that had melted before, remembered

	Field *Field // what a run ended with: it goes on from there
}

// Even is a start at one temperature.
func Even(c quantity.Celsius) Start { return Start{Core: c, Skin: c} }

// A Field is a body's whole state at the end of a run; only [Run] reads it.
type Field struct {
	body   Body
	axes   []*axis
	t      []float64
	molten []float64
	hmf    []float64
	gone   []float64 // −ln of the diastase kept
	invert []float64
	yeast  []float64
}

// A Heater warms the room or water from which the heated faces take their
// ambient: their program is its set point. Where power does not reach, the room
// stays below:
//
//	Power = bodies·Q + LossWK·(T_room − Outside)
type Heater struct {
	PowerW  float64
	LossWK  float64 // of the room itself
	Outside Program
	Bodies  int // that stand in it; 0: one
}

const (
	mostReports = 5000
	mostNodes   = 41
)

func (c *Case) check() error {
	if err := first(c.Body.check(), c.Honey.check(), c.Melt.check(), c.checkFaces(), c.checkStart(), c.Heater.check(),
		between("convection", c.Convection, 0, 20, "times")); err != nil {
		return err
	}
	if c.Convection > 0 && (c.Body.Shape == Plate || c.Body.Shape == LongCylinder) {
		return fmt.Errorf("convection is reckoned for a cylinder, box or stirred vessel")
	}
	if c.Nodes != 0 && (c.Nodes < 3 || c.Nodes > mostNodes || c.Nodes%2 == 0) {
		return fmt.Errorf("%d nodes, want an odd number from 3 to %d", c.Nodes, mostNodes)
	}
	if c.Tolerance != 0 {
		if err := between("tolerance", c.Tolerance, 1e-9, 1, "K"); err != nil {
			return err
		}
	}
	return c.checkReports()
}

func (c *Case) checkFaces() error {
	for _, f := range c.faces() {
		if err := between("film of the "+f.name, f.Film, leastFilm, mostFilm, "W/(m²·K)"); err != nil {
			return err
		}
		if f.Film > 0 {
			if err := f.Ambient.check(f.name); err != nil {
				return err
			}
		}
	}
	return nil
}

type namedFace struct {
	*Face
	name string
}

func (c *Case) faces() [3]namedFace {
	return [3]namedFace{{&c.Faces.Side, "side"}, {&c.Faces.Bottom, "bottom"}, {&c.Faces.Top, "top"}}
}

func (c *Case) checkStart() error {
	if c.Start.Field != nil {
		return nil
	}
	low, high := float64(c.Honey.Low), float64(c.Honey.High)
	err := first(between("start", float64(c.Start.Core), low, high, "°C"), between("start at the skin", float64(c.Start.Skin), low, high, "°C"),
		between("share molten before", c.Start.Molten, 0, 1, ""))
	if err != nil || !c.Start.HasMean {
		return err
	}
	return between("mean at the start", float64(c.Start.Mean), low, high, "°C")
}

func (c *Case) checkReports() error {
	if len(c.ReportH) == 0 {
		return fmt.Errorf("no hour to report at: name at least one")
	}
	if len(c.ReportH) > mostReports {
		return fmt.Errorf("%d hours to report at, want %d at most", len(c.ReportH), mostReports)
	}
	for i, h := range c.ReportH {
		if err := between("hour to report at", h, 0, longestH, "h"); err != nil {
			return err
		}
		if i > 0 && h <= c.ReportH[i-1] {
			return fmt.Errorf("hour %g to report at follows %g: list them in rising order", h, c.ReportH[i-1])
		}
	}
	return nil
}

func (h *Heater) check() error {
	if h == nil {
		return nil
	}
	if h.PowerW == 0 {
		return fmt.Errorf("the heater has no power: give its watts")
	}
	if h.Bodies < 0 || h.Bodies > 100000 {
		return fmt.Errorf("%d bodies in the room, want 0 to 100000", h.Bodies)
	}
	if err := first(between("power", h.PowerW, 1, 1e7, "W"), between("loss of the room", h.LossWK, 0, 1e6, "W/K")); err != nil {
		return err
	}
	if h.LossWK == 0 {
		return nil
	}
	return h.Outside.check("outside")
}
