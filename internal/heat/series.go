package heat

import (
	"fmt"
	"math"
)

// A Series is the classical answer for a body of one temperature whose surroundings
// jump to another, with one film and constant properties: a plate of half thickness L
// with both faces alike, or a long cylinder of radius R.
//
//	θ = (T − T∞)/(T0 − T∞) = Σ Cₙ·exp(−ζₙ²·Fo)·f(ζₙ·x)
//
//	plate:    ζ·tan ζ = Bi,       C = 4·sin ζ/(2ζ + sin 2ζ),      f = cos
//	cylinder: ζ·J1(ζ) = Bi·J0(ζ), C = (2/ζ)·J1/(J0² + J1²),       f = J0
//
// with Bi = h·L/k, Fo = α·t/L² and x from the middle (0) to the face (1). A drum is the
// product of one of each. Exact; Incropera et al., ch. 5 (from memory).
type Series struct {
	Shape Shape // Plate or LongCylinder
	Biot  float64
}

const seriesTerms = 200

func (s Series) check() error {
	if s.Shape != Plate && s.Shape != LongCylinder {
		return fmt.Errorf("the series is for a plate or a long cylinder")
	}
	return between("Biot number", s.Biot, 1e-4, 1e5, "")
}

// Root is ζₙ, n from 1.
func (s Series) Root(n int) float64 {
	low, high := float64(n-1)*math.Pi, (float64(n)-0.5)*math.Pi
	f := func(z float64) float64 { return z*math.Sin(z) - s.Biot*math.Cos(z) }
	if s.Shape == LongCylinder {
		f = func(z float64) float64 { return z*math.J1(z) - s.Biot*math.J0(z) }
		high = j0Zero(n)
		if n > 1 {
			low = j1Zero(n - 1)
		}
	}
	sign := 1.0
	if f(low) > 0 {
		sign = -1
	}
	for range 200 {
		middle := (low + high) / 2
		if sign*f(middle) > 0 {
			high = middle
		} else {
			low = middle
		}
	}
	return (low + high) / 2
}

// Factor is Cₙ for its root.
func (s Series) Factor(zeta float64) float64 {
	if s.Shape == Plate {
		return 4 * math.Sin(zeta) / (2*zeta + math.Sin(2*zeta))
	}
	j0, j1 := math.J0(zeta), math.J1(zeta)
	return 2 / zeta * j1 / (j0*j0 + j1*j1)
}

// FirstTerm is θ at a place by the first term alone: good from Fo = 0.2 on.
func (s Series) FirstTerm(fourier, x float64) float64 {
	z := s.Root(1)
	f := math.Cos(z * x)
	if s.Shape == LongCylinder {
		f = math.J0(z * x)
	}
	return s.Factor(z) * math.Exp(-z*z*fourier) * f
}

// Theta is θ at a place x and its mean over the body. Fo of 0.0001 or more; the first
// 200 terms leave less than 1e-9 of it.
func (s Series) Theta(fourier, x float64) (at, mean float64, err error) {
	if err := first(s.check(), between("Fourier number", fourier, 1e-4, 1e6, ""), between("place", x, 0, 1, "")); err != nil {
		return 0, 0, err
	}
	for n := 1; n <= seriesTerms; n++ {
		z := s.Root(n)
		c := s.Factor(z) * math.Exp(-z*z*fourier)
		if s.Shape == Plate {
			at += c * math.Cos(z*x)
			mean += c * math.Sin(z) / z
		} else {
			at += c * math.J0(z*x)
			mean += c * 2 * math.J1(z) / z
		}
		if z*z*fourier > 40 {
			break
		}
	}
	return at, mean, nil
}

// j0Zero and j1Zero are the zeros of the Bessel functions, by McMahon's expansion and
// Newton's method (Abramowitz and Stegun, 9.5.12).
func j0Zero(n int) float64 {
	z := (float64(n) - 0.25) * math.Pi
	for range 20 {
		z += math.J0(z) / math.J1(z)
	}
	return z
}

func j1Zero(n int) float64 {
	z := (float64(n) + 0.25) * math.Pi
	for range 20 {
		z -= math.J1(z) / (math.J0(z) - math.J1(z)/z)
	}
	return z
}

// SemiInfinite is (T − Ti)/(T∞ − Ti) in a body so deep that its far side feels nothing:
//
//	erfc(x/2√(αt)) − exp(hx/k + h²αt/k²)·erfc(x/2√(αt) + h√(αt)/k)
//
// It holds for the first hour or so of a drum. Incropera et al., ch. 5 (from memory).
func SemiInfinite(alphaM2S, film, wmk, depthM, seconds float64) (float64, error) {
	if err := first(between("diffusivity", alphaM2S, 1e-9, 1e-3, "m²/s"), between("film", film, 1e-6, mostFilm, "W/(m²·K)"),
		between("conductivity", wmk, 0.01, 500, "W/(m·K)"), between("depth", depthM, 0, 10, "m"), between("time", seconds, 1e-3, 1e8, "s")); err != nil {
		return 0, err
	}
	r := math.Sqrt(alphaM2S * seconds)
	a, b := depthM/(2*r), film*r/wmk
	return math.Erfc(a) - scaledErfc(a+b)*math.Exp(-a*a), nil
}

// scaledErfc is exp(x²)·erfc(x), which stays finite where its parts do not.
func scaledErfc(x float64) float64 {
	if x < 5 {
		return math.Exp(x*x) * math.Erfc(x)
	}
	f := x // continued fraction, Abramowitz and Stegun 7.1.14
	for k := 60; k > 0; k-- {
		f = x + float64(k)/2/f
	}
	return 1 / (f * math.SqrtPi)
}

// A StirredTank is a stirred vessel with a jacket in closed form:
//
//	m·cp·dT/dt = UA·(Tj − T) − UAl·(T − Te),  T = Ts + (T0 − Ts)·exp(−(UA + UAl)·t/(m·cp))
//	Ts = (UA·Tj + UAl·Te)/(UA + UAl)
//
// Exact for constant properties. Energy balance.
type StirredTank struct {
	MassKg, CpJKgK    float64
	JacketWK, LossWK  float64
	JacketC, OutsideC float64
	StartC            float64
	StirrerW          float64
}

func (s StirredTank) check() error {
	return first(between("mass", s.MassKg, leastKg, mostKg, "kg"), between("heat capacity", s.CpJKgK, 100, 10000, "J/(kg·K)"),
		between("jacket", s.JacketWK, 0, 1e6, "W/K"), between("loss", s.LossWK, 0, 1e6, "W/K"), between("jacket and loss together", s.JacketWK+s.LossWK, 1e-6, 2e6, "W/K"),
		between("jacket temperature", s.JacketC, coldest, hottest, "°C"), between("outside", s.OutsideC, coldest, hottest, "°C"),
		between("start", s.StartC, coldest, hottest, "°C"), between("stirrer", s.StirrerW, 0, 1e5, "W"))
}

// Level is the temperature that it comes to in the end, and the hours of its time
// constant.
func (s StirredTank) Level() (celsius, hours float64, err error) {
	if err := s.check(); err != nil {
		return 0, 0, err
	}
	ua := s.JacketWK + s.LossWK
	return (s.JacketWK*s.JacketC + s.LossWK*s.OutsideC + s.StirrerW) / ua, s.MassKg * s.CpJKgK / ua / 3600, nil
}

// At is the temperature after some hours.
func (s StirredTank) At(hours float64) (float64, error) {
	level, tau, err := s.Level()
	if err = first(err, between("hours", hours, 0, longestH, "h")); err != nil {
		return 0, err
	}
	return level + (s.StartC-level)*math.Exp(-hours/tau), nil
}

// Until is the hours until it has a temperature; an error if it never does.
func (s StirredTank) Until(celsius float64) (float64, error) {
	level, tau, err := s.Level()
	if err = first(err, between("temperature", celsius, coldest, hottest, "°C")); err != nil {
		return 0, err
	}
	left := (celsius - level) / (s.StartC - level)
	if celsius == s.StartC {
		return 0, nil
	}
	if !(0 < left && left < 1) {
		return 0, fmt.Errorf("the vessel goes from %g °C towards %.2f °C and never has %g °C", s.StartC, level, celsius)
	}
	return -tau * math.Log(left), nil
}
