package heat

import (
	"fmt"

	"combline/internal/quantity"
)

// A Point is one corner of a [Program].
type Point struct {
	Hour float64
	C    quantity.Celsius
}

// A Program is a temperature over time: its points joined by straight lines, the
// first before it and the last after it. Two points of one hour are a jump.
type Program []Point

// Steady is a program that never changes.
func Steady(c quantity.Celsius) Program { return Program{{0, c}} }

// Steps is a program that jumps to each point's temperature at its hour.
func Steps(points ...Point) Program {
	var p Program
	for i, x := range points {
		if i > 0 {
			p = append(p, Point{x.Hour, points[i-1].C})
		}
		p = append(p, x)
	}
	return p
}

const (
	coldest, hottest = -40.0, 100.0 // °C that an ambient may have
	longestH         = 10000.0
	mostPoints       = 10000
)

func (p Program) check(of string) error {
	if len(p) == 0 {
		return fmt.Errorf("the ambient of the %s is not given", of)
	}
	if len(p) > mostPoints {
		return fmt.Errorf("the ambient of the %s has %d points, want %d at most", of, len(p), mostPoints)
	}
	for i, x := range p {
		if err := between("hour in the ambient of the "+of, x.Hour, -longestH, longestH, "h"); err != nil {
			return err
		}
		if err := between("ambient of the "+of, float64(x.C), coldest, hottest, "°C"); err != nil {
			return err
		}
		if i > 0 && x.Hour < p[i-1].Hour {
			return fmt.Errorf("the ambient of the %s goes back from %g h to %g h: list its points in order of time", of, p[i-1].Hour, x.Hour)
		}
		if i > 1 && x.Hour == p[i-2].Hour {
			return fmt.Errorf("the ambient of the %s has three points at %g h; a jump has two", of, x.Hour)
		}
	}
	return nil
}

// At is the temperature at an hour; on a jump the one after it.
func (p Program) At(hour float64) quantity.Celsius { return p.line(hour).at(hour) }

// A ramp is the straight line that a program follows between two corners.
type ramp struct{ from, c, slope float64 }

func (r ramp) at(hour float64) quantity.Celsius { return quantity.Celsius(r.c + r.slope*(hour-r.from)) }

// line finds the stretch that begins at or before an hour.
func (p Program) line(hour float64) ramp {
	i := len(p) - 1
	for i >= 0 && p[i].Hour > hour {
		i--
	}
	switch {
	case i < 0:
		return ramp{hour, float64(p[0].C), 0}
	case i == len(p)-1:
		return ramp{hour, float64(p[i].C), 0}
	}
	a, b := p[i], p[i+1]
	return ramp{a.Hour, float64(a.C), float64(b.C-a.C) / (b.Hour - a.Hour)}
}
