package flow

import (
	"fmt"
	"math"

	"combline/internal/honey"
	"combline/internal/quantity"
)

const (
	// CellDepthM is a worker cell's depth, 11 to 12 mm (from memory).
	CellDepthM = 0.011
	// OpenCellM2S is water's diffusivity in honey of about 35 °C where the house has
	// not fitted its own; it may be 5 times smaller or 2.5 times larger.
	OpenCellM2S = 2e-11

	diffusivityLow, diffusivityHigh = 1e-13, 1e-9
)

// Diffusivity is [OpenCellM2S] with its range (C: measured nowhere in comb honey that
// we know of; from memory).
func Diffusivity() honey.Band[float64] {
	return honey.Band[float64]{Low: 1e-11, Likely: OpenCellM2S, High: 5e-11}
}

// A Cell is honey in open comb that dries through its mouth.
type Cell struct {
	Start, Room quantity.WaterPct // now, and what the room's air brings it to ([EquilibriumWater])
	DepthM      float64
	M2S         float64 // diffusivity of water in the honey
}

// OpenCell gives the mean water of an open cell after some hours: a plane sheet, one
// face closed, the other at the room's equilibrium at once,
//
//	W = We + (W0 − We)·Σ 2/z²·exp(−z²·D·t/L²),   z = (m + ½)·π
//
// Exact mathematics (Crank, The Mathematics of Diffusion, from memory) on a constant
// D that is known to a factor of 5: grade C until fitted by [FitCell]. Range 0 to
// 10,000 h, water 5 to 30 %, depth 1 to 50 mm.
func (c Cell) OpenCell(hours float64) (quantity.WaterPct, error) {
	if err := first(c.check(), within("hours", hours, 0, 1e4, "h")); err != nil {
		return 0, err
	}
	return c.mean(hours), nil
}

func (c Cell) check() error {
	return first(within("water now", float64(c.Start), 5, 30, "%"), within("water of the room's air", float64(c.Room), 0, 40, "%"),
		withinMM("cell depth", c.DepthM, 0.001, 0.05), within("diffusivity", c.M2S, diffusivityLow, diffusivityHigh, "m²/s"))
}

func (c Cell) mean(hours float64) quantity.WaterPct {
	return c.Room + (c.Start-c.Room)*quantity.WaterPct(sheet(c.M2S*hours*3600/(c.DepthM*c.DepthM)))
}

// sheet is the mean share left in a sheet after a Fourier number. For a short time the
// series is slow and the half-space's closed form is exact to the last digits.
func sheet(fo float64) float64 {
	if fo < 0.02 {
		return 1 - 2*math.Sqrt(fo/math.Pi)
	}
	sum := 0.0
	for m := range 60 {
		z := (float64(m) + 0.5) * math.Pi
		sum += 2 / (z * z) * math.Exp(-z*z*fo)
	}
	return sum
}

// FitCell gives the diffusivity that leads from one refractometer reading to the next,
// hours later, in cells of this kind. Both readings' doubt (±0.2) makes a fit from less
// than a point of drying little better than none.
func (c Cell) FitCell(hours float64, then quantity.WaterPct) (float64, error) {
	c.M2S = OpenCellM2S
	if err := first(c.check(), within("hours", hours, 0.5, 1e4, "h")); err != nil {
		return 0, err
	}
	if !(c.Room < then && then < c.Start) {
		return 0, fmt.Errorf("%.4g %% after %g h lies not between %.4g %% and the room's %.3g %%: it has not dried; look at the room's air",
			float64(then), hours, float64(c.Start), float64(c.Room))
	}
	left := float64(then-c.Room) / float64(c.Start-c.Room)
	fo := solve(sheet, left, 0, 10)
	d := fo * c.DepthM * c.DepthM / (hours * 3600)
	return d, within("diffusivity", d, diffusivityLow, diffusivityHigh, "m²/s")
}

// HoursTo gives the hours until the mean of open cells has fallen to a water content;
// an error if the room's air never brings it there.
func (c Cell) HoursTo(target quantity.WaterPct) (float64, error) {
	if err := c.check(); err != nil {
		return 0, err
	}
	switch {
	case !(target > c.Room):
		return 0, &NeverDryError{Target: target, Room: c.Room}
	case target >= c.Start:
		return 0, nil
	}
	fo := solve(sheet, float64(target-c.Room)/float64(c.Start-c.Room), 0, 10)
	return fo * c.DepthM * c.DepthM / c.M2S / 3600, nil
}

// A NeverDryError says that a room's air can't bring honey to a water content.
type NeverDryError struct{ Target, Room quantity.WaterPct }

func (e *NeverDryError) Error() string {
	return fmt.Sprintf("this air brings honey to %.1f %% at best, not to %.1f %%: make the room drier", float64(e.Room), float64(e.Target))
}

// A Stack is supers whose cells are partly sealed: sealed cells are taken not to dry.
type Stack struct {
	Cell
	CappedPct float64 // share of cells that are sealed, %
}

// After gives a stack's mean water after some hours: the open share dries as
// [Cell.OpenCell], the sealed one stays. One informal test puts a cap's resistance at
// 330 to over 10,000 times that of air (read on a forum): grade C.
func (s Stack) After(hours float64) (quantity.WaterPct, error) {
	open, err := s.OpenCell(hours)
	if err = first(err, within("capped share", s.CappedPct, 0, 100, "%")); err != nil {
		return 0, err
	}
	x := quantity.WaterPct(s.CappedPct / 100)
	return x*s.Start + (1-x)*open, nil
}

// HoursTo gives the hours until the stack's mean is at a water content: its open cells
// must make up for the sealed ones.
func (s Stack) HoursTo(target quantity.WaterPct) (float64, error) {
	if err := within("capped share", s.CappedPct, 0, 100, "%"); err != nil {
		return 0, err
	}
	if target >= s.Start {
		return 0, s.check()
	}
	x := quantity.WaterPct(s.CappedPct / 100)
	if x == 1 {
		return 0, &NeverDryError{Target: target, Room: s.Start}
	}
	open := (target - x*s.Start) / (1 - x)
	if !(open > s.Room) {
		return 0, &NeverDryError{Target: target, Room: x*s.Start + (1-x)*s.Room}
	}
	return s.Cell.HoursTo(open)
}
