package heat

import (
	"fmt"
	"math"
)

// A Shape is how a body is cut into cells.
type Shape uint8

const (
	NoShape      Shape = iota
	Cylinder           // drum, pail, jar: r and z
	Box                // a tote, a case or pallet of jars: x, y and z
	Plate              // a wall of a height, nothing through its sides: z
	LongCylinder       // no ends: r
	Stirred            // one temperature throughout
)

// A Body is what holds the honey. Its measures are those of the honey in it; a
// wall is part of the film ([Through]).
type Body struct {
	Shape     Shape
	DiameterM float64 // of a cylinder
	HeightM   float64 // of a cylinder, box or plate
	LengthM   float64 // of a box
	WidthM    float64 // of a box

	// Of a stirred vessel: side is the jacket, top all other faces.
	MassKg   float64
	JacketM2 float64
	OtherM2  float64
	StirrerW float64 // power that the stirrer leaves in the honey
	JacketHi float64 // film from honey to jacket wall, W/(m²·K); 0: the wall is as warm as the honey
}

// Drum is a cylinder of a diameter and a filling height.
func Drum(diameterM, heightM float64) Body {
	return Body{Shape: Cylinder, DiameterM: diameterM, HeightM: heightM}
}

// Crate is a box of a length, width and height.
func Crate(lengthM, widthM, heightM float64) Body {
	return Body{Shape: Box, LengthM: lengthM, WidthM: widthM, HeightM: heightM}
}

// Vessel is a stirred one: jacketM2 has the side's film and ambient, otherM2 the
// top's.
func Vessel(massKg, jacketM2, otherM2 float64) Body {
	return Body{Shape: Stirred, MassKg: massKg, JacketM2: jacketM2, OtherM2: otherM2}
}

const (
	leastM, mostM   = 0.002, 10.0 // a measure of a body
	leastKg, mostKg = 0.001, 1e5
	mostM2          = 1000.0
)

func (b Body) check() error {
	switch b.Shape {
	case Cylinder:
		return first(measure("diameter", b.DiameterM), measure("height", b.HeightM))
	case Box:
		return first(measure("length", b.LengthM), measure("width", b.WidthM), measure("height", b.HeightM))
	case Plate:
		return measure("height", b.HeightM)
	case LongCylinder:
		return measure("diameter", b.DiameterM)
	case Stirred:
		return first(between("mass", b.MassKg, leastKg, mostKg, "kg"), between("jacket", b.JacketM2, 0, mostM2, "m²"),
			between("other faces", b.OtherM2, 0, mostM2, "m²"), between("stirrer", b.StirrerW, 0, 1e5, "W"),
			between("film inside the jacket", b.JacketHi, 0, mostFilm, "W/(m²·K)"))
	}
	return fmt.Errorf("the body has no shape: name a cylinder, box, plate, long cylinder or stirred vessel")
}

// VolumeM3 is the honey's volume: of a plate under 1 m², of a long cylinder 1 m long.
func (b Body) VolumeM3(densityKgM3 float64) float64 {
	disc := math.Pi / 4 * b.DiameterM * b.DiameterM
	switch b.Shape {
	case Cylinder:
		return disc * b.HeightM
	case Box:
		return b.LengthM * b.WidthM * b.HeightM
	case Plate:
		return b.HeightM
	case LongCylinder:
		return disc
	}
	return b.MassKg / densityKgM3
}

func measure(name string, m float64) error { return between(name, m, leastM, mostM, "m") }

// between refuses what lies outside; so written, NaN is refused too.
func between(name string, x, low, high float64, unit string) error {
	if low <= x && x <= high {
		return nil
	}
	return fmt.Errorf("%s %g %s, want %g to %g", name, x, unit, low, high)
}

func first(errs ...error) error {
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}
